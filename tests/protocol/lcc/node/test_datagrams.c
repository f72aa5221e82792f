/* Datagram Transport S, 25 Apr 2021; Memory Configuration S, 22 Jul 2024. */
#include "protocol/lcc/identifier.h"
#include "protocol/lcc/memory.h"
#include "support/check.h"
#include "support/lcc/lcc_node_stage.h"

#include <string.h>

static struct lcc_node_stage stage;

static int setup(void **state) {
    (void)state;
    lcc_node_stage_ready(&stage);
    return 0;
}

static void check(const char *given, const char *wanted) {
    lcc_node_stage_answers(&stage, given, wanted);
}

static void the_confirmation_goes_before_the_reply(void **state) {
    (void)state;
    check(":X1A4F734CN2080;", ":X19A284F7N034C80;:X1A34C4F7N20824C00E2FFFB;");
    check(":X19A2834CN04F700;", "");
    lcc_node_stage_run(&stage, 20000000);
    assert_int_equal(stage.frames, 0); /* it was confirmed */
}

static void events_are_read_at_their_places(void **state) {
    (void)state;
    check(":X1A4F734CN20410000001008;",
          ":X19A284F7N034C80;:X1B34C4F7N2051000000100A44;:X1D34C4F7N520000010002;");
}

/* Reads a whole space in pieces of 64 bytes. */
static unsigned read_space(uint8_t space, uint8_t *data, unsigned size) {
    unsigned length = 0;
    for (;;) {
        uint8_t ask[LCC_DATAGRAM_MAX];
        unsigned bytes = lcc_memory_ask_read(space, length, 64, ask);
        struct lcc_frame frames[LCC_FRAMES_MAX];
        const struct lcc_message message = {LCC_DATAGRAM, 0x34C, 0x4F7, ask, bytes};
        unsigned count = lcc_message_frames(&message, frames, LCC_FRAMES_MAX);
        for (unsigned i = 0; i < count; i++) {
            lcc_node_take(&stage.node, stage.now_us, &frames[i], (struct lcc_origin){0});
        }
        static struct lcc_assembly assembly;
        struct lcc_message reply = {0};
        struct lcc_frame frame;
        memset(&assembly, 0, sizeof assembly);
        while (lcc_node_next(&stage.node, stage.now_us, &frame)) {
            lcc_assembly_take(&assembly, stage.now_us, &frame, &reply);
        }
        stage.now_us += 100000;
        unsigned head = space > LCC_SPACE_MADE ? 6 : 7;
        assert_int_equal(reply.mti, LCC_DATAGRAM);
        if ((reply.content[1] & 0x08) != 0) {
            assert_int_equal(lcc_get(reply.content + head, 2), LCC_ADDRESS_OUTSIDE);
            return length;
        }
        assert_true(reply.length > head && length + reply.length - head <= size);
        memcpy(data + length, reply.content + head, reply.length - head);
        length += reply.length - head;
    }
}

static void the_spaces_have_their_lengths_and_contents(void **state) {
    (void)state;
    static uint8_t data[65536];
    assert_int_equal(read_space(LCC_SPACE_MADE, data, sizeof data), 125);
    assert_int_equal(data[0], 4);
    assert_string_equal((const char *)data + 42, "S~n");
    assert_int_equal(read_space(LCC_SPACE_NAMED, data, sizeof data), 128);
    assert_string_equal((const char *)data + 1, "KN");
    assert_int_equal(read_space(LCC_SPACE_CONFIGURATION, data, sizeof data), 8 * STAGE_EVENTS);
    assert_true(lcc_get(data + 8 * (STAGE_EVENTS - 2), 8) == 0x010000000000FFFD);
    unsigned length = read_space(LCC_SPACE_CDI, data, sizeof data);
    assert_int_equal(length, stage.setup.cdi_bytes);
    assert_int_equal(strlen((const char *)data) + 1, length);
    lcc_node_stage_init(&stage, 1); /* few events */
    lcc_node_start(&stage.node);
    lcc_node_stage_run(&stage, 3000000);
    assert_int_equal(read_space(LCC_SPACE_CONFIGURATION, data, sizeof data), 64);
}

