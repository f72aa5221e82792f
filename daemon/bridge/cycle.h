/* cycle.h: one bridge's cycle: sense, decide, act, tell. Every cause (an input's edge, a timer, a
 * request) runs the same cycle in the same turn of the event loop, and nothing else writes an
 * output. */
#ifndef DAEMON_CYCLE_H
#define DAEMON_CYCLE_H

#include "base/error.h"
#include "core/bridge.h"
#include "core/data/view.h"
#include "io/port.h"
#include "process/clock.h"

struct cycle;
struct loop;

/* What a step was given and what it answered, the inputs apart: those are in the view after it. */
struct cycle_step {
    uint32_t dt_us;
    const struct bridge_request *request; /* valid during the call */
    enum bridge_answer answer;
};

/* Whom a cycle tells. Told after every step; may not run a cycle from within. */
struct cycle_listener {
    void *context;
    void (*stepped)(void *context, unsigned bridge, const struct bridge_view *before,
                    const struct bridge_view *after, const struct cycle_step *step);
    /* A line of news from a simulated world. */
    void (*news)(void *context, unsigned bridge, const char *words);
};

struct cycle_setup {
    unsigned bridge; /* index, handed to the listener */
    const struct port_ops *port;
    struct port_settings settings;
};

/* Opens the port; nothing is driven before cycle_start(). `loop`, `clock` and what `setup` points
 * to must outlive the cycle. Returns NULL and fills `error`. */
struct cycle *cycle_new(struct loop *loop, struct layout_clock *clock,
                        const struct cycle_setup *setup, const struct cycle_listener *listener,
                        struct error *error);

/* Puts every output to its safe value, or sends it there, and waits for nothing. Returns whether
 * they are known to be safe. */
bool cycle_safe(struct cycle *cycle);

/* Waits, `within_us` at the longest, for what cycle_safe() sent to be confirmed; to be called where
 * that returned false. Returns whether it is; false before the time is up: it never will be. */
bool cycle_settle(struct cycle *cycle, uint32_t within_us);

/* In a signal handler: as much of cycle_safe() as can be done there. */
void cycle_crash_safe(struct cycle *cycle);

/* Closes the port; cycle_safe() comes before. NULL is taken. */
void cycle_free(struct cycle *cycle);

/* Runs the first cycle, with this request; from then on the cycle keeps itself going. */
void cycle_start(struct cycle *cycle, const struct bridge_request *request);

/* One whole cycle without a request: a sign of life. */
void cycle_beat(struct cycle *cycle);

/* One whole cycle with this request. */
enum bridge_answer cycle_ask(struct cycle *cycle, const struct bridge_request *request);

/* What cycle_ask() would answer now; changes nothing. */
enum bridge_answer cycle_would(const struct cycle *cycle, const struct bridge_request *request);

/* As of the last step; valid until the next cycle. */
const struct bridge_view *cycle_view(const struct cycle *cycle);

/* A run-time command to a simulated world; the port runs a cycle if it changed anything. */
bool cycle_simulate(struct cycle *cycle, const char *words, struct error *error);

/* What cycle_simulate() would answer now; changes nothing. */
bool cycle_would_simulate(const struct cycle *cycle, const char *words, struct error *error);

#endif
