/* balance_test.h: a span's balance and friction from recorded runs, by the current that its own
 * motor took; and whether that can be trusted at all. Pure: no I/O, no allocation. SI units, angles
 * in radians. For leaves that turn about a level axis.
 *
 * The motor's torque is Kt (I - I0), and at steady speed, counted in the raising sense on the span,
 *     raising   u = c_up (M + F)        lowering   u = c_down (M - F)
 * where u is what a lossless drive would make of it and c_up, c_down are what the gears' losses
 * make of that: 1/eta and eta of spur gears; through a worm tan(l + p)/tan l and tan(l - p)/tan l,
 * the latter below zero where it locks. c_up is for a load that resists the motor, c_down for one
 * that runs ahead of it: where M < F the motor pushes the leaf down, and c_up holds there too. So
 * half the sum of the two runs is not M, the less the more the gears lose. The gains come from runs
 * repeated with a known weight at the toe (no friction coefficient is needed then), or else from
 * the data of the drive, with an error that says how little these tell of a worm.
 * M = A cos t + B sin t, F constant (balance_fit.h); Gauss and Newton's method on least squares. */
#ifndef MECHANICS_BALANCE_TEST_H
#define MECHANICS_BALANCE_TEST_H

#include "mechanics/lift/chain.h"

#include <stdbool.h>
#include <stddef.h>

struct balance_sample {
    double position_rad;
    double speed_rad_s; /* any sign */
    double current_a;
    bool is_raising;
    bool is_loaded; /* with the test weight at the toe */
};

struct balance_weight {
    double mass_kg;  /* 0: no loaded samples are used */
    struct point at; /* on the leaf, seated, from the axis */
};

/* The motor ran evenly when the sample was taken: its speed within a twentieth of the median of
 * its run (judgement, no source). Moves the steady samples to the front; returns how many. */
size_t balance_test_steady(const struct chain *chain, struct balance_sample *samples, size_t count);

/* What a lossless drive would make of the motor's torque: u, N.m on the span, raising sense. */
double balance_test_torque_n_m(const struct chain *chain, const struct balance_sample *sample,
                               double no_load_a);

struct balance_gains {
    double up;
    double down;
};
/* From the data of the drive, with this friction in its worm. */
struct balance_gains balance_test_gains(const struct drive *drive, double mu);

enum balance_sight {
    BALANCE_SEEN,     /* the imbalance is known to half of what matters, or better */
    BALANCE_NOT_SEEN, /* it is not: use a spring scale at the toe */
    BALANCE_MISFIT, /* no span is as the fit says: the drive's data are wrong, or something rubs */
};

/* One result and the parts of its standard error. */
struct balance_value {
    double value;
    double scatter; /* of the samples about the fit; of measured gains, too */
    double gains;   /* from the data of the drive: least to most friction of its worm */
    double no_load; /* because the no-load current is */
    double motor;   /* because the motor's constant is: nothing where the gains are measured */
    double error;   /* of all four */
};

struct balance_test {
    struct balance_value cosine_n_m; /* A: the moment on the seat */
    struct balance_value sine_n_m;   /* B */
    struct balance_value friction_n_m;
    struct balance_gains gains;
    bool are_gains_measured;
    double up_a_per_n_m; /* change of the current for each N.m on the seated span */
    double down_a_per_n_m;
    double half_sum_n_m;  /* what half the sum would have called the moment on the seat */
    double deviation_n_m; /* of the samples from the fit, as u */
    double pattern_n_m; /* on the span: what of it is no scatter, for it goes on from one sample to
                           the next */
    size_t samples;
    enum balance_sight sight;
};

/* How far the data of a drive are believed where they are not given as a range: the friction of its
 * worm by this share either way, the losses of its gears too (judgements, no source). */
#define BALANCE_WORM_SHARE 0.2
#define BALANCE_LOSS_SHARE (1 / 3.0)

/* How far the no-load current may have moved since it was measured, the same day (judgement, no
 * source), and how far a motor's constant may be from its sheet's (sheets of small motors allow 10
 * % of speed; half of that, for one that was looked at: a judgement, no source). For whom nobody
 * says more. */
#define BALANCE_NO_LOAD_SHARE 0.02
#define BALANCE_MOTOR_SHARE 0.05

struct balance_asked {
    double matters_n_m; /* the moment on the seat that must not go unseen */
    double
        motor_share; /* of the motor's constant, and of its no-load current, by which they may be */
    double no_load_share; /* off: in 95 of 100 cases */
};
struct balance_asked balance_asked(double matters_n_m); /* with the shares above */

/* Samples of one run are expected in the order in which they were taken. A sensor that reads the
 * same all the way is not believed. A friction below zero by more than its error is a misfit; so
 * is a pattern in the residuals: of independent samples the mean square of their successive
 * differences is twice their variance (J. von Neumann, Annals of Mathematical Statistics 12, 1941,
 * from memory), of a wrong model less than half as much. A wrong friction of the worm puts the
 * moment off by up to three times the pattern (tried, with this model), and that may be half of
 * what matters. NULL, or what is wrong in words (static storage), and then `result` is not changed.
 */
const char *balance_test_solve(const struct chain *chain, const struct balance_sample *samples,
                               size_t count, const struct balance_weight *weight,
                               struct balance_asked asked, struct balance_test *result);

#endif
