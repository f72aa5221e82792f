/* A node and what it answers. Message Network S and CAN Frame Transfer S, 22 Jul 2024, unless a
 * test names another. The tool 34C never tells its node id: aliases must be enough. */
#include "support/check.h"
#include "support/lcc/lcc_node_stage.h"

#include <string.h>

static struct lcc_node_stage stage;

static int setup(void **state) {
    (void)state;
    lcc_node_stage_ready(&stage);
    return 0;
}

static void a_node_comes_and_tells_what_it_has(void **state) {
    (void)state;
    lcc_node_stage_init(&stage, 1);
    lcc_node_set(&stage.node, 0, LCC_TRUE);
    lcc_node_start(&stage.node);
    lcc_node_stage_run(&stage, 3000000);
    assert_string_equal(stage.sent, ":X170A44F7N;:X164524F7N;:X150004F7N;:X140014F7N;"
                                    ":X107004F7N;:X107014F7N0A4452000001;"
                                    ":X191004F7N0A4452000001;"
                                    ":X195444F7N0A44520000010000;:X195454F7N0A44520000010001;"
                                    ":X194C74F7N0A44520000010100;:X194C74F7N0A44520000010101;"
                                    ":X194C74F7N010000000000FFFD;:X194C74F7N0A44520000010102;");
}

/* A wait that somebody ends with a frame must not end early. */
static void nothing_goes_before_200_ms(void **state) {
    (void)state;
    lcc_node_stage_init(&stage, 1);
    lcc_node_start(&stage.node);
    for (unsigned ms = 0; ms < 200; ms++) {
        lcc_node_stage_give(&stage, ":X1949034CN;:X1070234CN;:X1997034CN;:X1982834CN04F7;"
                                    ":X1A4F734CN2080;");
        lcc_node_stage_run(&stage, 1000 - (ms == 199));
    }
    assert_string_equal(stage.sent, ":X170A44F7N;:X164524F7N;:X150004F7N;:X140014F7N;");
    lcc_node_stage_run(&stage, 3000000);
    assert_int_equal(stage.frames, 7 + 2 + STAGE_WANTED); /* and nobody was told later */
}

static void every_node_answers_these(void **state) {
    (void)state;
    lcc_node_stage_answers(&stage, ":X1949034CN;", ":X191704F7N0A4452000001;");
    lcc_node_stage_answers(&stage, ":X1949034CN0A4452000001;", ":X191704F7N0A4452000001;");
    lcc_node_stage_answers(&stage, ":X1949034CN0A4452000002;", "");
    lcc_node_stage_answers(&stage, ":X1948834CN04F7;", ":X191704F7N0A4452000001;");
    lcc_node_stage_answers(&stage, ":X1948834CN04F70A4452000002;", ":X191704F7N0A4452000001;");
    lcc_node_stage_answers(&stage, ":X1948834CN04F8;", "");
    lcc_node_stage_answers(&stage, ":X1982834CN04F7;", ":X196684F7N034C545800;");
    lcc_node_stage_answers(&stage, ":X1982834CN04F8;", "");
    lcc_node_stage_answers(&stage, ":X1070234CN;", ":X107014F7N0A4452000001;");
    lcc_node_stage_answers(&stage, ":X1070234CN0A4452000001;", ":X107014F7N0A4452000001;");
    lcc_node_stage_answers(&stage, ":X1070234CN0A4452000002;", "");
    lcc_node_stage_answers(&stage, ":X1070234CN0A44;", "");
    lcc_node_stage_answers(&stage, ":X170504F7N;", ":X107004F7N;");
    lcc_node_stage_answers(&stage, ":X0949034CN;", ":X191704F7N0A4452000001;");
}

