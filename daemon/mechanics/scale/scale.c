#include "mechanics/scale/scale.h"

#include <math.h>

double scale_model_s(double prototype_s, double ratio) {
    return prototype_s / sqrt(ratio);
}

double scale_prototype_s(double model_s, double ratio) {
    return model_s * sqrt(ratio);
}

double scale_prototype_m_s(double model_m_s, double ratio) {
    return model_m_s * sqrt(ratio);
}

double scale_prototype_kg(double model_kg, double ratio) {
    return model_kg * pow(ratio, 3);
}

double scale_joint_m(double ratio) {
    static const double prototype_flange_m = 0.025, least_flange_m = 0.025 * 0.0254;
    return isnan(ratio) ? NAN : fmax(prototype_flange_m / ratio, least_flange_m) / 3;
}
