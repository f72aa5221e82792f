/* least_squares.h: a straight fit of any few unknowns to many samples, with standard errors.
 * Pure: no I/O, no allocation: samples are taken one at a time and not kept.
 *
 * QR decomposition by Givens rotations, which works off a row at a time and is as stable as
 * Householder's (Golub & Van Loan, Matrix Computations, chapter 5, from memory); the normal
 * equations would lose half the digits. Tested on the reference data of NIST StRD. */
#ifndef MECHANICS_LEAST_SQUARES_H
#define MECHANICS_LEAST_SQUARES_H

#include <stdbool.h>
#include <stddef.h>

enum { LEAST_SQUARES_MAX = 8 };

/* The samples so far, as a triangle. */
struct least_squares {
    unsigned unknowns;
    size_t samples;
    double triangle[LEAST_SQUARES_MAX][LEAST_SQUARES_MAX + 1]; /* the last column: the right side */
    double residual_sum;                                       /* of squares */
};

struct least_squares_fit {
    double value[LEAST_SQUARES_MAX];
    double error[LEAST_SQUARES_MAX]; /* standard errors; NAN where no sample is to spare */
    double covariance[LEAST_SQUARES_MAX][LEAST_SQUARES_MAX];
    double residual_sum;       /* of squares */
    size_t degrees_of_freedom; /* samples less unknowns */
    double residual_deviation; /* sqrt(residual_sum / degrees_of_freedom) */
};

/* 1 to LEAST_SQUARES_MAX unknowns. */
void least_squares_begin(struct least_squares *sum, unsigned unknowns);

/* One sample: what each unknown is multiplied by (as many as unknowns), and the value. False, and
 * nothing taken, if a number is not finite. */
bool least_squares_add(struct least_squares *sum, const double *factors, double value);

/* NULL, or what is wrong in words (static storage), and then `fit` is not changed: fewer samples
 * than unknowns, or samples that do not tell the unknowns apart. */
const char *least_squares_solve(const struct least_squares *sum, struct least_squares_fit *fit);

#endif
