/* kernel_watchdog.h: the watchdog device of the kernel (Linux, watchdog/watchdog-api.rst): once
 * opened, it resets the machine unless it is pinged in time. Only writing 'V' before closing stops
 * it, so that a program that dies leaves it running. */
#ifndef IO_KERNEL_WATCHDOG_H
#define IO_KERNEL_WATCHDOG_H

#include "base/error.h"

#include <stdbool.h>

struct kernel_watchdog {
    int fd;        /* -1: none */
    int timeout_s; /* as the device has it, which may have rounded up; 0: it does not say */
};

bool kernel_watchdog_open(struct kernel_watchdog *watchdog, const char *device, int timeout_s,
                          struct error *error);

bool kernel_watchdog_ping(struct kernel_watchdog *watchdog);

/* Stops it if all outputs are safe; otherwise it is left to reset the machine. */
void kernel_watchdog_close(struct kernel_watchdog *watchdog, bool is_safe);

#endif
