/* The words of every verdict, good and bad, and of its margin. */
#include "mechanics/number.h"
#include "plots/sizing_words.h"
#include "support/check.h"
#include "support/mechanics/sizing_example.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static const double degree = NUMBER_PI / 180;

/* Too large for the stack. */
static struct net_bridge_setup net;
static struct config_bridge bridge;
static struct sizing_report report;

static int begin(void **state) {
    (void)state;
    memset(&report, 0, sizeof report);
    bridge.sizing = sizing_example();
    snprintf(bridge.corner_name[1], sizeof bridge.corner_name[1], "toe");
    snprintf(bridge.weight_corner_name[1], sizeof bridge.weight_corner_name[1], "iron");
    snprintf(net.track_name[1], sizeof net.track_name[1], "main");
    snprintf(net.end_name[1][0], sizeof net.end_name[1][0], "east");
    report =
        (struct sizing_report){.index = 2, .net = &net, .bridge = &bridge, .given = &bridge.sizing};
    report.sizing.demand.torque_way = CHAIN_UP;
    return 0;
}

/* A value between two bounds, or one. */
static struct verdict verdict_of(enum verdict_about about, double value, double least,
                                 double most) {
    double margin = fmin(value - least, most - value);
    return (struct verdict){.about = about,
                            .state = margin >= 0 ? VERDICT_GOOD : VERDICT_BAD,
                            .value = value,
                            .least = least,
                            .most = most,
                            .margin = margin,
                            .at = 62 * degree,
                            .index = 1};
}

static void assert_words(const struct verdict *verdict, const char *words, const char *margin) {
    char found[512];
    sizing_words_verdict(&report, verdict, found, sizeof found);
    assert_string_equal(found, words);
    sizing_words_margin(&report, verdict, found, sizeof found);
    assert_string_equal(found, margin);
}

static void each_verdict_is_told_with_its_margin(void **state) {
    (void)state;
    const struct {
        enum verdict_about about;
        double value, least, most;
        const char *words, *margin;
    } rows[] = {
        {VERDICT_CEILING, 0.041, 0.01, INFINITY, "clears the ceiling by 41 mm at 62 deg (toe)",
         "31 mm"},
        {VERDICT_CEILING, 0.004, 0.01, INFINITY,
         "clears the ceiling by only 4.0 mm at 62 deg (toe); wanted 10 mm", "-6.0 mm"},
        {VERDICT_FLOOR, -0.012, 0.01, INFINITY,
         "strikes the floor: 12 mm too far at 62 deg (toe); wanted 10 mm", "-22 mm"},
        {VERDICT_WALL, 1.5, 0.01, INFINITY, "clears the wall behind by 1.50 m at 62 deg (toe)",
         "1.49 m"},
        {VERDICT_WEIGHT_FLOOR, -0.055, 0.01, INFINITY,
         "counterweight strikes the floor: 55 mm too far at 62 deg (iron); wanted 10 mm", "-65 mm"},
        {VERDICT_WEIGHT_CEILING, 0.62, 0.01, INFINITY,
         "counterweight clears the ceiling by 620 mm at 62 deg (iron)", "610 mm"},
        {VERDICT_WEIGHT_WALL, 0.004, 0.01, INFINITY,
         "counterweight clears the wall behind by only 4.0 mm at 62 deg (iron); wanted 10 mm",
         "-6.0 mm"},
        {VERDICT_ARM, 0.43, 0.25, INFINITY,
         "strut keeps 43 % of its greatest lever arm, at 62 deg; least 25 %", "18 %"},
        {VERDICT_SEAT, 6.1, 4, 10, "toe reaction 6.1 N, wanted 4 to 10 N", "2.1 N"},
        {VERDICT_SEAT, 2, 4, 10, "toe reaction 2 N, wanted 4 to 10 N: 2 N too little", "-2 N"},
        {VERDICT_SEAT, 14.5, 4, 10, "toe reaction 14.5 N, wanted 4 to 10 N: 4.5 N too much",
         "-4.5 N"},
        {VERDICT_SEAT, -1.2, 4, 10,
         "toe reaction -1.2 N, wanted 4 to 10 N: it would rise by itself", "-5.2 N"},
        {VERDICT_TORQUE, 0.23, -INFINITY, 0.3,
         "motor works at 23 % of stall, raising at 62 deg; most 30 %", "7.0 %"},
        {VERDICT_VOLTAGE, 9.1, -INFINITY, 12, "full speed takes 9.1 V of the supply's 12 V",
         "2.9 V"},
        {VERDICT_VOLTAGE, 14, -INFINITY, 12, "full speed needs 14 V; the supply gives only 12 V",
         "-2 V"},
        {VERDICT_SUPPLY, 1.9, -INFINITY, 5, "moving takes 1.9 A of the supply's 5 A", "3.1 A"},
        {VERDICT_SUPPLY, 5.5, -INFINITY, 5, "moving needs 5.5 A; the supply gives only 5 A",
         "-0.5 A"},
        {VERDICT_STALL_WATCH, 3.2, 1.9, 6,
         "stall watch at 3.2 A lies between 1.9 A moving and 6 A stalled while it creeps", "1.3 A"},
        {VERDICT_STALL_WATCH, 1.5, 1.9, 6,
         "stall watch at 1.5 A would trip while moving, which takes 1.9 A", "-0.4 A"},
        {VERDICT_STALL_WATCH, 7, 1.9, 6,
         "stall watch at 7 A would not see a stall, which takes 6 A while it creeps", "-1 A"},
        {VERDICT_RAISING, 38, -INFINITY, 57, "opening takes 38 s; its limit is 57 s", "19 s"},
        {VERDICT_LOWERING, 61, -INFINITY, 57, "closing takes 61 s; its limit is 57 s", "-4 s"},
    };
    unsigned told = 0;
    for (size_t i = 0; i < COUNT(rows); i++) {
        struct verdict verdict =
            verdict_of(rows[i].about, rows[i].value, rows[i].least, rows[i].most);
        assert_words(&verdict, rows[i].words, rows[i].margin);
        told |= 1u << rows[i].about;
    }
    told |= 1u << VERDICT_HOLD | 1u << VERDICT_TIPPING | 1u << VERDICT_HEEL; /* below */
    assert_int_equal(told, (1u << VERDICT_STOP_SECTION) - 1);
}

