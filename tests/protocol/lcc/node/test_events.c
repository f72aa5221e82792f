/* What a node tells of its events, and what it hears. Event Transport S, 22 Jul 2024. */
#include "support/check.h"
#include "support/lcc/lcc_node_stage.h"

#include <string.h>

static struct lcc_node_stage stage;
static struct lcc_received received;

static int setup(void **state) {
    (void)state;
    lcc_node_stage_ready(&stage);
    return 0;
}

static bool hears(void) {
    return lcc_node_received(&stage.node, stage.now_us, &received);
}

static void a_change_is_reported_once(void **state) {
    (void)state;
    lcc_node_set(&stage.node, 1, LCC_TRUE);
    lcc_node_stage_answers(&stage, "", ":X195B44F7N0A44520000010002;");
    lcc_node_set(&stage.node, 1, LCC_TRUE);
    lcc_node_stage_answers(&stage, "", "");
    lcc_node_set(&stage.node, 1, LCC_FALSE);
    lcc_node_stage_answers(&stage, "", ":X195B44F7N0A44520000010003;");
}

/* Ours: the device that is to be put to stop must not wait for what is only told. */
static void commands_go_first_off_before_on_and_again_when_asked_to(void **state) {
    (void)state;
    stage.setup.fact[1].is_command = stage.setup.fact[2].is_command = true;
    lcc_node_set(&stage.node, 0, LCC_TRUE);
    lcc_node_set(&stage.node, 1, LCC_TRUE);
    lcc_node_set(&stage.node, 2, LCC_FALSE);
    lcc_node_stage_answers(&stage, "",
                           ":X195B44F7N0A44520000010005;:X195B44F7N0A44520000010002;"
                           ":X195B44F7N0A44520000010000;");
    lcc_node_repeat(&stage.node, 2);
    lcc_node_repeat(&stage.node, 2);
    assert_true(lcc_node_due_us(&stage.node) != UINT64_MAX);
    lcc_node_stage_run(&stage, 100000);
    assert_string_equal(stage.sent, ":X195B44F7N0A44520000010005;");
    lcc_node_stage_forget(&stage);
    assert_true(lcc_node_due_us(&stage.node) == UINT64_MAX);
    /* What is meant for a bus that was lost is not said to the next. */
    lcc_node_repeat(&stage.node, 1);
    lcc_node_start(&stage.node);
    lcc_node_stage_run(&stage, 3000000);
    assert_null(strstr(stage.sent, ":X195B4"));
}

static void what_is_not_known_is_identified_as_unknown(void **state) {
    (void)state;
    lcc_node_set(&stage.node, 1, LCC_TRUE);
    lcc_node_stage_run(&stage, 10000);
    lcc_node_stage_forget(&stage);
    lcc_node_set(&stage.node, 1, LCC_UNKNOWN);
    lcc_node_stage_answers(&stage, "", ":X195474F7N0A44520000010002;:X195474F7N0A44520000010003;");
    lcc_node_set(&stage.node, 1, LCC_TRUE);
    lcc_node_stage_answers(&stage, "", ":X195B44F7N0A44520000010002;");
}

static void one_event_is_identified_with_its_state(void **state) {
    (void)state;
    lcc_node_set(&stage.node, 0, LCC_TRUE);
    lcc_node_stage_run(&stage, 10000);
    lcc_node_stage_forget(&stage);
    lcc_node_stage_answers(&stage, ":X1991434CN0A44520000010000;", ":X195444F7N0A44520000010000;");
    lcc_node_stage_answers(&stage, ":X1991434CN0A44520000010001;", ":X195454F7N0A44520000010001;");
    lcc_node_stage_answers(&stage, ":X1991434CN0A44520000010002;", ":X195474F7N0A44520000010002;");
    lcc_node_stage_answers(&stage, ":X198F434CN0A44520000010100;", ":X194C74F7N0A44520000010100;");
    lcc_node_stage_answers(&stage, ":X198F434CN010000000000FFFD;", ":X194C74F7N010000000000FFFD;");
    /* Not produced, not consumed, not ours, not an event. */
    lcc_node_stage_answers(&stage, ":X198F434CN0A44520000010000;", "");
    lcc_node_stage_answers(&stage, ":X1991434CN0A44520000010100;", "");
    lcc_node_stage_answers(&stage, ":X1991434CN0A44520000020000;", "");
    lcc_node_stage_answers(&stage, ":X1991434CN0A445200;", "");
}