static void the_end_of_a_space_is_an_end(void **state) {
    (void)state;
    /* FC has 125 bytes: from 120 on, 5; from 125 on, none. */
    check(":X1A4F734CN204000000078FC40;", ":X19A284F7N034C80;:X1B34C4F7N205000000078FC00;"
                                          ":X1D34C4F7N00000000;");
    check(":X1A4F734CN20400000007DFC40;",
          ":X19A284F7N034C80;:X1B34C4F7N20580000007DFC10;:X1D34C4F7N82;");
    check(":X1A4F734CN2040FFFFFFFFFC40;",
          ":X19A284F7N034C80;:X1B34C4F7N2058FFFFFFFFFC10;:X1D34C4F7N82;");
    check(":X1A4F734CN204000000000FA40;",
          ":X19A284F7N034C80;:X1B34C4F7N205800000000FA10;:X1D34C4F7N81;");
    check(":X1A4F734CN20420000000040;", ":X19A284F7N034C80;:X1A34C4F7N205A000000001081;");
}

static void spaces_are_told(void **state) {
    (void)state;
    check(":X1A4F734CN2084FC;", ":X19A284F7N034C80;:X1A34C4F7N2087FC0000007C01;");
    check(":X1A4F734CN2084FB;", ":X19A284F7N034C80;:X1A34C4F7N2087FB0000007F01;");
    check(":X1A4F734CN2084FD;", ":X19A284F7N034C80;:X1A34C4F7N2087FD0000004F01;");
    check(":X1A4F734CN2084FE;", ":X19A284F7N034C80;:X1A34C4F7N2086FE0000000000;");
}

static void nothing_can_be_written(void **state) {
    (void)state;
    check(":X1B4F734CN2001000000100A44;:X1D4F734CN520000010101;",
          ":X19A284F7N034C80;:X1A34C4F7N2019000000101083;");
    /* The byte before a node's name, and the name. */
    check(":X1A4F734CN200000000000FB03;",
          ":X19A284F7N034C80;:X1B34C4F7N201800000000FB10;:X1D34C4F7N83;");
    check(":X1A4F734CN200000000001FB41;",
          ":X19A284F7N034C80;:X1B34C4F7N201800000001FB10;:X1D34C4F7N83;");
    check(":X1A4F734CN20030000000041;", ":X19A284F7N034C80;:X1A34C4F7N201B000000001083;");
    check(":X1A4F734CN200900000000FF01;", ":X19A284F7N034C80;:X1A34C4F7N2019000000001083;");
    check(":X19DE834CN04F7;", ":X19A084F7N134C04447200537E;:X19A084F7N334C6E003100302E;"
                              ":X19A084F7N334C3200024B4E00;:X19A084F7N234C00;");
}

static void what_is_unknown_is_rejected(void **state) {
    (void)state;
    check(":X1A4F734CN30;", ":X19A484F7N034C1042;");
    check(":X1A4F734CN;", ":X19A484F7N034C1042;");
    check(":X1A4F734CN208C01;", ":X19A484F7N034C1041;");
    check(":X1A4F734CN2060;", ":X19A484F7N034C1041;");
    check(":X1A4F734CN20;", ":X19A484F7N034C1080;");
    check(":X1A4F834CN2080;", "");
}

static void wrong_orders_are_rejected_for_now(void **state) {
    (void)state;
    check(":X1C4F734CN2041;", ":X19A484F7N034C2041;");
    check(":X1D4F734CN2041;", ":X19A484F7N034C2041;");
    check(":X1B4F734CN2041;:X1B4F734CN2041;", ":X19A484F7N034C2042;");
}

static void two_senders_at_once_are_told_apart(void **state) {
    (void)state;
    check(":X1B4F734CN20410000;:X1B4F735DN204000000000;:X1D4F734CN000008;:X1D4F735DNFB01;",
          ":X19A284F7N034C80;:X1B34C4F7N2051000000000A44;:X1D34C4F7N520000010000;"
          ":X19A284F7N035D80;:X1A35D4F7N205000000000FB02;");
}

