#include "base/text/utf8.h"
#include "support/check.h"

#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* RFC 3629, sections 3 and 4. */
static void a_character_has_its_length_and_anything_else_none(void **state) {
    (void)state;
    static const struct {
        const char *text;
        size_t length;
    } cases[] = {
        {"a", 1},
        {"\xc3\xa9", 2},         /* e with acute */
        {"\xe2\x82\xac", 3},     /* euro sign */
        {"\xf0\x9f\x9a\x82", 4}, /* steam locomotive */
        {"\xe9", 0},             /* e with acute in ISO 8859-1 */
        {"\xe9ta", 0},
        {"\xc3", 0}, /* cut off */
        {"\xe2\x82", 0},
        {"\xa9", 0},             /* begins in its middle */
        {"\xc0\x80", 0},         /* overlong */
        {"\xe0\x80\xaf", 0},     /* overlong */
        {"\xed\xa0\x80", 0},     /* a surrogate */
        {"\xf4\x90\x80\x80", 0}, /* beyond U+10FFFF */
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        assert_int_equal(utf8_length(cases[i].text, strlen(cases[i].text)), cases[i].length);
    }
}

static void what_is_no_text_is_a_question_mark(void **state) {
    (void)state;
    static const struct {
        const char *text, *clean;
    } cases[] = {
        {"", ""},
        {"Rose Cut", "Rose Cut"},
        {"Ros\xc3\xa9 Cut", "Ros\xc3\xa9 Cut"},
        {"Ros\xe9 Cut", "Ros? Cut"},
        {"Ros\xc3", "Ros?"},
        {"\x1b[2J\a\x7f", "?[2J??"},
        {"\xc2\x9b"
         "2J",
         "??2J"}, /* C1's control sequence introducer */
        {"\xc2\xa0", "\xc2\xa0"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        char text[32];
        snprintf(text, sizeof text, "%s", cases[i].text);
        utf8_clean(text);
        assert_string_equal(text, cases[i].clean);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_character_has_its_length_and_anything_else_none),
        cmocka_unit_test(what_is_no_text_is_a_question_mark),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
