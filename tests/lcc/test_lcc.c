/* The bridges on the bus, by real connections. */
#include "base/who.h"
#include "support/check.h"
#include "support/lcc/lcc_stage.h"

#include <stdio.h>
#include <string.h>

static struct lcc_stage stage;

static int open_one(void **state) {
    (void)state;
    lcc_stage_init(&stage, 1);
    lcc_stage_open(&stage);
    return 0;
}

static int close_it(void **state) {
    (void)state;
    lcc_stage_close(&stage);
    return 0;
}

static const char raise[] = ":X195B434CN0A44520000011000;";
static const char stop[] = ":X195B434CN0A44520000011002;";
static const char emergency_of_bus[] = ":X195B434CN010000000000FFFD;";

static void a_bridge_is_a_node_for_whoever_connects(void **state) {
    (void)state;
    struct lcc_peer *peer = lcc_stage_member(&stage, LCC_STAGE_OBSERVES);
    lcc_peer_send(&stage, peer, ":X1949034CN;");
    lcc_peer_expect(&stage, peer, ":X191704F7N0A4452000001;");
    lcc_peer_send(&stage, peer, ":X1982834CN04F7;");
    lcc_peer_expect(&stage, peer, ":X196684F7N034C545800;");
    lcc_peer_expect_nothing(&stage, peer);
}

static void a_bridge_tells_what_changes(void **state) {
    (void)state;
    struct lcc_peer *peers[2] = {lcc_stage_member(&stage, LCC_STAGE_OBSERVES),
                                 lcc_stage_connect(&stage, LCC_STAGE_OPERATES)};
    assert_int_equal(stage.links, 2);
    stage.view[0].state.phase = PHASE_FAULT;
    lcc_stage_tell(&stage, 0);
    for (unsigned i = 0; i < 2; i++) {
        lcc_peer_await(&stage, peers[i], ":X195B44F7N0A44520000010006;"); /* fault */
    }
}

static void an_event_is_a_request_of_its_link(void **state) {
    (void)state;
    struct lcc_peer *peer = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    lcc_peer_send(&stage, peer, raise);
    assert_int_equal(stage.asks, 1);
    assert_int_equal(stage.asked, REQUEST_RAISE);
    assert_true(stage.who < WHO_VISITOR_LEAST);
    assert_string_equal(stage.visitor, "LCC, may operate, by client at 127.0.0.1");
    assert_int_equal(stage.refusals, 0);
    lcc_peer_send(&stage, peer, stop);
    assert_int_equal(stage.asked, REQUEST_STOP);
    assert_int_equal(stage.visitors, 1);
    lcc_peer_leave(&stage, peer);
    assert_int_equal(stage.visitors, 0);
}

static void every_request_has_its_event(void **state) {
    (void)state;
    static const enum bridge_request_kind kinds[] = {REQUEST_RAISE, REQUEST_LOWER, REQUEST_STOP,
                                                     REQUEST_EMERGENCY_STOP, REQUEST_ACKNOWLEDGE};
    struct lcc_peer *peer = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    for (unsigned i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        char frame[64];
        snprintf(frame, sizeof frame, ":X195B434CN0A4452000001100%u;", i);
        lcc_peer_send(&stage, peer, frame);
        assert_int_equal(stage.asks, i + 1);
        assert_int_equal(stage.asked, kinds[i]);
    }
}

static void a_link_that_observes_only_stops_with_the_whole_bus(void **state) {
    (void)state;
    struct lcc_peer *peer = lcc_stage_member(&stage, LCC_STAGE_OBSERVES);
    lcc_peer_send(&stage, peer, raise);
    lcc_peer_send(&stage, peer, stop);
    assert_int_equal(stage.asks, 0);
    assert_int_equal(stage.refusals, 2);
    assert_string_equal(stage.why, "it came over an LCC link that may only observe");
    lcc_peer_send(&stage, peer, emergency_of_bus);
    assert_int_equal(stage.asks, 1);
    assert_int_equal(stage.asked, REQUEST_EMERGENCY_STOP);
    lcc_peer_send(&stage, peer, ":X195B434CN010000000000FFFF;");
    assert_int_equal(stage.asks, 2);
    assert_int_equal(stage.asked, REQUEST_EMERGENCY_STOP);
    /* "Cleared" starts nothing. */
    lcc_peer_send(&stage, peer, ":X195B434CN010000000000FFFC;:X195B434CN010000000000FFFE;");
    assert_int_equal(stage.asks, 2);
}

