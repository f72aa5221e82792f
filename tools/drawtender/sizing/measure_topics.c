#include "tools/drawtender/sizing/measure_topics.h"

#include "mechanics/household/creep.h"
#include "mechanics/household/leaf_weighed.h"
#include "mechanics/household/motor_bench.h"
#include "mechanics/number.h"

#include <math.h>
#include <stdio.h>

static void add(struct measure_results *results, const char *key, const char *what, double value,
                const char *unit) {
    if (!isnan(value)) {
        results->result[results->count++] = (struct measure_result){key, what, value, unit, 0};
    }
}

/* --- leaf --- */

enum { TOE, LEVEL, RAISED, ANGLE, MASS, AXIS, MIDDLE };

static const char *const leaf_procedure[] = {
    "Unpin the drive so that the leaf turns freely on its axis.",
    "Level the leaf with its toe on a kitchen scale (a block between, the scale set to zero with "
    "it): level.",
    "For the height of its centre, prop the toe up by 30 degrees or more on the same scale, at the "
    "same place of the leaf: raised, angle.",
    "For its mass, weigh the leaf whole (mass), or put a second scale under its axis (axis), or, "
    "as a guess, say where its centre may be (middle).",
    "Measure with the counterweight off for the leaf alone, and with it on for all that turns.",
    NULL};

static const char *leaf(const struct config_bridge *bridge, const double *value,
                        struct measure_results *results) {
    (void)bridge;
    const struct leaf_weighed_given given = {value[TOE],  value[LEVEL], value[RAISED], value[ANGLE],
                                             value[MASS], value[AXIS],  value[MIDDLE]};
    struct leaf_weighed found;
    const char *wrong = leaf_weighed_of(&given, &found);
    if (wrong != NULL) {
        return wrong;
    }
    add(results, "moment_n_m", "moment about the axis, level", given.level_n * given.toe_m, "N m");
    add(results, "mass_kg", "mass", found.mass_kg, "kg");
    add(results, "x_m", "centre of gravity, toward the toe", found.x_m, "m");
    add(results, "y_m", "centre of gravity, up", found.y_m, "m");
    if (!isnan(found.mass_kg)) {
        snprintf(results->snippet, sizeof results->snippet,
                 "\"masses\": [{\"mass\": \"%.4g kg\", \"at\": [\"%.4g m\", \"%.4g m\"]}]",
                 found.mass_kg, found.x_m, isnan(found.y_m) ? 0 : found.y_m);
    }
    results->note = isnan(found.mass_kg) ? "one reading is a moment: give mass, axis or middle for "
                                           "the mass too"
                    : isnan(found.y_m) ? "the height of the centre is taken as 0: give raised and "
                                         "angle for it"
                    : isnan(value[MASS]) && isnan(value[AXIS])
                        ? "the mass is only as good as the guess at its centre"
                        : NULL;
    return NULL;
}

/* --- motor --- */

enum { FREE_V, FREE_A, FREE_N, FREE_V2, FREE_A2, FREE_N2, HELD_V, HELD_A, HELD_V2, HELD_A2, RATIO };

static const char *const motor_procedure[] = {
    "Turning free: unpin the gears, run the motor, read volts at its terminals, amps and speed. At "
    "two voltages the runs check each other.",
    "No tachometer: leave the gearbox on, count turns of its slow shaft in a minute (speed in "
    "rpm), "
    "and give the gearbox's ratio; friction of the gearbox then counts as the motor's.",
    "Held fast: hold the shaft with pliers, cold, no longer than a second, at 1 to 2 V: volts and "
    "amps. At two voltages the brushes' drop cancels. Try some places of the rotor and take the "
    "mean.",
    NULL};

static unsigned take_runs(const double *value, const int *at, double ratio,
                          struct motor_bench_run *run) {
    unsigned count = 0;
    for (int i = 0; i < 2; i++) {
        if (!isnan(value[at[i * 3]])) {
            bool turns = at[i * 3 + 2] >= 0;
            run[count++] = (struct motor_bench_run){value[at[i * 3]], value[at[i * 3 + 1]],
                                                    turns ? ratio * value[at[i * 3 + 2]] : 0};
        }
    }
    return count;
}

