/* balance_fit.h: the span's balance and friction from what was measured while it moved.
 * Pure: no I/O, no allocation. SI units.
 *
 * Torque recorded while raising and lowering gives imbalance and friction: practice of movable
 * bridge testing (Kanagy & Giernacky, Movable Bridge Friction Review, Heavy Movable Structures 20th
 * symposium; WJE on strain-gage testing). At steady speed, both counted in the raising sense,
 * T_raise = M + F and T_lower = M - F. M over the position as in balance.h. */
#ifndef MECHANICS_BALANCE_FIT_H
#define MECHANICS_BALANCE_FIT_H

#include "mechanics/room/point.h"

/* Imbalance (> 0: span-heavy) and friction, N.m. */
struct balance_fit_pair {
    double moment_n_m;
    double friction_n_m;
};

/* At one position: half the sum, half the difference. Not for torques behind a worm. */
struct balance_fit_pair balance_fit_halves(double raising_n_m, double lowering_n_m);

/* A slow lift and let-down by hand with a spring scale at the toe, newtons. */
struct balance_fit_pair balance_fit_spring_scale(double up_n, double down_n, double toe_x_m);

/* m g (x cos t - y sin t). */
double balance_fit_added_moment_n_m(double mass_kg, struct point at, double position_rad);

#endif
