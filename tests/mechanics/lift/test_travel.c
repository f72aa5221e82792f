/* The march against closed forms: for an even arm the way is a trapezoid with a creep. */
#include "mechanics/lift/travel.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/mechanics/profile.h"

#include <math.h>

static const double degree = NUMBER_PI / 180;

static void assert_within(double found, double wanted, double slack) {
    if (!(fabs(found - wanted) <= slack)) {
        fail_msg("found %.9g, wanted %.9g within %g", found, wanted, slack);
    }
}

/* 80 deg at 2 deg/s, 0.5 deg/s2, the last 3 deg at 0.3 deg/s, as parts of the travel. */
static const struct travel_law law = {2 / 80.0, 0.3 / 80, 0.5 / 80, 0.5 / 80.0, 3 / 80.0, 6 / 80.0};

/* Up 4 s (4 deg), down to creep 3.4 s (3.91 deg), the rest of the way to the zone at 2 deg/s,
 * through the zone at 0.3: 4 + 34.545 + 3.4 + 10 s. Without the zone's start: 6 deg, 33.045 s. */
static void takes_as_long_as_the_closed_form(void **state) {
    (void)state;
    struct travel down, up;
    travel_run(&law, NULL, -1, &down);
    travel_run(&law, NULL, 1, &up);
    assert_within(down.duration_s, 4 + 34.545 + 3.4 + 10, 0.05);
    assert_within(down.creep_s, 10, 0.05);
    assert_within(up.duration_s, 4 + 33.045 + 3.4 + 20, 0.05);
    assert_within(down.peak_frac_s, 2 / 80.0, 1e-12);
}

/* The same phases as profile.h has, but for the stop at the end. */
static void goes_the_way_of_the_profile(void **state) {
    (void)state;
    struct profile profile;
    const struct profile_slow_zone wanted = {
        .fast = {1, law.full_frac_s, law.acceleration_frac_s2, law.deceleration_frac_s2},
        .zone = law.zone_open_frac,
        .creep_speed = law.creep_frac_s,
        .final_deceleration = 1000};
    assert_null(profile_of_slow_zone(&wanted, &profile));
    struct travel up;
    travel_run(&law, NULL, 1, &up);
    assert_within(up.duration_s, profile.duration_s, 0.05);
    for (int i = 0; i < TRAVEL_MOMENTS - 1; i++) {
        struct profile_point point = profile_at(&profile, up.moment[i].time_s);
        assert_within(up.moment[i].position_frac, point.position, 0.001);
        assert_within(up.moment[i].speed_frac_s, point.speed, 0.001);
    }
    assert_within(up.moment[0].position_frac, 0, 0);
    assert_within(up.moment[TRAVEL_MOMENTS - 1].position_frac, 1, 0.001);
}

/* A strut's arm is more than twice its least in mid travel: there the span is so much slower. */
static void a_longer_arm_makes_the_span_slower(void **state) {
    (void)state;
    const struct lift strut = {.kind = LIFT_STRUT,
                               .travel = 80 * degree,
                               .strut = {.pin = {0.55, 0.3}, .pinion = {-0.45, 0.85}}};
    struct travel even, uneven;
    travel_run(&law, NULL, 1, &even);
    travel_run(&law, &strut, 1, &uneven);
    double mid = uneven.moment[TRAVEL_MOMENTS / 3].speed_frac_s;
    double place = uneven.moment[TRAVEL_MOMENTS / 3].position_frac * strut.travel;
    assert_within(mid, law.full_frac_s * 0.271571457 / lift_rack_arm(&strut, place), 1e-5);
    assert_true(uneven.duration_s > 1.7 * even.duration_s);
}

/* Too short a way for full speed, and the slowest there is: both end. */
static void short_and_slow_ways_end(void **state) {
    (void)state;
    const struct travel_law hasty = {2, 0.01, 0.02, 0.02, 0.05, 0.05};
    const struct travel_law slow = {1e-6, 1e-6, 1e-6, 1e-6, 0.5, 0.5};
    struct travel travel;
    travel_run(&hasty, NULL, 1, &travel);
    /* v = sqrt((2 a b (D - z) + a c^2)/(a + b)) */
    double peak = sqrt((2 * 0.02 * 0.02 * 0.95 + 0.02 * 0.0001) / 0.04);
    assert_within(travel.peak_frac_s, peak, 0.002);
    travel_run(&slow, NULL, -1, &travel);
    assert_within(travel.duration_s, 1e6, 100);
}

/* A creep whose square is too small to be told from zero: it never gets through the zone. */
static void a_way_without_end_is_said_to_be_so(void **state) {
    (void)state;
    const struct travel_law stuck = {1, 1e-200, 1, 1, 0.5, 1};
    struct travel travel;
    travel_run(&stuck, NULL, 1, &travel);
    assert_true(isinf(travel.duration_s));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(takes_as_long_as_the_closed_form),
        cmocka_unit_test(goes_the_way_of_the_profile),
        cmocka_unit_test(a_longer_arm_makes_the_span_slower),
        cmocka_unit_test(short_and_slow_ways_end),
        cmocka_unit_test(a_way_without_end_is_said_to_be_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
