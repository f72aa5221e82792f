/* What a balance test found, for people and for programs. */
#include "mechanics/number.h"
#include "plots/sizing_words.h"
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/sizing/balance.h"
#include "tools/drawtender/sizing/sizing_json.h"

#include <math.h>

static const double deg_per_rad = 180 / NUMBER_PI;

void balance_text_spring_scale(FILE *out) {
    fputs(
        "With a spring scale instead (keep hands out from under the toe; motor and lock off, the\n"
        "strut or pinion free so that the leaf turns by hand alone):\n"
        "  1. hook the scale to the toe, square to the leaf, where it rests on its seat;\n"
        "  2. lift it slowly and evenly a finger's breadth off the seat: read the force going up;\n"
        "  3. let it down as slowly: read the force going down;\n"
        "  4. three times each; then: drawtender balance FILE spring UP DOWN, as \"12.9 N\" "
        "\"9.5 N\".\n",
        out);
}

static void print_counterweight(const struct balance_run *run, const struct weights *weights) {
    const struct sizing_given *given = &run->bridge->sizing;
    struct units_unit mass = units_unit(&run->config.units, UNITS_MASS);
    bool is_good = given->counterweight_kg >= weights->counterweight_least_kg &&
                   given->counterweight_kg <= weights->counterweight_most_kg;
    fprintf(run->tool->streams.out,
            is_good ? "Counterweight: good as it is, from %.2f to %.2f %s: it weighs %.2f %s.\n"
                    : "Counterweight: %.2f to %.2f %s instead of %.2f %s.\n",
            weights->counterweight_least_kg * mass.per_si,
            weights->counterweight_most_kg * mass.per_si, mass.name,
            given->counterweight_kg * mass.per_si, mass.name);
}

static void print_pockets(const struct balance_run *run, const struct weights *weights) {
    FILE *out = run->tool->streams.out;
    const struct sizing_given *given = &run->bridge->sizing;
    struct units_unit mass = units_unit(&run->config.units, UNITS_MASS);
    struct units_unit force = units_unit(&run->config.units, UNITS_FORCE);
    fputs("Blocks to move, for the middle of the wanted seat load:\n", out);
    for (unsigned i = 0; i < given->pockets; i++) {
        int change = (int)weights->pockets.blocks[i] - (int)given->pocket_blocks[i];
        fprintf(out, "  %-20s %+d of %.3g %s: %u in it\n", run->bridge->pocket_name[i], change,
                given->pocket[i].block_kg * mass.per_si, mass.name, weights->pockets.blocks[i]);
    }
    fprintf(out, "  then %.1f %s on the seat at the toe.\n",
            weights->pockets.toe_reaction_n * force.per_si, force.name);
    if (!weights->pockets.is_reached) {
        char why[200];
        sizing_words_short_of(&run->config.units, given, &weights->pockets, why, sizeof why);
        fprintf(out, "  These blocks come no nearer: %s.\n", why);
    }
}

static void print_slides(const struct balance_run *run, const struct weights *weights) {
    const struct sizing_given *given = &run->bridge->sizing;
    struct units_unit length = units_unit(&run->config.units, UNITS_LENGTH);
    FILE *out = run->tool->streams.out;
    fprintf(out, "Weights to slide, for the middle of the wanted seat load%s:\n",
            weights->is_slides_reached ? "" : ", which they do not reach");
    for (unsigned i = 0; i < given->slides; i++) {
        fprintf(out, "  %-20s to %.1f %s from its first end (now %.1f)\n",
                run->bridge->slide_name[i], weights->slides.place_m[i] * length.per_si, length.name,
                given->slide_now_m[i] * length.per_si);
    }
}

void balance_text_weights(const struct balance_run *run, const struct weights *weights) {
    switch (weights->by) {
    case WEIGHTS_NONE:
        fputs("Blocks: nothing to propose (no toe, seat load, pockets or counterweight given).\n",
              run->tool->streams.out);
        break;
    case WEIGHTS_COUNTERWEIGHT:
        print_counterweight(run, weights);
        break;
    case WEIGHTS_POCKETS:
        print_pockets(run, weights);
        break;
    case WEIGHTS_SLIDES:
        print_slides(run, weights);
        break;
    }
}

static struct units_unit moment_unit(const struct balance_run *run) {
    return units_unit(&run->config.units, UNITS_MOMENT);
}

