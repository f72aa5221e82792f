/* spidev.h: bytes written to a device at the SPI bus (Linux, Documentation/spi/spidev), behind one
 * table of functions, so that tests can stand in for the kernel. spidev_kernel is the real one. */
#ifndef IO_SPIDEV_H
#define IO_SPIDEV_H

#include "base/error.h"

#include <stdbool.h>
#include <stddef.h>

struct spidev_ops {
    /* Mode 0, eight bits, most significant first. Returns NULL and fills the error. */
    void *(*open)(const char *device, unsigned hertz, struct error *error);
    /* In one transfer: the chip select rises behind the last byte. */
    bool (*write)(void *device, const unsigned char *bytes, size_t count, struct error *error);
    void (*close)(void *device);
};

extern const struct spidev_ops spidev_kernel;

#endif
