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

double worm_ratio(double wheel_teeth, double starts) {
    return wheel_teeth / starts;
}

double worm_lead_m(double starts, double module_m) {
    return starts * NUMBER_PI * module_m;
}

double worm_lead_rad(double starts, double module_m, double worm_diameter_m) {
    return atan(starts * module_m / worm_diameter_m);
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

double worm_lock_lead_rad(const struct worm *worm, double mu) {
    return atan(mu / cos(worm->pressure_rad));
}

double worm_sliding_m_s(const struct worm *worm, double worm_diameter_m, double worm_rad_s) {
    return worm_diameter_m / 2 * worm_rad_s / cos(worm->lead_rad);
}

double worm_mu_at(double sliding_m_s) {
    static const double speed[] = {0.5, 1, 2, 5, 10, 20};
    static const double mu[] = {0.06, 0.05, 0.035, 0.023, 0.017, 0.014};
    enum { LAST = sizeof speed / sizeof speed[0] - 1 };
    if (sliding_m_s <= speed[0]) {
        return mu[0];
    }
    for (int i = 0; i < LAST; i++) {
        if (sliding_m_s < speed[i + 1]) {
            return mu[i] +
                   (mu[i + 1] - mu[i]) * (sliding_m_s - speed[i]) / (speed[i + 1] - speed[i]);
        }
    }
    return mu[LAST];
}
