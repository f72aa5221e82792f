#include "mechanics/drive/gear.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

static const double inch_m = 0.0254; /* exact by definition */

double gear_module_m(double diametral_pitch_in) {
    return inch_m / diametral_pitch_in;
}

double gear_pitch_radius_m(double teeth, double module_m) {
    return teeth * module_m / 2;
}

double gear_rack_per_turn_m(double teeth, double module_m) {
    return NUMBER_PI * teeth * module_m;
}

double gear_planetary_ratio(double sun_teeth, double ring_teeth) {
    return 1 + ring_teeth / sun_teeth;
}

const char *gear_check(double teeth, double module_m) {
    if (!number_is_positive(teeth) || teeth != floor(teeth)) {
        return "a gear's teeth must be a whole number above zero";
    }
    if (!number_is_positive(module_m)) {
        return "a gear's module (or pitch) must be above zero";
    }
    return NULL;
}