static void an_unknown_message_is_rejected_with_the_error_first(void **state) {
    (void)state;
    lcc_node_stage_answers(&stage, ":X1904834CN04F7;", ":X190684F7N034C10430048;");
    lcc_node_stage_answers(&stage, ":X1904834CN14F7010203040506;:X1904834CN24F701;",
                           ":X190684F7N034C10430048;"); /* once, at its first part (ours) */
    lcc_node_stage_answers(&stage, ":X1904834CN04F8;", "");
    lcc_node_stage_answers(&stage, ":X19CC834CN04F7;", ":X190684F7N034C10430CC8;"); /* a stream */
}

/* Ours: or two nodes could go on for ever. */
static void a_reply_is_never_answered(void **state) {
    (void)state;
    lcc_node_stage_answers(&stage,
                           ":X1906834CN04F710430828;:X190A834CN04F710430828;"
                           ":X1966834CN04F7545800;:X19A0834CN04F704;:X19A2834CN04F700;"
                           ":X19A4834CN04F71042;:X1986834CN04F7;",
                           "");
}

static void what_is_global_and_unknown_is_met_with_silence(void **state) {
    (void)state;
    lcc_node_stage_answers(&stage, ":X1904034CN;:X1904034CN0102030405060708;", "");
    /* Event Transport S: 256 bytes of payload, that nobody here consumes. */
    lcc_node_stage_give(&stage, ":X19F1634CN0A44520000010100;");
    for (unsigned i = 0; i < 31; i++) {
        lcc_node_stage_give(&stage, ":X19F1534CN0102030405060708;");
    }
    lcc_node_stage_answers(&stage, ":X19F1434CN0102030405060708;", "");
    struct lcc_received received;
    assert_false(lcc_node_received(&stage.node, stage.now_us, &received));
}

/* Simple Node Information S, 22 Jul 2024. */
static void node_information(void **state) {
    (void)state;
    lcc_node_stage_answers(&stage, ":X19DE834CN04F7;",
                           ":X19A084F7N134C04447200537E;:X19A084F7N334C6E003100302E;"
                           ":X19A084F7N334C3200024B4E00;:X19A084F7N234C00;");
}

static void another_with_our_alias_makes_us_take_a_new_one(void **state) {
    (void)state;
    static const char *const uses[] = {":X107014F7N05010101A207;", ":X194904F7N;",
                                       ":X195B44F7N0A44520000010100;", ":X1A3334F7N2080;"};
    for (size_t i = 0; i < sizeof uses / sizeof uses[0]; i++) {
        lcc_node_stage_ready(&stage);
        lcc_node_stage_give(&stage, uses[i]);
        lcc_node_stage_run(&stage, 100000);
        assert_memory_equal(stage.sent, ":X107034F7N0A4452000001;:X170A4", 31);
        uint16_t alias = stage.node.alias.alias;
        assert_int_not_equal(alias, 0x4F7);
        lcc_node_stage_forget(&stage);
        lcc_node_stage_run(&stage, 1000000);
        assert_int_equal(stage.frames, 2); /* RID, AMD */
        assert_non_null(strstr(stage.sent, "N0A4452000001;"));
    }
}

/* A check with our alias and then its use: RID first, then AMR. */
static void a_defence_that_fails_is_given_up(void **state) {
    (void)state;
    lcc_node_stage_answers(&stage, ":X170504F7N;", ":X107004F7N;");
    lcc_node_stage_give(&stage, ":X107014F7N05010101A207;");
    lcc_node_stage_run(&stage, 0);
    assert_memory_equal(stage.sent, ":X107034F7N0A4452000001;", 24);
}