/* S9 */
static void a_lock_bars_all_but_the_two_stops(void **state) {
    (void)state;
    struct lcc_peer *peer = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    stage.barred_by = 7;
    lcc_peer_send(&stage, peer, raise);
    assert_int_equal(stage.asks, 0);
    assert_string_equal(stage.why, "session 7 has locked it; only a stop is accepted");
    lcc_peer_send(&stage, peer, stop);
    assert_int_equal(stage.asks, 1);
    lcc_peer_send(&stage, peer, ":X195B434CN0A44520000011003;");
    assert_int_equal(stage.asks, 2);
    lcc_peer_send(&stage, peer, emergency_of_bus);
    assert_int_equal(stage.asks, 3);
}

/* S9 */
static void a_stand_that_is_local_bars_all_but_the_two_stops(void **state) {
    (void)state;
    struct lcc_peer *peer = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    stage.kept_by_stand = "its stand is local";
    lcc_peer_send(&stage, peer, raise);
    assert_int_equal(stage.asks, 0);
    assert_string_equal(stage.why, "its stand is local");
    lcc_peer_send(&stage, peer, stop);
    lcc_peer_send(&stage, peer, emergency_of_bus);
    assert_int_equal(stage.asks, 2);
}

static void a_request_that_the_bridge_refuses_is_told(void **state) {
    (void)state;
    struct lcc_peer *peer = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    stage.answer = ANSWER_FAULT;
    lcc_peer_send(&stage, peer, raise);
    assert_int_equal(stage.asks, 1);
    assert_int_equal(stage.refusals, 1);
}

static void only_a_report_asks(void **state) {
    (void)state;
    struct lcc_peer *peer = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    lcc_peer_send(&stage, peer,
                  ":X1954434CN0A44520000011000;:X194C434CN0A44520000011000;"
                  ":X1959434CN0A44520000011000;:X19F1634CN0A44520000011000;"
                  ":X1954434CN010000000000FFFD;");
    assert_int_equal(stage.asks, 0);
}

static void the_listener_is_a_hub(void **state) {
    (void)state;
    struct lcc_peer *a = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    struct lcc_peer *b = lcc_stage_member(&stage, LCC_STAGE_OBSERVES);
    lcc_peer_await(&stage, a, ":X194C74F7N010000000000FFFF;"); /* as b has asked */
    lcc_peer_send(&stage, a,
                  ":X195B4111N0102030405060708;:X1A22211"
                  "1N01;garbage:X1234;"
                  ":X195B4111n0102030405060709;");
    lcc_peer_expect(&stage, b, ":X195B4111N0102030405060708;");
    lcc_peer_expect(&stage, b, ":X1A222111N01;");
    lcc_peer_expect(&stage, b, ":X195B4111N0102030405060709;");
    lcc_peer_expect_nothing(&stage, a); /* never back to its sender */
}

static void two_bridges_are_two_nodes(void **state) {
    (void)state;
    struct lcc_peer *peer = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    lcc_peer_send(&stage, peer, ":X1949034CN0A4452000001;");
    lcc_peer_expect(&stage, peer, ":X191704F7N0A4452000001;");
    lcc_peer_send(&stage, peer, ":X1949034CN0A4452000002;");
    lcc_peer_expect(&stage, peer, ":X191704F4N0A4452000002;");
    lcc_peer_send(&stage, peer, ":X195B434CN0A44520000021000;");
    assert_int_equal(stage.asks, 1);
    assert_int_equal(stage.asked_bridge, 1);
    lcc_peer_send(&stage, peer, emergency_of_bus);
    assert_int_equal(stage.asks, 3); /* both */
}

static void too_many_clients_are_refused(void **state) {
    (void)state;
    stage.config.lcc.listener[0].sessions_max = 1;
    lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    struct lcc_peer *more = lcc_stage_connect(&stage, LCC_STAGE_OPERATES);
    assert_null(lcc_peer_frame(&stage, more));
    lcc_stage_connect(&stage, LCC_STAGE_OBSERVES); /* has places of its own */
}

