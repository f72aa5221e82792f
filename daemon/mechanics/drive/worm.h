/* worm.h: a worm and its wheel. Pure. Angles in radians.
 * Efficiency: Carvill, Mechanical Engineer's Data Handbook, pp. 99-100. Locking is not a brake:
 * vibration lowers the friction (common practice: lead angles to 5 degrees usually lock, above 11
 * usually do not). */
#ifndef MECHANICS_WORM_H
#define MECHANICS_WORM_H

#include <stdbool.h>

struct worm {
    double ratio;        /* wheel teeth / starts */
    double lead_rad;     /* lead angle */
    double pressure_rad; /* normal pressure angle */
    double mu_low;       /* lowest credible friction: decides whether it locks */
    double mu_high;      /* highest: sizes the motor */
};

/* NULL, or what is wrong in words (static storage). */
const char *worm_check(const struct worm *worm);

/* Worm driving: (cos phi - mu tan l)/(cos phi + mu cot l). */
double worm_efficiency(const struct worm *worm, double mu);
/* Wheel driving: (cos phi - mu cot l)/(cos phi + mu tan l). Nothing or less: it locks. */
double worm_back_efficiency(const struct worm *worm, double mu);

/* tan l <= mu/cos phi. */
bool worm_is_locking(const struct worm *worm, double mu);
/* (mu/cos phi)/tan l with the lowest friction: locks from 1. Under about 1.5 add a brake or a latch
 * (a judgement, no source). */
double worm_lock_margin(const struct worm *worm);
/* The friction at which it only just locks. */
double worm_lock_mu(const struct worm *worm);

#endif
