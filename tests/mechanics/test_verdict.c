/* Each verdict's margin: its size where a number is known, and its sign on both sides of the limit.
 */
#include "mechanics/number.h"
#include "mechanics/verdict.h"
#include "support/check.h"
#include "support/mechanics/sizing_example.h"

#include <math.h>

static const double degree = NUMBER_PI / 180;

static struct verdicts judge(const struct sizing_given *given) {
    struct sizing sizing = sizing_of(given);
    return verdicts_of(given, &sizing);
}

static struct verdict find(const struct sizing_given *given, enum verdict_about about) {
    struct verdicts verdicts = judge(given);
    for (unsigned i = 0; i < verdicts.count; i++) {
        if (verdicts.verdict[i].about == about) {
            return verdicts.verdict[i];
        }
    }
    fail_msg("no verdict about %d", (int)about);
    return (struct verdict){0};
}

static bool has(const struct sizing_given *given, enum verdict_about about) {
    struct verdicts verdicts = judge(given);
    bool found = false;
    for (unsigned i = 0; i < verdicts.count; i++) {
        found = found || verdicts.verdict[i].about == about;
    }
    return found;
}

static void assert_near(double found, double wanted, double slack) {
    if (!(fabs(found - wanted) <= slack)) {
        fail_msg("found %.9g, wanted %.9g", found, wanted);
    }
}

/* --- numbers known from elsewhere --- */

/* A toe at (2.4, 0.05) m and a truss's corner at (2.1, 0.45), the axis at 1.1 m, opened to 82 deg:
 * 0.11639798 m to a ceiling at 3.6 m (arc maximum against a scan of 200001 positions). */
static void ceiling_is_cleared_by_the_known_gap(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.chain.lift.travel = 82 * degree;
    struct verdict ceiling = find(&given, VERDICT_CEILING);
    assert_near(ceiling.value, 0.11639798, 1e-8);
    assert_near(ceiling.margin, 0.11639798 - 0.01, 1e-8);
    assert_near(ceiling.at, 82 * degree, 1e-9);
    assert_int_equal(ceiling.index, 0);
}

/* 26.8211878 N m at 2.4 m: 11.1754949 N. */
static void seat_carries_the_known_load(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    assert_near(find(&given, VERDICT_SEAT).value, 11.1754949, 1e-6);
    assert_near(find(&given, VERDICT_SEAT).margin, 14 - 11.1754949, 1e-6);
}

/* 0.5 m/s, 0.3 m/s2, 0.2 s: 0.516666667 m to stop; with pickup and margin 1.21666667 m. */
static void train_needs_the_known_lengths(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    assert_near(find(&given, VERDICT_STOP_SECTION).margin, 2 - 1.21666667, 1e-8);
    assert_near(find(&given, VERDICT_APPROACH).margin, 4 - 0.516666667, 1e-8);
    assert_near(find(&given, VERDICT_APPROACH_LOCK).margin, 10 - 0.2 - 0.5 / 0.3, 1e-8);
}

/* --- the sign --- */

static void ceiling_m(struct sizing_given *given, double x) {
    given->room.ceiling_m = x;
}
static void floor_m(struct sizing_given *given, double x) {
    given->room.floor_m = x;
}
static void wall_m(struct sizing_given *given, double x) {
    given->room.wall_x_m = x;
}
static void travel(struct sizing_given *given, double x) {
    given->chain.lift.travel = x;
}
static void sx(struct sizing_given *given, double x) {
    given->chain.balance.sx_kg_m = x;
}
static void mu_low(struct sizing_given *given, double x) {
    given->chain.drive.worm.mu_low = x;
}
static void brake(struct sizing_given *given, double x) {
    given->chain.drive.has_worm = false;
    given->stop.brake_n_m = x;
}
static void kt(struct sizing_given *given, double x) {
    given->chain.motor.kt_n_m_a = x;
}
static void supply_v(struct sizing_given *given, double x) {
    given->chain.supply_v = x;
}
static void supply_a(struct sizing_given *given, double x) {
    given->supply_a = x;
}
static void stall_a(struct sizing_given *given, double x) {
    given->stall_a = x;
}
static void limit_s(struct sizing_given *given, double x) {
    given->travel_limit_s = x;
}
static void stop_m(struct sizing_given *given, double x) {
    given->end[0].stop_m = x;
}
static void approach_m(struct sizing_given *given, double x) {
    given->end[0].approach_m = x;
}
static void lock_s(struct sizing_given *given, double x) {
    given->end[0].approach_lock_s = x;
}

