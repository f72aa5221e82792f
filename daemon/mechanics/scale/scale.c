#include "mechanics/scale/scale.h"

#include <math.h>

double scale_joint_m(double ratio) {
    static const double prototype_flange_m = 0.025, least_flange_m = 0.025 * 0.0254;
    return isnan(ratio) ? NAN : fmax(prototype_flange_m / ratio, least_flange_m) / 3;
}
