#include "base/text/line_template.h"
#include "support/check.h"

#include <string.h>

static void fills_places(void **state) {
    (void)state;
    static const struct {
        const char *text;
        long effort;
        const char *line;
    } cases[] = {
        {"M1: {effort}\r\n", -512, "M1: -512\r\n"},
        {"{direction}{size}\r", -7, "down7\r"},
        {"stop", 3, "stop"},
        {"{0xAA}{0x5}x", 0, "\xaa\x05x"},
        /* 'A' ^ 'B' = 0x41 ^ 0x42 = 0x03; 0x41 + 0x42 = 0x83 */
        {"AB*{xor}", 0, "AB*29"}, /* 0x03 ^ '*' (0x2a) */
        {"AB{xor}", 0, "AB03"},
        {"AB{sum}", 0, "AB83"},
        {"\xff\xff{sum}", 0,
         "\xff\xff"
         "FE"}, /* 0x1fe modulo 256 */
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct line_values values = {.effort = cases[i].effort,
                                     .direction = cases[i].effort < 0 ? "down" : "up"};
        char line[LINE_TEMPLATE_MOST];
        struct error error = {.what = ""};
        size_t length = line_template_fill(cases[i].text, &values, line, &error);
        assert_string_equal(error.what, "");
        assert_int_equal(length, strlen(cases[i].line));
        assert_memory_equal(line, cases[i].line, length);
    }
}

static void refuses_what_it_does_not_know(void **state) {
    (void)state;
    static const char *const texts[] = {
        "{speed}", "{effort", "{}",
        "{0x}",    "{0x100}", "{0xAG}",
        "{aa}",    "",        "{a very long place indeed, longer than any}"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        struct line_values values = {.direction = ""};
        char line[LINE_TEMPLATE_MOST];
        struct error error = {.what = ""};
        assert_int_equal(line_template_fill(texts[i], &values, line, &error), 0);
        assert_true(error.what[0] != '\0');
    }
}

static void line_is_bounded(void **state) {
    (void)state;
    char text[LINE_TEMPLATE_MOST + 2];
    char line[LINE_TEMPLATE_MOST];
    struct line_values values = {.direction = ""};
    struct error error;
    memset(text, 'x', sizeof text);
    text[LINE_TEMPLATE_MOST] = '\0';
    assert_int_equal(line_template_fill(text, &values, line, &error), LINE_TEMPLATE_MOST);
    text[LINE_TEMPLATE_MOST] = 'x';
    text[LINE_TEMPLATE_MOST + 1] = '\0';
    assert_int_equal(line_template_fill(text, &values, line, &error), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fills_places),
        cmocka_unit_test(refuses_what_it_does_not_know),
        cmocka_unit_test(line_is_bounded),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