static const struct {
    enum verdict_about about;
    void (*turn)(struct sizing_given *given, double x);
    double good, bad;
} knobs[] = {
    {VERDICT_CEILING, ceiling_m, 4, 3},
    {VERDICT_FLOOR, floor_m, -1, 1},
    {VERDICT_WALL, wall_m, -2, -0.1},
    {VERDICT_ARM, travel, 1, 1.55},
    {VERDICT_SEAT, sx, 2.7, 1},
    {VERDICT_SEAT, sx, 2.7, 9},
    {VERDICT_HOLD, mu_low, 0.08, 0.02},
    {VERDICT_HOLD, brake, 0.1, 1e-6},
    {VERDICT_TORQUE, kt, 0.006, 1e-5},
    {VERDICT_VOLTAGE, supply_v, 12, 1},
    {VERDICT_SUPPLY, supply_a, 5, 0.1},
    {VERDICT_STALL_WATCH, stall_a, 3, 0.1},
    {VERDICT_STALL_WATCH, stall_a, 3, 20},
    {VERDICT_RAISING, limit_s, 300, 10},
    {VERDICT_LOWERING, limit_s, 300, 10},
    {VERDICT_STOP_SECTION, stop_m, 2, 0.5},
    {VERDICT_APPROACH, approach_m, 4, 0.1},
    {VERDICT_APPROACH_LOCK, lock_s, 10, 0.1},
};

static struct verdict turned(size_t knob, double x) {
    struct sizing_given given = sizing_example();
    knobs[knob].turn(&given, x);
    return find(&given, knobs[knob].about);
}

/* The margin is good at one end, bad at the other, and between them goes through nothing just where
 * the value passes its bound. */
static void margins_change_their_sign_at_the_limit(void **state) {
    (void)state;
    unsigned judged = 7u << VERDICT_WEIGHT_CEILING | /* of a vertical lift only: below */
                      1u << VERDICT_TIPPING | 1u << VERDICT_HEEL; /* of a swing span only: below */
    for (size_t i = 0; i < sizeof knobs / sizeof knobs[0]; i++) {
        double good = knobs[i].good, bad = knobs[i].bad;
        assert_true(turned(i, good).margin > 0);
        assert_true(turned(i, bad).margin < 0);
        for (int halving = 0; halving < 60; halving++) {
            double middle = (good + bad) / 2;
            struct verdict verdict = turned(i, middle);
            bool is_within = verdict.value >= verdict.least && verdict.value <= verdict.most;
            assert_int_equal(verdict.state, is_within ? VERDICT_GOOD : VERDICT_BAD);
            assert_int_equal(verdict.margin >= 0, is_within);
            *(is_within ? &good : &bad) = middle;
        }
        assert_near(turned(i, good).margin, 0, 1e-6);
        judged |= 1u << knobs[i].about;
    }
    assert_int_equal(judged, (1u << VERDICT_ABOUTS) - 1);
}

/* --- what applies, and what is missing --- */

static void example_is_good_and_one_bad_verdict_spoils_it(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    struct verdicts verdicts = judge(&given);
    assert_true(verdicts_are_good(&verdicts));
    given.supply_a = 1;
    verdicts = judge(&given);
    assert_false(verdicts_are_good(&verdicts));
}

static void nothing_that_holds_is_bad(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.chain.drive.has_worm = false;
    struct verdict hold = find(&given, VERDICT_HOLD);
    assert_int_equal(hold.state, VERDICT_BAD);
    assert_int_equal(hold.index, BACKDRIVE_NOTHING);
}

