#include "io/kernel/kernel_watchdog.h"

#include <errno.h>
#include <fcntl.h>
#include <linux/watchdog.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

bool kernel_watchdog_open(struct kernel_watchdog *watchdog, const char *device, int timeout_s,
                          struct error *error) {
    *watchdog = (struct kernel_watchdog){.fd = open(device, O_WRONLY | O_CLOEXEC)};
    if (watchdog->fd < 0) {
        return error_set(error, device, "%s", strerror(errno));
    }
    /* Some devices have one timeout only: what counts is what they say they have. */
    (void)ioctl(watchdog->fd, WDIOC_SETTIMEOUT, &timeout_s);
    if (ioctl(watchdog->fd, WDIOC_GETTIMEOUT, &watchdog->timeout_s) != 0) {
        watchdog->timeout_s = 0;
    }
    return true;
}

bool kernel_watchdog_ping(struct kernel_watchdog *watchdog) {
    return watchdog->fd < 0 || write(watchdog->fd, "p", 1) == 1;
}

void kernel_watchdog_close(struct kernel_watchdog *watchdog, bool is_safe) {
    if (watchdog->fd < 0) {
        return;
    }
    if (is_safe) {
        (void)!write(watchdog->fd, "V", 1);
    }
    close(watchdog->fd);
    watchdog->fd = -1;
}
