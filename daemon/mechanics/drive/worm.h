/* worm.h: a worm and its wheel. Pure. Angles in radians.
 * Geometry: Mott, Machine Elements in Mechanical Design, 4th edition, p. 343. Efficiency: Carvill,
 * Mechanical Engineer's Data Handbook, pp. 99-100. Locking is not a brake: vibration lowers the
 * friction (common practice: lead angles to 5 degrees usually lock, above 11 usually do not). */
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

double worm_ratio(double wheel_teeth, double starts);
/* How far a turn of the worm moves the wheel's pitch line: starts x axial pitch. */
double worm_lead_m(double starts, double module_m);
/* tan l = starts x module / worm pitch diameter. */
double worm_lead_rad(double starts, double module_m, double worm_diameter_m);

/* Worm driving: (cos phi - mu tan l)/(cos phi + mu cot l). */
double worm_efficiency(const struct worm *worm, double mu);
/* Wheel driving: (cos phi - mu cot l)/(cos phi + mu tan l). Nothing or less: it locks. */
double worm_back_efficiency(const struct worm *worm, double mu);

/* tan l <= mu/cos phi. */
bool worm_is_locking(const struct worm *worm, double mu);
/* (mu/cos phi)/tan l with the lowest friction: locks from 1. Under about 1.5 add a brake or a latch
 * (a judgement, no source). */
double worm_lock_margin(const struct worm *worm);
/* The friction, and the lead angle, at which it only just locks. */
double worm_lock_mu(const struct worm *worm);
double worm_lock_lead_rad(const struct worm *worm, double mu);

/* Sliding speed of the teeth: worm's pitch speed / cos l. */
double worm_sliding_m_s(const struct worm *worm, double worm_diameter_m, double worm_rad_s);
/* Friction of hard steel on phosphor bronze by sliding speed, 0.5 to 20 m/s (Carvill p. 100),
 * straight between its points and level beyond. */
double worm_mu_at(double sliding_m_s);

#endif