static void all_are_identified_globally_or_addressed_and_the_same_set_at_a_start(void **state) {
    (void)state;
    char at_start[1000];
    lcc_node_start(&stage.node);
    lcc_node_stage_run(&stage, 3000000);
    const char *from = strstr(stage.sent, ":X19547");
    assert_non_null(from);
    strcpy(at_start, from);
    static const char *const asks[] = {":X1997034CN;", ":X1996834CN04F7;"};
    for (size_t i = 0; i < 2; i++) {
        lcc_node_stage_forget(&stage);
        lcc_node_stage_give(&stage, asks[i]);
        lcc_node_stage_run(&stage, 3000000);
        assert_int_equal(stage.frames, STAGE_EVENTS);
        assert_string_equal(stage.sent, at_start);
    }
    lcc_node_stage_forget(&stage);
    lcc_node_stage_answers(&stage, ":X1996834CN04F8;:X1959434CN0A44520000010000;", "");
}

static void a_report_comes_after_its_events_were_identified(void **state) {
    (void)state;
    lcc_node_stage_init(&stage, LCC_FACTS_MAX);
    lcc_node_start(&stage.node);
    lcc_node_stage_run(&stage, 250000);
    lcc_node_set(&stage.node, 58, LCC_TRUE);
    lcc_node_stage_run(&stage, 50000);
    const char *valid = strstr(stage.sent, ":X195444F7N0A44520000010074;");
    const char *invalid = strstr(stage.sent, ":X195454F7N0A44520000010075;");
    const char *report = strstr(stage.sent, ":X195B44F7N0A44520000010074;");
    assert_non_null(valid);
    assert_non_null(invalid);
    assert_non_null(report);
    assert_true(valid < report && invalid < report);
    lcc_node_stage_run(&stage, 5000000);
    assert_int_equal(stage.frames, 7 + 2 * LCC_FACTS_MAX + STAGE_WANTED + 1); /* no event twice */
    lcc_node_stage_forget(&stage); /* and the same after each start */
    lcc_node_start(&stage.node);
    lcc_node_stage_run(&stage, 220000);
    lcc_node_set(&stage.node, 58, LCC_FALSE);
    lcc_node_stage_run(&stage, 1000000);
    report = strstr(stage.sent, ":X195B44F7N0A44520000010075;");
    assert_non_null(report);
    assert_true(strstr(stage.sent, "N0A44520000010074;") < report);
}

/* Ours: 100 frames a second, and the newest state. */
static void floods_out_are_bounded_and_the_newest_state_wins(void **state) {
    (void)state;
    for (unsigned ms = 0; ms < 1000; ms++) {
        for (unsigned f = 0; f < STAGE_FACTS; f++) {
            bool was = stage.node.events.told[f] == LCC_TRUE;
            lcc_node_set(&stage.node, f, was ? LCC_FALSE : LCC_TRUE);
        }
        lcc_node_stage_run(&stage, 1000);
    }
    assert_in_range(stage.frames, 50, 100);
    for (unsigned f = 0; f < STAGE_FACTS; f++) { /* none of them took the others' turns */
        assert_true(stage.node.events.told[f] != LCC_UNKNOWN);
        lcc_node_set(&stage.node, f, f == 2 ? LCC_TRUE : LCC_FALSE);
    }
    lcc_node_stage_run(&stage, 1000000);
    for (unsigned f = 0; f < STAGE_FACTS; f++) {
        assert_int_equal(stage.node.events.told[f], f == 2 ? LCC_TRUE : LCC_FALSE);
    }
    lcc_node_stage_forget(&stage);
    lcc_node_stage_run(&stage, 1000000);
    assert_int_equal(stage.frames, 0);
}

static void a_change_waits_for_no_list_and_an_answer_for_neither(void **state) {
    (void)state;
    lcc_node_stage_init(&stage, LCC_FACTS_MAX);
    lcc_node_start(&stage.node);
    lcc_node_stage_run(&stage, 10000000);
    lcc_node_stage_forget(&stage);
    lcc_node_stage_give(&stage, ":X1997034CN;");
    lcc_node_stage_run(&stage, 200000);
    assert_true(lcc_events_owe(&stage.node.events));
    lcc_node_stage_forget(&stage);
    lcc_node_set(&stage.node, 58, LCC_TRUE);
    lcc_node_stage_give(&stage, ":X1991434CN0A4452000001007E;:X1949034CN;:X1070234CN;");
    lcc_node_stage_run(&stage, 25000);
    assert_string_equal(stage.sent, ":X107014F7N0A4452000001;:X191704F7N0A4452000001;"
                                    ":X195B44F7N0A44520000010074;:X195474F7N0A4452000001007E;");
}

static void only_a_report_is_heard(void **state) {
    (void)state;
    lcc_node_stage_give(&stage, ":X1954434CN0A44520000010100;:X1954734CN0A44520000010100;"
                                ":X194C434CN0A44520000010100;:X1959434CN0A44520000010100;"
                                ":X1991434CN0A44520000010100;:X198F434CN0A44520000010100;"
                                ":X195B434CN0A445200000101;:X195B434CN0A44520000020100;");
    assert_false(hears());
    lcc_node_stage_give(&stage, ":X195B434CN0A44520000010100;");
    assert_true(hears());
    assert_int_equal(received.want, 0);
    assert_int_equal(received.source, 0x34C);
    assert_int_equal(received.link, 3);
    assert_false(hears());
}

