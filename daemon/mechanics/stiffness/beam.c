#include "mechanics/stiffness/beam.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

const char *beam_section_check(const struct beam_section *section) {
    if (2 * section->wall_m >= fmin(section->width_m, section->height_m)) {
        return "a girder's wall must be less than half its width and height";
    }
    return NULL;
}

double beam_stiffness_of(const struct beam_section *section) {
    bool is_solid = !(section->wall_m > 0);
    double hollow_b = is_solid ? 0 : section->width_m - 2 * section->wall_m;
    double hollow_h = section->height_m - 2 * section->wall_m;
    double moment_m4 =
        (section->width_m * pow(section->height_m, 3) - hollow_b * pow(hollow_h, 3)) / 12;
    return section->count * section->modulus_pa * moment_m4;
}

double beam_stiffness_measured(double force_n, double toe_m, double sag_m) {
    return force_n * pow(toe_m, 3) / (3 * sag_m);
}

double beam_toe_sag_m(double load_n_m, double toe_m, double stiffness_n_m2) {
    return load_n_m * pow(toe_m, 4) / (8 * stiffness_n_m2);
}

double beam_bend_m(const struct beam_train *train, double span_m, double stiffness_n_m2) {
    double on_m = fmin(train->length_m, span_m), share = on_m / span_m;
    return train->load_n_m * on_m * pow(span_m, 3) * (8 - 4 * share * share + pow(share, 3)) /
           (384 * stiffness_n_m2);
}

double beam_slope(const struct beam_train *train, double span_m, double stiffness_n_m2) {
    double on_m = fmin(train->length_m, span_m);
    return train->load_n_m * on_m * (3 * span_m * span_m - on_m * on_m) / (48 * stiffness_n_m2);
}
