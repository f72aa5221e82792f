/* fake_evdev.h: input devices for tests, behind io/kernel/evdev.h: plugged in, unplugged and worked
 * by the test. And a row of lamps at SPI that keeps what was written to it. */
#ifndef SUPPORT_FAKE_EVDEV_H
#define SUPPORT_FAKE_EVDEV_H

#include "io/kernel/evdev.h"
#include "io/kernel/spidev.h"

enum { FAKE_EVDEV_DEVICES = 2, FAKE_EVDEV_CODES = 768, FAKE_EVDEV_EVENTS = 256 };

struct fake_evdev_device {
    bool is_there, is_open, is_shared;
    int fd, test_fd;           /* readable while events wait, and when it has gone */
    int key[FAKE_EVDEV_CODES]; /* all keys are there but code 0 */
    int axis[8];               /* from -100 to 100 */
    unsigned events;
    struct evdev_event event[FAKE_EVDEV_EVENTS];
    int watch_fd[2]; /* [1] the test's; -1: nobody watches */
};

struct fake_evdev {
    struct fake_evdev_device device[FAKE_EVDEV_DEVICES];
    bool cannot_watch, is_back_before_watched;
    unsigned opens; /* tried */
};

extern struct fake_evdev fake_evdev;
/* Devices are called "box0" and "box1". */
extern const struct evdev_ops fake_evdev_ops;

/* Both are there, and nothing is pressed. */
void fake_evdev_start(void);
void fake_evdev_plug(unsigned device);
/* What is pressed stays so in the hand, and is told by nobody. */
void fake_evdev_unplug(unsigned device);
void fake_evdev_key(unsigned device, unsigned code, int value);
void fake_evdev_axis(unsigned device, unsigned code, int value);
void fake_evdev_step(unsigned device, unsigned code, int value);

struct fake_spi {
    bool is_there, is_open, cannot_write;
    unsigned writes;
    size_t count;
    unsigned char bytes[1024]; /* last written */
};

extern struct fake_spi fake_spi;
/* Its device is called "spi0". */
extern const struct spidev_ops fake_spi_ops;

#endif
