/* What a builder asks, of a lift with known numbers: the row's value, and its verdict on both sides
 * of the limit. */
#include "mechanics/findings/findings.h"
#include "support/check.h"
#include "support/mechanics/sizing_example.h"

#include <math.h>

static struct sizing_given example(void) {
    struct sizing_given given = sizing_example();
    given.builder = (struct builder_given){.heat = {4, 8, 30, 900, 30, 105},
                                           .duty = {12, 600, 120},
                                           .stall_watch_s = 0.5,
                                           .lead_m = 3,
                                           .wire_mm2 = NAN,
                                           .teeth = 16,
                                           .module_m = 0.00079375,
                                           .face_m = 0.008,
                                           .tooth_pa = 6e7,
                                           .bearings = {2, 0.012, 0.02, 1e7, 0.15},
                                           .trains = 1,
                                           .train = {{6, 1.4, 0, 2.4}},
                                           .push_n = 20,
                                           .tower = {25, -0.1, 1, 0.3, -0.8, 0.5, 0, 0},
                                           .backlash = {0.0175, 0.0087, 0.0001},
                                           .scale = NAN,
                                           .joint_m = 0.0007,
                                           .stiffness_n_m2 = 8000,
                                           .leaf_n_m = 150,
                                           .overhang_m = 0.02,
                                           .tolerance_frac = 0.02};
    return given;
}

static struct findings ask(const struct sizing_given *given) {
    struct sizing sizing = sizing_of(given);
    return findings_of(given, &sizing);
}

static struct finding find(const struct sizing_given *given, enum finding_about about) {
    struct findings findings = ask(given);
    for (unsigned i = 0; i < findings.count; i++) {
        if (findings.finding[i].about == about) {
            return findings.finding[i];
        }
    }
    fail_msg("no row %d", (int)about);
    return findings.finding[0];
}

static enum verdict_state state_of(const struct sizing_given *given, enum finding_about about) {
    return find(given, about).state;
}

static void rows_come_in_the_order_of_the_list(void **state) {
    (void)state;
    struct sizing_given given = example();
    struct findings findings = ask(&given);
    assert_true(findings.count > 5 && findings.count < FINDINGS_MAX);
    for (unsigned i = 1; i < findings.count; i++) {
        assert_true(finding_topic(findings.finding[i].about) >=
                    finding_topic(findings.finding[i - 1].about));
    }
}

static void a_span_moved_by_hand_has_none(void **state) {
    (void)state;
    struct sizing_given given = example();
    given.is_hand = true;
    assert_int_equal(ask(&given).count, 0);
}

static void a_row_without_its_value_is_unknown_or_left_out(void **state) {
    (void)state;
    struct findings findings = {0};
    findings_report(&findings, FINDING_FUSE, NAN);
    assert_int_equal(findings.count, 0);
    assert_int_equal(findings_judge(&findings, FINDING_WIRE, NAN, 1, INFINITY)->state,
                     VERDICT_UNKNOWN);
    assert_int_equal(findings_judge(&findings, FINDING_WIRE, 2, NAN, INFINITY)->state,
                     VERDICT_UNKNOWN);
    assert_int_equal(findings_judge(&findings, FINDING_WIRE, 2, 3, INFINITY)->state, VERDICT_BAD);
    assert_int_equal(findings.count, 3);
    assert_int_equal(findings_bad(&findings), 1);
}

static void too_many_rows_are_left_out(void **state) {
    (void)state;
    struct findings findings = {0};
    for (int i = 0; i < FINDINGS_MAX + 2; i++) {
        findings_report(&findings, FINDING_FUSE, 1);
    }
    assert_int_equal(findings.count, FINDINGS_MAX);
}

/* --- heat --- */

static void a_stall_must_end_before_the_winding_burns(void **state) {
    (void)state;
    struct sizing_given given = example();
    given.supply_a = 42; /* all that 12 V drive through 0.286 ohm: about a second */
    assert_int_equal(state_of(&given, FINDING_STALL_WATCH_TIME), VERDICT_GOOD);
    given.builder.stall_watch_s = 2;
    assert_int_equal(state_of(&given, FINDING_STALL_WATCH_TIME), VERDICT_BAD);
    given.supply_a = NAN; /* a small one would be good */
    assert_int_equal(state_of(&given, FINDING_STALL_WATCH_TIME), VERDICT_UNKNOWN);
    given.supply_a = 2;
    assert_int_equal(state_of(&given, FINDING_STALL_WATCH_TIME), VERDICT_GOOD);
}

