#include "mechanics/drive/drive.h"

#include "mechanics/number.h"

#include <stddef.h>

const char *drive_check(const struct drive *drive) {
    if (!number_is_positive(drive->pinion_radius_m)) {
        return "the pinion's radius must be above zero";
    }
    if (!number_is_positive(drive->planetary_ratio)) {
        return "the planetary ratio must be above zero";
    }
    if (!number_is_efficiency(drive->planetary_efficiency)) {
        return "the planetary efficiency must be above 0, at most 1";
    }
    if (!number_is_efficiency(drive->rack_efficiency)) {
        return "the rack's efficiency must be above 0, at most 1";
    }
    return drive->has_worm ? worm_check(&drive->worm) : NULL;
}

double drive_ratio(const struct drive *drive) {
    return drive->planetary_ratio * (drive->has_worm ? drive->worm.ratio : 1.0);
}

double drive_rack_per_motor_rad_m(const struct drive *drive) {
    return drive->pinion_radius_m / drive_ratio(drive);
}

double drive_motor_per_position(const struct drive *drive, double arm) {
    return arm / drive_rack_per_motor_rad_m(drive);
}

double drive_rack_force_n(double moment, double friction, double inertial, double arm) {
    return (moment + friction + inertial) / arm;
}

double drive_pinion_torque_n_m(const struct drive *drive, double rack_force_n) {
    double lossless = rack_force_n * drive->pinion_radius_m;
    return rack_force_n >= 0.0 ? lossless / drive->rack_efficiency
                               : lossless * drive->rack_efficiency;
}

double drive_motor_torque_n_m(const struct drive *drive, double rack_force_n, double mu) {
    double pinion = drive_pinion_torque_n_m(drive, rack_force_n);
    double worm_wheel = pinion, worm_shaft;
    if (!drive->has_worm) {
        worm_shaft = worm_wheel;
    } else if (worm_wheel >= 0.0) {
        worm_shaft = worm_wheel / (drive->worm.ratio * worm_efficiency(&drive->worm, mu));
    } else {
        worm_shaft = worm_wheel * worm_back_efficiency(&drive->worm, mu) / drive->worm.ratio;
    }
    double lossless = worm_shaft / drive->planetary_ratio;
    /* The driving side pays the losses. */
    return worm_shaft >= 0.0 ? lossless / drive->planetary_efficiency
                             : lossless * drive->planetary_efficiency;
}

bool drive_is_locking(const struct drive *drive) {
    return drive->has_worm && worm_is_locking(&drive->worm, drive->worm.mu_low);
}