/* The known chain: a worm of 4.8 deg lets through what a motor of 3 mN m holds 4.63594915 times. */
static void what_holds_is_judged_by_the_whole_chain(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.chain.drive.worm.lead_rad = 4.8 * degree;
    given.chain.drive.worm.mu_low = 0.05;
    given.stop.motor_n_m = 0.003;
    struct verdict hold = find(&given, VERDICT_HOLD);
    assert_int_equal(hold.state, VERDICT_GOOD);
    assert_int_equal(hold.index, BACKDRIVE_MOTOR);
    assert_near(hold.value, 4.63594915, 1e-5);
    assert_int_equal(hold.needs, 0);
    given.is_rest_assumed = true;
    assert_int_equal(find(&given, VERDICT_HOLD).needs, VERDICT_NEEDS_REST_TORQUE);
    given.chain.drive.worm.mu_low = 0.08; /* it locks: the motor does not matter */
    assert_int_equal(find(&given, VERDICT_HOLD).needs, 0);
    given.chain.drive.worm.mu_low = 0.05;
    given.stop.motor_n_m = 0.0001;
    hold = find(&given, VERDICT_HOLD);
    assert_int_equal(hold.state, VERDICT_BAD);
    assert_near(hold.value, 0.826180503, 1e-6);
}

static void missing_values_are_asked_for(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.outline_points = 0;
    given.toe_least_n = given.toe_most_n = NAN;
    given.supply_a = NAN;
    given.chain.friction_running = 0;
    given.end[0].stop_m = NAN;
    given.end[0].approach_m = NAN;
    const struct {
        enum verdict_about about;
        unsigned needs;
    } rows[] = {
        {VERDICT_CEILING, VERDICT_NEEDS_OUTLINE},
        {VERDICT_FLOOR, VERDICT_NEEDS_OUTLINE},
        {VERDICT_WALL, VERDICT_NEEDS_OUTLINE},
        {VERDICT_SEAT, VERDICT_NEEDS_SEAT_WANTED},
        {VERDICT_SUPPLY, VERDICT_NEEDS_SUPPLY_CURRENT},
        {VERDICT_STOP_SECTION, VERDICT_NEEDS_STOP_LENGTH},
        {VERDICT_APPROACH, VERDICT_NEEDS_APPROACH_LENGTH},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct verdict verdict = find(&given, rows[i].about);
        assert_int_equal(verdict.state, VERDICT_UNKNOWN);
        assert_int_equal(verdict.needs, rows[i].needs);
        assert_true(isnan(verdict.margin));
    }
    /* Reckoned all the same: the load that is there, and without friction. */
    assert_near(find(&given, VERDICT_SEAT).value, 11.1754949, 1e-6);
    assert_int_equal(find(&given, VERDICT_TORQUE).needs, VERDICT_NEEDS_FRICTION);
    assert_int_equal(find(&given, VERDICT_TORQUE).state, VERDICT_GOOD);

    given.has_room = false;
    given.toe_x_m = NAN;
    given.end[0].has_train = false;
    assert_int_equal(find(&given, VERDICT_CEILING).needs,
                     VERDICT_NEEDS_OUTLINE | VERDICT_NEEDS_ROOM);
    assert_int_equal(find(&given, VERDICT_SEAT).needs,
                     VERDICT_NEEDS_TOE | VERDICT_NEEDS_SEAT_WANTED);
    assert_int_equal(find(&given, VERDICT_STOP_SECTION).needs, VERDICT_NEEDS_TRAINS);
    struct verdicts verdicts = judge(&given);
    assert_true(verdicts_are_good(&verdicts)); /* unknown is not bad */
}

static void open_sky_is_not_judged(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.room.ceiling_m = INFINITY;
    given.room.wall_x_m = -INFINITY;
    assert_false(has(&given, VERDICT_CEILING) || has(&given, VERDICT_WALL));
    assert_true(has(&given, VERDICT_FLOOR));
}

