/* Bridges come first, and nobody waits for ever: events of a bridge that never end leave everything
 * else its turn. */
#include "base/time_limit.h"
#include "process/loop.h"
#include "support/check.h"
#include "support/logged.h"

#include <event2/event.h>
#include <signal.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

enum { OTHERS = 3, ENOUGH = 20, PATIENCE = 1000000 };

/* In place of base/time_limit.c's for the loop (tests/CMakeLists.txt): this much is left, always.
 */
static const uint32_t *time_left;
uint32_t __real_time_limit_left_us(const struct time_limit *limit);
uint32_t __wrap_time_limit_left_us(const struct time_limit *limit);
uint32_t __wrap_time_limit_left_us(const struct time_limit *limit) {
    return time_left != NULL ? *time_left : __real_time_limit_left_us(limit);
}

struct stage {
    struct loop *loop;
    struct event_base *base;
    struct event *edge, *other[OTHERS], *timer, *signal;
    int edges[2], news[2]; /* pipes: readable, unless emptied */
    unsigned edge_turns, other_turns[OTHERS], timer_turns, signals;
    unsigned in_a_row, most_in_a_row; /* edges without anybody else's turn */
    char order[16];                   /* who came up, as letters */
    void (*at_edge)(struct stage *stage);
    void (*at_other)(struct stage *stage);
    unsigned other_turns_at_end;
};

static void note(struct stage *stage, char who) {
    size_t length = 0;
    while (stage->order[length] != '\0') {
        length++;
    }
    if (length + 1 < sizeof stage->order) {
        stage->order[length] = who;
    }
}

static void edge_came(evutil_socket_t fd, short what, void *context) {
    struct stage *stage = context;
    (void)fd;
    (void)what;
    loop_bridge_turn(stage->loop);
    note(stage, 'e');
    stage->edge_turns++;
    if (++stage->in_a_row > stage->most_in_a_row) {
        stage->most_in_a_row = stage->in_a_row;
    }
    if (stage->at_edge != NULL) {
        stage->at_edge(stage);
    }
    if (stage->edge_turns >= PATIENCE) { /* starved */
        event_base_loopbreak(stage->base);
    }
}

static bool has_had_enough(const struct stage *stage) {
    bool is_enough = stage->timer_turns > 0 && stage->signals > 0;
    for (unsigned i = 0; i < OTHERS; i++) {
        is_enough = is_enough && stage->other_turns[i] >= ENOUGH;
    }
    return is_enough;
}

static void end_if_enough(struct stage *stage) {
    stage->in_a_row = 0;
    if (has_had_enough(stage)) {
        loop_end(stage->loop);
    }
}

#define OTHER_CAME(i)                                                                              \
    static void other_##i##_came(evutil_socket_t fd, short what, void *context) {                  \
        struct stage *stage = context;                                                             \
        (void)fd;                                                                                  \
        (void)what;                                                                                \
        note(stage, '0' + i);                                                                      \
        stage->other_turns[i]++;                                                                   \
        if (stage->at_other != NULL) {                                                             \
            stage->at_other(stage);                                                                \
        }                                                                                          \
        end_if_enough(stage);                                                                      \
    }
OTHER_CAME(0)
OTHER_CAME(1)
OTHER_CAME(2)
static const event_callback_fn other_came[OTHERS] = {other_0_came, other_1_came, other_2_came};

static void timer_came(evutil_socket_t fd, short what, void *context) {
    struct stage *stage = context;
    (void)fd;
    (void)what;
    stage->timer_turns++;
    end_if_enough(stage);
}

static void signal_came(evutil_socket_t fd, short what, void *context) {
    struct stage *stage = context;
    (void)fd;
    (void)what;
    stage->signals++;
    end_if_enough(stage);
}

static struct event *listen_at(struct stage *stage, int fd, int priority,
                               event_callback_fn callback) {
    struct event *event = event_new(stage->base, fd, EV_READ | EV_PERSIST, callback, stage);
    assert_non_null(event);
    assert_int_equal(event_priority_set(event, priority), 0);
    assert_int_equal(event_add(event, NULL), 0);
    return event;
}