static void what_holds_is_named(void **state) {
    (void)state;
    static const struct {
        enum backdrive_part by;
        double margin;
        const char *words, *margin_words;
    } rows[] = {
        {BACKDRIVE_WORM, 1.8, "motor off, the worm holds the span, margin 1.8; wanted 1.5", "0.3"},
        {BACKDRIVE_WORM, 1.2,
         "motor off, the worm holds the span, margin only 1.2; wanted 1.5, or a brake", "-0.3"},
        {BACKDRIVE_WORM, 7.29,
         "motor off, the worm holds the span, margin 7.29 (the worm alone 1.9); wanted 1.5",
         "5.79"},
        {BACKDRIVE_MOTOR, 4.64,
         "motor off, the motor's own friction holds the span, margin 4.64; wanted 1.5", "3.14"},
        {BACKDRIVE_BRAKE, 2.3, "motor off, the brake holds the span, margin 2.3; wanted 1.5",
         "0.8"},
        {BACKDRIVE_TRUNNION, INFINITY,
         "motor off, the trunnion's friction holds the span, margin beyond calculation; wanted 1.5",
         "-"},
        {BACKDRIVE_NOTHING, 0.8,
         "motor off, nothing holds the span: margin 0.8, it holds from 1; at 62 deg it turns the "
         "motor with 0.4 mN m, moving at 1.15 deg/s with the motor shorted",
         "-0.7"},
    };
    report.sizing.worm_margin = 1.9;
    report.sizing.hold = (struct backdrive){.torque_n_m = 0.0004, .shorted_speed = 0.02};
    for (size_t i = 0; i < COUNT(rows); i++) {
        struct verdict verdict = verdict_of(VERDICT_HOLD, rows[i].margin, 1.5, INFINITY);
        verdict.index = rows[i].by;
        assert_words(&verdict, rows[i].words, rows[i].margin_words);
    }
    struct verdict assumed = verdict_of(VERDICT_HOLD, 4.64, 1.5, INFINITY);
    assumed.index = BACKDRIVE_MOTOR;
    assumed.needs = VERDICT_NEEDS_REST_TORQUE;
    assert_words(
        &assumed,
        "motor off, the motor's own friction holds the span, margin 4.64 (taken as half of "
        "its no-load torque); wanted 1.5",
        "3.14");
    char place[64];
    sizing_words_place(&report, &assumed, VERDICT_NEEDS_REST_TORQUE, place, sizeof place);
    assert_string_equal(place, "/bridges/2/motor/rest torque");
    report.sizing.hold.shorted_speed = 0;
    bridge.sizing.chain.lift.kind = LIFT_VERTICAL;
    struct verdict hung = verdict_of(VERDICT_HOLD, 22.1, 1.5, INFINITY);
    hung.index = BACKDRIVE_TRUNNION;
    assert_words(&hung, "motor off, the sheaves' friction holds the span, margin 22.1; wanted 1.5",
                 "20.6");
    bridge.sizing.chain.lift.kind = LIFT_SWING;
    struct verdict verdict = verdict_of(VERDICT_HOLD, 0.4, 1.5, INFINITY);
    verdict.index = BACKDRIVE_NOTHING;
    assert_words(&verdict,
                 "motor off, nothing holds the span: margin 0.4, it holds from 1; gravity does not "
                 "turn it, but a push does",
                 "-1.1");
}