static struct sizing_given vertical_example(void) {
    struct sizing_given given = sizing_example();
    const struct balance_ropes ropes = {.span_kg = 30,
                                        .counterweight_kg = 29,
                                        .rope_kg_m = 0.09,
                                        .ropes = 4,
                                        .span_side_m = 1.2,
                                        .counterweight_side_m = 0.4};
    given.chain.lift = (struct lift){.kind = LIFT_VERTICAL, .travel = 0.8, .parts_of_line = 1};
    assert_null(balance_of_ropes(&ropes, &given.chain.balance));
    return given;
}

static void a_vertical_lift_clears_as_it_rises(void **state) {
    (void)state;
    struct sizing_given given = vertical_example();
    struct verdict ceiling = find(&given, VERDICT_CEILING);
    assert_near(ceiling.value, 3.6 - 1.1 - 0.45 - 0.8, 1e-12); /* the highest corner, lifted */
    assert_int_equal(ceiling.index, 1);
    assert_near(ceiling.at, 0.8, 1e-12);
    assert_near(find(&given, VERDICT_FLOOR).value, 1.1 - 0.2, 1e-12);
    assert_near(find(&given, VERDICT_FLOOR).at, 0, 0);
    assert_near(find(&given, VERDICT_WALL).value, 0.9 - 0.7, 1e-12);
    /* 1 kg, and 4 x 0.09 kg/m of 0.8 m more rope on the span's side; on all seats, no lever. */
    assert_near(find(&given, VERDICT_SEAT).value, 9.80665 * (1 + 0.288), 1e-9);
    assert_false(has(&given, VERDICT_ARM));
}

/* Corners and gaps of the worked example: the weight strikes the floor by 55 mm as the span rises,
 * and is nowhere near the ceiling. */
static void a_counterweight_comes_down_as_the_span_rises(void **state) {
    (void)state;
    struct sizing_given given = vertical_example();
    given.room = (struct outline_room){
        .axis_height_m = 0.965, .ceiling_m = 1.72, .floor_m = 0.6, .wall_x_m = -0.75};
    given.chain.lift.travel = 0.52;
    given.weight_points = 2;
    given.weight_outline[0] = (struct point){-0.68, 0.135};
    given.weight_outline[1] = (struct point){-0.56, 0.1};
    struct verdict floor = find(&given, VERDICT_WEIGHT_FLOOR);
    assert_int_equal(floor.state, VERDICT_BAD);
    assert_near(floor.value, -0.055, 1e-12);
    assert_near(floor.at, 0.52, 1e-12);
    assert_int_equal(floor.index, 1);
    assert_near(find(&given, VERDICT_WEIGHT_CEILING).value, 0.62, 1e-12);
    assert_near(find(&given, VERDICT_WEIGHT_CEILING).at, 0, 0);
    assert_near(find(&given, VERDICT_WEIGHT_WALL).value, 0.07, 1e-12);
    assert_near(sizing_at(&given, 0.52).lowest_m, 0.545, 1e-12);
    given.weight_points = 0;
    assert_int_equal(find(&given, VERDICT_WEIGHT_FLOOR).needs, VERDICT_NEEDS_WEIGHT_OUTLINE);
    given.has_counterweight = false;
    assert_false(has(&given, VERDICT_WEIGHT_FLOOR));
}

static void a_rolling_lift_moves_back_as_it_turns(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.chain.lift =
        (struct lift){.kind = LIFT_ROLLING, .travel = 70 * degree, .rolling = {.radius_m = 0.4}};
    given.chain.balance.kind = LIFT_ROLLING;
    given.chain.balance.roll_radius_m = given.room.roll_radius_m = 0.4;
    given.outline_points = 1;
    given.outline[0] = (struct point){-0.55, 0.1};
    given.room.wall_x_m = -1;
    /* The known place of this point at 70 degrees: x -0.770772531, y -0.0826289271 over the track,
     * which is 0.4 below the roll centre. */
    struct point open = sizing_moved(&given, given.outline[0], 70 * degree);
    assert_near(open.x_m, -0.770772531, 1e-8);
    assert_near(open.y_m + 0.4, -0.0826289271, 1e-8);
    assert_true(find(&given, VERDICT_WALL).value <= 1 - 0.770772531);
}