static const char *motor(const struct config_bridge *bridge, const double *value,
                         struct measure_results *results) {
    (void)bridge;
    static const int free_at[] = {FREE_V, FREE_A, FREE_N, FREE_V2, FREE_A2, FREE_N2};
    static const int held_at[] = {HELD_V, HELD_A, -1, HELD_V2, HELD_A2, -1};
    struct motor_bench_run free[2], held[2];
    struct motor_bench found;
    double ratio = isnan(value[RATIO]) ? 1 : value[RATIO];
    unsigned frees = take_runs(value, free_at, ratio, free);
    unsigned helds = take_runs(value, held_at, ratio, held);
    const char *wrong = motor_bench_of(free, frees, held, helds, &found);
    if (wrong != NULL) {
        return wrong;
    }
    double volts = frees > 1 ? fmax(free[0].volts, free[1].volts) : free[0].volts;
    struct motor_sheet sheet = motor_bench_sheet(&found, volts);
    add(results, "resistance_ohm", "resistance", found.resistance_ohm, "ohm");
    add(results, "brush_v", "drop at the brushes", found.brush_v, "V");
    add(results, "ke_v_s_rad", "speed constant (and N m/A)", found.ke_v_s_rad, "V s/rad");
    add(results, "no_load_a", "current turning free", found.no_load_a, "A");
    add(results, "differ", "the free runs differ by", found.differ, "of 1");
    snprintf(results->snippet, sizeof results->snippet,
             "\"motor\": {\"voltage\": \"%.4g V\", \"no-load speed\": \"%.0f rpm\", "
             "\"no-load current\": \"%.4g A\", \"stall torque\": \"%.4g N m\", "
             "\"stall current\": \"%.4g A\"}",
             volts, sheet.no_load_rad_s * 30 / NUMBER_PI, sheet.no_load_a, sheet.stall_n_m,
             sheet.stall_a);
    results->note = found.differ > 0.1
                        ? "the free runs contradict each other by more than a tenth: "
                          "measure again"
                        : NULL;
    return NULL;
}

/* --- ratio --- */

enum { FAST, SLOW, RACK };

static const char *const ratio_procedure[] = {
    "Mark both shafts. Turn the fast one by hand and count until the slow one has made whole "
    "turns: "
    "the more the better.",
    "With the rack on, measure how far it runs meanwhile along itself: rack.", NULL};

/* Counted to a quarter of a turn of the fast shaft: a judgement. */
static const char *ratio(const struct config_bridge *bridge, const double *value,
                         struct measure_results *results) {
    (void)bridge;
    if (!(value[FAST] > 0) || !(value[SLOW] > 0) || value[RACK] <= 0) {
        return "turns and rack must be above zero";
    }
    double found = value[FAST] / value[SLOW];
    add(results, "ratio", "ratio", found, "");
    add(results, "error", "  give or take (a quarter of a fast turn miscounted)",
        0.25 / value[SLOW], "");
    add(results, "radius_m", "pitch radius of the pinion on the slow shaft",
        value[RACK] / (2 * NUMBER_PI * value[SLOW]), "m");
    snprintf(results->snippet, sizeof results->snippet, "\"ratio\": \"%.4g:1\"", found);
    return NULL;
}

/* --- friction --- */

enum { UP_V, DOWN_V, UP_A, DOWN_A, AT };

static const char *const friction_procedure[] = {
    "Near the place where the span balances, find the least voltage at which it still creeps up "
    "past "
    "it without standing still, and the same down: volts at the motor's terminals.",
    "A meter in the motor's lead is better: amps while it creeps, instead of volts.",
    "Motor, drive and leaf are taken from FILE; the worm's friction is known only as well as "
    "there, so there are two answers.",
    NULL};

static double current(const struct chain *chain, double volts, double amps) {
    return isnan(amps) ? creep_current_a(&chain->motor, volts) : amps;
}