static void print_value(const struct balance_run *run, const char *name,
                        const struct balance_value *value) {
    struct units_unit unit = moment_unit(run);
    fprintf(run->tool->streams.out,
            "  %-26s %8.2f %s  +- %.2f (scatter %.2f, gears %.2f, no-load current %.2f, motor "
            "%.2f)\n",
            name, value->value * unit.per_si, unit.name, value->error * unit.per_si,
            value->scatter * unit.per_si, value->gains * unit.per_si, value->no_load * unit.per_si,
            value->motor * unit.per_si);
}

static void print_over_angle(FILE *out, const struct balance_run *run,
                             const struct balance_test *test) {
    struct units_unit unit = moment_unit(run);
    fprintf(out, "  opening, deg      moment, %s\n", unit.name);
    for (int i = 0; i <= 4; i++) {
        double t = run->bridge->lift.travel * i / 4;
        fprintf(out, "  %10.1f %16.2f\n", t * deg_per_rad,
                unit.per_si * (test->cosine_n_m.value * cos(t) + test->sine_n_m.value * sin(t)));
    }
}

static void print_misfit(const struct balance_run *run, const struct balance_test *test) {
    FILE *out = run->tool->streams.out;
    struct units_unit unit = moment_unit(run);
    if (test->friction_n_m.value + test->friction_n_m.error < 0) {
        fprintf(out, "A friction of %.2f %s is below zero by more than its error: ",
                test->friction_n_m.value * unit.per_si, unit.name);
    } else {
        fprintf(out, "The samples stray from the fit by %.2f %s, more than scatter explains: ",
                test->pattern_n_m * unit.per_si, unit.name);
    }
    fprintf(out, "%s.\n", balance_misfit_words(test));
    balance_text_spring_scale(out);
}

static void print_sight(FILE *out, const struct balance_run *run, const struct balance_test *test) {
    bool is_locking = drive_is_locking(&run->bridge->drive);
    struct units_unit unit = moment_unit(run);
    double matters = balance_matters_n_m(run->bridge) * unit.per_si;
    fprintf(out, "  one %s on the span is %.1f mA raising, %.1f mA lowering.\n", unit.name,
            1000 * test->up_a_per_n_m / unit.per_si, 1000 * test->down_a_per_n_m / unit.per_si);
    if (run->bridge->drive.has_worm) {
        fprintf(out,
                "  half the sum of both ways would read %.2f %s: %s worm it is not the "
                "moment.\n",
                test->half_sum_n_m * unit.per_si, unit.name,
                is_locking ? "through a self-locking" : "through a");
    }
    switch (test->sight) {
    case BALANCE_SEEN:
        fprintf(out,
                "The drive shows the balance: to better than half of the %.1f %s that matter.\n",
                matters, unit.name);
        return;
    case BALANCE_MISFIT:
        print_misfit(run, test);
        return;
    case BALANCE_NOT_SEEN:
        break;
    }
    fprintf(
        out,
        "The drive does NOT show the balance: %.1f %s matter, and it is known only to +- %.1f.\n",
        matters, unit.name, test->cosine_n_m.error * unit.per_si);
    if (!test->are_gains_measured && run->bridge->drive.has_worm) {
        fputs("Repeat both runs with a known weight at the toe (fit FILE LOADED WEIGHT), or:\n",
              out);
    }
    balance_text_spring_scale(out);
}

/* What a weight where it is cannot change. */
static void print_angle(const struct balance_run *run, const struct balance_test *test) {
    char words[200];
    double angle_rad = atan2(-test->sine_n_m.value, test->cosine_n_m.value);
    sizing_words_angle(&run->bridge->sizing, angle_rad, words, sizeof words);
    if (words[0] != '\0') {
        fprintf(
            run->tool->streams.out,
            "But the %s: whatever the seat carries, the leaf balances elsewhere on its way than "
            "it should; move weights up or down, not in or out.\n",
            words);
    }
}

void balance_text_test(const struct balance_run *run, const struct balance_test *test,
                       size_t dropped) {
    FILE *out = run->tool->streams.out;
    fprintf(out, "%s: balance from %zu samples (%zu left out: not at steady speed)\n",
            run->net->name, test->samples, dropped);
    print_value(run, "moment on the seat", &test->cosine_n_m);
    print_value(run, "the same at 90 deg", &test->sine_n_m);
    print_value(run, "friction", &test->friction_n_m);
    print_over_angle(out, run, test);
    double toe_m = run->bridge->sizing.toe_x_m;
    if (number_is_positive(toe_m)) {
        struct units_unit force = units_unit(&run->config.units, UNITS_FORCE);
        fprintf(out, "  %.1f %s on the seat at the toe, +- %.1f\n",
                test->cosine_n_m.value / toe_m * force.per_si, force.name,
                test->cosine_n_m.error / toe_m * force.per_si);
    }
    print_sight(out, run, test);
    if (test->sight == BALANCE_SEEN) {
        struct weights weights =
            balance_weights(run->bridge, test->cosine_n_m.value, test->sine_n_m.value);
        balance_text_weights(run, &weights);
        print_angle(run, test);
    }
}

