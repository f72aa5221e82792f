/* parallelogram.h: a counterweight that hangs on its own trunnion behind the leaf and is tied to it
 * by a link, the four pivots a parallelogram: the counterweight turns exactly as far as the leaf.
 * Pure. SI units. Links of this kind: J. B. Strauss, US patent 974,538; the balance condition
 * m_leaf r_leaf + m_link r_A + m_cw r_cw = 0 is derived here (potential energy constant). */
#ifndef MECHANICS_PARALLELOGRAM_H
#define MECHANICS_PARALLELOGRAM_H

#include "mechanics/balance.h"

struct parallelogram {
    double leaf_kg;
    struct point leaf; /* its centre of gravity from the leaf's trunnion T, seated */
    double link_kg;
    struct point link_pin;      /* A, on the leaf, from T; the other pin lies the same from C */
    double counterweight_kg;    /* with its frame */
    struct point counterweight; /* its centre of gravity from its own trunnion C */
    struct point tower;         /* C from T */
};

/* NULL, or what is wrong in words (static storage): among it a travel on which T, C and A fall into
 * one line, where the parallelogram could flip to its crossed form. */
const char *parallelogram_check(const struct parallelogram *parallelogram, double travel_rad);

/* Where the counterweight's centre of gravity must be, from its trunnion, for balance at every
 * angle: on the line from C opposite to that from T to the centre of leaf and link. */
struct point parallelogram_balance_point(const struct parallelogram *parallelogram);

/* The three as one leaf: its moment and inertia are those of the whole. Returns as
 * balance_of_items. */
const char *parallelogram_balance(const struct parallelogram *parallelogram,
                                  struct balance *balance);

#endif
