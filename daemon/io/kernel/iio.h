/* iio.h: one channel of an analogue input of the kernel's industrial I/O (Linux,
 * ABI/testing/sysfs-bus-iio): (raw + offset) x scale is in millivolts or milliamperes. */
#ifndef IO_IIO_H
#define IO_IIO_H

#include "base/error.h"
#include "io/kernel/attribute.h"

#include <stdbool.h>

#define IIO_CLASS "/sys/bus/iio/devices"

struct iio {
    char folder[ATTRIBUTE_PATH_SIZE];
    char raw[64];
    double offset; /* added to what is read, in steps of the converter */
    double scale;  /* of a step: mV or mA */
};

/* `device`: a folder, or the name that the kernel gives it; `channel`: "voltage0", "current3".
 * Offset and scale are read once; a missing offset is 0, a missing scale an error. */
bool iio_open(struct iio *iio, const char *device, const char *channel, struct error *error);

/* Volts or amperes. */
bool iio_read(const struct iio *iio, double *value, struct error *error);

#endif