static void a_swing_span_speaks_of_its_pivot_and_ends(void **state) {
    (void)state;
    bridge.sizing.chain.lift.kind = LIFT_SWING;
    bridge.sizing.stand = (struct swing_stand){.bearing_m = 0.005};
    report.sizing.swing = (struct swing){.tipping_n_m = 9.74, .held_m = 0.05};
    struct verdict verdict = verdict_of(VERDICT_TIPPING, 0.0625, -INFINITY, 0.0333);
    assert_words(&verdict,
                 "tips over: centre of gravity 62 mm off the pivot, 9.74 N m of tipping; on its "
                 "pivot's bearing at most 33 mm",
                 "-29 mm");
    bridge.sizing.stand.wheels_m = 0.12;
    report.sizing.swing.held_m = 0.085;
    verdict = verdict_of(VERDICT_TIPPING, 0.0625, -INFINITY, 0.0567);
    assert_words(&verdict,
                 "comes near tipping over: centre of gravity 62 mm off the pivot, 9.74 N m of "
                 "tipping; on its balance wheels at most 57 mm",
                 "-5.8 mm");
    verdict = verdict_of(VERDICT_TIPPING, 0.004, -INFINITY, 0.0567);
    assert_words(&verdict,
                 "stands on its pivot: centre of gravity 4.0 mm off the pivot, 9.74 N m of "
                 "tipping; on its balance wheels at most 57 mm",
                 "53 mm");
    verdict = verdict_of(VERDICT_HEEL, 6, 2, 10);
    assert_words(&verdict, "load on the heel's end, wedged, 6 N, wanted 2 to 10 N", "4 N");
    verdict = verdict_of(VERDICT_SEAT, 11.6, 2, 10);
    assert_words(&verdict,
                 "load on the toe's end, wedged, 11.6 N, wanted 2 to 10 N: 1.6 N too much",
                 "-1.6 N");
}

static void ends_are_named(void **state) {
    (void)state;
    struct verdict verdict = verdict_of(VERDICT_STOP_SECTION, 2, 1.55, INFINITY);
    verdict.index = 2; /* track 1, end 0 */
    assert_words(&verdict,
                 "main east: stop section 2.00 m, the worst train stops without power in 1.55 m",
                 "450 mm");
    verdict = verdict_of(VERDICT_APPROACH, 6, 0.72, INFINITY);
    verdict.index = 2;
    assert_words(&verdict, "main east: approach 6.00 m, the worst train stops in 720 mm", "5.28 m");
    verdict = verdict_of(VERDICT_APPROACH_LOCK, 2, 2.6, INFINITY);
    verdict.index = 2;
    assert_words(&verdict, "main east: approach locking 2 s, the worst train stops in 2.6 s",
                 "-0.6 s");
}

