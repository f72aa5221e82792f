/* profile.h: how a span is brought from rest to rest: position and speed over time,
 * worked out apart from the product's own law, which tests hold against it.
 * Pure: no clock, no I/O, no allocation. Any unit of position (rad, m, parts of the travel) with
 * its speed a second, and so on.
 *
 * A profile is a row of phases of constant jerk; their places in the row are fixed, phases that are
 * not needed last no time. Formulas: trapezoid v_peak = sqrt(2 a b D/(a + b)) where it is short
 * (tech-champion.com, velocity-time profiles); S-curve after Biagiotti & Melchiorri, Trajectory
 * Planning for Automatic Machines and Robots, 2008, section 3.4. */
#ifndef SUPPORT_PROFILE_H
#define SUPPORT_PROFILE_H

struct profile_phase {
    double duration_s;
    double position; /* at its start, as all that follow */
    double speed;
    double acceleration;
    double jerk;
};

/* Phases of a trapezoid and of a slow zone; the first three serve both. */
enum { PROFILE_UP, PROFILE_CRUISE, PROFILE_DOWN, PROFILE_CREEP, PROFILE_STOP };

/* Phases of an S-curve: rising, steady and falling acceleration, and so on mirrored. */
enum {
    PROFILE_S_RISE,
    PROFILE_S_PUSH,
    PROFILE_S_EASE,
    PROFILE_S_CRUISE,
    PROFILE_S_BRAKE,
    PROFILE_S_HOLD,
    PROFILE_S_SETTLE,
    PROFILE_PHASES_MAX
};

struct profile {
    struct profile_phase phase[PROFILE_PHASES_MAX];
    unsigned phases;
    double peak_speed;
    double duration_s;
};

struct profile_point {
    double position;
    double speed;
    double acceleration;
};

/* All above zero. */
struct profile_trapezoid {
    double distance;
    double speed;
    double acceleration;
    double deceleration;
};

/* Fast to the slow zone before the end, through it at the creep speed. The zone must hold the final
 * stop: zone >= c^2/(2 b2). A way too short for the fast speed lowers it; one too short even to
 * reach the creep speed before the zone becomes a trapezoid with the creep speed. */
struct profile_slow_zone {
    struct profile_trapezoid fast; /* over the whole distance */
    double zone;                   /* its length */
    double creep_speed;            /* at most the fast speed */
    double final_deceleration;
};

/* Speeds at start and end not negative and at most `speed`; the rest above zero. */
struct profile_s_curve {
    double distance;
    double start_speed;
    double end_speed;
    double speed;
    double acceleration;
    double jerk;
};

/* NULL, or what is wrong in words (static storage), and then `profile` is not changed. */
const char *profile_of_trapezoid(const struct profile_trapezoid *wanted, struct profile *profile);
const char *profile_of_slow_zone(const struct profile_slow_zone *wanted, struct profile *profile);
const char *profile_of_s_curve(const struct profile_s_curve *wanted, struct profile *profile);

/* Where the span should be. Before 0 and after the end: as at 0 and at the end. */
struct profile_point profile_at(const struct profile *profile, double time_s);

#endif