static void a_winding_above_its_limit_is_bad(void **state) {
    (void)state;
    struct sizing_given given = example();
    assert_int_equal(state_of(&given, FINDING_WINDING_EVENING), VERDICT_GOOD);
    given.builder.heat.to_air_k_w = 200;
    given.builder.duty.every_s = 120;
    assert_int_equal(state_of(&given, FINDING_WINDING_EVENING), VERDICT_BAD);
}

static void a_thin_wire_and_a_long_lead_are_bad(void **state) {
    (void)state;
    struct sizing_given given = example();
    given.builder.wire_mm2 = 1;
    assert_int_equal(state_of(&given, FINDING_WIRE), VERDICT_GOOD);
    given.builder.wire_mm2 = 0.2;
    given.builder.lead_m = 5;
    assert_int_equal(state_of(&given, FINDING_WIRE), VERDICT_BAD);
    assert_int_equal(state_of(&given, FINDING_LEAD_LOSS), VERDICT_BAD);
}

static void the_supply_must_have_current_to_spare(void **state) {
    (void)state;
    struct sizing_given given = example();
    double wanted_a = find(&given, FINDING_SUPPLY_RATING).value;
    struct sizing sizing = sizing_of(&given);
    assert_true(fabs(wanted_a - 1.25 * sizing.demand.current_a) < 1e-12);
    given.supply_a = 0.99 * wanted_a;
    assert_int_equal(state_of(&given, FINDING_SUPPLY_RATING), VERDICT_BAD);
}

/* --- loads --- */

static void a_narrow_tooth_is_bad_and_one_of_unknown_width_unknown(void **state) {
    (void)state;
    struct sizing_given given = example();
    struct finding force = find(&given, FINDING_RACK_FORCE);
    /* Lewis with Y = 0.296: Shigley's table 14-2, from memory. */
    double width_m = force.value / (6e7 * 0.00079375 * 0.296);
    given.builder.face_m = width_m * 1.01;
    assert_int_equal(state_of(&given, FINDING_TOOTH_STRESS), VERDICT_GOOD);
    given.builder.face_m = width_m * 0.99;
    assert_int_equal(state_of(&given, FINDING_TOOTH_STRESS), VERDICT_BAD);
    given.builder.face_m = NAN;
    assert_int_equal(state_of(&given, FINDING_TOOTH_STRESS), VERDICT_UNKNOWN);
}

/* 5 A through 0.286 ohm, Kt 6.66 mN m/A: 26.6 mN m; 400:1, 6.35 mm, what is lost least. */
static void a_jam_pushes_with_all_that_the_supply_gives(void **state) {
    (void)state;
    struct sizing_given given = example();
    double efficiency = worm_efficiency(&given.chain.drive.worm, 0.08) * 0.85 * 0.95;
    double wanted_n = 0.00665852313 * 4 * 400 / 0.00635 * efficiency;
    assert_true(fabs(find(&given, FINDING_JAM_FORCE).value - wanted_n) < 1e-6 * wanted_n);
}

static void small_bearings_are_bad(void **state) {
    (void)state;
    struct sizing_given given = example();
    assert_int_equal(state_of(&given, FINDING_BEARING_PRESSURE), VERDICT_GOOD);
    given.builder.bearings.diameter_m = 0.002;
    assert_int_equal(state_of(&given, FINDING_BEARING_PRESSURE), VERDICT_BAD);
}

static void a_train_behind_the_axis_may_lift_the_toe(void **state) {
    (void)state;
    struct sizing_given given = example();
    double seat_n = sizing_of(&given).seat_n;
    assert_true(find(&given, FINDING_SEAT_MOST).value > seat_n + 20);
    given.builder.train[0] = (struct seats_train){40, 0.6, -0.6, 2.4};
    double least_n = find(&given, FINDING_SEAT_LEAST).value;
    assert_true(fabs(least_n - (seat_n - 40 * 9.80665 * 0.3 / 2.4)) < 1e-9);
    assert_int_equal(state_of(&given, FINDING_SEAT_LEAST), VERDICT_BAD);
    given.builder.train[0].mass_kg = NAN;
    assert_int_equal(state_of(&given, FINDING_SEAT_MOST), VERDICT_UNKNOWN);
}