/* ---- JSON */

static void add_value(cJSON *object, const char *name, const struct balance_value *value) {
    cJSON *one = cJSON_AddObjectToObject(object, name);
    cJSON_AddNumberToObject(one, "value", value->value);
    cJSON_AddNumberToObject(one, "error", value->error);
    cJSON_AddNumberToObject(one, "error_of_scatter", value->scatter);
    cJSON_AddNumberToObject(one, "error_of_gears", value->gains);
    cJSON_AddNumberToObject(one, "error_of_no_load_current", value->no_load);
    cJSON_AddNumberToObject(one, "error_of_motor", value->motor);
}

cJSON *balance_json_weights(const struct config_bridge *bridge, const struct weights *weights) {
    const struct sizing_given *given = &bridge->sizing;
    if (weights->by == WEIGHTS_NONE) {
        return cJSON_CreateNull();
    }
    cJSON *object = cJSON_CreateObject();
    if (weights->by == WEIGHTS_COUNTERWEIGHT) {
        cJSON_AddNumberToObject(object, "counterweight_least_kg", weights->counterweight_least_kg);
        cJSON_AddNumberToObject(object, "counterweight_most_kg", weights->counterweight_most_kg);
        return object;
    }
    if (weights->by == WEIGHTS_SLIDES) {
        cJSON_AddItemToObject(object, "slides", sizing_json_slides(bridge, weights));
        cJSON_AddBoolToObject(object, "is_reached", weights->is_slides_reached);
        return object;
    }
    cJSON *pockets = cJSON_AddArrayToObject(object, "pockets");
    for (unsigned i = 0; i < given->pockets; i++) {
        cJSON *pocket = cJSON_CreateObject();
        cJSON_AddStringToObject(pocket, "what", bridge->pocket_name[i]);
        cJSON_AddNumberToObject(pocket, "blocks", weights->pockets.blocks[i]);
        cJSON_AddNumberToObject(pocket, "now", given->pocket_blocks[i]);
        cJSON_AddItemToArray(pockets, pocket);
    }
    cJSON_AddNumberToObject(object, "toe_reaction_n", weights->pockets.toe_reaction_n);
    cJSON_AddBoolToObject(object, "is_reached", weights->pockets.is_reached);
    return object;
}

void balance_json_test(const struct balance_run *run, const struct balance_test *test,
                       size_t dropped) {
    cJSON *object = cJSON_CreateObject();
    bool is_seen = test->sight == BALANCE_SEEN;
    struct weights weights = {.by = WEIGHTS_NONE};
    if (is_seen) {
        weights = balance_weights(run->bridge, test->cosine_n_m.value, test->sine_n_m.value);
    }
    cJSON_AddStringToObject(object, "bridge", run->net->name);
    cJSON_AddNumberToObject(object, "samples", (double)test->samples);
    cJSON_AddNumberToObject(object, "samples_left_out", (double)dropped);
    add_value(object, "moment_seated_n_m", &test->cosine_n_m);
    add_value(object, "moment_at_90_deg_n_m", &test->sine_n_m);
    add_value(object, "friction_n_m", &test->friction_n_m);
    cJSON_AddNumberToObject(object, "a_per_n_m_raising", test->up_a_per_n_m);
    cJSON_AddNumberToObject(object, "a_per_n_m_lowering", test->down_a_per_n_m);
    cJSON_AddNumberToObject(object, "half_sum_n_m", test->half_sum_n_m);
    cJSON_AddBoolToObject(object, "is_gain_measured", test->are_gains_measured);
    cJSON_AddNumberToObject(object, "matters_n_m", balance_matters_n_m(run->bridge));
    cJSON_AddNumberToObject(object, "pattern_n_m", test->pattern_n_m);
    cJSON_AddBoolToObject(object, "is_fitting", test->sight != BALANCE_MISFIT);
    cJSON_AddBoolToObject(object, "is_seen", is_seen);
    cJSON_AddItemToObject(object, "weights", balance_json_weights(run->bridge, &weights));
    json_print(run->tool->streams.out, object);
}
