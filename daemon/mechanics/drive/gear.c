#include "mechanics/drive/gear.h"

double gear_pitch_radius_m(double teeth, double module_m) {
    return teeth * module_m / 2;
}