/* --- a hand at the toe --- */

static void a_tower_that_a_hand_tips_is_bad(void **state) {
    (void)state;
    struct sizing_given given = example();
    struct bump bump = bump_tips(&given.chain, 2.4, &given.builder.tower);
    given.builder.push_n = bump.push_n / 1.51;
    assert_int_equal(state_of(&given, FINDING_PUSH_TIPS), VERDICT_GOOD);
    given.builder.push_n = bump.push_n / 1.49;
    assert_int_equal(state_of(&given, FINDING_PUSH_TIPS), VERDICT_BAD);
    given.builder.tower.mass_kg = NAN;
    assert_int_equal(state_of(&given, FINDING_PUSH_TIPS), VERDICT_UNKNOWN);
}

static void what_holds_the_drive_is_judged_where_no_worm_locks(void **state) {
    (void)state;
    struct sizing_given given = example();
    struct findings findings = ask(&given);
    for (unsigned i = 0; i < findings.count; i++) {
        assert_true(findings.finding[i].about != FINDING_PUSH_TURNS); /* the worm locks */
    }
    given.chain.drive.has_worm = false;
    double brushes_only_n = find(&given, FINDING_PUSH_TURNS).value;
    given.stop.brake_n_m = 0.1;
    double braked_n = find(&given, FINDING_PUSH_TURNS).value;
    assert_true(braked_n > brushes_only_n);
    given.chain.friction_running += 5;
    assert_true(find(&given, FINDING_PUSH_TURNS).value > braked_n);
    assert_int_equal(state_of(&given, FINDING_PUSH_BREAKS), VERDICT_BAD); /* 20 N and a half */
}

static void without_a_toe_nothing_is_said_of_a_hand(void **state) {
    (void)state;
    struct sizing_given given = example();
    given.toe_x_m = NAN;
    assert_int_equal(state_of(&given, FINDING_PUSH), VERDICT_UNKNOWN);
}

/* --- backlash --- */

static void play_at_the_toe_is_held_against_the_rail_joint(void **state) {
    (void)state;
    struct sizing_given given = example();
    struct finding toe = find(&given, FINDING_PLAY_TOE);
    double rack_m = (0.0175 / 40 + 0.0087) * 0.00635 + 0.0001; /* worm 40:1, pinion 6.35 mm */
    double wanted_m = rack_m / lift_rack_arm(&given.chain.lift, 0) * 2.4;
    assert_true(fabs(toe.value - wanted_m) < 1e-12);
    given.builder.joint_m = wanted_m * 0.99;
    assert_true(!find(&given, FINDING_PLAY_TOE).is_judged); /* 11 N on the seat take it out */
    given.chain.balance.sx_kg_m = -0.1;
    given.builder.joint_m = wanted_m * 1.01;
    assert_int_equal(state_of(&given, FINDING_PLAY_TOE), VERDICT_GOOD);
    given.builder.joint_m = wanted_m * 0.99;
    assert_int_equal(state_of(&given, FINDING_PLAY_TOE), VERDICT_BAD);
    given.builder.joint_m = NAN;
    assert_int_equal(state_of(&given, FINDING_PLAY_TOE), VERDICT_UNKNOWN);
}

/* The example's leaf is balanced at 62.4 degrees (90 less its balance angle of 27.6). */
static void the_toe_falls_where_the_balance_changes_sides(void **state) {
    (void)state;
    struct sizing_given given = example();
    assert_true(fabs(find(&given, FINDING_PLAY_FALLS).at * 57.29577951 - 62.397) < 0.05);
}

static void play_beyond_the_contacts_tolerance_is_bad(void **state) {
    (void)state;
    struct sizing_given given = example();
    assert_int_equal(state_of(&given, FINDING_PLAY_TRAVEL), VERDICT_GOOD);
    given.builder.backlash.rack_m = 0.02;
    assert_int_equal(state_of(&given, FINDING_PLAY_TRAVEL), VERDICT_BAD);
}

