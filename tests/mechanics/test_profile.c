#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"
#include "support/mechanics/profile.h"

#include <math.h>

static void hold_positions(struct example *example, const struct profile *profile,
                           const char *times, const char *positions) {
    double t[6], position[6];
    size_t count = example_in_list(example, times, t, 6);
    for (size_t i = 0; i < count; i++) {
        position[i] = profile_at(profile, t[i]).position;
    }
    example_out_list(example, positions, position, count);
}

static struct profile trapezoid_in(struct example *example, double speed) {
    struct profile_trapezoid wanted = {example_in(example, "D"), speed, example_in(example, "acc"),
                                       example_in(example, "dec")};
    struct profile profile;
    assert_null(profile_of_trapezoid(&wanted, &profile));
    example_out(example, "v_peak", profile.peak_speed);
    example_out(example, "t_acc", profile.phase[PROFILE_UP].duration_s);
    example_out(example, "T", profile.duration_s);
    return profile;
}

static void trapezoid(struct example *example) {
    struct profile profile = trapezoid_in(example, example_in(example, "v_max"));
    example_out(example, "t_cruise", profile.phase[PROFILE_CRUISE].duration_s);
    example_out(example, "t_dec", profile.phase[PROFILE_DOWN].duration_s);
    hold_positions(example, &profile, "t", "pos");
}

static void triangle(struct example *example) {
    struct profile profile = trapezoid_in(example, example_in(example, "v_max"));
    example_out(example, "t_cruise", profile.phase[PROFILE_CRUISE].duration_s);
}

static void triangle_of_two_slopes(struct example *example) {
    struct profile profile = trapezoid_in(example, 1000);
    example_out(example, "t_dec", profile.phase[PROFILE_DOWN].duration_s);
}

static void slow_zone(struct example *example) {
    struct profile_slow_zone wanted = {{example_in(example, "D"), example_in(example, "v_fast"),
                                        example_in(example, "acc"), example_in(example, "dec")},
                                       example_in(example, "slow_zone"),
                                       example_in(example, "v_slow"),
                                       example_in(example, "dec_final")};
    struct profile profile;
    assert_null(profile_of_slow_zone(&wanted, &profile));
    example_out(example, "t_acc", profile.phase[PROFILE_UP].duration_s);
    example_out(example, "t_cruise", profile.phase[PROFILE_CRUISE].duration_s);
    example_out(example, "t_dec", profile.phase[PROFILE_DOWN].duration_s);
    example_out(example, "t_creep", profile.phase[PROFILE_CREEP].duration_s);
    example_out(example, "t_stop", profile.phase[PROFILE_STOP].duration_s);
    example_out(example, "T", profile.duration_s);
    example_out(example, "pos_start_dec", profile.phase[PROFILE_DOWN].position);
}

static struct profile s_curve_in(struct example *example) {
    struct profile_s_curve wanted = {.distance = example_in(example, "D"),
                                     .speed = example_in(example, "v_max"),
                                     .acceleration = example_in(example, "a_max"),
                                     .jerk = example_in(example, "j_max")};
    struct profile profile;
    assert_null(profile_of_s_curve(&wanted, &profile));
    return profile;
}

static void s_curve(struct example *example) {
    struct profile profile = s_curve_in(example);
    example_out(example, "v_peak", profile.peak_speed);
    example_out(example, "a_peak", profile.phase[PROFILE_S_PUSH].acceleration);
    example_out(example, "t_jerk", profile.phase[PROFILE_S_RISE].duration_s);
    example_out(example, "t_const_acc", profile.phase[PROFILE_S_PUSH].duration_s);
    example_out(example, "t_cruise", profile.phase[PROFILE_S_CRUISE].duration_s);
    example_out(example, "T", profile.duration_s);
}

static void s_curve_with_positions(struct example *example) {
    s_curve(example);
    double t[6], position[6];
    struct profile profile = s_curve_in(example);
    /* Sample times stand among the results of this block. */
    static const double sample[] = {1, 3, 5, 6, 20, 40};
    for (size_t i = 0; i < 6; i++) {
        t[i] = sample[i];
        position[i] = profile_at(&profile, t[i]).position;
    }
    example_out_list(example, "t_sample", t, 6);
    example_out_list(example, "pos_sample", position, 6);
    assert_true(fabs(profile_at(&profile, 1).acceleration - 0.25 * NUMBER_PI / 180) < 1e-12);
    assert_true(fabs(profile_at(&profile, 5).acceleration - 0.25 * NUMBER_PI / 180) < 1e-12);
}