static void what_was_made_under_the_old_alias_never_goes_out(void **state) {
    (void)state;
    lcc_node_stage_give(&stage, ":X1A4F735DN2080;");
    lcc_node_stage_run(&stage, 10000);
    lcc_node_stage_forget(&stage);
    lcc_node_stage_give(&stage, ":X19DE834CN04F7;:X1982834CN04F7;:X1949034CN;:X1997034CN;");
    lcc_node_stage_give(&stage, ":X194904F7N;");
    lcc_node_stage_run(&stage, 3000000);
    assert_memory_equal(stage.sent, ":X107034F7N0A4452000001;", 24);
    assert_null(strstr(stage.sent + 24, "4F7N"));
    assert_null(strstr(stage.sent, ":X19A08"));
    lcc_node_stage_run(&stage, 20000000);
    assert_null(strstr(stage.sent, ":X1A35D")); /* a reply that nobody has confirmed */
}

/* It must be logged, and nothing must be sent: after the event of the standard for it a node has to
 * fall silent. */
static void another_with_our_id_is_told_to_the_owner_alone(void **state) {
    (void)state;
    static const char *const shown[] = {":X1070134CN0A4452000001;", ":X1910034CN0A4452000001;",
                                        ":X1917034CN0A4452000001;", ":X1910134CN0A4452000001;",
                                        ":X1917134CN0A4452000001;"};
    for (size_t i = 0; i < sizeof shown / sizeof shown[0]; i++) {
        lcc_node_stage_answers(&stage, shown[i], "");
        assert_int_equal(lcc_node_twin(&stage.node), 0x34C);
        assert_int_equal(lcc_node_twin(&stage.node), 0);
    }
    lcc_node_stage_answers(&stage, ":X1070134CN0A4452000002;:X1917034CN0A4452000002;", "");
    assert_int_equal(lcc_node_twin(&stage.node), 0);
    lcc_node_stage_answers(&stage, ":X1949034CN;", ":X191704F7N0A4452000001;");
}

static void at_rest_nothing_is_sent_and_nobody_woken(void **state) {
    (void)state;
    assert_true(lcc_node_due_us(&stage.node) == UINT64_MAX);
    lcc_node_stage_run(&stage, UINT64_C(3600) * 1000000);
    assert_int_equal(stage.frames, 0);
}

static void a_restart_is_a_whole_one(void **state) {
    (void)state;
    lcc_node_stage_give(&stage, ":X1A4F734CN20A9;");
    lcc_node_stage_run(&stage, 3000000);
    static const char *const begins = ":X19A284F7N034C00;:X107034F7N0A4452000001;"
                                      ":X170A44F7N;:X164524F7N;:X150004F7N;:X140014F7N;"
                                      ":X107004F7N;:X107014F7N0A4452000001;"
                                      ":X191004F7N0A4452000001;:X19547";
    assert_memory_equal(stage.sent, begins, strlen(begins));
    assert_int_equal(stage.frames, 9 + STAGE_EVENTS);
}

static void a_node_that_is_stopped_is_still(void **state) {
    (void)state;
    lcc_node_stage_give(&stage, ":X19DE834CN04F7;:X1997034CN;");
    lcc_node_stop(&stage.node);
    lcc_node_stage_answers(&stage, ":X1949034CN;:X1070234CN;:X170504F7N;", "");
    assert_true(lcc_node_due_us(&stage.node) == UINT64_MAX);
    lcc_node_set(&stage.node, 0, LCC_TRUE);
    lcc_node_start(&stage.node);
    lcc_node_stage_run(&stage, 3000000);
    assert_int_equal(stage.frames, 7 + STAGE_EVENTS);
    assert_non_null(strstr(stage.sent, ":X195444F7N0A44520000010000;"));
}

/* However many ask, answers have their pace and their room; and what matters goes on. */
static void a_flood_of_questions_is_bounded(void **state) {
    (void)state;
    for (unsigned ms = 0; ms < 1000; ms++) {
        for (unsigned i = 0; i < 20; i++) {
            lcc_node_stage_give(&stage, ":X1982834CN04F7;");
        }
        if (ms == 500) {
            lcc_node_stage_give(&stage, ":X1949034CN;");
        }
        lcc_node_stage_run(&stage, 1000);
        if (ms == 510) {
            assert_non_null(strstr(stage.sent, ":X191704F7N0A4452000001;"));
        }
    }
    assert_in_range(stage.frames, 700, 1000);
    lcc_node_stage_run(&stage, 1000000);
    lcc_node_stage_forget(&stage);
    lcc_node_stage_answers(&stage, ":X19DE834CN04F7;",
                           ":X19A084F7N134C04447200537E;:X19A084F7N334C6E003100302E;"
                           ":X19A084F7N334C3200024B4E00;:X19A084F7N234C00;");
}

