#include "support/io/fake_evdev.h"

#include "support/check.h"

#include <linux/input-event-codes.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

struct fake_evdev fake_evdev;
struct fake_spi fake_spi;

void fake_evdev_start(void) {
    memset(&fake_evdev, 0, sizeof fake_evdev);
    fake_spi = (struct fake_spi){.is_there = true};
    for (unsigned i = 0; i < FAKE_EVDEV_DEVICES; i++) {
        fake_evdev.device[i].is_there = true;
        fake_evdev.device[i].watch_fd[0] = fake_evdev.device[i].watch_fd[1] = -1;
    }
}

static struct fake_evdev_device *find(const char *name) {
    unsigned number = 0;
    bool is_named = sscanf(name, "box%u", &number) == 1 && number < FAKE_EVDEV_DEVICES;
    return is_named ? &fake_evdev.device[number] : NULL;
}

static void *open_device(const char *name, bool is_shared, struct error *error) {
    struct fake_evdev_device *device = find(name);
    int pair[2];
    fake_evdev.opens++;
    if (device == NULL || !device->is_there) {
        error_set(error, name, "No such file or directory");
        return NULL;
    }
    assert_false(device->is_open);
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, pair), 0);
    device->fd = pair[0];
    device->test_fd = pair[1];
    device->is_open = true;
    device->is_shared = is_shared;
    device->events = 0;
    return device;
}

static int device_fd(void *port) {
    return ((struct fake_evdev_device *)port)->fd;
}

static int take(void *port, struct evdev_event event[], int most) {
    struct fake_evdev_device *device = port;
    int taken = 0;
    char byte;
    if (!device->is_there) {
        return -1;
    }
    while (taken < most && device->events > 0) {
        event[taken++] = device->event[0];
        device->events--;
        memmove(&device->event[0], &device->event[1], device->events * sizeof device->event[0]);
        assert_int_equal(read(device->fd, &byte, 1), 1);
    }
    return taken;
}

static bool has(void *port, unsigned type, unsigned code) {
    (void)port;
    return type == EV_ABS ? code < 8 : code > 0 && code < FAKE_EVDEV_CODES;
}

static int value(void *port, unsigned type, unsigned code) {
    const struct fake_evdev_device *device = port;
    return type == EV_ABS ? device->axis[code] : device->key[code];
}

static void range(void *port, unsigned code, int *least, int *most) {
    (void)port;
    (void)code;
    *least = -100;
    *most = 100;
}

static void close_device(void *port) {
    struct fake_evdev_device *device = port;
    close(device->fd);
    close(device->test_fd);
    device->is_open = false;
}

static int watch(const char *name) {
    struct fake_evdev_device *device = find(name);
    if (device == NULL || fake_evdev.cannot_watch) {
        return -1;
    }
    assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM, 0, device->watch_fd), 0);
    device->is_there = device->is_there || fake_evdev.is_back_before_watched;
    return device->watch_fd[0];
}

static void take_watch(int fd, const char *name) {
    char byte;
    (void)name;
    assert_int_equal(read(fd, &byte, 1), 1);
}

void fake_evdev_plug(unsigned number) {
    struct fake_evdev_device *device = &fake_evdev.device[number];
    device->is_there = true;
    if (device->watch_fd[1] >= 0) {
        assert_int_equal(write(device->watch_fd[1], "", 1), 1);
    }
}

void fake_evdev_unplug(unsigned number) {
    struct fake_evdev_device *device = &fake_evdev.device[number];
    device->is_there = false;
    if (device->is_open) {
        assert_int_equal(write(device->test_fd, "", 1), 1);
    }
}

static void tell(struct fake_evdev_device *device, unsigned type, unsigned code, int told) {
    if (device->is_open && device->is_there) {
        assert_true(device->events < FAKE_EVDEV_EVENTS);
        device->event[device->events++] = (struct evdev_event){type, code, told};
        assert_int_equal(write(device->test_fd, "", 1), 1);
    }
}

void fake_evdev_key(unsigned number, unsigned code, int told) {
    fake_evdev.device[number].key[code] = told;
    tell(&fake_evdev.device[number], EV_KEY, code, told);
}

void fake_evdev_axis(unsigned number, unsigned code, int told) {
    fake_evdev.device[number].axis[code] = told;
    tell(&fake_evdev.device[number], EV_ABS, code, told);
}

void fake_evdev_step(unsigned number, unsigned code, int told) {
    tell(&fake_evdev.device[number], EV_REL, code, told);
}

const struct evdev_ops fake_evdev_ops = {
    .open = open_device,
    .fd = device_fd,
    .take = take,
    .has = has,
    .value = value,
    .range = range,
    .close = close_device,
    .watch = watch,
    .take_watch = take_watch,
};

/* ---- a row of lamps */

static void *open_spi(const char *name, unsigned hertz, struct error *error) {
    if (strcmp(name, "spi0") != 0 || hertz == 0 || !fake_spi.is_there) {
        error_set(error, name, "No such file or directory");
        return NULL;
    }
    fake_spi.is_open = true;
    return &fake_spi;
}

static bool write_spi(void *device, const unsigned char *bytes, size_t count, struct error *error) {
    (void)device;
    if (fake_spi.cannot_write) {
        return error_set(error, "", "Input/output error");
    }
    assert_true(count <= sizeof fake_spi.bytes);
    fake_spi.writes++;
    fake_spi.count = count;
    memcpy(fake_spi.bytes, bytes, count);
    return true;
}

static void close_spi(void *device) {
    (void)device;
    fake_spi.is_open = false;
}

const struct spidev_ops fake_spi_ops = {open_spi, write_spi, close_spi};
