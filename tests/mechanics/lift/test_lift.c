#include "mechanics/balance/balance.h"
#include "mechanics/drive/drive.h"
#include "mechanics/drive/gear.h"
#include "mechanics/lift/lift.h"
#include "mechanics/number.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"
#include "support/mechanics/profile.h"

#include <math.h>

static const double degree = NUMBER_PI / 180;

static struct point point_in(struct example *example, const char *name) {
    double xy[2];
    assert_int_equal(example_in_list(example, name, xy, 2), 2);
    return (struct point){xy[0], xy[1]};
}

static void sector(struct example *example) {
    double module = 1 / example_in(example, "DP");
    struct lift lift = {.kind = LIFT_SECTOR,
                        .travel = example_in(example, "theta"),
                        .rack_radius_m =
                            gear_pitch_radius_m(example_in(example, "N_sector"), module)};
    struct drive direct = {.pinion_radius_m =
                               gear_pitch_radius_m(example_in(example, "N_pinion"), module),
                           .planetary_ratio = 1,
                           .planetary_efficiency = 1,
                           .rack_efficiency = 1};
    assert_null(lift_check(&lift));
    double arm = lift_rack_arm(&lift, lift.travel);
    double force = drive_rack_force_n(example_in(example, "M"), 0, 0, arm);
    example_out(example, "R_sector", lift.rack_radius_m);
    example_out(example, "r_pinion", direct.pinion_radius_m);
    example_out(example, "arc_travel", lift_rack_travel(&lift, lift.travel));
    example_out(example, "pinion_turns",
                lift_rack_travel(&lift, lift.travel) / direct.pinion_radius_m);
    example_out(example, "ratio", drive_motor_per_position(&direct, arm));
    example_out(example, "T_pinion", drive_pinion_torque_n_m(&direct, force));
}

static struct lift strut_of(struct example *example) {
    return (struct lift){
        .kind = LIFT_STRUT,
        .travel = 80 * degree,
        .strut = {.pin = point_in(example, "P_closed"), .pinion = point_in(example, "Q_pinion")}};
}

static void strut_simple(struct example *example) {
    struct lift lift = strut_of(example);
    assert_null(lift_check(&lift));
    struct lift_strut_shape shape = lift_strut_shape(&lift.strut);
    example_out(example, "a", shape.pin_radius_m);
    example_out(example, "b", shape.pinion_radius_m);
    example_out(example, "psi0", shape.included_rad);
    example_out(example, "theta_dead_inner", shape.dead_inner_rad);
    example_out(example, "theta_dead_outer", shape.dead_outer_rad);
    example_out(example, "D_min", shape.shortest_m);
    example_out(example, "D_max", shape.longest_m);
    double theta[5], travel[5], arm[5], rate[5];
    size_t count = example_in_list(example, "theta", theta, 5);
    for (size_t i = 0; i < count; i++) {
        travel[i] = lift_rack_travel(&lift, theta[i]);
        arm[i] = lift_rack_arm(&lift, theta[i]);
        rate[i] = example_in(example, "v_rack") / arm[i];
    }
    example_out_list(example, "travel", travel, count);
    example_out_list(example, "h", arm, count);
    example_out_list(example, "leaf_rate_at_v_rack", rate, count);
}

static void strut_exact(struct example *example) {
    static const struct {
        const char *travel, *arm;
        double offset_m;
        bool is_pinion_left;
    } cases[] = {{"travel_sp_e0", "arm_sp_e0", 0, false},
                 {"travel_sm_e0", "arm_sm_e0", 0, true},
                 {"travel_sm_e015", "arm_sm_e015", 0.015, true}};
    struct lift lift = strut_of(example);
    lift.strut.pinion_radius_m = example_in(example, "r_pinion");
    double theta[5], travel[5], arm[5];
    size_t count = example_in_list(example, "theta", theta, 5);
    for (size_t c = 0; c < 3; c++) {
        lift.strut.offset_m = cases[c].offset_m;
        lift.strut.is_pinion_left = cases[c].is_pinion_left;
        assert_null(lift_check(&lift));
        for (size_t i = 0; i < count; i++) {
            travel[i] = lift_rack_travel(&lift, theta[i]);
            arm[i] = lift_rack_arm(&lift, theta[i]);
        }
        example_out_list(example, cases[c].travel, travel, count);
        example_out_list(example, cases[c].arm, arm, count);
    }
}