static void a_reply_that_is_not_confirmed_is_sent_thrice_at_most(void **state) {
    (void)state;
    check(":X1A4F734CN2080;", ":X19A284F7N034C80;:X1A34C4F7N20824C00E2FFFB;");
    lcc_node_stage_run(&stage, 2980000);
    assert_int_equal(stage.frames, 0);
    lcc_node_stage_run(&stage, 100000000);
    assert_string_equal(stage.sent, ":X1A34C4F7N20824C00E2FFFB;:X1A34C4F7N20824C00E2FFFB;");
    assert_true(lcc_node_due_us(&stage.node) == UINT64_MAX);
}

static void a_reply_that_is_rejected_for_now_goes_again_and_for_good_not(void **state) {
    (void)state;
    check(":X1A4F734CN2080;", ":X19A284F7N034C80;:X1A34C4F7N20824C00E2FFFB;");
    check(":X19A4834CN04F72020;", ":X1A34C4F7N20824C00E2FFFB;");
    check(":X19A4834CN04F71000;", "");
    lcc_node_stage_run(&stage, 20000000);
    assert_int_equal(stage.frames, 0);
}

static void more_than_a_few_at_once_are_busy(void **state) {
    (void)state;
    for (unsigned i = 0; i < LCC_REPLIES_MAX; i++) {
        struct lcc_frame frame = lcc_frame_datagram((uint16_t)(0x100 + i), 0x4F7, LCC_PART_ONLY,
                                                    (const uint8_t[]){0x20, 0x80}, 2);
        lcc_node_take(&stage.node, stage.now_us, &frame, (struct lcc_origin){0});
    }
    lcc_node_stage_run(&stage, 1000);
    lcc_node_stage_forget(&stage);
    check(":X1A4F734CN2080;", ":X19A484F7N034C2020;");
    check(":X19A28100N04F700;", "");
    check(":X1A4F734CN2080;", ":X19A284F7N034C80;:X1A34C4F7N20824C00E2FFFB;");
    check(":X1A4F734CN2084FC;", ":X19A284F7N034C80;:X1A34C4F7N2087FC0000007C01;"); /* in place */
}

static void a_lock_is_taken_if_free_and_gone_after_a_restart(void **state) {
    (void)state;
    check(":X1A4F734CN208805010101A207;", ":X19A284F7N034C80;:X1A34C4F7N208A05010101A207;");
    check(":X1A4F735DN208805010101A208;", ":X19A284F7N035D80;:X1A35D4F7N208A05010101A207;");
    check(":X1A4F734CN2088000000000000;", ":X19A284F7N034C80;:X1A34C4F7N208A000000000000;");
    check(":X1A4F735DN208805010101A208;", ":X19A284F7N035D80;:X1A35D4F7N208A05010101A208;");
    lcc_node_stage_give(&stage, ":X1A4F734CN20A9;");
    lcc_node_stage_run(&stage, 3000000);
    lcc_node_stage_forget(&stage);
    check(":X1A4F734CN208805010101A207;", ":X19A284F7N034C80;:X1A34C4F7N208A05010101A207;");
}

static void an_update_is_complete_at_once(void **state) {
    (void)state;
    check(":X1A4F734CN20A8;", ":X19A284F7N034C00;");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(the_confirmation_goes_before_the_reply, setup),
        cmocka_unit_test_setup(events_are_read_at_their_places, setup),
        cmocka_unit_test_setup(the_spaces_have_their_lengths_and_contents, setup),
        cmocka_unit_test_setup(the_end_of_a_space_is_an_end, setup),
        cmocka_unit_test_setup(spaces_are_told, setup),
        cmocka_unit_test_setup(nothing_can_be_written, setup),
        cmocka_unit_test_setup(what_is_unknown_is_rejected, setup),
        cmocka_unit_test_setup(wrong_orders_are_rejected_for_now, setup),
        cmocka_unit_test_setup(two_senders_at_once_are_told_apart, setup),
        cmocka_unit_test_setup(a_reply_that_is_not_confirmed_is_sent_thrice_at_most, setup),
        cmocka_unit_test_setup(a_reply_that_is_rejected_for_now_goes_again_and_for_good_not, setup),
        cmocka_unit_test_setup(more_than_a_few_at_once_are_busy, setup),
        cmocka_unit_test_setup(a_lock_is_taken_if_free_and_gone_after_a_restart, setup),
        cmocka_unit_test_setup(an_update_is_complete_at_once, setup),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
