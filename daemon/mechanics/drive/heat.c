#include "mechanics/drive/heat.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

/* Steps in a time constant of the winding, and at most in one run. */
enum { STEPS = 60, STEPS_MAX = 100000 };

static const double copper_per_k = 0.00393;

const char *heat_check(const struct heat *heat) {
    if (!number_is_positive(heat->to_case_k_w) || !number_is_positive(heat->to_air_k_w)) {
        return "the motor's thermal resistances must be above zero";
    }
    if (!number_is_positive(heat->winding_s) || !number_is_positive(heat->case_s)) {
        return "the motor's thermal time constants must be above zero";
    }
    if (!isfinite(heat->air_c) || !isfinite(heat->limit_c) || heat->limit_c <= heat->air_c) {
        return "the winding's limit must be above the air's temperature";
    }
    return NULL;
}

struct heat_state heat_cold(const struct heat *heat) {
    return (struct heat_state){heat->air_c, heat->air_c};
}

double heat_copper(double winding_c) {
    return 1 + copper_per_k * (winding_c - 20);
}

/* Kelvins a second. */
static struct heat_state rate(const struct heat *heat, double winding_w, double case_w,
                              struct heat_state at) {
    double across_w = (at.winding_c - at.case_c) / heat->to_case_k_w;
    double out_w = (at.case_c - heat->air_c) / heat->to_air_k_w;
    return (struct heat_state){(winding_w - across_w) * heat->to_case_k_w / heat->winding_s,
                               (case_w + across_w - out_w) * heat->to_air_k_w / heat->case_s};
}

static struct heat_state moved(struct heat_state at, struct heat_state by, double seconds) {
    return (struct heat_state){at.winding_c + seconds * by.winding_c,
                               at.case_c + seconds * by.case_c};
}

/* What heats the winding: a known loss, or a stall. */
struct source {
    const struct heat_loss *loss;
    const struct heat_stall *stall; /* NULL: the loss */
};

static double winding_w(const struct source *source, double winding_c) {
    if (source->stall == NULL) {
        return source->loss->copper_w * heat_copper(winding_c);
    }
    double ohm = source->stall->resistance_ohm * heat_copper(winding_c);
    double current_a = fmin(source->stall->supply_a, source->stall->voltage_v / ohm);
    return current_a * current_a * ohm;
}

/* Midpoint rule: its error is far below that of any thermal resistance. */
static void step(const struct heat *heat, const struct source *source, double seconds,
                 struct heat_state *state) {
    double case_w = source->stall == NULL ? source->loss->other_w : 0;
    struct heat_state first = rate(heat, winding_w(source, state->winding_c), case_w, *state);
    struct heat_state middle = moved(*state, first, seconds / 2);
    *state =
        moved(*state, rate(heat, winding_w(source, middle.winding_c), case_w, middle), seconds);
}

static double step_s(const struct heat *heat) {
    return fmin(heat->winding_s, heat->case_s) / STEPS;
}

void heat_run(const struct heat *heat, const struct heat_loss *loss, double seconds,
              struct heat_state *state) {
    const struct source source = {loss, NULL};
    double steps = fmin(ceil(seconds / step_s(heat)), STEPS_MAX);
    for (int i = 0; i < (int)steps; i++) {
        step(heat, &source, seconds / steps, state);
    }
}

double heat_stall_s(const struct heat *heat, const struct heat_stall *stall,
                    struct heat_state state) {
    const struct source source = {NULL, stall};
    double most_w = winding_w(&source, state.winding_c);
    double capacity_j_k = heat->winding_s / heat->to_case_k_w;
    /* As long as the winding alone would take, nothing led away, and the way there cut in pieces.
     */
    double dt_s = fmin((heat->limit_c - state.winding_c) * capacity_j_k / most_w, heat->winding_s) /
                  STEPS / 5;
    double lasted_s = 0;
    if (state.winding_c >= heat->limit_c) {
        return 0;
    }
    while (lasted_s < 10 * (heat->winding_s + heat->case_s)) {
        double before_c = state.winding_c;
        step(heat, &source, dt_s, &state);
        lasted_s += dt_s;
        if (state.winding_c >= heat->limit_c) {
            double over = (state.winding_c - heat->limit_c) / (state.winding_c - before_c);
            return lasted_s - over * dt_s;
        }
    }
    return INFINITY;
}
