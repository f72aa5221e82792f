/* What a balance test found, for people and for programs. */
#include "mechanics/number.h"
#include "tools/drawtender/base/json.h"
#include "tools/drawtender/sizing/balance.h"
#include "plots/sizing_words.h"

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

static void print_counterweight(FILE *out, const struct sizing_given *given,
                                const struct weights *weights) {
    bool is_good = given->counterweight_kg >= weights->counterweight_least_kg &&
                   given->counterweight_kg <= weights->counterweight_most_kg;
    fprintf(out,
            is_good ? "Counterweight: good as it is, from %.2f to %.2f kg: it weighs %.2f kg.\n"
                    : "Counterweight: %.2f to %.2f kg instead of %.2f kg.\n",
            weights->counterweight_least_kg, weights->counterweight_most_kg,
            given->counterweight_kg);
}

void balance_text_weights(FILE *out, const struct config_bridge *bridge,
                          const struct weights *weights) {
    const struct sizing_given *given = &bridge->sizing;
    switch (weights->by) {
    case WEIGHTS_NONE:
        fputs("Blocks: nothing to propose (no toe, seat load, pockets or counterweight given).\n",
              out);
        return;
    case WEIGHTS_COUNTERWEIGHT:
        print_counterweight(out, given, weights);
        return;
    case WEIGHTS_POCKETS:
        break;
    }
    fputs("Blocks to move, for the middle of the wanted seat load:\n", out);
    for (unsigned i = 0; i < given->pockets; i++) {
        int change = (int)weights->pockets.blocks[i] - (int)given->pocket_blocks[i];
        fprintf(out, "  %-20s %+d of %.3g kg: %u in it\n", bridge->pocket_name[i], change,
                given->pocket[i].block_kg, weights->pockets.blocks[i]);
    }
    fprintf(out, "  then %.1f N on the seat at the toe.\n", weights->pockets.toe_reaction_n);
    if (!weights->pockets.is_reached) {
        char why[200];
        sizing_words_short_of(given, &weights->pockets, why, sizeof why);
        fprintf(out, "  Nearer there is not with these blocks: %s.\n", why);
    }
}

static void print_value(FILE *out, const char *name, const struct balance_value *value) {
    fprintf(out, "  %-26s %8.2f N m  +- %.2f (scatter %.2f, gears %.2f, no-load current %.2f)\n",
            name, value->value, value->error, value->scatter, value->gains, value->no_load);
}

static void print_over_angle(FILE *out, const struct balance_run *run,
                             const struct balance_test *test) {
    fputs("  opening, deg       moment, N m\n", out);
    for (int i = 0; i <= 4; i++) {
        double t = run->bridge->lift.travel * i / 4;
        fprintf(out, "  %10.1f %16.2f\n", t * deg_per_rad,
                test->cosine_n_m.value * cos(t) + test->sine_n_m.value * sin(t));
    }
}

static void print_misfit(FILE *out, const struct balance_test *test) {
    if (test->friction_n_m.value + test->friction_n_m.error < 0) {
        fprintf(out, "A friction of %.2f N m is below zero by more than its error: ",
                test->friction_n_m.value);
    } else {
        fprintf(out, "The samples wander from the fit by %.2f N m, which is no scatter: ",
                test->pattern_n_m);
    }
    fprintf(out, "%s.\n", balance_misfit_words(test));
    balance_text_spring_scale(out);
}

static void print_sight(FILE *out, const struct balance_run *run, const struct balance_test *test) {
    bool is_locking = drive_is_locking(&run->bridge->drive);
    double matters = balance_matters_n_m(run->bridge);
    fprintf(out, "  one N m on the span is %.1f mA raising, %.1f mA lowering.\n",
            1000 * test->up_a_per_n_m, 1000 * test->down_a_per_n_m);
    if (run->bridge->drive.has_worm) {
        fprintf(out,
                "  half the sum of both ways would read %.2f N m: %s worm it is not the "
                "moment.\n",
                test->half_sum_n_m, is_locking ? "through a self-locking" : "through a");
    }
    switch (test->sight) {
    case BALANCE_SEEN:
        fprintf(out,
                "The drive sees the balance: to better than half of the %.1f N m that "
                "matter.\n",
                matters);
        return;
    case BALANCE_MISFIT:
        print_misfit(out, test);
        return;
    case BALANCE_NOT_SEEN:
        break;
    }
    fprintf(out,
            "The drive does NOT see the balance: %.1f N m matter, and it is known to +- %.1f "
            "only.\n",
            matters, test->cosine_n_m.error);
    if (!test->are_gains_measured && run->bridge->drive.has_worm) {
        fputs("Repeat both runs with a known weight at the toe (fit FILE LOADED WEIGHT), or:\n",
              out);
    }
    balance_text_spring_scale(out);
}

void balance_text_test(const struct balance_run *run, const struct balance_test *test,
                       size_t dropped) {
    FILE *out = run->tool->streams.out;
    fprintf(out, "%s: balance from %zu samples (%zu left out: not at steady speed)\n",
            run->net->name, test->samples, dropped);
    print_value(out, "moment on the seat", &test->cosine_n_m);
    print_value(out, "the same at 90 deg", &test->sine_n_m);
    print_value(out, "friction", &test->friction_n_m);
    print_over_angle(out, run, test);
    double toe_m = run->bridge->sizing.toe_x_m;
    if (number_is_positive(toe_m)) {
        fprintf(out, "  %.1f N on the seat at the toe, +- %.1f\n", test->cosine_n_m.value / toe_m,
                test->cosine_n_m.error / toe_m);
    }
    print_sight(out, run, test);
    if (test->sight == BALANCE_SEEN) {
        struct weights weights =
            balance_weights(run->bridge, test->cosine_n_m.value, test->sine_n_m.value);
        balance_text_weights(out, run->bridge, &weights);
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
