#include "bridge/cycle.h"

#include "base/invariant.h"
#include "process/loop.h"

#include <event2/event.h>
#include <stdlib.h>

enum { USUALLY_LATE_US = 50000 };

struct cycle {
    struct cycle_setup setup;
    struct cycle_listener listener;
    struct port_host host;
    struct loop *loop;
    struct layout_clock *clock;
    struct event *timer;
    struct event *soon; /* in its place when there is no memory for a timer */
    void *port;
    struct bridge_view view;
    uint64_t stepped_us; /* when the last step was, layout time */
    uint64_t due_us;     /* when the next one is to be at the latest; UINT64_MAX: whenever */
    bool is_running;     /* a cycle is under way */
    bool is_due_again;   /* an input changed while it was */
};

static const struct bridge_request no_request = {.kind = REQUEST_NONE};

static uint32_t since_last_step(struct cycle *cycle, uint64_t now_us) {
    uint64_t dt_us = now_us - cycle->stepped_us;
    cycle->stepped_us = now_us;
    return dt_us < UINT32_MAX ? (uint32_t)dt_us : UINT32_MAX;
}

/* Once for each look that was waited for: the steps behind it are in time. A paced clock waits for
 * its bridges: they are late by its slack at the most. Every timer is a little late: that is not
 * told, or each step would differ from the one before. */
static uint32_t past_due(struct cycle *cycle, uint64_t now_us) {
    uint64_t late_us = now_us > cycle->due_us ? now_us - cycle->due_us : 0;
    cycle->due_us = UINT64_MAX;
    if (late_us < USUALLY_LATE_US) {
        return 0;
    }
    return late_us < UINT32_MAX ? (uint32_t)late_us : UINT32_MAX;
}

/* Who is told may take its time, and the outputs must not wait for it: act before telling. */
static enum bridge_answer step(struct cycle *cycle, const struct bridge_request *request) {
    const struct port_ops *port = cycle->setup.port;
    uint64_t now_us = clock_now_us(cycle->clock);
    struct bridge_view before = cycle->view;
    struct bridge_view *after = &cycle->view;

    port->sense(cycle->port, now_us, &after->inputs);
    after->inputs.late_us = past_due(cycle, now_us);
    struct cycle_step step = {.dt_us = since_last_step(cycle, now_us), .request = request};
    step.answer = bridge_step(cycle->setup.settings.setup, &after->state, &after->inputs, request,
                              step.dt_us, &after->outputs);
    port->act(cycle->port, now_us, &after->outputs);
    cycle->listener.stepped(cycle->listener.context, cycle->setup.bridge, &before, after, &step);
    return step.answer;
}

static void pass_news(const struct cycle *cycle) {
    if (cycle->setup.port->news == NULL) {
        return;
    }
    const char *words;
    while ((words = cycle->setup.port->news(cycle->port)) != NULL) {
        cycle->listener.news(cycle->listener.context, cycle->setup.bridge, words);
    }
}

static void arm(struct cycle *cycle) {
    uint32_t core_us = bridge_wake_us(cycle->setup.settings.setup, &cycle->view.state);
    uint32_t port_us = cycle->setup.port->wake_us(cycle->port);
    uint32_t wake_us = core_us < port_us ? core_us : port_us;
    if (cycle->is_due_again) {
        wake_us = 0;
    }
    if (wake_us == UINT32_MAX) {
        clock_set_limit(cycle->clock, cycle->setup.bridge, UINT64_MAX);
        evtimer_del(cycle->timer);
        return;
    }
    cycle->due_us = cycle->stepped_us + wake_us;
    clock_set_limit(cycle->clock, cycle->setup.bridge, cycle->due_us);
    struct timeval real = clock_real(cycle->clock, wake_us);
    if (evtimer_add(cycle->timer, &real) != 0) {
        event_active(cycle->soon, EV_TIMEOUT, 0); /* needs no memory */
    }
}

/* Steps again at once while the phase changes; the table has no ring that closes without a wait,
 * the bound only keeps the loop alive should one ever be written. */
static enum bridge_answer run(struct cycle *cycle, const struct bridge_request *request) {
    INVARIANT(!cycle->is_running); /* each step's outputs are put out before the next */
    cycle->is_running = true;
    cycle->is_due_again = false;
    enum bridge_phase before = cycle->view.state.phase;
    enum bridge_answer answer = step(cycle, request);
    for (unsigned turns = 0; cycle->view.state.phase != before && turns < BRIDGE_PHASES; turns++) {
        before = cycle->view.state.phase;
        step(cycle, &no_request);
    }
    pass_news(cycle);
    arm(cycle);
    cycle->is_running = false;
    return answer;
}