static void nothing_comes_between_the_frames_of_a_message(void **state) {
    (void)state;
    for (unsigned i = 0; i < 120; i++) { /* until answers are at their pace */
        lcc_node_stage_give(&stage, ":X1982834CN04F7;");
    }
    lcc_node_stage_run(&stage, 0);
    lcc_node_stage_give(&stage, ":X19DE834CN04F7;");
    lcc_node_set(&stage.node, 0, LCC_TRUE);
    lcc_node_stage_run(&stage, 1000000);
    assert_non_null(strstr(stage.sent, ":X19A084F7N134C04447200537E;:X19A084F7N334C6E003100302E;"
                                       ":X19A084F7N334C3200024B4E00;:X19A084F7N234C00;"
                                       ":X195B44F7N0A44520000010000;"));
}

static void any_frame_at_all_is_borne(void **state) {
    (void)state;
    uint64_t seed = 7;
    for (unsigned i = 0; i < 200000; i++) {
        struct lcc_frame frame = {0};
        seed = lcc_alias_next_seed(seed);
        frame.id = (uint32_t)(seed >> 12) & 0x1FFFFFFF;
        frame.length = (uint8_t)(seed >> 5 & 7);
        memcpy(frame.data, &seed, 6);
        if (i % 2 == 0) { /* half of them to us */
            frame.id = (frame.id & 0x1F000FFF) | 0x4F7000;
            frame.data[0] = 4;
            frame.data[1] = 0xF7;
        }
        lcc_node_take(&stage.node, stage.now_us, &frame, (struct lcc_origin){0});
        if (i % 100 == 0) {
            lcc_node_stage_run(&stage, 10000);
            lcc_node_stage_forget(&stage);
        }
    }
    lcc_node_stage_run(&stage, 60000000);
    lcc_node_stage_forget(&stage);
    lcc_node_stage_give(&stage, ":X1949034CN;");
    lcc_node_stage_run(&stage, 10000);
    assert_int_equal(stage.frames, 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_node_comes_and_tells_what_it_has),
        cmocka_unit_test(nothing_goes_before_200_ms),
        cmocka_unit_test_setup(every_node_answers_these, setup),
        cmocka_unit_test_setup(an_unknown_message_is_rejected_with_the_error_first, setup),
        cmocka_unit_test_setup(a_reply_is_never_answered, setup),
        cmocka_unit_test_setup(what_is_global_and_unknown_is_met_with_silence, setup),
        cmocka_unit_test_setup(node_information, setup),
        cmocka_unit_test(another_with_our_alias_makes_us_take_a_new_one),
        cmocka_unit_test_setup(a_defence_that_fails_is_given_up, setup),
        cmocka_unit_test_setup(what_was_made_under_the_old_alias_never_goes_out, setup),
        cmocka_unit_test_setup(another_with_our_id_is_told_to_the_owner_alone, setup),
        cmocka_unit_test_setup(at_rest_nothing_is_sent_and_nobody_woken, setup),
        cmocka_unit_test_setup(a_restart_is_a_whole_one, setup),
        cmocka_unit_test_setup(a_node_that_is_stopped_is_still, setup),
        cmocka_unit_test_setup(a_flood_of_questions_is_bounded, setup),
        cmocka_unit_test_setup(nothing_comes_between_the_frames_of_a_message, setup),
        cmocka_unit_test_setup(any_frame_at_all_is_borne, setup),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