static int set_up(void **state) {
    static const struct timeval soon = {.tv_usec = 1000};
    struct stage *stage = calloc(1, sizeof *stage);
    stage->loop = loop_new();
    assert_non_null(stage->loop);
    stage->base = loop_base(stage->loop);
    assert_int_equal(pipe(stage->edges), 0);
    assert_int_equal(pipe(stage->news), 0);
    assert_int_equal(write(stage->edges[1], "x", 1), 1);
    assert_int_equal(write(stage->news[1], "x", 1), 1);
    stage->edge = listen_at(stage, stage->edges[0], 0, edge_came);
    for (unsigned i = 0; i < OTHERS; i++) {
        stage->other[i] = listen_at(stage, dup(stage->news[0]), 1, other_came[i]);
    }
    stage->timer = evtimer_new(stage->base, timer_came, stage);
    event_add(stage->timer, &soon);
    stage->signal = evsignal_new(stage->base, SIGUSR1, signal_came, stage);
    event_add(stage->signal, NULL);
    *state = stage;
    return 0;
}

static int tear_down(void **state) {
    struct stage *stage = *state;
    time_left = NULL;
    event_free(stage->edge);
    for (unsigned i = 0; i < OTHERS; i++) {
        close(event_get_fd(stage->other[i]));
        event_free(stage->other[i]);
    }
    event_free(stage->timer);
    event_free(stage->signal);
    for (unsigned i = 0; i < 2; i++) {
        close(stage->edges[i]);
        close(stage->news[i]);
    }
    loop_free(stage->loop);
    free(stage);
    return 0;
}

static void edges_without_end_leave_everybody_a_turn(void **state) {
    struct stage *stage = *state;
    raise(SIGUSR1);
    assert_true(loop_run(stage->loop));
    assert_true(has_had_enough(stage));
    assert_true(stage->edge_turns < PATIENCE);
    /* Who becomes due while others wait is behind them: two rounds at the most. */
    assert_true(stage->most_in_a_row <= 2 * (LOOP_BRIDGE_TURNS + 1));
}

static void forget_the_first_rounds(struct stage *stage) {
    if (stage->edge_turns == 4 * LOOP_BRIDGE_TURNS) {
        stage->most_in_a_row = 0;
    }
}

/* Where time is not short a bridge comes first as often as ever, however many rounds there were. */
static void bridges_have_all_their_turns_between_rounds(void **state) {
    static const uint32_t plenty = UINT32_MAX;
    struct stage *stage = *state;
    time_left = &plenty;
    stage->at_edge = forget_the_first_rounds;
    raise(SIGUSR1);
    assert_true(loop_run(stage->loop));
    assert_true(stage->edge_turns > 8 * LOOP_BRIDGE_TURNS && stage->edge_turns < PATIENCE);
    assert_true(stage->most_in_a_row >= LOOP_BRIDGE_TURNS);
}

/* So a few slow ones count as much as many quick ones. */
static void bridges_whose_time_is_up_leave_everybody_a_turn_at_once(void **state) {
    static const uint32_t none = 0;
    struct stage *stage = *state;
    time_left = &none;
    raise(SIGUSR1);
    assert_true(loop_run(stage->loop));
    assert_true(has_had_enough(stage));
    assert_true(stage->most_in_a_row < LOOP_BRIDGE_TURNS / 4);
}

static void end_after_rounds(struct stage *stage) {
    if (stage->edge_turns == ENOUGH * LOOP_BRIDGE_TURNS) {
        loop_end(stage->loop);
    }
}

static void bridges_come_first_before_and_after_a_round(void **state) {
    struct stage *stage = *state;
    char byte;
    stage->at_edge = end_after_rounds;
    assert_true(loop_run(stage->loop));
    assert_int_equal(stage->order[0], 'e');
    assert_int_equal(stage->order[1], 'e');
    assert_true(stage->other_turns[0] > 0); /* there were rounds */

    /* All at rest; then all at once. */
    assert_int_equal(read(stage->edges[0], &byte, 1), 1);
    assert_int_equal(read(stage->news[0], &byte, 1), 1);
    event_del(stage->timer);
    event_base_loop(stage->base, EVLOOP_NONBLOCK);
    event_base_loop(stage->base, EVLOOP_NONBLOCK);
    assert_int_equal(event_get_priority(stage->edge), 0);
    assert_int_equal(event_get_priority(stage->other[0]), 1);
    for (size_t i = 0; i < sizeof stage->order; i++) {
        stage->order[i] = '\0';
    }
    assert_int_equal(write(stage->edges[1], "x", 1), 1);
    assert_int_equal(write(stage->news[1], "x", 1), 1);
    event_base_loop(stage->base, EVLOOP_NONBLOCK);
    assert_int_equal(stage->order[0], 'e');
}

