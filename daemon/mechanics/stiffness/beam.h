/* beam.h: how much the leaf bends: under its own weight while it is held at the axis alone, and
 * under a train while it rests on axis and seat. Pure: no I/O, no allocation. SI units.
 *
 * Euler and Bernoulli's beam of even stiffness, small angles, shear left out (formulas as in any
 * table of beams). What a builder can measure is a sag under a known weight: it includes all
 * joints. */
#ifndef MECHANICS_BEAM_H
#define MECHANICS_BEAM_H

/* A rectangular girder, `wall_m` 0: solid. */
struct beam_section {
    unsigned count;
    double width_m, height_m, wall_m;
    double modulus_pa;
};

/* Returns NULL, or what is wrong in words (static storage). */
const char *beam_section_check(const struct beam_section *section);

/* Returns E I of all girders together, N m2. */
double beam_stiffness_of(const struct beam_section *section);

/* Returns E I of a leaf whose toe sags by `sag_m` more under this force there, held at the axis. */
double beam_stiffness_measured(double force_n, double toe_m, double sag_m);

/* Returns the sag at the toe of a leaf held at the axis, its load even: w L^4/(8 E I). */
double beam_toe_sag_m(double load_n_m, double toe_m, double stiffness_n_m2);

/* A train of this load and length in the middle of a span between two supports. */
struct beam_train {
    double load_n_m;
    double length_m; /* longer than the span: all of it is loaded */
};
double beam_bend_m(const struct beam_train *train, double span_m, double stiffness_n_m2);
/* Returns the slope at the supports. */
double beam_slope(const struct beam_train *train, double span_m, double stiffness_n_m2);

#endif
