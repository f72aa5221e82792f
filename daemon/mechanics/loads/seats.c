#include "mechanics/loads/seats.h"

#include "mechanics/number.h"

#include <math.h>

/* The toe's part of an even load from a to b. */
static double toe_n(const struct seats_train *train, double toe_m, double a, double b) {
    double load_n_m = train->mass_kg * NUMBER_GRAVITY_M_S2 / train->length_m;
    return b > a ? load_n_m * (b * b - a * a) / (2 * toe_m) : 0;
}

double seats_toe_most_n(const struct seats_train *train, double toe_m) {
    double begin_m = fmax(fmax(train->from_m, 0), train->to_m - train->length_m);
    return toe_n(train, toe_m, begin_m, train->to_m);
}

double seats_toe_least_n(const struct seats_train *train, double toe_m) {
    double end_m = fmin(fmin(train->to_m, 0), train->from_m + train->length_m);
    return toe_n(train, toe_m, train->from_m, end_m);
}

double seats_axis_most_n(const struct seats_train *train, double toe_m) {
    double load_n_m = train->mass_kg * NUMBER_GRAVITY_M_S2 / train->length_m;
    double end_m = fmin(fmin(train->to_m, toe_m), train->from_m + train->length_m);
    return load_n_m * (end_m - train->from_m) - toe_n(train, toe_m, train->from_m, end_m);
}
