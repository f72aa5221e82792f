#include "mechanics/drive/heat.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

/* Steps of a stall on its way to the limit, at least. */
enum { STEPS = 40 };

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

/* --- a known loss: x' = M x + c, whose M has two real eigenvalues that differ, for what warms the
 * one body warms the other --- */

struct matrix {
    double a, b, c, d;
};

/* Returns the part of `x` that one eigenvalue of M rules: `other` is the other one, and `by` is one
 * by what they differ. */
static struct heat_state project(const struct matrix *m, double other, double by,
                                 struct heat_state x) {
    return (struct heat_state){((m->a - other) * x.winding_c + m->b * x.case_c) * by,
                               (m->c * x.winding_c + (m->d - other) * x.case_c) * by};
}

/* What one second of c has become after all of them. */
static double grown(double eigenvalue, double seconds) {
    return eigenvalue != 0 ? expm1(eigenvalue * seconds) / eigenvalue : seconds;
}

void heat_run(const struct heat *heat, const struct heat_loss *loss, double seconds,
              struct heat_state *state) {
    const struct heat_state nought = {0, 0}, winding = {1, 0}, body = {0, 1};
    double copper_w = loss->copper_w, other_w = loss->other_w;
    struct heat_state c = rate(heat, copper_w * heat_copper(0), other_w, nought);
    struct heat_state by_winding = rate(heat, copper_w * heat_copper(1), other_w, winding);
    struct heat_state by_case = rate(heat, copper_w * heat_copper(0), other_w, body);
    const struct matrix m = {by_winding.winding_c - c.winding_c, by_case.winding_c - c.winding_c,
                             by_winding.case_c - c.case_c, by_case.case_c - c.case_c};
    double half = (m.a + m.d) / 2;
    double apart = sqrt((m.a - m.d) * (m.a - m.d) / 4 + m.b * m.c);
    const double eigenvalue[] = {half + apart, half - apart};
    struct heat_state end = nought;
    for (int i = 0; i < 2; i++) {
        double other = eigenvalue[1 - i];
        double by = 1 / (eigenvalue[i] - other);
        end = moved(end, project(&m, other, by, *state), exp(eigenvalue[i] * seconds));
        end = moved(end, project(&m, other, by, c), grown(eigenvalue[i], seconds));
    }
    *state = end;
}

/* --- a stall --- */

static double stall_w(const struct heat_stall *stall, double winding_c) {
    double ohm = stall->resistance_ohm * heat_copper(winding_c);
    double current_a = fmin(stall->supply_a, stall->voltage_v / ohm);
    return current_a * current_a * ohm;
}

static struct heat_state stall_rate(const struct heat *heat, const struct heat_stall *stall,
                                    struct heat_state at) {
    return rate(heat, stall_w(stall, at.winding_c), 0, at);
}

/* Runge and Kutta's, of the fourth order. */
static void step(const struct heat *heat, const struct heat_stall *stall, double seconds,
                 struct heat_state *state) {
    struct heat_state k1 = stall_rate(heat, stall, *state);
    struct heat_state k2 = stall_rate(heat, stall, moved(*state, k1, seconds / 2));
    struct heat_state k3 = stall_rate(heat, stall, moved(*state, k2, seconds / 2));
    struct heat_state k4 = stall_rate(heat, stall, moved(*state, k3, seconds));
    *state = moved(*state, k1, seconds / 6);
    *state = moved(*state, k2, seconds / 3);
    *state = moved(*state, k3, seconds / 3);
    *state = moved(*state, k4, seconds / 6);
}

double heat_stall_s(const struct heat *heat, const struct heat_stall *stall,
                    struct heat_state state) {
    double most_w = stall_w(stall, state.winding_c);
    double capacity_j_k = heat->winding_s / heat->to_case_k_w;
    /* As long as the winding alone would take, nothing led away, and the way there cut in pieces.
     */
    double dt_s =
        fmin((heat->limit_c - state.winding_c) * capacity_j_k / most_w, heat->winding_s) / STEPS;
    double lasted_s = 0;
    if (state.winding_c >= heat->limit_c) {
        return 0;
    }
    while (lasted_s < 10 * (heat->winding_s + heat->case_s)) {
        double before_c = state.winding_c;
        step(heat, stall, dt_s, &state);
        lasted_s += dt_s;
        if (state.winding_c >= heat->limit_c) {
            double over = (state.winding_c - heat->limit_c) / (state.winding_c - before_c);
            return lasted_s - over * dt_s;
        }
    }
    return INFINITY;
}