static void strut_extremes(struct example *example) {
    example_in_text(example, "same_geometry_as", "G2");
    struct lift lift = strut_of(examples_borrow("lift", "G2"));
    struct lift_strut_shape shape = lift_strut_shape(&lift.strut);
    example_out(example, "theta_of_max_arm", shape.greatest_arm_rad);
    example_out(example, "max_arm", shape.greatest_arm_m);
    example_out(example, "travel_max_before_dead_centre",
                lift_rack_travel(&lift, shape.dead_inner_rad));
    assert_true(fabs(lift_rack_arm(&lift, shape.greatest_arm_rad) - shape.greatest_arm_m) < 1e-12);
}

static void rolling_drive(struct example *example, struct lift *lift, enum lift_rolling_drive drive,
                          const char *const outs[3]) {
    lift->rolling.drive = drive;
    assert_null(lift_check(lift));
    double r = lift->rolling.pinion_radius_m;
    double force =
        drive_rack_force_n(example_in(example, "M"), 0, 0, lift_rack_arm(lift, lift->travel));
    example_out(example, outs[0], lift_rack_travel(lift, lift->travel) / r);
    example_out(example, outs[1], force);
    example_out(example, outs[2], force * r);
}

static void rolling(struct example *example) {
    static const char *const below[] = {"below_pinion_turns_in_leaf", "below_F_rack",
                                        "below_T_pinion"};
    static const char *const above[] = {"above_pinion_turns_in_leaf", "above_F_rack",
                                        "above_T_pinion"};
    struct lift lift = {.kind = LIFT_ROLLING,
                        .travel = example_in(example, "theta"),
                        .rolling = {.radius_m = example_in(example, "R_roll"),
                                    .pinion_radius_m = example_in(example, "r_pinion")}};
    struct point seated = point_in(example, "toe_from_roll_centre");
    struct point toe = lift_rolling_point(&lift.rolling, seated, lift.travel);
    struct point rear =
        lift_rolling_point(&lift.rolling, point_in(example, "cw_point"), lift.travel);
    double radius = lift.rolling.radius_m;
    example_out(example, "centre_shift",
                lift_rolling_point(&lift.rolling, (struct point){0, 0}, lift.travel).x_m);
    example_out_list(example, "toe_xy_after", (double[]){toe.x_m, toe.y_m + radius}, 2);
    example_out_list(example, "cw_xy_after", (double[]){rear.x_m, rear.y_m + radius}, 2);
    example_out(example, "toe_retreat", seated.x_m - toe.x_m);
    rolling_drive(example, &lift, LIFT_ROLLING_RACK_BELOW, below);
    rolling_drive(example, &lift, LIFT_ROLLING_RACK_ABOVE, above);
    lift.rolling.drive = LIFT_ROLLING_RACK_ON_LEAF;
    assert_true(fabs(lift_rack_travel(&lift, lift.travel) +
                     lift_rolling_point(&lift.rolling, (struct point){0, 0}, lift.travel).x_m) <
                1e-12);
}

