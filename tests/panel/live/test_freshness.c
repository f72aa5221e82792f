/* When a page last heard the daemon: fresh, too old, another's, or nothing of the kind. */
#include "panel/live/freshness.h"
#include "support/check.h"

#include <stdio.h>

enum { START = 17, NOW_MS = 90000 };

static bool is_fresh(const char *text) {
    return freshness_is_fresh(text, START, (uint64_t)NOW_MS * 1000);
}

static bool is_fresh_at(int ms) {
    char text[FRESHNESS_SIZE];
    freshness_write(START, (uint64_t)ms * 1000, text);
    return is_fresh(text);
}

static void it_is_fresh_for_as_long_as_the_page_waits(void **state) {
    (void)state;
    assert_true(is_fresh_at(NOW_MS));
    assert_true(is_fresh_at(NOW_MS - FRESHNESS_MS + 1));
    assert_false(is_fresh_at(NOW_MS - FRESHNESS_MS));
    assert_false(is_fresh_at(0));
    assert_false(is_fresh_at(NOW_MS + 1));
}

static void what_is_no_moment_of_this_start_is_not_fresh(void **state) {
    (void)state;
    static const char *const others[] = {
        "",          "17",      "17-",       "17-x",      "17- 90000",
        "17-+90000", "17--1",   "17-90000 ", "17-90000-", "16-90000",
        "170-90000", "1-90000", "90000-17",  " 17-90000", "17-99999999999999999999999999999",
    };
    assert_true(is_fresh("17-90000"));
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        if (is_fresh(others[i])) {
            fail_msg("\"%s\" is taken for fresh", others[i]);
        }
    }
}

int main(void) {
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_is_fresh_for_as_long_as_the_page_waits),
        cmocka_unit_test(what_is_no_moment_of_this_start_is_not_fresh),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
