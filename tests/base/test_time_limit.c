#include "base/time_limit.h"
#include "support/check.h"

#include <poll.h>

static void time_left_falls_to_zero_and_stays_there(void **state) {
    (void)state;
    struct time_limit limit = time_limit_in(2000);
    uint32_t left_us = time_limit_left_us(&limit);
    assert_true(left_us <= 2000);
    poll(NULL, 0, 1);
    assert_true(left_us == 0 || time_limit_left_us(&limit) < left_us);
    poll(NULL, 0, 3);
    assert_int_equal(time_limit_left_us(&limit), 0);
    limit = time_limit_in(UINT32_MAX);
    assert_in_range(time_limit_left_us(&limit), UINT32_MAX / 2, UINT32_MAX);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(time_left_falls_to_zero_and_stays_there),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