static void vertical(struct example *example) {
    struct lift lift = {
        .kind = LIFT_VERTICAL, .travel = example_in(example, "lift"), .parts_of_line = 1};
    double drum = example_in(example, "drum_diameter") / 2;
    struct balance_ropes ropes = {
        .span_kg = example_in(example, "W_span") / NUMBER_GRAVITY_M_S2,
        .counterweight_kg = example_in(example, "W_cw") / NUMBER_GRAVITY_M_S2,
        .rope_kg_m = example_in(example, "rope_weight") / NUMBER_GRAVITY_M_S2,
        .ropes = (unsigned)example_in(example, "ropes"),
        .span_side_m = example_in(example, "span_side_len0"),
        .counterweight_side_m = example_in(example, "cw_side_len0")};
    struct balance balance;
    assert_null(lift_check(&lift));
    assert_null(balance_of_ropes(&ropes, &balance));
    double y[3], force[3], torque[3];
    size_t count = example_in_list(example, "y", y, 3);
    for (size_t i = 0; i < count; i++) {
        force[i] = balance_moment(&balance, y[i]);
        torque[i] = drive_rack_force_n(force[i], 0, 0, lift_rack_arm(&lift, y[i])) * drum;
    }
    example_out(example, "drum_turns_full", lift_rack_travel(&lift, lift.travel) / drum);
    example_out_list(example, "net_down_force", force, count);
    example_out_list(example, "drum_torque", torque, count);
    example_out(example, "y_balance", balance_ropes_even_m(&ropes));
    lift.parts_of_line = 2;
    assert_true(fabs(lift_rack_travel(&lift, 0.8) - 1.6) < 1e-12);
}

static void swing(struct example *example) {
    struct lift lift = {.kind = LIFT_SWING,
                        .travel = example_in(example, "theta"),
                        .rack_radius_m = example_in(example, "R_rack")};
    double tip = example_in(example, "L_tip"), back = example_in(example, "L_back");
    double width = example_in(example, "width"), pinion = example_in(example, "r_pinion");
    struct balance_item leaf = {.mass_kg = example_in(example, "mass"),
                                .at = {(tip - back) / 2, 0},
                                .length_m = tip + back,
                                .height_m = width};
    struct balance balance;
    assert_null(lift_check(&lift));
    assert_null(balance_of_items(LIFT_SWING, 0, &leaf, 1, &balance));
    double ramp = example_in(example, "t_ramp");
    double speed = lift.travel / (example_in(example, "T_total") - ramp);
    struct profile profile;
    assert_null(profile_of_trapezoid(
        &(struct profile_trapezoid){lift.travel, speed, speed / ramp, speed / ramp}, &profile));
    double inertial = balance_inertia(&balance, 0) * profile.phase[PROFILE_UP].acceleration;
    double arm = lift_rack_arm(&lift, 0), friction = example_in(example, "T_friction");
    double force = drive_rack_force_n(balance_moment(&balance, 0), friction, inertial, arm);
    struct point end = {tip, 0}, swung = point_turned(end, lift.travel);
    example_out(example, "pinion_turns", lift_rack_travel(&lift, lift.travel) / pinion);
    example_out(example, "I_pivot", balance_inertia(&balance, 0));
    example_out(example, "omega_max", profile.peak_speed);
    example_out(example, "alpha", profile.phase[PROFILE_UP].acceleration);
    example_out(example, "T_rack_circle_peak", force * arm);
    example_out(example, "T_pinion_peak", force * pinion);
    example_out(example, "tip_corner_radius", point_radius_m((struct point){tip, width / 2}));
    example_out(example, "tip_chord", point_radius_m(point_difference(swung, end)));
    assert_true(fabs(profile.duration_s - 40) < 1e-9); /* T_total */
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {
        {"G1", sector},  {"G2", strut_simple}, {"G3", strut_exact}, {"G4", strut_extremes},
        {"G5", rolling}, {"G6", vertical},     {"G7", swing},
    };
    examples_run("lift", tests, sizeof tests / sizeof tests[0]);
}

static const struct lift good[] = {
    {.kind = LIFT_SECTOR, .travel = 1.3, .rack_radius_m = 0.25},
    {.kind = LIFT_STRUT,
     .travel = 80 * NUMBER_PI / 180,
     .strut = {{0.55, 0.3}, {-0.45, 0.85}, 0.00635, 0.01, true}},
    {.kind = LIFT_ROLLING, .travel = 1.2, .rolling = {0.4, LIFT_ROLLING_RACK_BELOW, 0.00635}},
    {.kind = LIFT_VERTICAL, .travel = 0.8, .parts_of_line = 2},
    {.kind = LIFT_SWING, .travel = 1.5, .rack_radius_m = 0.2},
};

