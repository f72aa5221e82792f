#include "protocol/text.h"
#include "support/check.h"
#include "support/net/protocol_text.h"

#include <stdlib.h>
#include <string.h>

static void words_are_parted_by_runs_of_blanks_and_tabs(void **state) {
    (void)state;
    struct srcp_text rest = srcp_text_of(" \tSET  1\t \tGA ");
    assert_int_equal(srcp_text_words(rest), 3);
    protocol_assert_text(srcp_text_word(&rest), "SET", "first");
    protocol_assert_text(rest, "1\t \tGA ", "what stays begins at a word");
    protocol_assert_text(srcp_text_word(&rest), "1", "second");
    protocol_assert_text(srcp_text_word(&rest), "GA", "third");
    protocol_assert_text(srcp_text_word(&rest), "", "none left");
    assert_int_equal(rest.length, 0);
}

static void nothing_has_no_words(void **state) {
    (void)state;
    struct srcp_text nothing = {NULL, 0};
    assert_int_equal(srcp_text_words(nothing), 0);
    assert_int_equal(srcp_text_word(&nothing).length, 0);
    assert_true(srcp_text_is(nothing, ""));
    assert_int_equal(srcp_text_trim(nothing).length, 0);
    assert_int_equal(srcp_text_words(srcp_text_of(" \t ")), 0);
}

static void case_and_length_matter(void **state) {
    (void)state;
    assert_true(srcp_text_is(srcp_text_of("GA"), "GA"));
    assert_false(srcp_text_is(srcp_text_of("ga"), "GA"));
    assert_false(srcp_text_is(srcp_text_of("GAX"), "GA"));
    assert_false(srcp_text_is(srcp_text_of("G"), "GA"));
}

static void numbers_are_whole_and_decimal(void **state) {
    (void)state;
    static const struct {
        const char *text;
        bool is_number;
        int32_t number;
    } cases[] = {
        {"0", true, 0},
        {"-0", true, 0},
        {"-1", true, -1},
        {"007", true, 7},
        {"2147483647", true, INT32_MAX},
        {"-2147483648", true, INT32_MIN},
        {"00000000000000000000000000000012", true, 12},
        {"2147483648", false, 0},
        {"-2147483649", false, 0},
        {"18446744073709551617", false, 0}, /* 2^64 + 1 */
        {"99999999999999999999999999999999999999999", false, 0},
        {"", false, 0},
        {"-", false, 0},
        {"--1", false, 0},
        {"+1", false, 0},
        {"1.0", false, 0},
        {"1-", false, 0},
        {"1x", false, 0},
        {"x1", false, 0},
        {"0x10", false, 0},
        {"1e3", false, 0},
        {" 1", false, 0},
        {"1 ", false, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const struct srcp_text text = protocol_text_copy(cases[i].text, strlen(cases[i].text));
        int32_t number = 4711;
        if (srcp_text_number(text, &number) != cases[i].is_number) {
            fail_msg("\"%s\"", cases[i].text);
        }
        assert_int_equal(number, cases[i].is_number ? cases[i].number : 4711);
        free((void *)text.at);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(words_are_parted_by_runs_of_blanks_and_tabs),
        cmocka_unit_test(nothing_has_no_words),
        cmocka_unit_test(case_and_length_matter),
        cmocka_unit_test(numbers_are_whole_and_decimal),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
