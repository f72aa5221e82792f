/* Moments as people write them, here in UTC. */
#include "base/text/moment.h"
#include "support/check.h"

#include <stdlib.h>
#include <string.h>

static void days_and_times_are_taken(void **state) {
    (void)state;
    static const struct {
        const char *text;
        uint64_t at_s;
    } cases[] = {
        {"1970-01-01", 0},
        {"2000-03-01", 951868800}, /* 10957 + 60 days of 86400 s */
        {"2026-03-01T12:00", 1772366400},
        {"2026-03-01T12:00:05", 1772366405},
        {"2024-02-29", 1709164800},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        uint64_t at_us = 1;
        struct error error = {.what = ""};
        assert_true(moment_parse(cases[i].text, &at_us, &error));
        assert_true(at_us == cases[i].at_s * 1000000);
    }
}

static void anything_else_is_named(void **state) {
    (void)state;
    static const char *const wrong[] = {"",
                                        "yesterday",
                                        "2026",
                                        "2026-02-29",
                                        "2026-13-01",
                                        "2026-03-01T24:00",
                                        "2026-03-01T",
                                        "2026-03-01 12:00",
                                        "2026-03-01T12:00:05Z",
                                        "2026-03-00",
                                        "2026-03-01T12:60",
                                        "1900-01-01"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        uint64_t at_us = 1;
        struct error error = {.what = ""};
        if (moment_parse(wrong[i], &at_us, &error)) {
            fail_msg("'%s' was taken", wrong[i]);
        }
        assert_non_null(strstr(error.what, "is not a date or time"));
        assert_true(at_us == 1);
    }
}

static void moments_are_written_to_the_thousandth(void **state) {
    (void)state;
    char text[MOMENT_SIZE];
    moment_write(UINT64_C(1772366405012999), text);
    assert_string_equal(text, "2026-03-01T12:00:05.012");
}

int main(void) {
    setenv("TZ", "UTC", 1);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(days_and_times_are_taken),
        cmocka_unit_test(anything_else_is_named),
        cmocka_unit_test(moments_are_written_to_the_thousandth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