/* Ours: 2 s. */
static void a_request_grows_old_and_a_stop_does_not(void **state) {
    (void)state;
    lcc_node_stage_give(&stage, ":X195B434CN0A44520000010100;:X195B434CN0A44520000010101;");
    stage.now_us += 2000001;
    assert_true(hears());
    assert_int_equal(received.want, 1);
    assert_false(hears());
    lcc_node_stage_give(&stage, ":X195B434CN0A44520000010100;");
    stage.now_us += 2000000;
    assert_true(hears());
}

static void stops_come_first_and_find_room_in_any_flood(void **state) {
    (void)state;
    struct lcc_frame frame =
        lcc_frame_global(0x5B4, 0x34C, (const uint8_t[]){0x0A, 0x44, 0x52, 0, 0, 1, 1, 0}, 8);
    for (unsigned link = 0; link < 1000; link++) {
        lcc_node_take(&stage.node, stage.now_us, &frame, (struct lcc_origin){link, true});
    }
    lcc_node_stage_give(&stage, ":X195B434CN010000000000FFFD;:X195B434CN0A44520000010101;");
    assert_true(hears());
    assert_int_equal(received.want, 1);
    assert_true(hears());
    assert_int_equal(received.want, 2);
    for (unsigned i = 0; i < LCC_RECEIVED_MAX; i++) {
        assert_true(hears());
        assert_int_equal(received.link, 1000 - LCC_RECEIVED_MAX + i); /* the newest were kept */
    }
    assert_false(hears());
}

static void the_same_request_again_is_kept_once(void **state) {
    (void)state;
    for (unsigned i = 0; i < 1000; i++) {
        lcc_node_stage_give(&stage, ":X195B434CN0A44520000010100;:X195B434CN0A44520000010102;");
    }
    assert_true(hears());
    assert_true(hears());
    assert_false(hears());
}

static void a_link_that_may_not_ask_is_heard_in_what_is_for_all_alone(void **state) {
    (void)state;
    static const uint8_t wanted[][8] = {{0x0A, 0x44, 0x52, 0, 0, 1, 1, 1},
                                        {1, 0, 0, 0, 0, 0, 0xFF, 0xFD}};
    for (size_t i = 0; i < 2; i++) {
        struct lcc_frame frame = lcc_frame_global(0x5B4, 0x34C, wanted[i], 8);
        lcc_node_take(&stage.node, stage.now_us, &frame, (struct lcc_origin){5, false});
    }
    assert_true(hears());
    assert_int_equal(received.want, 2);
    assert_false(hears());
    struct lcc_received refused;
    assert_true(lcc_node_refused(&stage.node, &refused));
    assert_int_equal(refused.want, 1);
    assert_int_equal(refused.link, 5);
    assert_false(lcc_node_refused(&stage.node, &refused));
}

static void a_stop_is_heard_before_the_node_has_an_alias(void **state) {
    (void)state;
    lcc_node_stage_init(&stage, 1);
    lcc_node_start(&stage.node);
    lcc_node_stage_run(&stage, 1000);
    lcc_node_stage_give(&stage, ":X195B434CN010000000000FFFD;");
    assert_true(hears());
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(a_change_is_reported_once, setup),
        cmocka_unit_test_setup(commands_go_first_off_before_on_and_again_when_asked_to, setup),
        cmocka_unit_test_setup(what_is_not_known_is_identified_as_unknown, setup),
        cmocka_unit_test_setup(one_event_is_identified_with_its_state, setup),
        cmocka_unit_test_setup(all_are_identified_globally_or_addressed_and_the_same_set_at_a_start,
                               setup),
        cmocka_unit_test(a_report_comes_after_its_events_were_identified),
        cmocka_unit_test_setup(floods_out_are_bounded_and_the_newest_state_wins, setup),
        cmocka_unit_test(a_change_waits_for_no_list_and_an_answer_for_neither),
        cmocka_unit_test_setup(only_a_report_is_heard, setup),
        cmocka_unit_test_setup(a_request_grows_old_and_a_stop_does_not, setup),
        cmocka_unit_test_setup(stops_come_first_and_find_room_in_any_flood, setup),
        cmocka_unit_test_setup(the_same_request_again_is_kept_once, setup),
        cmocka_unit_test_setup(a_link_that_may_not_ask_is_heard_in_what_is_for_all_alone, setup),
        cmocka_unit_test(a_stop_is_heard_before_the_node_has_an_alias),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
