#include "mechanics/drive/worm.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

const char *worm_check(const struct worm *worm) {
    if (!number_is_positive(worm->ratio)) {
        return "the worm's ratio must be above zero";
    }
    if (!number_is_acute_rad(worm->lead_rad)) {
        return "the worm's lead angle must be between 0 and 90 degrees";
    }
    if (!number_is_not_negative(worm->pressure_rad) || worm->pressure_rad >= NUMBER_PI / 2) {
        return "the worm's pressure angle must be from 0 to below 90 degrees";
    }
    if (!number_is_not_negative(worm->mu_low) || !number_is_not_negative(worm->mu_high)) {
        return "the worm's friction must be finite and not negative";
    }
    if (worm->mu_low > worm->mu_high) {
        return "the worm's lowest friction must not exceed its highest";
    }
    if (worm_efficiency(worm, worm->mu_high) <= 0.0) {
        return "the worm cannot turn its wheel: its lead angle is too steep for this friction";
    }
    return NULL;
}

double worm_efficiency(const struct worm *worm, double mu) {
    double c = cos(worm->pressure_rad), t = tan(worm->lead_rad);
    return (c - mu * t) / (c + mu / t);
}

double worm_back_efficiency(const struct worm *worm, double mu) {
    double c = cos(worm->pressure_rad), t = tan(worm->lead_rad);
    return (c - mu / t) / (c + mu * t);
}

bool worm_is_locking(const struct worm *worm, double mu) {
    return tan(worm->lead_rad) <= mu / cos(worm->pressure_rad);
}

double worm_lock_margin(const struct worm *worm) {
    return worm->mu_low / worm_lock_mu(worm);
}

double worm_lock_mu(const struct worm *worm) {
    return tan(worm->lead_rad) * cos(worm->pressure_rad);
}
