/* Sockets as one event of the loop: a few in a turn, and a rest. */
#include "sockets/sockets.h"
#include "support/check.h"

#include <event2/event.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

enum { PAIRS = 3 * SOCKETS_A_TURN };

static struct event_base *base;
static struct sockets sockets;
static struct socket_watch watch[PAIRS];
static int other[PAIRS];
static unsigned came, turns;
static bool unwatches_others;

static void take_turn(void *context) {
    (void)context;
    turns++;
}

static void socket_came(void *context, short what) {
    struct socket_watch *own = context;
    assert_int_equal(what, EV_READ);
    came++;
    for (unsigned i = 0; unwatches_others && i < PAIRS; i++) {
        if (&watch[i] != own) {
            sockets_watch(&sockets, &watch[i], 0);
            watch[i].what = EV_READ; /* its memory is somebody else's now */
        }
    }
}

static int begin(bool must_rest) {
    base = event_base_new();
    came = turns = 0;
    unwatches_others = false;
    assert_true(sockets_init(&sockets, base, must_rest, take_turn, NULL));
    for (unsigned i = 0; i < PAIRS; i++) {
        int ends[2];
        assert_int_equal(socketpair(AF_UNIX, SOCK_STREAM | SOCK_NONBLOCK, 0, ends), 0);
        watch[i] = (struct socket_watch){.fd = ends[0], .came = socket_came, .context = &watch[i]};
        other[i] = ends[1];
        assert_int_equal(write(other[i], "x", 1), 1);
        assert_true(sockets_watch(&sockets, &watch[i], EV_READ | EV_ET));
    }
    return 0;
}

static int begin_without_rest(void **state) {
    (void)state;
    return begin(false);
}

static int begin_with_rest(void **state) {
    (void)state;
    return begin(true);
}

static int end(void **state) {
    (void)state;
    for (unsigned i = 0; i < PAIRS; i++) {
        sockets_watch(&sockets, &watch[i], 0);
        close(watch[i].fd);
        close(other[i]);
    }
    sockets_free(&sockets);
    event_base_free(base);
    return 0;
}

static void look_once(void) {
    assert_true(event_base_loop(base, EVLOOP_ONCE) >= 0);
}

static void a_turn_serves_a_few_and_leaves_none_out(void **state) {
    (void)state;
    look_once();
    assert_int_equal(came, SOCKETS_A_TURN);
    while (came < PAIRS) {
        look_once();
    }
    event_base_loop(base, EVLOOP_NONBLOCK);
    assert_int_equal(came, PAIRS); /* each once: at its edge */
}

static void whoever_is_unwatched_in_a_turn_does_not_come_in_it(void **state) {
    (void)state;
    unwatches_others = true;
    look_once();
    event_base_loop(base, EVLOOP_NONBLOCK);
    assert_int_equal(came, 1);
    for (unsigned i = 0; i < PAIRS; i++) {
        watch[i].what = 0; /* all but one are so: end() shall leave them alone */
    }
}

static void watched_anew_it_comes_again(void **state) {
    (void)state;
    while (came < PAIRS) {
        look_once();
    }
    assert_true(sockets_watch(&sockets, &watch[3], EV_READ | EV_CLOSED | EV_ET));
    look_once();
    assert_int_equal(came, PAIRS + 1);
}

static void with_nothing_to_watch_the_loop_ends(void **state) {
    (void)state;
    for (unsigned i = 0; i < PAIRS; i++) {
        sockets_watch(&sockets, &watch[i], 0);
    }
    assert_int_equal(event_base_dispatch(base), 1);
}

/* As if it had been at work all the time: no time of this machine matters. */
static void pretend_work(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    sockets.since_us = (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000 - 1000000;
    sockets.used_us = 0 - (uint64_t)3600 * 1000000;
}

static void busy_network_rests_and_forgets_nothing(void **state) {
    (void)state;
    pretend_work();
    look_once();
    assert_true(sockets.is_resting);
    assert_int_equal(came, SOCKETS_A_TURN);
    sockets_ask_for_turn(&sockets);
    look_once(); /* the end of the rest, and nothing else */
    assert_false(sockets.is_resting);
    assert_int_equal(came, SOCKETS_A_TURN);
    assert_int_equal(turns, 0);
    while (came < PAIRS || turns == 0) {
        look_once();
    }
}

static void network_of_a_process_like_others_does_not_rest(void **state) {
    (void)state;
    pretend_work();
    look_once();
    assert_false(sockets.is_resting);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_turn_serves_a_few_and_leaves_none_out, begin_without_rest,
                                        end),
        cmocka_unit_test_setup_teardown(whoever_is_unwatched_in_a_turn_does_not_come_in_it,
                                        begin_without_rest, end),
        cmocka_unit_test_setup_teardown(watched_anew_it_comes_again, begin_without_rest, end),
        cmocka_unit_test_setup_teardown(with_nothing_to_watch_the_loop_ends, begin_without_rest,
                                        end),
        cmocka_unit_test_setup_teardown(busy_network_rests_and_forgets_nothing, begin_with_rest,
                                        end),
        cmocka_unit_test_setup_teardown(network_of_a_process_like_others_does_not_rest,
                                        begin_without_rest, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