static void s_curve_from_speed(struct example *example) {
    struct profile_s_curve wanted = {.distance =
                                         example_in(example, "q1") - example_in(example, "q0"),
                                     .start_speed = example_in(example, "v0"),
                                     .end_speed = example_in(example, "v1"),
                                     .speed = example_in(example, "v_max"),
                                     .acceleration = example_in(example, "a_max"),
                                     .jerk = example_in(example, "j_max")};
    struct profile profile;
    assert_null(profile_of_s_curve(&wanted, &profile));
    const struct profile_phase *phase = profile.phase;
    example_out(example, "T_a",
                phase[PROFILE_S_RISE].duration_s + phase[PROFILE_S_PUSH].duration_s +
                    phase[PROFILE_S_EASE].duration_s);
    example_out(example, "T_v", phase[PROFILE_S_CRUISE].duration_s);
    example_out(example, "T_d",
                phase[PROFILE_S_BRAKE].duration_s + phase[PROFILE_S_HOLD].duration_s +
                    phase[PROFILE_S_SETTLE].duration_s);
    example_out(example, "T_j", phase[PROFILE_S_RISE].duration_s);
    example_out(example, "T", profile.duration_s);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {
        {"P1", trapezoid},
        {"P2", triangle},
        {"P3", triangle_of_two_slopes},
        {"P4", slow_zone},
        {"P5", s_curve_with_positions},
        {"P6", s_curve},
        {"P7", s_curve},
        {"P8", s_curve},
        {"P9", s_curve_from_speed},
    };
    examples_run("profile", tests, sizeof tests / sizeof tests[0]);
}

/* What every profile must do, whatever its kind: begin and end where and as fast as asked, never
 * jump, never go back, never pass a limit. */
struct rule {
    double distance, start_speed, end_speed, speed, acceleration;
};

static void hold_rule(const struct profile *profile, const struct rule *rule) {
    struct profile_point last = profile_at(profile, 0);
    double step = profile->duration_s / 5000;
    assert_true(fabs(last.position) < 1e-12);
    assert_true(fabs(last.speed - rule->start_speed) < 1e-12);
    for (int i = 1; i <= 5000; i++) {
        struct profile_point now = profile_at(profile, i * step);
        double moved = now.position - last.position;
        assert_true(fabs(moved - (now.speed + last.speed) / 2 * step) <
                    rule->acceleration * step * step);
        assert_true(fabs(now.speed - last.speed) <= rule->acceleration * step * (1 + 1e-6));
        assert_true(now.speed >= -1e-9 && now.speed <= rule->speed * (1 + 1e-9));
        last = now;
    }
    assert_true(fabs(last.position - rule->distance) < 1e-9 * rule->distance);
    assert_true(fabs(last.speed - rule->end_speed) < 1e-6 * rule->speed);
    double after = profile_at(profile, profile->duration_s + 9).position;
    assert_true(fabs(after - last.position) < 1e-12);
    assert_true(profile_at(profile, -9).position == 0);
}

static void trapezoids_keep_their_limits(void **state) {
    (void)state;
    static const double distances[] = {0.001, 1, 8, 8.000001, 40, 80};
    for (size_t i = 0; i < 6; i++) {
        struct profile_trapezoid wanted = {distances[i], 2, 0.5, 0.4};
        struct profile profile;
        assert_null(profile_of_trapezoid(&wanted, &profile));
        hold_rule(&profile, &(struct rule){distances[i], 0, 0, 2, 0.5});
    }
}

static void slow_zones_keep_their_limits(void **state) {
    (void)state;
    /* The whole, near and below the length at which full speed, the creep speed before the zone
     * and the creep speed at all can be reached. */
    static const double distances[] = {80, 12, 7, 3.1, 3.05, 3, 1, 0.1, 0.001};
    for (size_t i = 0; i < sizeof distances / sizeof distances[0]; i++) {
        struct profile_slow_zone wanted = {{distances[i], 2, 0.5, 0.4}, 3, 0.3, 0.45};
        struct profile profile;
        assert_null(profile_of_slow_zone(&wanted, &profile));
        hold_rule(&profile, &(struct rule){distances[i], 0, 0, 2, 0.5});
        for (double t = 0; t < profile.duration_s; t += profile.duration_s / 999) {
            struct profile_point now = profile_at(&profile, t); /* never fast in the zone */
            assert_true(now.position < distances[i] - 3 || now.speed <= 0.3 + 1e-9);
        }
    }
}