/* --- stiffness --- */

/* L/640 of 2.4 m: AREMA, from memory. */
static void a_leaf_that_bends_too_much_is_bad(void **state) {
    (void)state;
    struct sizing_given given = example();
    struct finding bend = find(&given, FINDING_BEND);
    assert_true(fabs(bend.most - 2.4 / 640) < 1e-12);
    given.builder.stiffness_n_m2 *= bend.value / bend.most * 1.01;
    assert_int_equal(state_of(&given, FINDING_BEND), VERDICT_GOOD);
    given.builder.stiffness_n_m2 /= 1.02;
    assert_int_equal(state_of(&given, FINDING_BEND), VERDICT_BAD);
}

static void a_step_at_the_joint_is_held_against_the_scale(void **state) {
    (void)state;
    struct sizing_given given = example();
    given.builder.joint_m = find(&given, FINDING_STEP).value * 1.01;
    assert_int_equal(state_of(&given, FINDING_STEP), VERDICT_GOOD);
    given.builder.overhang_m *= 1.02;
    assert_int_equal(state_of(&given, FINDING_STEP), VERDICT_BAD);
    given.builder.joint_m = NAN;
    assert_string_equal(find(&given, FINDING_STEP).needs, "/scale");
    given.builder.train[0].mass_kg = NAN;
    assert_string_equal(find(&given, FINDING_STEP).needs, "/tracks/0/trains/mass");
    given.toe_x_m = NAN;
    assert_string_equal(find(&given, FINDING_BEND).needs, "/leaf/toe");
    assert_string_equal(find(&given, FINDING_SEAT_MOST).needs, "/leaf/toe");
    given.builder.stiffness_n_m2 = NAN;
    assert_string_equal(find(&given, FINDING_BEND).needs, "/leaf/girders");
}

/* --- scale --- */

/* 1:16: times by 4, lengths by 16, masses by 4096. */
static void a_model_is_told_as_its_prototype(void **state) {
    (void)state;
    struct sizing_given given = example();
    assert_int_equal(state_of(&given, FINDING_SCALE), VERDICT_UNKNOWN);
    given.builder.scale = 16;
    given.builder.prototype_opening_s = 90;
    given.builder.prototype_leaf_m = 40;
    struct sizing sizing = sizing_of(&given);
    assert_true(find(&given, FINDING_OPENING_RIGHT).value == 22.5);
    assert_true(find(&given, FINDING_OPENING_AS).value == 4 * sizing.up.duration_s);
    double toe_m_s = sizing.up.peak_frac_s * given.chain.lift.travel * 2.4;
    assert_true(fabs(find(&given, FINDING_TOE_SPEED_AS).value - 4 * toe_m_s) < 1e-12);
    assert_true(fabs(find(&given, FINDING_LEAF_AS).value - 38.4) < 1e-12);
    assert_true(find(&given, FINDING_LEAF_RIGHT).value == 2.5);
    assert_true(fabs(find(&given, FINDING_MASS_AS).value - 4096 * 93.7) < 1e-6);
    assert_true(find(&given, FINDING_TRAIN_AS).value == 8); /* 0.5 m/s x 16: time is not scaled */
}

/* --- ropes --- */

static struct sizing_given lifted(void) {
    struct sizing_given given = example();
    const struct balance_ropes ropes = {.span_kg = 30,
                                        .counterweight_kg = 29.6,
                                        .ropes = 4,
                                        .rope_kg_m = 0.09,
                                        .span_side_m = 1.2,
                                        .counterweight_side_m = 0.4};
    given.chain.lift = (struct lift){.kind = LIFT_VERTICAL, .travel = 0.8, .parts_of_line = 1};
    assert_null(balance_of_ropes(&ropes, &given.chain.balance));
    given.builder.rope = (struct rope){false, 0.0015, 400, 4e10, 0.03};
    return given;
}