static struct sizing_given swing_example(void) {
    static const struct balance_item items[] = {{.mass_kg = 7, .at = {0.6, 0.03}},
                                                {.mass_kg = 4, .at = {-0.35, 0}},
                                                {.mass_kg = 4.9, .at = {-0.37, -0.02}}};
    struct sizing_given given = sizing_example();
    given.chain.lift =
        (struct lift){.kind = LIFT_SWING, .travel = 90 * degree, .rack_radius_m = 0.2};
    assert_null(balance_of_items(LIFT_SWING, 0, items, 3, &given.chain.balance));
    given.stand = (struct swing_stand){0.005, 0, 4, 1.2, 0.7, 6};
    given.toe_least_n = 5;
    given.toe_most_n = 12;
    return given;
}

/* The worked span: 62.4738543 mm off its pivot, and with 6 N of wedges 11.5659696 N at the toe. */
static void a_swing_span_must_stand_on_its_pivot_and_its_ends(void **state) {
    (void)state;
    struct sizing_given given = swing_example();
    struct verdict tipping = find(&given, VERDICT_TIPPING);
    assert_int_equal(tipping.state, VERDICT_BAD); /* on a pin */
    assert_near(tipping.value, 0.0624738543, 1e-9);
    given.stand.wheels_m = 0.15; /* 4 wheels hold 106 mm */
    assert_int_equal(find(&given, VERDICT_TIPPING).state, VERDICT_GOOD);
    given.stand.wheels_m = 0.12; /* 84.9 mm: not by 1.5 times */
    assert_int_equal(find(&given, VERDICT_TIPPING).state, VERDICT_BAD);
    assert_near(find(&given, VERDICT_TIPPING).most, 0.0848528137 / 1.5, 1e-9);
    assert_near(find(&given, VERDICT_SEAT).value, 11.5659696, 1e-7);
    assert_near(find(&given, VERDICT_HEEL).value, 6, 1e-12);
    assert_int_equal(find(&given, VERDICT_HEEL).state, VERDICT_GOOD);
    given.stand.wedge_n = 0;
    assert_int_equal(find(&given, VERDICT_HEEL).state, VERDICT_BAD); /* it would hammer */
    given.stand.heel_m = NAN;
    assert_int_equal(find(&given, VERDICT_HEEL).needs, VERDICT_NEEDS_HEEL);
}

static void a_swing_span_has_no_ceiling(void **state) {
    (void)state;
    struct sizing_given given = swing_example();
    assert_false(has(&given, VERDICT_CEILING));
    assert_true(has(&given, VERDICT_TORQUE) && has(&given, VERDICT_RAISING));
}

static void a_span_moved_by_hand_is_judged_by_its_trains(void **state) {
    (void)state;
    struct sizing_given given = sizing_example();
    given.is_hand = true;
    struct verdicts verdicts = verdicts_of(&given, NULL);
    assert_int_equal(verdicts.count, 3);
    assert_int_equal(verdicts.verdict[0].about, VERDICT_STOP_SECTION);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ceiling_is_cleared_by_the_known_gap),
        cmocka_unit_test(seat_carries_the_known_load),
        cmocka_unit_test(train_needs_the_known_lengths),
        cmocka_unit_test(margins_change_their_sign_at_the_limit),
        cmocka_unit_test(example_is_good_and_one_bad_verdict_spoils_it),
        cmocka_unit_test(nothing_that_holds_is_bad),
        cmocka_unit_test(what_holds_is_judged_by_the_whole_chain),
        cmocka_unit_test(missing_values_are_asked_for),
        cmocka_unit_test(open_sky_is_not_judged),
        cmocka_unit_test(a_vertical_lift_clears_as_it_rises),
        cmocka_unit_test(a_counterweight_comes_down_as_the_span_rises),
        cmocka_unit_test(a_rolling_lift_moves_back_as_it_turns),
        cmocka_unit_test(a_swing_span_must_stand_on_its_pivot_and_its_ends),
        cmocka_unit_test(a_swing_span_has_no_ceiling),
        cmocka_unit_test(a_span_moved_by_hand_is_judged_by_its_trains),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