static void s_curves_keep_their_limits(void **state) {
    (void)state;
    static const struct rule rules[] = {
        {80, 0, 0, 2, 0.5},  {8, 0, 0, 2, 0.5},  {0.5, 0, 0, 2, 0.5},
        {10, 1, 0, 5, 10},   {10, 0, 3, 5, 1},   {3.3, 1, 2, 5, 0.5},
        {4, 2, 0.5, 5, 0.8}, {10, 2, 2, 2, 0.5}, {1e-6, 0, 0, 2, 0.5},
    };
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++) {
        const struct rule *rule = &rules[i];
        struct profile_s_curve wanted = {rule->distance, rule->start_speed,  rule->end_speed,
                                         rule->speed,    rule->acceleration, 5};
        struct profile profile;
        assert_null(profile_of_s_curve(&wanted, &profile));
        hold_rule(&profile, rule);
    }
}

static const char *check_trapezoid(const void *what) {
    struct profile unused;
    return profile_of_trapezoid(what, &unused);
}

static const char *check_slow_zone(const void *what) {
    struct profile unused;
    return profile_of_slow_zone(what, &unused);
}

static const char *check_s_curve(const void *what) {
    struct profile unused;
    return profile_of_s_curve(what, &unused);
}

static void bad_numbers_are_refused(void **state) {
    (void)state;
    struct profile_trapezoid trapezoid = {80, 2, 0.5, 0.4};
    bad_numbers_refused(&trapezoid.distance, NOT_ABOVE_ZERO, check_trapezoid, &trapezoid);
    bad_numbers_refused(&trapezoid.speed, NOT_ABOVE_ZERO, check_trapezoid, &trapezoid);
    bad_numbers_refused(&trapezoid.acceleration, NOT_ABOVE_ZERO, check_trapezoid, &trapezoid);
    bad_numbers_refused(&trapezoid.deceleration, NOT_ABOVE_ZERO, check_trapezoid, &trapezoid);
    struct profile_slow_zone zone = {trapezoid, 3, 0.3, 0.45};
    bad_numbers_refused(&zone.fast.speed, NOT_ABOVE_ZERO, check_slow_zone, &zone);
    bad_numbers_refused(&zone.zone, NOT_ABOVE_ZERO, check_slow_zone, &zone);
    bad_numbers_refused(&zone.creep_speed, NOT_ABOVE_ZERO, check_slow_zone, &zone);
    bad_numbers_refused(&zone.final_deceleration, NOT_ABOVE_ZERO, check_slow_zone, &zone);
    struct profile_s_curve curve = {80, 1, 1, 2, 0.5, 0.25};
    bad_numbers_refused(&curve.distance, NOT_ABOVE_ZERO, check_s_curve, &curve);
    bad_numbers_refused(&curve.start_speed, NEGATIVE, check_s_curve, &curve);
    bad_numbers_refused(&curve.end_speed, NEGATIVE, check_s_curve, &curve);
    bad_numbers_refused(&curve.speed, NOT_ABOVE_ZERO, check_s_curve, &curve);
    bad_numbers_refused(&curve.acceleration, NOT_ABOVE_ZERO, check_s_curve, &curve);
    bad_numbers_refused(&curve.jerk, NOT_ABOVE_ZERO, check_s_curve, &curve);
}

static void impossible_profiles_are_refused(void **state) {
    (void)state;
    struct profile_slow_zone zone = {{80, 2, 0.5, 0.4}, 0.0999, 0.3, 0.45}; /* c^2/2b = 0.1 */
    bad_numbers_said(check_slow_zone(&zone), "too short to stop");
    zone.zone = 0.1001;
    assert_null(check_slow_zone(&zone));
    zone.creep_speed = 2.1;
    bad_numbers_said(check_slow_zone(&zone), "creep speed");
    struct profile_s_curve curve = {80, 2.1, 1, 2, 0.5, 0.25};
    bad_numbers_said(check_s_curve(&curve), "speeds at start and end");
    curve = (struct profile_s_curve){80, 1, 2.1, 2, 0.5, 0.25};
    bad_numbers_said(check_s_curve(&curve), "speeds at start and end");
    /* 2 to 0 with a = 0.5, j = 0.25 takes 6 s and so 6: no less. */
    curve = (struct profile_s_curve){5.999, 2, 0, 2, 0.5, 0.25};
    bad_numbers_said(check_s_curve(&curve), "too short to change");
    curve.distance = 6.001;
    assert_null(check_s_curve(&curve));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(trapezoids_keep_their_limits),
        cmocka_unit_test(slow_zones_keep_their_limits),
        cmocka_unit_test(s_curves_keep_their_limits),
        cmocka_unit_test(bad_numbers_are_refused),
        cmocka_unit_test(impossible_profiles_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
