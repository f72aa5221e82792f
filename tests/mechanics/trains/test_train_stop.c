#include "mechanics/number.h"
#include "mechanics/trains/train_stop.h"
#include "support/check.h"
#include "support/mechanics/examples.h"

#include <math.h>

static const struct train good = {0.5, 0.3, 0.01, 0.2, 0.55, 0.15};

static void stopping(struct example *example) {
    double speed[3], stop[3];
    size_t count = example_in_list(example, "v", speed, 3);
    for (size_t i = 0; i < count; i++) {
        struct train train = {.speed_m_s = speed[i],
                              .deceleration_m_s2 = example_in(example, "dec"),
                              .reaction_s = example_in(example, "t_react")};
        stop[i] = train_stop_distance_m(&train);
    }
    example_out_list(example, "stop", stop, count);
}

static void grades(struct example *example) {
    struct train train = {.speed_m_s = example_in(example, "v"),
                          .deceleration_m_s2 = example_in(example, "dec"),
                          .grade = example_in(example, "grade")};
    assert_true(example_in(example, "g") == NUMBER_GRAVITY_M_S2);
    example_out(example, "stop_up", train_stop_distance_m(&train));
    train.grade = -train.grade;
    example_out(example, "stop_down", train_stop_distance_m(&train));
    train.grade = 0;
    train.deceleration_m_s2 = NUMBER_GRAVITY_M_S2 * example_in(example, "c_rr");
    example_out(example, "coast_dec_level", train.deceleration_m_s2);
    example_out(example, "coast_stop_level", train_stop_distance_m(&train));
}

static void dead_section(struct example *example) {
    struct train train = {.speed_m_s = example_in(example, "v"),
                          .deceleration_m_s2 = example_in(example, "dec"),
                          .reaction_s = example_in(example, "t_react"),
                          .pickup_span_m = example_in(example, "pickup_span"),
                          .margin_m = example_in(example, "margin")};
    example_out(example, "L_dead", train_stop_dead_section_m(&train));
}

static void scale_speeds(struct example *example) {
    static const double mph = 0.44704, foot = 0.3048, yard = 0.9144;
    double scale[6], per_foot[6], model[6];
    size_t count = example_in_list(example, "scale", scale, 6);
    for (size_t i = 0; i < count; i++) {
        per_foot[i] = train_stop_prototype_m_s(foot, scale[i]) / mph;
        model[i] = 40 * mph / train_stop_prototype_m_s(1, scale[i]);
    }
    example_out_list(example, "smph_per_ft_s", per_foot, count);
    example_out_list(example, "model_speed_at_40_smph", model, count);
    example_out(example, "s_per_yard_1_19_at_10mph",
                train_stop_prototype_m_s(yard, 19) / (10 * mph));
    /* S19: 1:32 gives 21.8 scale mph for each ft/s */
    assert_true(fabs(train_stop_prototype_m_s(foot, 32) / mph - 21.8) < 0.1);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {
        {"R1", stopping}, {"R2", grades}, {"R3", dead_section}, {"R4", scale_speeds}};
    examples_run("train_stop", tests, 4);
}

/* 0.2 s, then 0.5 m/s at 0.398 m/s2 (0.3 + 9.80665 x 0.01); or 3 m at 0.5 m/s; 2 s on top. */
static void approach_lock_waits_for_the_slower_of_both(void **state) {
    (void)state;
    double stands = 0.2 + 0.5 / 0.3980665;
    assert_true(fabs(train_stop_time_s(&good) - stands) < 1e-9);
    assert_true(fabs(train_stop_approach_lock_s(&good, 0.1, 2) - stands - 2) < 1e-9);
    assert_true(fabs(train_stop_approach_lock_s(&good, 3, 2) - 8) < 1e-9);
}

static void a_train_that_the_grade_pulls_away_never_stops(void **state) {
    (void)state;
    struct train train = good;
    train.grade = -0.04;
    assert_true(isinf(train_stop_distance_m(&train)) && isinf(train_stop_time_s(&train)));
    assert_true(train_stop_dead_section_m(&train) > 1e9);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(approach_lock_waits_for_the_slower_of_both),
        cmocka_unit_test(a_train_that_the_grade_pulls_away_never_stops),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
