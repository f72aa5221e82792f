/* The layout's clock on the bus. Broadcast Time S, 25 Apr 2021. */
#include "support/check.h"
#include "support/lcc/lcc_stage.h"

#include <string.h>

static struct lcc_stage stage;
static struct lcc_peer *peer;

static void begin(uint64_t clock) {
    lcc_stage_init(&stage, 2);
    stage.config.lcc.clock = clock;
    lcc_stage_open(&stage);
}

/* The digest's example 27; and only one of the two nodes asks. */
static void one_node_says_that_it_follows_and_asks(void **state) {
    (void)state;
    unsigned ranges = 0, queries = 0, names = 0;
    begin(0x0101000001000000);
    peer = lcc_stage_connect(&stage, LCC_STAGE_OBSERVES);
    for (unsigned ends = 0; ends < 2;) {
        const char *frame = lcc_peer_frame(&stage, peer);
        assert_non_null(frame);
        ranges += strstr(frame, "010100000100FFFF") != NULL;
        if (strcmp(frame, ":X195474F7N010100000100F000;") == 0) {
            names++;
        } else if (strcmp(frame, ":X195B44F7N010100000100F000;") == 0) {
            assert_int_equal(names, 1); /* named before it is reported */
            queries++;
        }
        ends += strstr(frame, "N010000000000FFFF;") != NULL;
    }
    assert_int_equal(ranges, 1);
    assert_int_equal(names, 1);
    assert_int_equal(queries, 1);
    lcc_stage_close(&stage);
}

static void questions_about_it_are_answered(void **state) {
    (void)state;
    begin(0x0101000001000000);
    peer = lcc_stage_member(&stage, LCC_STAGE_OBSERVES);
    lcc_peer_send(&stage, peer, ":X198F434CN010100000100080A;");
    lcc_peer_await(&stage, peer, ":X194C74F7N010100000100080A;");
    lcc_peer_send(&stage, peer, ":X1991434CN010100000100F000;");
    lcc_peer_await(&stage, peer, ":X195474F7N010100000100F000;");
    lcc_peer_send(&stage, peer, ":X1991434CN010100000100080A;:X198F434CN010100000101080A;");
    lcc_peer_expect_nothing(&stage, peer); /* not produced; another clock */
    lcc_peer_send(&stage, peer, ":X1996834CN04F7;");
    lcc_peer_await(&stage, peer, ":X194A44F7N010100000100FFFF;");
    lcc_stage_close(&stage);
}

/* By whichever link, and whether reported or said to hold; other clocks are not followed. */
static void what_it_tells_is_handed_on_once_its_time_is_known(void **state) {
    (void)state;
    begin(0x0101000001000000);
    peer = lcc_stage_member(&stage, LCC_STAGE_OBSERVES);
    lcc_peer_send(&stage, peer, ":X195B434CN0101000001004010;"); /* rate 4: no time yet */
    lcc_peer_send(&stage, peer, ":X195B434CN010100000101080A;");
    lcc_peer_send(&stage, peer, ":X1954534CN010100000100080A;"); /* it does not hold */
    assert_int_equal(stage.clocks, 0);
    lcc_peer_send(&stage, peer, ":X1954434CN010100000100080A;");
    assert_int_equal(stage.clocks, 1);
    assert_int_equal(stage.clock.time_us, INT64_C(29400000000));
    assert_int_equal(lcc_clock_rate(&stage.clock), 16);
    lcc_peer_send(&stage, peer, ":X195B434CN010100000100F001;");
    assert_int_equal(lcc_clock_rate(&stage.clock), 0);
    lcc_stage_close(&stage);
}

static void without_the_key_nothing_is_followed(void **state) {
    (void)state;
    begin(0);
    peer = lcc_stage_member(&stage, LCC_STAGE_OBSERVES);
    lcc_peer_send(&stage, peer, ":X195B434CN010100000100080A;:X198F434CN010100000100080A;");
    lcc_peer_expect_nothing(&stage, peer);
    assert_int_equal(stage.clocks, 0);
    lcc_stage_close(&stage);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_node_says_that_it_follows_and_asks),
        cmocka_unit_test(questions_about_it_are_answered),
        cmocka_unit_test(what_it_tells_is_handed_on_once_its_time_is_known),
        cmocka_unit_test(without_the_key_nothing_is_followed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
