/* A bridge's cycle keeps itself going even when the event loop has no memory for its timer. */
#include "process/loop.h"
#include "support/check.h"
#include "support/io/idle_port.h"

#include <event2/event.h>
#include <stdlib.h>
#include <unistd.h>

enum { DUMMIES = 4096, MANY = 20, PATIENCE = 1000000 };

static struct loop *loop;
static struct event_base *base;
static struct event *dummy[DUMMIES];
static bool has_memory = true;
static unsigned acts;

static void *lean_malloc(size_t size) {
    return has_memory ? malloc(size) : NULL;
}

static void *lean_realloc(void *memory, size_t size) {
    return has_memory ? realloc(memory, size) : NULL;
}

static void never(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    (void)context;
}

/* From now on not one timer more can be had. */
static void use_up_timers(void) {
    static const struct timeval hour = {.tv_sec = 3600};
    has_memory = false;
    unsigned i = 0;
    while (i < DUMMIES && evtimer_add(dummy[i], &hour) == 0) {
        i++;
    }
    assert_true(i < DUMMIES);
}

/* Always readable, and so served in every turn of the loop: cycles without a pause must leave it
 * its turn. Ends the loop when there were enough of them, or none for ever so long. */
static void client_came(evutil_socket_t fd, short what, void *context) {
    static unsigned turns;
    (void)fd;
    (void)what;
    (void)context;
    turns = has_memory ? 0 : turns + 1;
    if (acts >= MANY || turns >= PATIENCE) {
        event_base_loopbreak(base);
    }
}

/* ---- a port without a world */

static void *port_open(const struct port_settings *settings, const struct port_host *host,
                       struct error *error) {
    (void)settings;
    (void)host;
    (void)error;
    return &acts;
}

static void port_act(void *port, uint64_t now_us, const struct bridge_outputs *outputs) {
    (void)port;
    (void)now_us;
    (void)outputs;
    acts++;
    if (acts > 1 && has_memory) {
        use_up_timers();
    }
}

static uint32_t port_wake_us(const void *port) {
    (void)port;
    return 1000;
}

static const struct port_ops ops = {.name = "none",
                                    .open = port_open,
                                    .sense = idle_sense,
                                    .act = port_act,
                                    .wake_us = port_wake_us,
                                    .safe = idle_safe,
                                    .close = idle_close};

static void cycle_goes_on_without_memory_for_its_timer(void **state) {
    (void)state;
    event_set_mem_functions(lean_malloc, lean_realloc, free);
    loop = loop_new();
    base = loop_base(loop);
    for (unsigned i = 0; i < DUMMIES; i++) {
        dummy[i] = evtimer_new(base, never, NULL);
        assert_non_null(dummy[i]);
    }
    struct bridge_setup setup = {.tracks = 0};
    struct layout_clock clock;
    struct error error;
    const struct cycle_setup cycle_setup = {.port = &ops, .settings = {.setup = &setup}};
    const struct cycle_listener listener = {.stepped = idle_stepped};
    clock_start(&clock, 1);
    struct cycle *cycle = cycle_new(loop, &clock, &cycle_setup, &listener, &error);
    assert_non_null(cycle);
    cycle_start(cycle, &(struct bridge_request){.kind = REQUEST_NONE});
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "x", 1), 1);
    struct event *client = event_new(base, ends[0], EV_READ | EV_PERSIST, client_came, NULL);
    assert_int_equal(event_add(client, NULL), 0);
    assert_int_equal(event_base_dispatch(base), 0);
    assert_false(has_memory);
    assert_true(acts >= MANY);
    has_memory = true;
    event_free(client);
    close(ends[0]);
    close(ends[1]);
    cycle_free(cycle);
    for (unsigned i = 0; i < DUMMIES; i++) {
        event_free(dummy[i]);
    }
    loop_free(loop);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cycle_goes_on_without_memory_for_its_timer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
