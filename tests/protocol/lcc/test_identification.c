/* Simple Node Information S and Memory Configuration S, 22 Jul 2024. */
#include "protocol/lcc/identification.h"
#include "support/check.h"

#include <string.h>

static const struct lcc_identification kettle = {.manufacturer = "drawtender",
                                                 .model = "drawbridge",
                                                 .hardware = "leaf",
                                                 .software = "0.1.0",
                                                 .name = "Kettle Narrows",
                                                 .description = "Marsh & Harbor"};

static void what_is_written_is_read(void **state) {
    (void)state;
    uint8_t content[LCC_IDENTIFICATION_MAX] = {0};
    unsigned length = lcc_identification_reply(&kettle, content);
    struct lcc_identification read;
    assert_true(lcc_identification_read(content, length, &read));
    assert_memory_equal(&read, &kettle, sizeof read);
    assert_false(lcc_identification_read(content, length + 1, &read));
    for (unsigned cut = 0; cut < length; cut++) {
        assert_false(lcc_identification_read(content, cut, &read));
    }
}

static void a_reply_has_six_zeros_and_253_bytes_at_most(void **state) {
    (void)state;
    struct lcc_identification full;
    memset(&full, 'x', sizeof full); /* not even a zero at the end */
    uint8_t content[LCC_IDENTIFICATION_MAX];
    unsigned length = lcc_identification_reply(&full, content);
    assert_int_equal(length, 253);
    unsigned zeros = 0;
    for (unsigned i = 0; i < length; i++) {
        zeros += content[i] == 0;
    }
    assert_int_equal(zeros, 6);
    assert_int_equal(content[length - 1], 0);
}

static void a_1_may_stand_for_both_counts(void **state) {
    (void)state;
    static const uint8_t content[] = "\x01"
                                     "a\0b\0c\0d\0"
                                     "\x01"
                                     "e\0f";
    struct lcc_identification read;
    assert_true(lcc_identification_read(content, sizeof content, &read));
    assert_string_equal(read.software, "d");
    assert_string_equal(read.description, "f");
    static const uint8_t wrong[] = "\x03"
                                   "a\0b\0c\0d\0"
                                   "\x01"
                                   "e\0f";
    assert_false(lcc_identification_read(wrong, sizeof wrong, &read));
}

static void memory_has_every_word_at_its_place(void **state) {
    (void)state;
    uint8_t made[LCC_MADE_BYTES], named[LCC_NAMED_BYTES];
    lcc_identification_made(&kettle, made);
    lcc_identification_named(&kettle, named);
    assert_int_equal(sizeof made, 125);
    assert_int_equal(sizeof named, 128);
    assert_int_equal(made[0], 4);
    assert_string_equal((const char *)made + 1, "drawtender");
    assert_string_equal((const char *)made + 42, "drawbridge");
    assert_string_equal((const char *)made + 83, "leaf");
    assert_string_equal((const char *)made + 104, "0.1.0");
    assert_int_equal(named[0], 2);
    assert_string_equal((const char *)named + 1, "Kettle Narrows");
    assert_string_equal((const char *)named + 64, "Marsh & Harbor");
}

static void a_long_word_is_cut_between_characters(void **state) {
    (void)state;
    char field[6];
    lcc_identification_set(field, sizeof field, "abcdef");
    assert_string_equal(field, "abcde");
    lcc_identification_set(field, sizeof field, "abcd\xC3\xA4");
    assert_string_equal(field, "abcd");
    lcc_identification_set(field, sizeof field, "abc\xC3\xA4");
    assert_string_equal(field, "abc\xC3\xA4");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_written_is_read),
        cmocka_unit_test(a_reply_has_six_zeros_and_253_bytes_at_most),
        cmocka_unit_test(a_1_may_stand_for_both_counts),
        cmocka_unit_test(memory_has_every_word_at_its_place),
        cmocka_unit_test(a_long_word_is_cut_between_characters),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