static void what_is_missing_is_named_by_its_place(void **state) {
    (void)state;
    const struct {
        enum verdict_about about;
        unsigned needs;
        double value;
        const char *words;
    } rows[] = {
        {VERDICT_CEILING, VERDICT_NEEDS_OUTLINE | VERDICT_NEEDS_ROOM, NAN,
         "gap to the ceiling not judged: /bridges/2/leaf/outline and /bridges/2/room missing"},
        {VERDICT_WEIGHT_FLOOR, VERDICT_NEEDS_WEIGHT_OUTLINE, NAN,
         "counterweight's gap to the floor not judged: /bridges/2/leaf/counterweight/outline "
         "missing"},
        {VERDICT_HEEL, VERDICT_NEEDS_HEEL, NAN,
         "load on the heel's end not judged: /bridges/2/leaf/heel missing"},
        {VERDICT_SEAT, VERDICT_NEEDS_TOE, NAN,
         "load on the seat not judged: /bridges/2/leaf/toe missing"},
        {VERDICT_SEAT, VERDICT_NEEDS_SEAT_WANTED, 7.46,
         "load on the seat 7.46 N not judged: /bridges/2/leaf/seat missing"},
        {VERDICT_SUPPLY, VERDICT_NEEDS_SUPPLY_CURRENT, 1.85,
         "current moving 1.85 A not judged: /bridges/2/supply/current missing"},
        {VERDICT_HOLD, VERDICT_NEEDS_LIFT | VERDICT_NEEDS_LEAF, NAN,
         "what holds the span with the motor off not judged: /bridges/2/lift and /bridges/2/leaf "
         "missing"},
        {VERDICT_TORQUE, VERDICT_NEEDS_DRIVE, NAN,
         "motor's torque not judged: /bridges/2/drive missing"},
        {VERDICT_VOLTAGE, VERDICT_NEEDS_MOTOR | VERDICT_NEEDS_SUPPLY, NAN,
         "motor's voltage at full speed not judged: /bridges/2/motor and /bridges/2/supply "
         "missing"},
        {VERDICT_STOP_SECTION, VERDICT_NEEDS_STOP_LENGTH, NAN,
         "main east: stop section not judged: /bridges/2/tracks/1/ends/0/stop length missing"},
        {VERDICT_APPROACH, VERDICT_NEEDS_APPROACH_LENGTH, NAN,
         "main east: approach not judged: /bridges/2/tracks/1/ends/0/approach length missing"},
        {VERDICT_APPROACH_LOCK, VERDICT_NEEDS_TRAINS, NAN,
         "main east: approach locking not judged: /bridges/2/tracks/1/trains missing"},
    };
    /* judged all the same: below, and above */
    unsigned needs = VERDICT_NEEDS_FRICTION | VERDICT_NEEDS_REST_TORQUE;
    for (size_t i = 0; i < COUNT(rows); i++) {
        const struct verdict verdict = {.about = rows[i].about,
                                        .state = VERDICT_UNKNOWN,
                                        .value = rows[i].value,
                                        .margin = NAN,
                                        .index = 2,
                                        .needs = rows[i].needs};
        assert_words(&verdict, rows[i].words, "");
        needs |= rows[i].needs;
    }
    assert_int_equal(needs, (1u << VERDICT_NEEDS_COUNT) - 1);

    struct verdict torque = verdict_of(VERDICT_TORQUE, 0.23, -INFINITY, 0.3);
    torque.needs = VERDICT_NEEDS_FRICTION;
    report.sizing.demand.torque_way = CHAIN_DOWN;
    assert_words(
        &torque,
        "motor works at 23 % of stall, lowering at 62 deg; most 30 % (calculated without friction)",
        "7.0 %");
    char place[128];
    sizing_words_place(&report, &torque, VERDICT_NEEDS_FRICTION, place, sizeof place);
    assert_string_equal(place, "/bridges/2/leaf/friction");
}

static void a_vertical_lift_speaks_of_millimetres_and_seats(void **state) {
    (void)state;
    bridge.sizing.chain.lift.kind = LIFT_VERTICAL;
    struct verdict verdict = verdict_of(VERDICT_CEILING, 0.5, 0.01, INFINITY);
    verdict.at = 0.45;
    assert_words(&verdict, "clears the ceiling by 500 mm at 450 mm (toe)", "490 mm");
    verdict = verdict_of(VERDICT_SEAT, 7.5, 5, 15);
    assert_words(&verdict, "load on the seats 7.5 N, wanted 5 to 15 N", "2.5 N");
}

