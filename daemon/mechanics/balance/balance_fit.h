/* balance_fit.h: the span's balance and friction from what was measured while it moved.
 * Pure: no I/O, no allocation. SI units.
 *
 * Torque recorded while raising and lowering gives imbalance and friction: practice of movable
 * bridge testing (Kanagy & Giernacky, Movable Bridge Friction Review, Heavy Movable Structures 20th
 * symposium; WJE on strain-gage testing). At steady speed, both counted in the raising sense,
 * T_raise = M + F and T_lower = M - F. M over the position as in balance.h. */
#ifndef MECHANICS_BALANCE_FIT_H
#define MECHANICS_BALANCE_FIT_H

#include "mechanics/balance/least_squares.h"
#include "mechanics/drive/worm.h"
#include "mechanics/room/point.h"

#include <stdbool.h>

/* Imbalance (> 0: span-heavy) and friction, N.m. */
struct balance_fit_pair {
    double moment_n_m;
    double friction_n_m;
};

/* At one position: half the sum, half the difference. Not for torques behind a worm. */
struct balance_fit_pair balance_fit_halves(double raising_n_m, double lowering_n_m);

/* A slow lift and let-down by hand with a spring scale at the toe, newtons. */
struct balance_fit_pair balance_fit_spring_scale(double up_n, double down_n, double toe_x_m);

/* All samples together: T = A cos t + B sin t +- F; A = g Sx, B = -g Sy. Begin, add each sample,
 * solve. Samples at a changing speed must be left out, or their I alpha taken off. */
void balance_fit_begin(struct least_squares *sum);
/* `torque_n_m` in the raising sense: a lowering motor that pushes down counts negative. False, and
 * nothing taken, if a number is not finite. */
bool balance_fit_add(struct least_squares *sum, double position_rad, double torque_n_m,
                     bool is_raising);

struct balance_fit {
    double cosine_n_m; /* A */
    double sine_n_m;   /* B */
    double friction_n_m;
    double weight_moment_n_m; /* W L = hypot(A, B) */
    double angle_rad;         /* alpha = atan2(-B, A) */
    double cosine_error_n_m;  /* standard errors */
    double sine_error_n_m;
    double friction_error_n_m;
    double weight_moment_error_n_m;
    double angle_error_rad;
    double cosine_sine_covariance;
    double residual_sum; /* of squares */
    double residual_deviation_n_m;
    size_t degrees_of_freedom;
};
/* NULL, or what is wrong in words (static storage). Wants both directions, and positions apart:
 * below some 20 degrees A and B separate poorly, which the standard errors tell. */
const char *balance_fit_solve(const struct least_squares *sum, struct balance_fit *fit);

/* Behind a worm the two directions have different gains, and half the sum is not the moment. The
 * remedy that needs no friction coefficient: measure again with a known mass at the toe. */
struct balance_fit_worm_test {
    double raising_n_m; /* at the motor, in the raising sense */
    double lowering_n_m;
    double raising_loaded_n_m; /* the same with the test mass */
    double lowering_loaded_n_m;
    double added_moment_n_m; /* of the test mass */
};
struct balance_fit_worm {
    double raising_gain; /* motor torque for each N.m on the span */
    double lowering_gain;
    struct balance_fit_pair pair;
};
/* NULL, or what is wrong in words (static storage), and then `found` is not changed. */
const char *balance_fit_worm_solve(const struct balance_fit_worm_test *test,
                                   struct balance_fit_worm *found);

/* m g (x cos t - y sin t). */
double balance_fit_added_moment_n_m(double mass_kg, struct point at, double position_rad);

/* What half the sum would read behind a worm: this much of M, and this much of F on top. */
struct balance_fit_bias {
    double of_moment;
    double of_friction;
};
struct balance_fit_bias balance_fit_worm_bias(const struct worm *worm, double mu);
/* The same behind spur gears of this efficiency: (1/eta + eta)/2 and (1/eta - eta)/2. */
struct balance_fit_bias balance_fit_spur_bias(double efficiency);

#endif
