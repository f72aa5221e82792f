#include "process/alive.h"

#include "base/log.h"
#include "io/kernel/kernel_watchdog.h"
#include "io/kernel/notify.h"

#include <event2/event.h>
#include <stdlib.h>

enum { WATCHDOG_TIMEOUT_S = 10, LONGEST_US = 5000000 };

struct alive {
    struct alive_setup setup;
    struct kernel_watchdog watchdog;
    struct event *timer;
    bool has_complained;
};

static void tell(struct alive *alive, const char *text) {
    struct error error;
    if (!notify_send(alive->setup.notify_address, text, &error) && !alive->has_complained) {
        alive->has_complained = true;
        log_line(LOG_WARNING, "cannot notify the service manager: %s: %s", error.where, error.what);
    }
}

static void on_timer(evutil_socket_t fd, short what, void *context) {
    struct alive *alive = context;
    (void)fd;
    (void)what;
    alive->setup.beat(alive->setup.context);
    tell(alive, "WATCHDOG=1");
    if (!kernel_watchdog_ping(&alive->watchdog)) {
        log_line(LOG_ERROR, "%s cannot be pinged: the machine will be reset",
                 alive->setup.watchdog);
    }
}

uint64_t alive_interval_us(uint64_t notify_us, int watchdog_s) {
    uint64_t interval_us = LONGEST_US;
    uint64_t watchdog_us = (uint64_t)watchdog_s * 1000000 / 3;
    if (watchdog_us > 0 && watchdog_us < interval_us) {
        interval_us = watchdog_us;
    }
    if (notify_us > 0 && notify_us / 3 < interval_us) {
        interval_us = notify_us / 3;
    }
    return interval_us;
}

static bool begin(struct alive *alive, struct event_base *base, struct error *error) {
    if (alive->setup.watchdog != NULL) {
        if (!kernel_watchdog_open(&alive->watchdog, alive->setup.watchdog, WATCHDOG_TIMEOUT_S,
                                  error)) {
            return false;
        }
        log_line(LOG_NOTICE, "%s resets the machine %d s after the last sign of life",
                 alive->setup.watchdog, alive->watchdog.timeout_s);
    }
    if (alive->setup.watchdog == NULL && alive->setup.notify_us == 0) {
        return true;
    }
    uint64_t us = alive_interval_us(alive->setup.notify_us, alive->watchdog.timeout_s);
    struct timeval interval = {.tv_sec = (time_t)(us / 1000000),
                               .tv_usec = (suseconds_t)(us % 1000000)};
    alive->timer = event_new(base, -1, EV_PERSIST, on_timer, alive);
    return alive->timer != NULL && event_add(alive->timer, &interval) == 0
               ? true
               : error_set(error, "", "cannot create a timer");
}

struct alive *alive_new(struct event_base *base, const struct alive_setup *setup,
                        struct error *error) {
    struct alive *alive = calloc(1, sizeof *alive);
    if (alive == NULL) {
        error_set(error, "", "out of memory");
        return NULL;
    }
    alive->setup = *setup;
    alive->watchdog.fd = -1;
    if (!begin(alive, base, error)) {
        alive_free(alive, true);
        return NULL;
    }
    tell(alive, "READY=1");
    return alive;
}

void alive_stopping(struct alive *alive) {
    if (alive != NULL) {
        tell(alive, "STOPPING=1");
    }
}

void alive_reloading(struct alive *alive) {
    if (alive != NULL) {
        tell(alive, "RELOADING=1");
    }
}

void alive_still(struct alive *alive) {
    if (alive != NULL) {
        tell(alive, "WATCHDOG=1");
    }
}

void alive_free(struct alive *alive, bool is_safe) {
    if (alive == NULL) {
        return;
    }
    if (alive->timer != NULL) {
        event_free(alive->timer);
    }
    if (alive->watchdog.fd >= 0 && !is_safe) {
        log_line(LOG_WARNING, "%s is left running: it resets the machine within %d s",
                 alive->setup.watchdog, alive->watchdog.timeout_s);
    }
    kernel_watchdog_close(&alive->watchdog, is_safe);
    free(alive);
}