static void on_soon(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    run(context, &no_request);
}

static void on_timer(evutil_socket_t fd, short what, void *context) {
    const struct cycle *cycle = context;
    loop_bridge_turn(cycle->loop);
    on_soon(fd, what, context);
}

static void on_input_changed(void *context) {
    struct cycle *cycle = context;
    loop_bridge_turn(cycle->loop);
    if (cycle->is_running) {
        cycle->is_due_again = true;
    } else {
        run(cycle, &no_request);
    }
}

struct cycle *cycle_new(struct loop *loop, struct layout_clock *clock,
                        const struct cycle_setup *setup, const struct cycle_listener *listener,
                        struct error *error) {
    struct cycle *cycle = calloc(1, sizeof *cycle);
    if (cycle == NULL) {
        error_set(error, "", "out of memory");
        return NULL;
    }
    cycle->setup = *setup;
    cycle->listener = *listener;
    cycle->loop = loop;
    cycle->clock = clock;
    cycle->due_us = UINT64_MAX;
    cycle->is_running = true; /* until cycle_start(): edges that come earlier wait */
    bridge_start(setup->settings.setup, &cycle->view.state);

    cycle->timer = evtimer_new(loop_base(loop), on_timer, cycle);
    cycle->soon = evtimer_new(loop_base(loop), on_soon, cycle);
    if (cycle->timer == NULL || cycle->soon == NULL) {
        error_set(error, "", "cannot create a timer");
        cycle_free(cycle);
        return NULL;
    }
    /* Before anything of the network: see loop.h. */
    event_priority_set(cycle->timer, 0);
    /* Behind the inputs' edges: it comes again and again, without a pause. */
    event_priority_set(cycle->soon, 1);

    cycle->host =
        (struct port_host){.base = loop_base(loop), .changed = on_input_changed, .context = cycle};
    cycle->port = setup->port->open(&cycle->setup.settings, &cycle->host, error);
    if (cycle->port == NULL) {
        cycle_free(cycle);
        return NULL;
    }
    return cycle;
}

bool cycle_safe(struct cycle *cycle) {
    return cycle->setup.port->safe(cycle->port);
}

bool cycle_settle(struct cycle *cycle, uint32_t within_us) {
    const struct port_ops *port = cycle->setup.port;
    return port->settle != NULL && port->settle(cycle->port, within_us);
}

void cycle_crash_safe(struct cycle *cycle) {
    if (cycle->setup.port->crash_safe != NULL) {
        cycle->setup.port->crash_safe(cycle->port);
    }
}

void cycle_free(struct cycle *cycle) {
    if (cycle == NULL) {
        return;
    }
    if (cycle->port != NULL) {
        cycle->setup.port->close(cycle->port);
    }
    if (cycle->timer != NULL) {
        event_free(cycle->timer);
    }
    if (cycle->soon != NULL) {
        event_free(cycle->soon);
    }
    free(cycle);
}

void cycle_start(struct cycle *cycle, const struct bridge_request *request) {
    cycle->is_running = false;
    cycle->stepped_us = clock_now_us(cycle->clock);
    run(cycle, request);
}

void cycle_beat(struct cycle *cycle) {
    run(cycle, &no_request);
}

enum bridge_answer cycle_ask(struct cycle *cycle, const struct bridge_request *request) {
    return run(cycle, request);
}

enum bridge_answer cycle_would(const struct cycle *cycle, const struct bridge_request *request) {
    struct bridge_view copy = cycle->view;
    return bridge_step(cycle->setup.settings.setup, &copy.state, &copy.inputs, request, 0,
                       &copy.outputs);
}

const struct bridge_view *cycle_view(const struct cycle *cycle) {
    return &cycle->view;
}

static bool no_simulation(const struct cycle *cycle, struct error *error) {
    return error_set(error, cycle->setup.port->name, "this output is not a simulation");
}

bool cycle_simulate(struct cycle *cycle, const char *words, struct error *error) {
    const struct port_ops *port = cycle->setup.port;
    return port->simulate != NULL ? port->simulate(cycle->port, words, error)
                                  : no_simulation(cycle, error);
}

bool cycle_would_simulate(const struct cycle *cycle, const char *words, struct error *error) {
    const struct port_ops *port = cycle->setup.port;
    return port->would_simulate != NULL ? port->would_simulate(cycle->port, words, error)
                                        : no_simulation(cycle, error);
}
