#include "io/kernel/spidev.h"

#include <errno.h>
#include <fcntl.h>
#include <linux/spi/spidev.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

struct device {
    int fd;
};

static void close_device(void *port) {
    struct device *device = port;
    close(device->fd);
    free(device);
}

static bool set_up(int fd, unsigned hertz) {
    uint8_t mode = SPI_MODE_0, bits = 8;
    uint32_t most = hertz;
    return ioctl(fd, SPI_IOC_WR_MODE, &mode) == 0 &&
           ioctl(fd, SPI_IOC_WR_BITS_PER_WORD, &bits) == 0 &&
           ioctl(fd, SPI_IOC_WR_MAX_SPEED_HZ, &most) == 0;
}

static void *open_device(const char *path, unsigned hertz, struct error *error) {
    struct device *device = calloc(1, sizeof *device);
    if (device == NULL) {
        error_set(error, path, "%s", strerror(ENOMEM));
        return NULL;
    }
    device->fd = open(path, O_WRONLY | O_CLOEXEC);
    if (device->fd < 0 || !set_up(device->fd, hertz)) {
        error_set(error, path, "%s", errno == ENOTTY ? "is not an SPI device" : strerror(errno));
        if (device->fd >= 0) {
            close(device->fd);
        }
        free(device);
        return NULL;
    }
    return device;
}

static bool write_bytes(void *port, const unsigned char *bytes, size_t count, struct error *error) {
    ssize_t written = write(((struct device *)port)->fd, bytes, count);
    return written == (ssize_t)count ||
           error_set(error, "", "%s", written < 0 ? strerror(errno) : "only a part was taken");
}

const struct spidev_ops spidev_kernel = {
    .open = open_device,
    .write = write_bytes,
    .close = close_device,
};