static void who_does_not_read_is_let_go_and_nobody_waits(void **state) {
    (void)state;
    struct lcc_peer *reads = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    struct lcc_peer *slow = lcc_stage_connect(&stage, LCC_STAGE_OBSERVES);
    char frames[64 * 30] = "";
    for (unsigned i = 0; i < 64; i++) {
        strcat(frames, ":X195B4111N0102030405060708;");
    }
    enum { ROUNDS = 6000 }; /* 10 MB: more than a kernel holds for one that does not read */
    for (unsigned i = 0; i < ROUNDS; i++) {
        lcc_peer_send(&stage, reads, frames);
        if (i % 100 == 99) {
            lcc_peer_send(&stage, reads, ":X1949034CN;");
            lcc_peer_expect(&stage, reads, ":X191704F7N0A4452000001;");
        }
    }
    unsigned long told = 0;
    while (lcc_peer_frame(&stage, slow) != NULL) {
        told++;
    }
    assert_true(told < 64ul * ROUNDS); /* it ended, and has missed the rest */
    lcc_peer_send(&stage, reads, raise);
    assert_int_equal(stage.asked, REQUEST_RAISE);
}

static void a_stop_comes_through_a_flood(void **state) {
    (void)state;
    struct lcc_peer *peer = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    char frames[200 * 30] = "";
    for (unsigned i = 0; i < 200; i++) {
        strcat(frames, i % 2 == 0 ? raise : ":X195B434CN0A44520000011001;");
    }
    for (unsigned i = 0; i < 100; i++) {
        lcc_peer_send(&stage, peer, frames);
    }
    lcc_peer_send(&stage, peer, emergency_of_bus);
    assert_int_equal(stage.asked, REQUEST_EMERGENCY_STOP);
    assert_true(stage.asks < 100 * 200 / 10); /* the same again is asked once */
}

static void a_restart_by_datagram_is_the_nodes_alone(void **state) {
    (void)state;
    struct lcc_peer *peer = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    lcc_peer_send(&stage, peer, ":X1A4F734CN20A9;");
    lcc_peer_expect(&stage, peer, ":X19A284F7N034C00;");
    lcc_peer_expect(&stage, peer, ":X107034F7N0A4452000001;");
    lcc_peer_expect(&stage, peer, ":X170A44F7N;");
    lcc_peer_await(&stage, peer, ":X191004F7N0A4452000001;");
    lcc_peer_await(&stage, peer, ":X194C74F7N010000000000FFFF;");
    assert_int_equal(stage.asks, 0);
    lcc_peer_expect_nothing(&stage, peer);
}

static int open_two(void **state) {
    (void)state;
    lcc_stage_init(&stage, 2);
    lcc_stage_open(&stage);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_bridge_is_a_node_for_whoever_connects, open_one,
                                        close_it),
        cmocka_unit_test_setup_teardown(a_bridge_tells_what_changes, open_one, close_it),
        cmocka_unit_test_setup_teardown(an_event_is_a_request_of_its_link, open_one, close_it),
        cmocka_unit_test_setup_teardown(every_request_has_its_event, open_one, close_it),
        cmocka_unit_test_setup_teardown(a_link_that_observes_only_stops_with_the_whole_bus,
                                        open_one, close_it),
        cmocka_unit_test_setup_teardown(a_lock_bars_all_but_the_two_stops, open_one, close_it),
        cmocka_unit_test_setup_teardown(a_stand_that_is_local_bars_all_but_the_two_stops, open_one,
                                        close_it),
        cmocka_unit_test_setup_teardown(a_request_that_the_bridge_refuses_is_told, open_one,
                                        close_it),
        cmocka_unit_test_setup_teardown(only_a_report_asks, open_one, close_it),
        cmocka_unit_test_setup_teardown(the_listener_is_a_hub, open_one, close_it),
        cmocka_unit_test_setup_teardown(two_bridges_are_two_nodes, open_two, close_it),
        cmocka_unit_test_setup_teardown(too_many_clients_are_refused, open_one, close_it),
        cmocka_unit_test_setup_teardown(who_does_not_read_is_let_go_and_nobody_waits, open_one,
                                        close_it),
        cmocka_unit_test_setup_teardown(a_stop_comes_through_a_flood, open_one, close_it),
        cmocka_unit_test_setup_teardown(a_restart_by_datagram_is_the_nodes_alone, open_one,
                                        close_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
