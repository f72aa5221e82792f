/* hwmon.h: one channel of a sensor chip of the kernel's hardware monitoring (Linux,
 * ABI/testing/sysfs-class-hwmon): in0_input in millivolts, curr1_input in milliamperes. */
#ifndef IO_HWMON_H
#define IO_HWMON_H

#include "base/error.h"
#include "io/kernel/attribute.h"

#include <stdbool.h>

#define HWMON_CLASS "/sys/class/hwmon"

struct hwmon {
    char folder[ATTRIBUTE_PATH_SIZE];
    char input[64];
};

/* `device`: a folder, or the name that the kernel gives it; `channel`: "in1", "curr1". */
bool hwmon_open(struct hwmon *hwmon, const char *device, const char *channel, struct error *error);

/* Volts or amperes. */
bool hwmon_read(const struct hwmon *hwmon, double *value, struct error *error);

#endif