static void places_of_sliding_weights_are_told(void **state) {
    (void)state;
    char words[512];
    bridge.sizing.toe_least_n = 4;
    bridge.sizing.toe_most_n = 10;
    report.sizing.seat_n = 11.2;
    bridge.sizing.slides = 2;
    bridge.sizing.slide_now_m[0] = 0.25;
    bridge.sizing.slide_now_m[1] = 0;
    snprintf(bridge.slide_name[0], sizeof bridge.slide_name[0], "lead");
    report.weights = (struct weights){.by = WEIGHTS_SLIDES,
                                      .slides = {{0.12, 0.3}, 1.7, 0.9},
                                      .is_slides_reached = true,
                                      .slide_least_m = {0.1, NAN},
                                      .slide_most_m = {0.14, NAN}};
    sizing_words_weights(&report, words, sizeof words);
    assert_string_equal(words,
                        "nearest better: \"lead\" at 120 mm (now 250 mm; good from 100 mm to "
                        "140 mm), slide 1 at 300 mm (now 0.0 mm): toe reaction 6.95 N, "
                        "balance angle 28 deg");
    report.weights.is_slides_reached = false;
    report.weights.slides.sx_kg_m = 4;
    sizing_words_weights(&report, words, sizeof words);
    assert_non_null(
        strstr(words, "the closest possible are still out of range (toe reaction 16.3 N, wanted 4 "
                      "to 10 N): \"lead\""));
    bridge.sizing.chain.lift.kind = LIFT_SWING;
    bridge.sizing.chain.balance.mass_kg = 10;
    report.weights.is_slides_reached = true;
    report.weights.slides.sx_kg_m = 0;
    report.weights.slides.sy_kg_m = 0.02;
    report.sizing.swing = (struct swing){.offset_m = 0.06, .held_m = 0.03};
    sizing_words_weights(&report, words, sizeof words);
    assert_non_null(strstr(words, ": centre of gravity 2.0 mm off the pivot"));
    report.sizing.swing.offset_m = 0.01;
    sizing_words_weights(&report, words, sizeof words);
    assert_string_equal(words, "good as they are");
}

/* Who writes pounds and feet reads them. */
static void a_report_speaks_the_units_of_its_configuration(void **state) {
    (void)state;
    char words[512];
    report.units.is_customary[QUANTITY_LENGTH] = report.units.is_customary[QUANTITY_MASS] = true;
    report.units.is_customary[QUANTITY_FORCE] = report.units.is_customary[QUANTITY_TORQUE] = true;
    struct verdict verdict = verdict_of(VERDICT_CEILING, 0.0508, 0.0127, INFINITY);
    assert_words(&verdict, "clears the ceiling by 2.00 in at 62 deg (toe)", "1.50 in");
    verdict = verdict_of(VERDICT_FLOOR, 0.3048, 0.0127, INFINITY);
    assert_words(&verdict, "clears the floor by 12.0 in at 62 deg (toe)", "11.5 in");
    verdict = verdict_of(VERDICT_WALL, 1.524, 0.0127, INFINITY);
    assert_words(&verdict, "clears the wall behind by 5.00 ft at 62 deg (toe)", "4.96 ft");
    verdict = verdict_of(VERDICT_SEAT, 4.4482216152605, 2.224110807630252, 8.896443230521);
    assert_words(&verdict, "toe reaction 1 lbf, wanted 0.5 to 2 lbf", "0.5 lbf");
    bridge.sizing.chain.lift.kind = LIFT_VERTICAL;
    verdict.about = VERDICT_CEILING;
    verdict.at = 0.4572;
    assert_words(&verdict, "clears the ceiling by 14.59 ft at 18.0 in (toe)", "7.30 ft");
    bridge.sizing.chain.lift.kind = LIFT_STRUT;
    bridge.sizing.pockets = 1;
    bridge.sizing.pocket[0].block_kg = 15 * 0.45359237;
    report.sizing.seat_n = 44;
    report.weights = (struct weights){.by = WEIGHTS_POCKETS,
                                      .pockets = {.blocks = {5},
                                                  .toe_reaction_n = 8.896443230521,
                                                  .angle_rad = 33.7 * degree,
                                                  .is_reached = true,
                                                  .is_proved = true},
                                      .counterweight_least_kg = 45.359237,
                                      .counterweight_most_kg = 90.718474};
    sizing_words_weights(&report, words, sizeof words);
    assert_string_equal(words, "nearest better: 5 x 15 lb in pocket 0 (now 0): toe reaction 2 lbf, "
                               "balance angle 34 deg; or counterweight 100.00 to 200.00 lb (now "
                               "127.87), blocks as they are");
}

