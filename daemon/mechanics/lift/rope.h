/* rope.h: the counterweight ropes of a vertical lift: tension, stretch, safety. Pure: no I/O, no
 * allocation. SI units.
 *
 * Each rope carries its part of the counterweight, and at most all of its own weight, as if it hung
 * on one side (statics, an upper bound); it stretches by T L/(E A) over both sides, its own weight
 * in the mean, with the modulus counted on the full circle of its diameter (a steel wire rope fills
 * about half of it; any handbook). */
#ifndef MECHANICS_ROPE_H
#define MECHANICS_ROPE_H

#include "mechanics/balance/balance.h"

#include <stdbool.h>

/* NAN: not known. */
struct rope {
    bool is_chain; /* it hardly stretches, and bends freely */
    double diameter_m;
    double breaking_n;
    double modulus_pa;
    double sheave_m; /* diameter at the rope's middle */
};

/* Least of breaking force by tension (5: hoists; from memory), and of sheave by rope (20: a
 * flexible wire rope; common practice, no source). */
#define ROPE_SAFETY_LEAST 5
#define ROPE_SHEAVE_LEAST 20

/* Returns the greatest tension of one rope at the sheave. */
double rope_tension_n(const struct balance_ropes *ropes);

/* Returns by how much one is longer under its tension, both sides together. */
double rope_stretch_m(const struct rope *rope, const struct balance_ropes *ropes);

#endif
