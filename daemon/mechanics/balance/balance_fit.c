#include "mechanics/balance/balance_fit.h"

#include "mechanics/number.h"

#include <math.h>

struct balance_fit_pair balance_fit_halves(double raising_n_m, double lowering_n_m) {
    return (struct balance_fit_pair){(raising_n_m + lowering_n_m) / 2,
                                     (raising_n_m - lowering_n_m) / 2};
}

struct balance_fit_pair balance_fit_spring_scale(double up_n, double down_n, double toe_x_m) {
    return balance_fit_halves(up_n * toe_x_m, down_n * toe_x_m);
}

void balance_fit_begin(struct least_squares *sum) {
    least_squares_begin(sum, 3);
}

bool balance_fit_add(struct least_squares *sum, double position_rad, double torque_n_m,
                     bool is_raising) {
    double factors[] = {cos(position_rad), sin(position_rad), is_raising ? 1.0 : -1.0};
    return least_squares_add(sum, factors, torque_n_m);
}

/* Errors of hypot(A, B) and atan2(-B, A) to first order. */
static void find_resultant_errors(const struct least_squares_fit *from, struct balance_fit *fit) {
    double a = fit->cosine_n_m, b = fit->sine_n_m;
    double va = from->covariance[0][0], vb = from->covariance[1][1], cab = from->covariance[0][1];
    double wl2 = a * a + b * b;
    fit->weight_moment_error_n_m = sqrt((a * a * va + b * b * vb + 2 * a * b * cab) / wl2);
    fit->angle_error_rad = sqrt((b * b * va + a * a * vb - 2 * a * b * cab) / (wl2 * wl2));
}

const char *balance_fit_solve(const struct least_squares *sum, struct balance_fit *fit) {
    struct least_squares_fit found;
    const char *wrong = least_squares_solve(sum, &found);
    if (wrong) {
        return wrong;
    }
    *fit = (struct balance_fit){
        .cosine_n_m = found.value[0],
        .sine_n_m = found.value[1],
        .friction_n_m = found.value[2],
        .weight_moment_n_m = hypot(found.value[0], found.value[1]),
        .angle_rad = atan2(-found.value[1], found.value[0]),
        .cosine_error_n_m = found.error[0],
        .sine_error_n_m = found.error[1],
        .friction_error_n_m = found.error[2],
        .cosine_sine_covariance = found.covariance[0][1],
        .residual_sum = found.residual_sum,
        .residual_deviation_n_m = found.residual_deviation,
        .degrees_of_freedom = found.degrees_of_freedom,
    };
    find_resultant_errors(&found, fit);
    return NULL;
}

const char *balance_fit_worm_solve(const struct balance_fit_worm_test *test,
                                   struct balance_fit_worm *found) {
    if (!isfinite(test->raising_n_m) || !isfinite(test->lowering_n_m) ||
        !isfinite(test->raising_loaded_n_m) || !isfinite(test->lowering_loaded_n_m)) {
        return "the measured torques must be finite";
    }
    if (!isfinite(test->added_moment_n_m) || test->added_moment_n_m == 0.0) {
        return "the test mass must add a moment";
    }
    double kr = (test->raising_loaded_n_m - test->raising_n_m) / test->added_moment_n_m;
    double kl = (test->lowering_loaded_n_m - test->lowering_n_m) / test->added_moment_n_m;
    if (kr == 0.0 || kl == 0.0) {
        return "the test mass made no difference: it is too light to be measured";
    }
    found->raising_gain = kr;
    found->lowering_gain = kl;
    found->pair = balance_fit_halves(test->raising_n_m / kr, test->lowering_n_m / kl);
    return NULL;
}

double balance_fit_added_moment_n_m(double mass_kg, struct point at, double position_rad) {
    return mass_kg * NUMBER_GRAVITY_M_S2 * point_turned(at, position_rad).x_m;
}

struct balance_fit_bias balance_fit_worm_bias(const struct worm *worm, double mu) {
    double lead = worm->lead_rad, friction = atan(mu / cos(worm->pressure_rad));
    double up = tan(lead + friction), down = tan(friction - lead), lossless = 2 * tan(lead);
    return (struct balance_fit_bias){(up - down) / lossless, (up + down) / lossless};
}

struct balance_fit_bias balance_fit_spur_bias(double efficiency) {
    return (struct balance_fit_bias){(1 / efficiency + efficiency) / 2,
                                     (1 / efficiency - efficiency) / 2};
}
