/* CAN Frame Transfer S and Message Network S section 7, 22 Jul 2024. */
#include "protocol/lcc/frame.h"
#include "support/check.h"
#include "support/lcc/lcc_text.h"

static struct lcc_frame_head head_of(const char *text) {
    static struct lcc_frame frame;
    struct lcc_frame_head head;
    frame = lcc_text_frame(text);
    lcc_frame_read(&frame, &head);
    return head;
}

static void the_reserved_bit_is_not_looked_at(void **state) {
    (void)state;
    struct lcc_frame_head head = head_of(":X0949034CN;");
    assert_int_equal(head.kind, LCC_FRAME_GLOBAL);
    assert_int_equal(head.mti, 0x490);
    assert_int_equal(head.source, 0x34C);
    assert_int_equal(head_of(":X0070234CN;").kind, LCC_FRAME_ENQUIRE);
}

static void reserved_frames_are_of_another_kind(void **state) {
    (void)state;
    static const char *const others[] = {
        ":X1370034CN;",                   /* another protocol's CID */
        ":X1170134CN;",                   /* the same */
        ":X1071034CN;",                   /* EIR */
        ":X1070434CN;",                   /* reserved control frames */
        ":X106FF34CN;",   ":X1849034CN;", /* format 0 */
        ":X1E49034CN;",                   /* format 6 */
        ":X1982834CN;",                   /* addressed, and no address */
        ":X1982834CN04;",                 /* addressed, and half of one */
    };
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        assert_int_equal(head_of(others[i]).kind, LCC_FRAME_OTHER);
    }
}

static void an_addressed_message_says_which_part_it_is(void **state) {
    (void)state;
    static const struct {
        const char *text;
        enum lcc_part part;
        unsigned payload;
    } cases[] = {{":X19A0834CN04F7;", LCC_PART_ONLY, 0},
                 {":X19A0834CN14F7010203040506;", LCC_PART_FIRST, 6},
                 {":X19A0834CN34F7010203040506;", LCC_PART_MIDDLE, 6},
                 {":X19A0834CN24F701;", LCC_PART_LAST, 1},
                 {":X19A0834CNE4F701;", LCC_PART_LAST, 1}}; /* the top two bits are ignored */
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct lcc_frame_head head = head_of(cases[i].text);
        assert_int_equal(head.kind, LCC_FRAME_ADDRESSED);
        assert_int_equal(head.part, cases[i].part);
        assert_int_equal(head.destination, 0x4F7);
        assert_int_equal(head.payload_length, cases[i].payload);
    }
}

static void a_stream_is_told_from_a_datagram(void **state) {
    (void)state;
    assert_int_equal(head_of(":X1F4F734CN00;").kind, LCC_FRAME_STREAM);
    assert_int_equal(head_of(":X1F4F734CN00;").destination, 0x4F7);
    assert_int_equal(head_of(":X1C4F734CN00;").part, LCC_PART_MIDDLE);
    assert_int_equal(head_of(":X1C4F734CN00;").kind, LCC_FRAME_DATAGRAM);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_reserved_bit_is_not_looked_at),
        cmocka_unit_test(reserved_frames_are_of_another_kind),
        cmocka_unit_test(an_addressed_message_says_which_part_it_is),
        cmocka_unit_test(a_stream_is_told_from_a_datagram),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
