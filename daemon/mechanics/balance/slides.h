/* slides.h: where weights that slide along a rail, or sit in a row of places, bring the span to the
 * wanted balance. Pure: no I/O, no allocation. SI units; points as in point.h.
 *
 * A weight at the part s of its rail from A to B adds the first moments m (A + s u): the moments
 * are linear in the places, so that the nearest are bounded least squares of a few unknowns. Two
 * residuals leave at most two places free, all others at an end of their rail or where they are:
 * all such choices are tried (derived here, checked against scipy.optimize.lsq_linear). */
#ifndef MECHANICS_SLIDES_H
#define MECHANICS_SLIDES_H

#include "mechanics/room/point.h"

#include <stdbool.h>

enum { SLIDES_MAX = 3, SLIDES_PLACES_MAX = 40 };

struct slide {
    double mass_kg;
    struct point from, to; /* its centre at the ends of the rail, span seated */
    double step_m;         /* between the places of a row, the first at `from`; 0: anywhere */
};

struct slides_aim {
    double base_sx_kg_m; /* of the leaf without these weights */
    double base_sy_kg_m;
    double sx_kg_m; /* wanted */
    double sy_kg_m;
    double sx_share; /* how much more an error of Sx counts than one of Sy, > 0 */
};

/* NULL, or what is wrong in words (static storage). The others expect what passed. */
const char *slides_check(const struct slide *slides, unsigned count);

double slides_length_m(const struct slide *slide);
struct point slides_point(const struct slide *slide, double place_m);
/* The nearest of its places, within the rail. */
double slides_nearest_m(const struct slide *slide, double place_m);

struct slides_answer {
    double place_m[SLIDES_MAX]; /* from `from` */
    double sx_kg_m;             /* reached */
    double sy_kg_m;
};

/* The places of least squared error; of equals those that move the fewest weights from `now_m`. */
struct slides_answer slides_search(const struct slide *slides, unsigned count, const double *now_m,
                                   const struct slides_aim *aim);

#endif
