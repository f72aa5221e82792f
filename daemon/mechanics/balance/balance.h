/* balance.h: how heavy the span is, and on which side. Pure: no I/O, no allocation. SI units.
 *
 * M(t) = g (Sx cos t - Sy sin t) with the first moments Sx = sum m x, Sy = sum m y, which is
 * W L cos(t + alpha), W L and alpha the resultant's moment and angle: the usual description of a
 * movable bridge's balance (Giernacky & Tosolt, Movable Bridge Balance and Counterweight Design
 * Considerations, Heavy Movable Structures 13th symposium, 2010). M > 0: gravity closes, the span
 * is "span-heavy". */
#ifndef MECHANICS_BALANCE_H
#define MECHANICS_BALANCE_H

#include "mechanics/lift/lift.h"

#include <stddef.h>

/* One mass of the leaf: a rectangle with its sides level and upright when seated. Length and height
 * 0: as if all were in one point (inertia a little low). Of a swing span: seen from above. */
struct balance_item {
    double mass_kg;
    struct point at; /* its centre, seated */
    double length_m;
    double height_m;
};

/* Ropes over the sheaves of a vertical lift. */
struct balance_ropes {
    double span_kg;
    double counterweight_kg;
    double rope_kg_m; /* one rope */
    unsigned ropes;
    double span_side_m; /* rope hanging on either side of the sheaves, seated */
    double counterweight_side_m;
};

struct balance {
    enum lift_kind kind;
    double mass_kg;
    double sx_kg_m; /* nothing for a vertical lift */
    double sy_kg_m;
    double
        inertia_kg_m2; /* about the trunnion, the pivot, the roll centre; 0 for a vertical lift */
    double roll_radius_m;       /* LIFT_ROLLING, else 0 */
    struct balance_ropes ropes; /* LIFT_VERTICAL */
};

/* The sum of `count` items for a leaf that turns. `roll_radius_m` counts for LIFT_ROLLING only.
 * NULL, or what is wrong in words (static storage), and then `balance` is not changed. */
const char *balance_of_items(enum lift_kind kind, double roll_radius_m,
                             const struct balance_item *items, size_t count,
                             struct balance *balance);

/* The same for a vertical lift. */
const char *balance_of_ropes(const struct balance_ropes *ropes, struct balance *balance);

/* NULL, or what is wrong in words (static storage). */
const char *balance_check(const struct balance *balance);

/* Gravity's moment, N.m, > 0 closes. Of a vertical lift the force, N: W_span - W_cw +
 * n w (L_span - L_cw - 2 y), as rope passes from the span's side to the counterweight's. Of a swing
 * span 0: gravity does not turn it. */
double balance_moment(const struct balance *balance, double position);

/* What resists acceleration: kg.m2 about the axis, kg for a vertical lift. Of a rolling lift about
 * the point it rolls on, I + m R^2 + 2 R (Sx sin t + Sy cos t) (parallel axis), which changes as
 * it opens. */
double balance_inertia(const struct balance *balance, double position);

/* The leaf as one weight at a radius and angle. Only for leaves that turn about a level axis. */
struct balance_resultant {
    double weight_n;
    double radius_m;  /* L */
    double angle_rad; /* alpha, from the x axis, seated */
    double even_rad;  /* pi/2 - alpha: the position at which the moment changes sign */
};
struct balance_resultant balance_resultant(const struct balance *balance);

/* What the seat carries at the toe, all bearings together, drive slack: M(0)/x. Newtons, < 0: the
 * toe would lift by itself. */
double balance_toe_reaction_n(const struct balance *balance, double toe_x_m);

/* Where the ropes of a vertical lift balance it, metres; NAN if the ropes weigh nothing. */
double balance_ropes_even_m(const struct balance_ropes *ropes);

/* Moments of inertia, kg.m2 (textbook forms; the rod: I = m L^2 (1/12 + (c/L)^2)). `off_m`: how far
 * the axis is from the centre (parallel axis theorem). */
double balance_rectangle_inertia(double mass_kg, double length_m, double height_m, double off_m);

#endif
