/* link_setup.h: a link to another SRCP server: which of a bridge's lines are devices there, and how
 * long it may take. Plain settings, no pointers. Times in microseconds, all > 0. */
#ifndef IO_LINK_SETUP_H
#define IO_LINK_SETUP_H

#include "core/words/lines.h"

#include <stdint.h>

enum {
    LINKS_MAX = 4, /* of one bridge */
    LINK_LINES_MAX = 64,
    LINK_TRAINS_MAX = 16,
    LINK_NAME_SIZE = 48,
    LINK_HOST_SIZE = 64,
    LINK_LOCK_MIN_S = 2
};

enum link_group { LINK_GA = 0, LINK_FB, LINK_POWER };

/* A value there: an accessory's port, a feedback, or track power (1: on). */
struct link_value {
    enum link_group group;
    unsigned bus;     /* 1 and up */
    unsigned address; /* 0 for LINK_POWER */
    unsigned port;    /* 0 but for LINK_GA */
};

struct link_input {
    unsigned line; /* a level of core/words/lines.h */
    struct link_value at;
    int on; /* the value, 0 or 1, that means made, clear, proved; the other one means not */
};

/* A device that is commanded. Of an accessory with two ports, 1 is sent to `at.port` to switch it
 * on, and to `off_port` to switch it off; of one with a single port (both the same), 1 and 0. */
struct link_output {
    unsigned line; /* an output of core/words/lines.h */
    enum line_when when;
    struct link_value at; /* not LINK_FB */
    unsigned off_port;
};

/* A train that may be stopped by its address. */
struct link_train {
    unsigned bus;
    unsigned address;
    unsigned steps; /* V_max, as the server wants it */
};

struct link_setup {
    char name[LINK_NAME_SIZE];
    char host[LINK_HOST_SIZE]; /* a numeric IPv4 or IPv6 address */
    uint16_t port;
    uint32_t beat_us;        /* a value is asked for this often, though nothing happens */
    uint32_t reply_us;       /* longest wait for a connection, a handshake, a reply */
    uint32_t obey_us;        /* longest time from a command to its proof */
    uint32_t retry_least_us; /* first pause before connecting again; doubled each time */
    uint32_t retry_most_us;
    uint32_t lock_s; /* seconds that a LOCK is asked for, LINK_LOCK_MIN_S and up; renewed at half */
    unsigned inputs;
    struct link_input input[LINK_LINES_MAX];
    unsigned outputs;
    struct link_output output[LINK_LINES_MAX];
    unsigned trains;
    struct link_train train[LINK_TRAINS_MAX];
};

#endif