static void ropes_are_judged_by_safety_and_sheave(void **state) {
    (void)state;
    struct sizing_given given = lifted();
    double tension_n = 9.80665 * (29.6 / 4 + 0.09 * 1.6);
    assert_true(fabs(find(&given, FINDING_ROPE_TENSION).value - tension_n) < 1e-9);
    assert_int_equal(state_of(&given, FINDING_ROPE_SAFETY), VERDICT_GOOD);
    assert_int_equal(state_of(&given, FINDING_ROPE_SHEAVE), VERDICT_GOOD);
    given.builder.rope.breaking_n = 4.9 * tension_n;
    given.builder.rope.sheave_m = 0.029;
    assert_int_equal(state_of(&given, FINDING_ROPE_SAFETY), VERDICT_BAD);
    assert_int_equal(state_of(&given, FINDING_ROPE_SHEAVE), VERDICT_BAD);
    given.builder.rope.breaking_n = NAN;
    assert_int_equal(state_of(&given, FINDING_ROPE_SAFETY), VERDICT_UNKNOWN);
}

static void a_chain_is_judged_by_safety_alone(void **state) {
    (void)state;
    struct sizing_given given = lifted();
    given.builder.rope.is_chain = true;
    struct findings findings = ask(&given);
    for (unsigned i = 0; i < findings.count; i++) {
        assert_true(findings.finding[i].about != FINDING_ROPE_STRETCH);
        assert_true(findings.finding[i].about != FINDING_ROPE_SHEAVE);
    }
    assert_int_equal(state_of(&given, FINDING_ROPE_SAFETY), VERDICT_GOOD);
}

/* --- rolling --- */

static void a_segment_that_needs_more_friction_than_there_is_slips(void **state) {
    (void)state;
    struct sizing_given given = example();
    given.chain.lift =
        (struct lift){.kind = LIFT_ROLLING, .travel = 1.2, .rolling = {.radius_m = 0.4}};
    given.builder.track_mu = 1;
    double needed = find(&given, FINDING_SLIP).value;
    given.builder.track_mu = needed * 1.51;
    assert_int_equal(state_of(&given, FINDING_SLIP), VERDICT_GOOD);
    given.builder.track_mu = needed * 1.49;
    assert_int_equal(state_of(&given, FINDING_SLIP), VERDICT_BAD);
    given.builder.is_track_toothed = true;
    assert_false(find(&given, FINDING_SLIP).is_judged);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_come_in_the_order_of_the_list),
        cmocka_unit_test(a_span_moved_by_hand_has_none),
        cmocka_unit_test(a_row_without_its_value_is_unknown_or_left_out),
        cmocka_unit_test(too_many_rows_are_left_out),
        cmocka_unit_test(a_stall_must_end_before_the_winding_burns),
        cmocka_unit_test(a_winding_above_its_limit_is_bad),
        cmocka_unit_test(a_thin_wire_and_a_long_lead_are_bad),
        cmocka_unit_test(the_supply_must_have_current_to_spare),
        cmocka_unit_test(a_narrow_tooth_is_bad_and_one_of_unknown_width_unknown),
        cmocka_unit_test(a_jam_pushes_with_all_that_the_supply_gives),
        cmocka_unit_test(small_bearings_are_bad),
        cmocka_unit_test(a_train_behind_the_axis_may_lift_the_toe),
        cmocka_unit_test(a_tower_that_a_hand_tips_is_bad),
        cmocka_unit_test(what_holds_the_drive_is_judged_where_no_worm_locks),
        cmocka_unit_test(without_a_toe_nothing_is_said_of_a_hand),
        cmocka_unit_test(play_at_the_toe_is_held_against_the_rail_joint),
        cmocka_unit_test(the_toe_falls_where_the_balance_changes_sides),
        cmocka_unit_test(play_beyond_the_contacts_tolerance_is_bad),
        cmocka_unit_test(a_leaf_that_bends_too_much_is_bad),
        cmocka_unit_test(a_model_is_told_as_its_prototype),
        cmocka_unit_test(ropes_are_judged_by_safety_and_sheave),
        cmocka_unit_test(a_chain_is_judged_by_safety_alone),
        cmocka_unit_test(a_segment_that_needs_more_friction_than_there_is_slips),
        cmocka_unit_test(a_step_at_the_joint_is_held_against_the_scale),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
