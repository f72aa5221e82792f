#include "lcc/retry.h"
#include "support/check.h"

static void waits_grow_to_half_a_minute(void **state) {
    (void)state;
    static const unsigned wanted[] = {1, 2, 4, 8, 16, 30, 30, 30};
    struct retry retry = {0};
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        assert_int_equal(retry_after_s(&retry), wanted[i]);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(waits_grow_to_half_a_minute)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
