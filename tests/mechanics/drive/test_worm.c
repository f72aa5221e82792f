#include "mechanics/drive/worm.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static const double degree = NUMBER_PI / 180;
static const struct worm good = {40, 0.0499583957, 20 * NUMBER_PI / 180, 0.05, 0.1};

static void efficiencies(struct example *example) {
    /* Shigley's table for f = 0.05, from memory, percent; not recalled at 25 degrees */
    static const double table[] = {25.2, 45.7, 62.6, 71.3, 76.6, 82.7, 85.9, NAN, 89.1};
    struct worm worm = good;
    double mu = example_in(example, "mu"), lead[9], forward[9], back[9];
    worm.pressure_rad = example_in(example, "phi_n");
    size_t count = example_in_list(example, "lambda", lead, 9);
    for (size_t i = 0; i < count; i++) {
        worm.lead_rad = lead[i];
        forward[i] = worm_efficiency(&worm, mu);
        back[i] = worm_back_efficiency(&worm, mu);
        double friction = atan(mu / cos(worm.pressure_rad));
        assert_true(fabs(forward[i] - tan(lead[i]) / tan(lead[i] + friction)) < 1e-12);
        if (i != 7) {
            assert_true(fabs(100 * forward[i] - table[i]) < 0.1);
        }
    }
    example_out_list(example, "eta_forward", forward, count);
    example_out_list(example, "eta_back", back, count);
}

static void locking(struct example *example) {
    struct worm worm = good;
    worm.lead_rad = atan(example_in(example, "starts") * example_in(example, "module") /
                         example_in(example, "d_worm"));
    worm.pressure_rad = example_in(example, "phi_n");
    double mu[4], locks[4], forward[4], back[4];
    size_t count = example_in_list(example, "mu", mu, 4);
    for (size_t i = 0; i < count; i++) {
        locks[i] = worm_is_locking(&worm, mu[i]);
        forward[i] = worm_efficiency(&worm, mu[i]);
        back[i] = worm_back_efficiency(&worm, mu[i]);
    }
    example_out(example, "lambda", worm.lead_rad);
    example_out(example, "mu_critical", worm_lock_mu(&worm));
    example_out_list(example, "locks", locks, count);
    example_out_list(example, "eta_forward", forward, count);
    example_out_list(example, "eta_back", back, count);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"D6", efficiencies}, {"D7", locking}};
    examples_run("worm", tests, 2);
}

/* D7: mu_critical = 0.046984631 for this lead and pressure angle. */
static void lock_margin_goes_by_the_lowest_friction(void **state) {
    (void)state;
    struct worm worm = good;
    assert_true(fabs(worm_lock_margin(&worm) - 0.05 / 0.046984631) < 1e-6);
    worm.mu_high = 0.2;
    assert_true(fabs(worm_lock_margin(&worm) - 0.05 / 0.046984631) < 1e-6);
}

static const char *check(const void *what) {
    return worm_check(what);
}

static void bad_worms_are_refused(void **state) {
    (void)state;
    struct worm worm = good;
    bad_numbers_refused(&worm.ratio, NOT_ABOVE_ZERO, check, &worm);
    bad_numbers_refused(&worm.lead_rad, NOT_ABOVE_ZERO, check, &worm);
    bad_numbers_refused(&worm.pressure_rad, NEGATIVE, check, &worm);
    bad_numbers_refused(&worm.mu_low, NEGATIVE, check, &worm);
    bad_numbers_refused(&worm.mu_high, NEGATIVE, check, &worm);
    worm.mu_low = 0.2;
    bad_numbers_said(worm_check(&worm), "must not exceed");
    worm = good;
    worm.lead_rad = 90 * degree;
    bad_numbers_said(worm_check(&worm), "lead angle");
    worm.lead_rad = 86 * degree; /* cos 20 < 0.1 tan 86: even the worm cannot drive */
    bad_numbers_said(worm_check(&worm), "too steep");
    worm = good;
    worm.pressure_rad = 90 * degree;
    bad_numbers_said(worm_check(&worm), "pressure angle");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(lock_margin_goes_by_the_lowest_friction),
        cmocka_unit_test(bad_worms_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
