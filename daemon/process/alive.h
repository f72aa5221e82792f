/* alive.h: telling others that this program is alive: the service manager and the kernel's
 * watchdog. They are told from the loop that runs the bridges, after each bridge has run a cycle,
 * and in no other way: a hung loop falls silent (S7). */
#ifndef DAEMON_ALIVE_H
#define DAEMON_ALIVE_H

#include "base/error.h"

#include <stdbool.h>
#include <stdint.h>

struct event_base;
struct alive;

struct alive_setup {
    const char *notify_address;  /* $NOTIFY_SOCKET; NULL: nobody */
    uint64_t notify_us;          /* $WATCHDOG_USEC: notifications are due more often; 0: none */
    const char *watchdog;        /* the kernel's watchdog device; NULL: none */
    void (*beat)(void *context); /* runs a cycle of every bridge */
    void *context;
};

/* Returns the time between signs of life: a third of the shortest time after which somebody is
 * worried; 0 for one who is not, or does not say. */
uint64_t alive_interval_us(uint64_t notify_us, int watchdog_s);

/* Strings must outlive it. Tells READY and begins. */
struct alive *alive_new(struct event_base *base, const struct alive_setup *setup,
                        struct error *error);

/* Tells STOPPING. NULL is taken. */
void alive_stopping(struct alive *alive);

/* Tells RELOADING, after which the next alive_new() tells READY. NULL is taken. */
void alive_reloading(struct alive *alive);

/* While it stops and waits for something, whose time is limited: tells that it is not hung. NULL is
 * taken. */
void alive_still(struct alive *alive);

/* `is_safe`: every output could be put to its safe value; otherwise the watchdog is left running,
 * to reset the machine. NULL is taken. */
void alive_free(struct alive *alive, bool is_safe);

#endif
