#include "process/loop.h"

#include "base/log.h"
#include "base/time_limit.h"

#include <event2/event.h>
#include <stdint.h>
#include <stdlib.h>
#include <sys/time.h>

enum {
    PRIORITIES = 2,
    NETWORK_AT_A_STRETCH_US = 100,
    BRIDGES_AT_A_STRETCH_US = 5000,
    RAISE_AGAIN_US = 1000000,
    KINDS_MAX = 32
};

struct loop {
    struct event_base *base;
    struct event *turn; /* of priority 1: that it comes up shows that all before it have */
    bool is_turn_due;   /* bridges have had turns since it came up */
    unsigned bridge_turns;
    struct time_limit bridges_until;
    bool is_round; /* everybody in turn, whatever the priority */
    bool is_round_wanted;
    bool is_ending;
    bool is_one_left_low; /* it could not be raised again: it waits for its turn */
    struct time_limit raised_until;
    unsigned kinds; /* of bridges' events that were lowered so far: by their callbacks, */
    event_callback_fn kind[KINDS_MAX]; /* for an event may be freed, and another have its place */
};

static void take_libevents_log(int severity, const char *words) {
    if (severity != EVENT_LOG_DEBUG) {
        log_line(severity == EVENT_LOG_ERR ? LOG_ERROR : LOG_WARNING, "event loop: %s", words);
    }
}

static struct event_base *new_base(void) {
    static const struct timeval stretch = {.tv_usec = NETWORK_AT_A_STRETCH_US};
    struct event_config *config = event_config_new();
    if (config == NULL) {
        return NULL;
    }
    event_config_set_flag(config, EVENT_BASE_FLAG_PRECISE_TIMER);
    event_config_set_max_dispatch_interval(config, &stretch, -1, 1);
    struct event_base *base = event_base_new_with_config(config);
    event_config_free(config);
    return base;
}

static void on_turn(evutil_socket_t fd, short what, void *context) {
    struct loop *loop = context;
    (void)fd;
    (void)what;
    loop->is_turn_due = false;
    if (loop->is_round) {
        event_base_loopbreak(loop->base);
    }
}

struct loop *loop_new(void) {
    struct loop *loop = calloc(1, sizeof *loop);
    if (loop == NULL) {
        return NULL;
    }
    event_set_log_callback(take_libevents_log);
    loop->base = new_base();
    if (loop->base == NULL || event_base_priority_init(loop->base, PRIORITIES) != 0 ||
        (loop->turn = event_new(loop->base, -1, 0, on_turn, loop)) == NULL ||
        event_priority_set(loop->turn, 1) != 0) {
        loop_free(loop);
        return NULL;
    }
    return loop;
}

void loop_free(struct loop *loop) {
    if (loop == NULL) {
        return;
    }
    if (loop->turn != NULL) {
        event_free(loop->turn);
    }
    if (loop->base != NULL) {
        event_base_free(loop->base);
    }
    free(loop);
}

struct event_base *loop_base(struct loop *loop) {
    return loop->base;
}

void loop_end(struct loop *loop) {
    loop->is_ending = true;
    event_base_loopbreak(loop->base);
}

/* ---- a round of everybody */

/* The list is const, its events are not: they belong to those who made them. */
static bool set_priority(const struct event *event, int priority) {
    return event_priority_set((struct event *)(uintptr_t)event, priority) == 0;
}

static bool is_bridges(const struct loop *loop, const struct event *event) {
    for (unsigned i = 0; i < loop->kinds; i++) {
        if (loop->kind[i] == event_get_callback(event)) {
            return true;
        }
    }
    return false;
}

static int lower(const struct event_base *base, const struct event *event, void *context) {
    struct loop *loop = context;
    (void)base;
    if (event_get_priority(event) == 0) {
        if (!is_bridges(loop, event) && loop->kinds < KINDS_MAX) {
            loop->kind[loop->kinds++] = event_get_callback(event);
        }
        if (is_bridges(loop, event)) {
            set_priority(event, 1);
        }
    }
    return 0;
}

static int raise_one(const struct event_base *base, const struct event *event, void *context) {
    struct loop *loop = context;
    (void)base;
    if (is_bridges(loop, event) && event_get_priority(event) != 0 && !set_priority(event, 0)) {
        loop->is_one_left_low = true;
    }
    return 0;
}

static void raise_all(struct loop *loop) {
    loop->is_one_left_low = false;
    loop->raised_until = time_limit_in(RAISE_AGAIN_US);
    event_base_foreach_event(loop->base, raise_one, loop);
}

/* libevent takes nothing of a lower priority while there is something of a higher one. So for a
 * round there is only one: all events come up in the order in which they became due, bridges' among
 * them, until the turn that waits behind the others has come. */
static int run_round(struct loop *loop) {
    event_base_foreach_event(loop->base, lower, loop);
    loop->is_round = true;
    int result = event_base_loop(loop->base, 0);
    loop->is_round = false;
    raise_all(loop);
    return result;
}

void loop_bridge_turn(struct loop *loop) {
    if (loop->is_round) {
        return;
    }
    /* One that is due cannot be raised before its turn, nor can one that is just not waited for. */
    if (loop->is_one_left_low ||
        (loop->kinds > 0 && time_limit_left_us(&loop->raised_until) == 0)) {
        raise_all(loop);
    }
    if (!loop->is_turn_due) {
        loop->is_turn_due = true;
        loop->bridge_turns = 0;
        loop->bridges_until = time_limit_in(BRIDGES_AT_A_STRETCH_US);
        event_active(loop->turn, EV_TIMEOUT, 0);
    }
    if (++loop->bridge_turns >= LOOP_BRIDGE_TURNS ||
        time_limit_left_us(&loop->bridges_until) == 0) {
        loop->is_round_wanted = true;
        event_base_loopbreak(loop->base);
    }
}

bool loop_run(struct loop *loop) {
    int result = 0;
    bool goes_on = !loop->is_ending;
    while (goes_on) {
        loop->is_round_wanted = false;
        result = event_base_loop(loop->base, 0);
        goes_on = result == 0 && loop->is_round_wanted && !loop->is_ending;
        if (goes_on) {
            result = run_round(loop);
            goes_on = result == 0 && !loop->is_turn_due && !loop->is_ending &&
                      !event_base_got_exit(loop->base);
        }
    }
    return result == 0;
}