static void weights_are_told(void **state) {
    (void)state;
    char words[512];
    bridge.sizing.toe_least_n = 4;
    bridge.sizing.toe_most_n = 10;
    report.sizing.seat_n = 11.2;
    report.weights = (struct weights){
        .by = WEIGHTS_COUNTERWEIGHT, .counterweight_least_kg = 58.5, .counterweight_most_kg = 61};
    sizing_words_weights(&report, words, sizeof words);
    assert_string_equal(words, "nearest better: counterweight 58.50 to 61.00 kg (now 58.00)");

    bridge.sizing.pockets = 2;
    bridge.sizing.pocket[0].block_kg = bridge.sizing.pocket[1].block_kg = 0.25;
    bridge.sizing.pocket_blocks[0] = 2;
    snprintf(bridge.pocket_name[0], sizeof bridge.pocket_name[0], "tail");
    report.weights = (struct weights){.by = WEIGHTS_POCKETS,
                                      .pockets = {.blocks = {12, 8},
                                                  .toe_reaction_n = 6.13,
                                                  .angle_rad = 33.7 * degree,
                                                  .is_reached = true,
                                                  .is_proved = true}};
    sizing_words_weights(&report, words, sizeof words);
    assert_string_equal(words, "nearest better: 12 x 0.25 kg in \"tail\" (now 2), 8 x 0.25 kg in "
                               "pocket 1 (now 0): toe reaction 6.13 N, balance angle 34 deg");
    report.weights.counterweight_least_kg = 58.5;
    report.weights.counterweight_most_kg = 61;
    report.weights.pockets.is_reached = report.weights.pockets.is_proved = false;
    sizing_words_weights(&report, words, sizeof words);
    assert_non_null(strstr(words, "the closest possible are still out of range (): 12"));
    report.weights.pockets.angle_rad = 62 * degree;
    sizing_words_weights(&report, words, sizeof words);
    assert_non_null(
        strstr(words, "still out of range (balance angle 62 deg, wanted 30 +- 20 deg): 12"));
    bridge.sizing.is_angle_assumed = true;
    report.weights.pockets.toe_reaction_n = 2;
    sizing_words_weights(&report, words, sizeof words);
    assert_non_null(strstr(words,
                           "still out of range (toe reaction 2 N, wanted 4 to 10 N and balance "
                           "angle 62 deg, wanted 30 +- 20 deg (the default of "
                           "/leaf/seat/balance angle)): 12"));
    assert_non_null(strstr(words, "; not all counts were tried; or counterweight 58.50 to 61.00 kg "
                                  "(now 58.00), blocks as they are"));

    report.sizing.seat_n = 9;
    sizing_words_weights(&report, words, sizeof words);
    assert_string_equal(words, "good as they are");

    /* A load as wanted does not make a leaf good that stays open by itself. */
    bridge.sizing.chain.balance.sy_kg_m = 6;
    report.weights.by = WEIGHTS_COUNTERWEIGHT;
    sizing_words_weights(&report, words, sizeof words);
    assert_string_equal(words, "the seat's load is as wanted, but balance angle 65 deg, wanted 30 "
                               "+- 20 deg (the default of /leaf/seat/balance angle)");
    report.weights.by = WEIGHTS_NONE;
    sizing_words_weights(&report, words, sizeof words);
    assert_string_equal(words, "");
}

static void cautions_name_what_hurts_and_what_is_no_proof(void **state) {
    (void)state;
    char all[1024] = "";
    const char *line;
    for (size_t i = 0; (line = sizing_words_caution(i)) != NULL; i++) {
        size_t used = strlen(all);
        snprintf(all + used, sizeof all - used, "%s ", line);
    }
    assert_non_null(strstr(all, "crush fingers"));
    assert_non_null(strstr(all, "is not a brake"));
    assert_non_null(strstr(all, "not a safety device"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(each_verdict_is_told_with_its_margin, begin),
        cmocka_unit_test_setup(what_holds_is_named, begin),
        cmocka_unit_test_setup(a_swing_span_speaks_of_its_pivot_and_ends, begin),
        cmocka_unit_test_setup(ends_are_named, begin),
        cmocka_unit_test_setup(what_is_missing_is_named_by_its_place, begin),
        cmocka_unit_test_setup(a_vertical_lift_speaks_of_millimetres_and_seats, begin),
        cmocka_unit_test_setup(a_report_speaks_the_units_of_its_configuration, begin),
        cmocka_unit_test_setup(places_of_sliding_weights_are_told, begin),
        cmocka_unit_test_setup(weights_are_told, begin),
        cmocka_unit_test_setup(cautions_name_what_hurts_and_what_is_no_proof, begin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
