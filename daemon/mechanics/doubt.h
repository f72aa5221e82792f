/* doubt.h: how far a margin may be off, from what it becomes with each input moved as far as that
 * may be off, one at a time. Pure: no I/O, no allocation.
 *
 * First order (JCGM 100, Guide to the expression of uncertainty in measurement, 2008, 5.1.2, from
 * memory), but each side for itself: what lessens the margin adds up as the root of the sum of
 * squares, and so does what adds to it. Where both moves of an input bend the margin the same way,
 * the worse of them counts on that side, and nothing on the other. Checked against draws at random
 * (tests). */
#ifndef MECHANICS_DOUBT_H
#define MECHANICS_DOUBT_H

#include <stdbool.h>

struct doubt {
    double less, more; /* by so much, in 95 of 100 cases; INFINITY: nobody knows how much */
    /* The number of the input, from 1, that adds most to the side that could change the verdict, to
     * the other where nothing adds to that; 0: nothing is said to be off. */
    unsigned cause;
    double greatest[2]; /* what that input adds, to that side and to the other */
};

/* One input moved down makes `low` of the margin, and up `high`; NAN: it cannot be so far off that
 * way, and the other way is taken to count for both. */
void doubt_add(struct doubt *doubt, double margin, double low, double high, unsigned input);

/* Whether the margin could be on the other side of zero. */
bool doubt_reaches(const struct doubt *doubt, double margin);

/* The side that could change the verdict. */
double doubt_towards(const struct doubt *doubt, double margin);

/* The wider side, of those that are finite; 0: there is none. */
double doubt_wider(const struct doubt *doubt);

#endif