/* The arm is the slope of the rack travel, of every kind, and the inverse leads back. */
static void arm_is_slope_of_travel(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        const struct lift *lift = &good[i];
        assert_null(lift_check(lift));
        for (int step = 0; step <= 10; step++) {
            double at = lift->travel * step / 10, small = 1e-5;
            double slope =
                (lift_rack_travel(lift, at + small) - lift_rack_travel(lift, at - small)) /
                (2 * small);
            assert_true(fabs(slope - lift_rack_arm(lift, at)) < 1e-7);
        }
    }
}

static const char *check(const void *what) {
    return lift_check(what);
}

static void bad_numbers_are_refused(void **state) {
    (void)state;
    struct lift lift = good[0];
    bad_numbers_refused(&lift.travel, NOT_ABOVE_ZERO, check, &lift);
    bad_numbers_refused(&lift.rack_radius_m, NOT_ABOVE_ZERO, check, &lift);
    lift = good[1];
    bad_numbers_refused(&lift.strut.pin.x_m, NOT_FINITE, check, &lift);
    bad_numbers_refused(&lift.strut.pin.y_m, NOT_FINITE, check, &lift);
    bad_numbers_refused(&lift.strut.pinion.x_m, NOT_FINITE, check, &lift);
    bad_numbers_refused(&lift.strut.pinion.y_m, NOT_FINITE, check, &lift);
    bad_numbers_refused(&lift.strut.pinion_radius_m, NEGATIVE, check, &lift);
    bad_numbers_refused(&lift.strut.offset_m, NOT_FINITE, check, &lift);
    lift = good[2];
    bad_numbers_refused(&lift.rolling.radius_m, NOT_ABOVE_ZERO, check, &lift);
    bad_numbers_refused(&lift.rolling.pinion_radius_m, NOT_ABOVE_ZERO, check, &lift);
}

static void impossible_lifts_are_refused(void **state) {
    (void)state;
    struct lift lift = good[0];
    lift.travel = NUMBER_PI;
    bad_numbers_said(lift_check(&lift), "half a turn");
    lift = good[2];
    lift.rolling.pinion_radius_m = 0.4;
    bad_numbers_said(lift_check(&lift), "smaller than the rolling segment");
    lift.rolling.drive = LIFT_ROLLING_RACK_ON_LEAF; /* has no pinion to be smaller */
    assert_null(lift_check(&lift));
    lift.rolling.drive = (enum lift_rolling_drive)9;
    bad_numbers_said(lift_check(&lift), "no such way");
    lift.kind = (enum lift_kind)9;
    bad_numbers_said(lift_check(&lift), "no such kind");
    lift = good[3];
    lift.parts_of_line = 0;
    bad_numbers_said(lift_check(&lift), "part of line");
}

static void impossible_struts_are_refused(void **state) {
    (void)state;
    struct lift lift = good[1];
    lift.strut.pin = (struct point){0, 0};
    bad_numbers_said(lift_check(&lift), "away from the trunnion");
    lift = good[1];
    lift.strut.pinion = (struct point){0.5, -0.6}; /* would push it shut */
    bad_numbers_said(lift_check(&lift), "cannot raise");
    lift = good[1];
    lift.travel = 90 * degree; /* G2: dead at 89.29 degrees */
    bad_numbers_said(lift_check(&lift), "passes its dead centre");
    lift.travel = 86 * degree; /* G2: the arm is a quarter of its greatest near 82.9 */
    bad_numbers_said(lift_check(&lift), "too near a dead centre");
    lift = good[1];
    lift.strut.pinion_radius_m = 0.5;
    bad_numbers_said(lift_check(&lift), "cannot meet the pinion");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(arm_is_slope_of_travel),
        cmocka_unit_test(bad_numbers_are_refused),
        cmocka_unit_test(impossible_lifts_are_refused),
        cmocka_unit_test(impossible_struts_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
