/* Message Network S section 7, 22 Jul 2024; Datagram Transport S, 25 Apr 2021. */
#include "protocol/lcc/assembly.h"
#include "support/check.h"
#include "support/lcc/lcc_text.h"

#include <string.h>

static struct lcc_assembly assembly;
static struct lcc_message message;

static int setup(void **state) {
    (void)state;
    memset(&assembly, 0, sizeof assembly);
    return 0;
}

static enum lcc_assembled take(uint64_t now_us, const char *text) {
    static struct lcc_frame frame;
    frame = lcc_text_frame(text);
    return lcc_assembly_take(&assembly, now_us, &frame, &message);
}

static void senders_are_told_apart(void **state) {
    (void)state;
    assert_int_equal(take(0, ":X1B4F734CN0102;"), LCC_ASSEMBLED_PART);
    assert_int_equal(take(0, ":X1B4F735DN2122;"), LCC_ASSEMBLED_PART);
    assert_int_equal(take(0, ":X19A0834CN14F7414243444546;"), LCC_ASSEMBLED_PART);
    assert_int_equal(take(0, ":X1C4F735DN23;"), LCC_ASSEMBLED_PART);
    assert_int_equal(take(0, ":X1D4F734CN03;"), LCC_ASSEMBLED_WHOLE);
    assert_int_equal(message.source, 0x34C);
    assert_int_equal(message.length, 3);
    assert_memory_equal(message.content, "\x01\x02\x03", 3);
    assert_int_equal(take(0, ":X19A0834CN24F747;"), LCC_ASSEMBLED_WHOLE);
    assert_int_equal(message.length, 7);
    assert_memory_equal(message.content, "ABCDEFG", 7);
    assert_int_equal(take(0, ":X1D4F735DN24;"), LCC_ASSEMBLED_WHOLE);
    assert_int_equal(message.source, 0x35D);
    assert_memory_equal(message.content, "\x21\x22\x23\x24", 4);
}

static void parts_out_of_order_are_no_message(void **state) {
    (void)state;
    assert_int_equal(take(0, ":X1C4F734CN0102;"), LCC_ASSEMBLED_NO_FIRST);
    assert_int_equal(take(0, ":X1D4F734CN0102;"), LCC_ASSEMBLED_NO_FIRST);
    assert_int_equal(take(0, ":X1B4F734CN0102;"), LCC_ASSEMBLED_PART);
    assert_int_equal(take(0, ":X1B4F734CN0102;"), LCC_ASSEMBLED_MIXED);
    assert_int_equal(take(0, ":X1D4F734CN0102;"), LCC_ASSEMBLED_NO_FIRST); /* it was dropped */
    assert_int_equal(take(0, ":X1B4F734CN0102;"), LCC_ASSEMBLED_PART);
    assert_int_equal(take(0, ":X1A4F734CN0102;"), LCC_ASSEMBLED_MIXED);
    assert_int_equal(take(0, ":X1A4F734CN0102;"), LCC_ASSEMBLED_WHOLE);
}

static void a_datagram_has_72_bytes_at_most(void **state) {
    (void)state;
    assert_int_equal(take(0, ":X1B4F734CN0001020304050607;"), LCC_ASSEMBLED_PART);
    for (unsigned i = 0; i < 7; i++) {
        assert_int_equal(take(0, ":X1C4F734CN0001020304050607;"), LCC_ASSEMBLED_PART);
    }
    assert_int_equal(take(0, ":X1D4F734CN0001020304050607;"), LCC_ASSEMBLED_WHOLE);
    assert_int_equal(message.length, LCC_DATAGRAM_MAX);
    assert_int_equal(take(0, ":X1B4F734CN0001020304050607;"), LCC_ASSEMBLED_PART);
    for (unsigned i = 0; i < 8; i++) {
        assert_int_equal(take(0, ":X1C4F734CN0001020304050607;"), LCC_ASSEMBLED_PART);
    }
    assert_int_equal(take(0, ":X1D4F734CN00;"), LCC_ASSEMBLED_TOO_LONG);
    assert_int_equal(take(0, ":X1D4F734CN00;"), LCC_ASSEMBLED_NO_FIRST);
}

