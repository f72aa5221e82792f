/* A value measured opening after opening: changed, or scattering as ever. */
#include "mechanics/balance/trend.h"
#include "support/check.h"
#include "support/core/core_near.h"

#include <math.h>
#include <stdint.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static void change_is_told_from_scatter(void **state) {
    (void)state;
    static const struct {
        double values[8];
        size_t count;
        enum trend want;
    } cases[] = {
        {{3.5, 3.6, 3.4, 3.5}, 4, TREND_TOO_FEW},
        {{3.5, 3.6, 3.4, 3.5, 3.55, 3.45, 3.5, 3.6}, 8, TREND_STEADY},
        {{3.5, 3.5, 3.5, 3.5, 3.5, 3.5}, 6, TREND_STEADY},
        {{3.5, 3.7, 3.85, 4.1, 4.3, 4.45, 4.7, 4.9}, 8, TREND_RISING},
        {{1, 2, 3, 4, 5, 6}, 6, TREND_RISING},
        {{4.9, 4.7, 4.45, 4.3, 4.1, 3.85, 3.7, 3.5}, 8, TREND_FALLING},
        {{20.1, 19.9, 20.0, 20.2, 19.8, 20.1, 26}, 7, TREND_STEP_UP},
        {{20.1, 19.9, 20.0, 20.2, 19.8, 20.1, 14}, 7, TREND_STEP_DOWN},
        {{20, 20, 20, 20, 21}, 5, TREND_STEP_UP},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        assert_int_equal(trend_of(cases[i].values, cases[i].count).trend, cases[i].want);
    }
}

/* Park & Miller's generator (Communications of the ACM 31, 1988): the same numbers in every run. */
static double uniform(uint32_t *seed) {
    *seed = (uint32_t)((uint64_t)*seed * 16807 % 2147483647);
    return *seed / 2147483647.0;
}

/* Each of the two tests errs once in a hundred times: together some two in a hundred. */
static void sound_series_are_seldom_called_changed(void **state) {
    (void)state;
    uint32_t seed = 1;
    unsigned changed = 0;
    for (int series = 0; series < 2000; series++) {
        double values[10];
        for (int i = 0; i < 10; i++) {
            values[i] = 3.5;
            for (int k = 0; k < 12; k++) { /* nearly normal */
                values[i] += 0.1 * (uniform(&seed) - 0.5);
            }
        }
        changed += trend_of(values, 10).trend != TREND_STEADY;
    }
    assert_true(changed > 4 && changed < 80); /* of 2000 */
}

static void table_of_t_is_that_of_the_handbook(void **state) {
    (void)state;
    assert_true(isinf(trend_t(0)));
    assert_near(trend_t(1), 63.657, 0); /* NIST/SEMATECH e-Handbook 1.3.6.7.2, from memory */
    assert_near(trend_t(10), 3.169, 0);
    assert_near(trend_t(11), 3.169, 0); /* the stricter one */
    assert_near(trend_t(1000), 2.626, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(change_is_told_from_scatter),
        cmocka_unit_test(sound_series_are_seldom_called_changed),
        cmocka_unit_test(table_of_t_is_that_of_the_handbook),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
