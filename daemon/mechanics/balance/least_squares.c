#include "mechanics/balance/least_squares.h"

#include <math.h>
#include <string.h>

void least_squares_begin(struct least_squares *sum, unsigned unknowns) {
    memset(sum, 0, sizeof *sum);
    sum->unknowns = unknowns < LEAST_SQUARES_MAX ? unknowns : LEAST_SQUARES_MAX;
}

/* Turns row `k` of the triangle and the new row so that the new row's element k vanishes. */
static void rotate(double *kept, double *row, unsigned k, unsigned last) {
    double length = hypot(kept[k], row[k]);
    if (length == 0.0) {
        return;
    }
    double c = kept[k] / length, s = row[k] / length;
    for (unsigned i = k; i <= last; i++) {
        double above = kept[i];
        kept[i] = c * above + s * row[i];
        row[i] = c * row[i] - s * above;
    }
}

bool least_squares_add(struct least_squares *sum, const double *factors, double value) {
    unsigned n = sum->unknowns;
    double row[LEAST_SQUARES_MAX + 1] = {0};
    for (unsigned k = 0; k < n; k++) {
        if (!isfinite(factors[k])) {
            return false;
        }
        row[k] = factors[k];
    }
    if (!isfinite(value)) {
        return false;
    }
    row[n] = value;
    for (unsigned k = 0; k < n; k++) {
        rotate(sum->triangle[k], row, k, n);
    }
    sum->residual_sum += row[n] * row[n]; /* what no unknown can reach */
    sum->samples++;
    return true;
}

/* What of column k the columns before it do not say already is less than rounding could make. */
static bool is_column_lost(const struct least_squares *sum, unsigned k) {
    double length = 0.0;
    for (unsigned i = 0; i <= k; i++) {
        length = hypot(length, sum->triangle[i][k]);
    }
    return !(fabs(sum->triangle[k][k]) > 1e-11 * length);
}

static void solve_values(const struct least_squares *sum, double *value) {
    unsigned n = sum->unknowns;
    for (unsigned k = n; k-- > 0;) {
        double left = sum->triangle[k][n];
        for (unsigned i = k + 1; i < n; i++) {
            left -= sum->triangle[k][i] * value[i];
        }
        value[k] = left / sum->triangle[k][k];
    }
}

/* R^-1, upper triangle. */
static void invert(const struct least_squares *sum,
                   double inverse[LEAST_SQUARES_MAX][LEAST_SQUARES_MAX]) {
    unsigned n = sum->unknowns;
    for (unsigned column = 0; column < n; column++) {
        for (unsigned k = column + 1; k-- > 0;) {
            double left = k == column ? 1.0 : 0.0;
            for (unsigned i = k + 1; i <= column; i++) {
                left -= sum->triangle[k][i] * inverse[i][column];
            }
            inverse[k][column] = left / sum->triangle[k][k];
        }
    }
}

/* s^2 (X'X)^-1 = s^2 R^-1 R^-T. */
static void find_covariance(const struct least_squares *sum, struct least_squares_fit *fit) {
    double inverse[LEAST_SQUARES_MAX][LEAST_SQUARES_MAX] = {{0.0}};
    invert(sum, inverse);
    double variance = fit->residual_deviation * fit->residual_deviation;
    for (unsigned i = 0; i < sum->unknowns; i++) {
        for (unsigned k = 0; k < sum->unknowns; k++) {
            double product = 0.0;
            for (unsigned m = i > k ? i : k; m < sum->unknowns; m++) {
                product += inverse[i][m] * inverse[k][m];
            }
            fit->covariance[i][k] = variance * product;
        }
        fit->error[i] = sqrt(fit->covariance[i][i]);
    }
}

const char *least_squares_solve(const struct least_squares *sum, struct least_squares_fit *fit) {
    if (sum->samples < sum->unknowns || sum->unknowns == 0) {
        return "there are fewer samples than unknowns";
    }
    for (unsigned k = 0; k < sum->unknowns; k++) {
        if (is_column_lost(sum, k)) {
            return "the samples do not tell the unknowns apart";
        }
    }
    memset(fit, 0, sizeof *fit);
    fit->degrees_of_freedom = sum->samples - sum->unknowns;
    fit->residual_sum = sum->residual_sum;
    fit->residual_deviation = fit->degrees_of_freedom > 0
                                  ? sqrt(sum->residual_sum / (double)fit->degrees_of_freedom)
                                  : NAN;
    solve_values(sum, fit->value);
    find_covariance(sum, fit);
    return NULL;
}