static void a_message_has_its_limit_too(void **state) {
    (void)state;
    assert_int_equal(take(0, ":X19A0834CN14F7010203040506;"), LCC_ASSEMBLED_PART);
    for (unsigned i = 1; i < LCC_MESSAGE_MAX / 6; i++) {
        assert_int_equal(take(0, ":X19A0834CN34F7010203040506;"), LCC_ASSEMBLED_PART);
    }
    assert_int_equal(take(0, ":X19A0834CN34F7010203040506;"), LCC_ASSEMBLED_TOO_LONG);
}

static enum lcc_assembled first_of(unsigned source, uint64_t now_us) {
    struct lcc_frame frame =
        lcc_frame_datagram((uint16_t)source, 0x4F7, LCC_PART_FIRST, (const uint8_t *)"x", 1);
    return lcc_assembly_take(&assembly, now_us, &frame, &message);
}

static void senders_without_end_find_no_room_until_time_has_passed(void **state) {
    (void)state;
    for (unsigned i = 1; i <= LCC_ASSEMBLY_SLOTS; i++) {
        assert_int_equal(first_of(i, 0), LCC_ASSEMBLED_PART);
    }
    assert_int_equal(first_of(0x500, 2999999), LCC_ASSEMBLED_NO_ROOM); /* S: not under 3 s */
    assert_int_equal(first_of(0x500, 3000000), LCC_ASSEMBLED_PART);
    lcc_assembly_forget(&assembly, 0x500);
    assert_int_equal(first_of(0x500, 3000000), LCC_ASSEMBLED_PART); /* nothing is mixed */
}

/* Event Transport S: an event report with 256 bytes of payload, which nobody here consumes. */
static void frames_of_a_report_with_payload_are_messages_of_their_own(void **state) {
    (void)state;
    assert_int_equal(take(0, ":X19F1634CN0A44520000010100;"), LCC_ASSEMBLED_WHOLE);
    assert_int_equal(message.mti, 0xF16);
    for (unsigned i = 0; i < 32; i++) {
        assert_int_equal(take(0, ":X19F1534CN0102030405060708;"), LCC_ASSEMBLED_WHOLE);
    }
    assert_int_equal(take(0, ":X19F1434CN01;"), LCC_ASSEMBLED_WHOLE);
    for (unsigned i = 0; i < LCC_ASSEMBLY_SLOTS; i++) {
        assert_false(assembly.slot[i].is_used);
    }
}

static void what_is_too_long_is_not_written(void **state) {
    (void)state;
    static const uint8_t content[LCC_MESSAGE_MAX + 1];
    struct lcc_frame frames[LCC_FRAMES_MAX];
    struct lcc_message long_one = {LCC_NODE_INFORMATION_REPLY, 1, 2, content, LCC_MESSAGE_MAX};
    assert_int_equal(lcc_message_frames(&long_one, frames, LCC_FRAMES_MAX), LCC_FRAMES_MAX);
    assert_int_equal(lcc_message_frames(&long_one, frames, LCC_FRAMES_MAX - 1), 0);
    long_one.length++;
    assert_int_equal(lcc_message_frames(&long_one, frames, LCC_FRAMES_MAX), 0);
    long_one = (struct lcc_message){LCC_DATAGRAM, 1, 2, content, LCC_DATAGRAM_MAX + 1};
    assert_int_equal(lcc_message_frames(&long_one, frames, LCC_FRAMES_MAX), 0);
    long_one = (struct lcc_message){LCC_EVENT_REPORT, 1, 0, content, LCC_FRAME_BYTES + 1};
    assert_int_equal(lcc_message_frames(&long_one, frames, LCC_FRAMES_MAX), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(senders_are_told_apart, setup),
        cmocka_unit_test_setup(parts_out_of_order_are_no_message, setup),
        cmocka_unit_test_setup(a_datagram_has_72_bytes_at_most, setup),
        cmocka_unit_test_setup(a_message_has_its_limit_too, setup),
        cmocka_unit_test_setup(senders_without_end_find_no_room_until_time_has_passed, setup),
        cmocka_unit_test_setup(frames_of_a_report_with_payload_are_messages_of_their_own, setup),
        cmocka_unit_test_setup(what_is_too_long_is_not_written, setup),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
