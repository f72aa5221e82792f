#include "mechanics/drive/backlash.h"

double backlash_at_rack_m(const struct drive *drive, const struct backlash *backlash) {
    double wheel_rad = backlash->gearbox_rad;
    if (drive->has_worm) {
        wheel_rad = backlash->gearbox_rad / drive->worm.ratio + backlash->worm_rad;
    }
    return wheel_rad * drive->pinion_radius_m + backlash->rack_m;
}