/* An edge that is due just when the round ends cannot be raised then: but it is, later. */
static void edge_that_is_due_as_a_round_ends_is_first_again(void **state) {
    struct stage *stage = *state;
    raise(SIGUSR1);
    assert_true(loop_run(stage->loop));
    unsigned turns = 0;
    stage->at_edge = NULL;
    while (event_get_priority(stage->edge) != 0 && ++turns < ENOUGH) {
        event_base_loop(stage->base, EVLOOP_ONCE);
    }
    assert_true(turns < ENOUGH);
}

static void exit_at_first(struct stage *stage) {
    if (stage->other_turns[0] == 1) {
        event_base_loopexit(stage->base, NULL);
    }
}

static void exit_that_a_client_asks_for_in_a_round_comes(void **state) {
    struct stage *stage = *state;
    stage->at_other = exit_at_first;
    assert_true(loop_run(stage->loop));
    assert_true(stage->edge_turns < PATIENCE);
    assert_true(stage->other_turns[0] < ENOUGH);
}

/* Whatever was asked for before: edges without end do not hold it back. */
static void exit_asked_for_before_edges_without_end_comes(void **state) {
    struct stage *stage = *state;
    event_base_loopexit(stage->base, NULL);
    assert_true(loop_run(stage->loop));
    assert_true(stage->edge_turns < PATIENCE);
    assert_true(stage->other_turns[0] < ENOUGH);
}

static uint64_t now_us(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

/* An edge comes while the first of several clients takes its time. */
static void be_slow_and_make_an_edge(struct stage *stage) {
    uint64_t begun_us = now_us();
    if (stage->order[1] == '\0') {
        assert_int_equal(write(stage->edges[1], "x", 1), 1);
        while (now_us() - begun_us < 1000) {
        }
    }
}

static void end_at_once(struct stage *stage) {
    loop_end(stage->loop);
}

static void slow_network_is_left_for_an_edge_between_two_clients(void **state) {
    struct stage *stage = *state;
    char byte;
    assert_int_equal(read(stage->edges[0], &byte, 1), 1);
    stage->at_other = be_slow_and_make_an_edge;
    stage->at_edge = end_at_once;
    assert_true(loop_run(stage->loop));
    assert_int_not_equal(stage->order[0], 'e');
    assert_int_equal(stage->order[1], 'e');
}

static void loop_within_the_loop(struct stage *stage) {
    assert_int_equal(event_base_loop(stage->base, EVLOOP_NONBLOCK), -1);
    loop_end(stage->loop);
}

static void what_libevent_complains_of_is_in_the_log(void **state) {
    struct stage *stage = *state;
    stage->at_edge = loop_within_the_loop;
    logged_begin();
    loop_run(stage->loop);
    logged_end();
    assert_int_equal(logged_lines("warning event loop: event_base_loop: reentrant"), 1);
}

static void end_as_a_round_is_due(struct stage *stage) {
    if (stage->in_a_row == LOOP_BRIDGE_TURNS) {
        stage->other_turns_at_end = stage->other_turns[0];
        loop_end(stage->loop);
    }
}

static void end_comes_before_a_round(void **state) {
    struct stage *stage = *state;
    stage->at_edge = end_as_a_round_is_due;
    assert_true(loop_run(stage->loop));
    assert_true(stage->edge_turns < PATIENCE);
    assert_int_equal(stage->other_turns[0], stage->other_turns_at_end);
}

static void end_before_the_start_is_an_end(void **state) {
    struct stage *stage = *state;
    loop_end(stage->loop);
    assert_true(loop_run(stage->loop));
    assert_int_equal(stage->edge_turns, 0);
}

int main(void) {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        STAGED(edges_without_end_leave_everybody_a_turn),
        STAGED(bridges_have_all_their_turns_between_rounds),
        STAGED(bridges_whose_time_is_up_leave_everybody_a_turn_at_once),
        STAGED(bridges_come_first_before_and_after_a_round),
        STAGED(edge_that_is_due_as_a_round_ends_is_first_again),
        STAGED(exit_that_a_client_asks_for_in_a_round_comes),
        STAGED(exit_asked_for_before_edges_without_end_comes),
        STAGED(slow_network_is_left_for_an_edge_between_two_clients),
        STAGED(what_libevent_complains_of_is_in_the_log),
        STAGED(end_comes_before_a_round),
        STAGED(end_before_the_start_is_an_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