static const char *friction(const struct config_bridge *bridge, const double *value,
                            struct measure_results *results) {
    const struct chain *chain = &bridge->sizing.chain;
    const struct worm *worm = &chain->drive.worm;
    double up_a = current(chain, value[UP_V], value[UP_A]);
    double down_a = current(chain, value[DOWN_V], value[DOWN_A]);
    double at = isnan(value[AT]) ? chain->lift.travel / 2 : value[AT];
    struct creep most, least;
    if (isnan(up_a) || isnan(down_a)) {
        return "wanted: volts or amps for both ways";
    }
    const char *wrong = creep_of(chain, at, up_a, down_a, worm->mu_low, &most);
    wrong = wrong == NULL ? creep_of(chain, at, up_a, down_a, worm->mu_high, &least) : wrong;
    if (wrong != NULL) {
        return wrong;
    }
    bool is_vertical = chain->lift.kind == LIFT_VERTICAL;
    const char *unit = is_vertical ? "N" : "N m";
    add(results, "friction_most", "friction, the worm rubbing least", most.friction, unit);
    add(results, "friction_least", "friction, the worm rubbing most", least.friction, unit);
    add(results, "imbalance_most", "imbalance there, the worm rubbing least", most.imbalance, unit);
    add(results, "imbalance_least", "imbalance there, the worm rubbing most", least.imbalance,
        unit);
    add(results, "reckoned_imbalance", "imbalance there by the file",
        balance_moment(&chain->balance, at), unit);
    snprintf(results->snippet, sizeof results->snippet, "\"friction\": \"%.3g %s\"",
             (most.friction + least.friction) / 2, unit);
    results->note = "right only if the motor drives both ways there";
    return NULL;
}

static const struct measure_topic topics[] = {
    {"leaf",
     "mass and centre of gravity from a scale at the toe",
     leaf_procedure,
     false,
     {{"toe", "2.25 m", QUANTITY_LENGTH, false, true,
       "from the axis to the scale, along the level leaf"},
      {"level", "4.1 kg", QUANTITY_FORCE, true, true, "the scale's reading, the leaf level"},
      {"raised", "3.7 kg", QUANTITY_FORCE, true, false, "its reading, the toe propped up"},
      {"angle", "30 deg", QUANTITY_ANGLE, false, false, "how far"},
      {"mass", "18 kg", QUANTITY_MASS, false, false, "of the leaf, weighed whole"},
      {"axis", "13.9 kg", QUANTITY_FORCE, true, false,
       "of a second scale under the axis, the leaf level"},
      {"middle", "60 cm", QUANTITY_LENGTH, false, false,
       "a guess at where its centre is, from the axis"}},
     leaf},
    {"motor",
     "a motor's data from runs free and held fast",
     motor_procedure,
     false,
     {{"free-volts", "7.2 V", QUANTITY_VOLTAGE, false, true, "turning free: at its terminals"},
      {"free-amps", "0.9 A", QUANTITY_CURRENT, false, true, "in its lead"},
      {"free-speed", "9500 rpm", QUANTITY_ROTATION, false, true, "of the observed shaft"},
      {"free-volts-2", "3.6 V", QUANTITY_VOLTAGE, false, false, "the same at another voltage"},
      {"free-amps-2", "0.8 A", QUANTITY_CURRENT, false, false, ""},
      {"free-speed-2", "4600 rpm", QUANTITY_ROTATION, false, false, ""},
      {"held-volts", "1.5 V", QUANTITY_VOLTAGE, false, true, "held fast: at its terminals"},
      {"held-amps", "4.1 A", QUANTITY_CURRENT, false, true, "in its lead"},
      {"held-volts-2", "0.8 V", QUANTITY_VOLTAGE, false, false, "the same at another voltage"},
      {"held-amps-2", "2.1 A", QUANTITY_CURRENT, false, false, ""},
      {"ratio", "16", QUANTITY_RATIO, false, false,
       "turns of the motor for one of that shaft (1)"}},
     motor},
    {"ratio",
     "a gear ratio by counting turns",
     ratio_procedure,
     false,
     {{"fast", "100", QUANTITY_RATIO, false, true, "turns of the fast shaft"},
      {"slow", "4", QUANTITY_RATIO, false, true, "turns of the slow shaft"},
      {"rack", "16 cm", QUANTITY_LENGTH, false, false, "travel of the rack meanwhile"}},
     ratio},
    {"friction",
     "friction and imbalance from what the motor needs to creep",
     friction_procedure,
     true,
     {{"up-volts", "1.4 V", QUANTITY_VOLTAGE, false, false, "to creep up"},
      {"down-volts", "1.1 V", QUANTITY_VOLTAGE, false, false, "to creep down"},
      {"up-amps", "1.3 A", QUANTITY_CURRENT, false, false, "creeping up"},
      {"down-amps", "1.1 A", QUANTITY_CURRENT, false, false, "creeping down"},
      {"at", "40 deg", QUANTITY_ANGLE, false, false, "the opening there (half the travel)"}},
     friction},
};

const struct measure_topic *measure_topic(size_t index) {
    return index < sizeof topics / sizeof topics[0] ? &topics[index] : NULL;
}
