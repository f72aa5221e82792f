#include "support/mechanics/profile.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

static struct profile_point phase_at(const struct profile_phase *phase, double t) {
    struct profile_point point;
    point.acceleration = phase->acceleration + phase->jerk * t;
    point.speed = phase->speed + (phase->acceleration + phase->jerk * t / 2) * t;
    point.position =
        phase->position + (phase->speed + (phase->acceleration / 2 + phase->jerk * t / 6) * t) * t;
    return point;
}

/* Begins a profile without phases. */
static void begin(struct profile *profile, double peak_speed, double start_speed) {
    *profile = (struct profile){.peak_speed = peak_speed};
    profile->phase[0].speed = start_speed;
}

static void append(struct profile *profile, double duration_s, double acceleration, double jerk) {
    struct profile_phase *phase = &profile->phase[profile->phases];
    struct profile_point before = {.speed = profile->phase[0].speed};
    if (profile->phases > 0) {
        before = phase_at(phase - 1, (phase - 1)->duration_s);
    }
    *phase = (struct profile_phase){duration_s, before.position, before.speed, acceleration, jerk};
    profile->duration_s += duration_s;
    profile->phases++;
}

struct profile_point profile_at(const struct profile *profile, double time_s) {
    double left = fmax(time_s, 0.0);
    unsigned i = 0;
    while (i + 1 < profile->phases && left > profile->phase[i].duration_s) {
        left -= profile->phase[i].duration_s;
        i++;
    }
    return phase_at(&profile->phase[i], fmin(left, profile->phase[i].duration_s));
}

static const char *trapezoid_check(const struct profile_trapezoid *wanted) {
    if (!number_is_positive(wanted->distance)) {
        return "the distance must be above zero";
    }
    if (!number_is_positive(wanted->speed)) {
        return "the speed must be above zero";
    }
    if (!number_is_positive(wanted->acceleration) || !number_is_positive(wanted->deceleration)) {
        return "acceleration and deceleration must be above zero";
    }
    return NULL;
}

static double peak_over(double distance, double acceleration, double deceleration) {
    return sqrt(2 * acceleration * deceleration * distance / (acceleration + deceleration));
}

const char *profile_of_trapezoid(const struct profile_trapezoid *wanted, struct profile *profile) {
    const char *wrong = trapezoid_check(wanted);
    if (wrong) {
        return wrong;
    }
    double a = wanted->acceleration, b = wanted->deceleration;
    double short_peak = peak_over(wanted->distance, a, b);
    double peak = fmin(wanted->speed, short_peak);
    double ramps = peak * peak * (1 / a + 1 / b) / 2;
    begin(profile, peak, 0.0);
    append(profile, peak / a, a, 0.0);
    append(profile, short_peak <= wanted->speed ? 0.0 : (wanted->distance - ramps) / peak, 0.0,
           0.0);
    append(profile, peak / b, -b, 0.0);
    return NULL;
}

static const char *slow_zone_check(const struct profile_slow_zone *wanted) {
    const char *wrong = trapezoid_check(&wanted->fast);
    if (wrong) {
        return wrong;
    }
    if (!number_is_positive(wanted->creep_speed) || wanted->creep_speed > wanted->fast.speed) {
        return "the creep speed must be above zero, at most the fast speed";
    }
    if (!number_is_positive(wanted->final_deceleration)) {
        return "the final deceleration must be above zero";
    }
    double c = wanted->creep_speed;
    if (!isfinite(wanted->zone) || wanted->zone < c * c / (2 * wanted->final_deceleration)) {
        return "the slow zone is too short to stop from the creep speed";
    }
    return NULL;
}

/* The whole way at the creep speed: no distance is left to be faster before the zone. */
static const char *creep_all_the_way(const struct profile_slow_zone *wanted,
                                     struct profile *profile) {
    struct profile_trapezoid slow = {wanted->fast.distance, wanted->creep_speed,
                                     wanted->fast.acceleration, wanted->final_deceleration};
    struct profile plain = {.phases = 0};
    const char *wrong = profile_of_trapezoid(&slow, &plain);
    if (wrong) {
        return wrong;
    }
    begin(profile, plain.peak_speed, 0.0);
    append(profile, plain.phase[PROFILE_UP].duration_s, slow.acceleration, 0.0);
    append(profile, 0.0, 0.0, 0.0);
    append(profile, 0.0, 0.0, 0.0);
    append(profile, plain.phase[PROFILE_CRUISE].duration_s, 0.0, 0.0);
    append(profile, plain.phase[PROFILE_DOWN].duration_s, -slow.deceleration, 0.0);
    return NULL;
}

const char *profile_of_slow_zone(const struct profile_slow_zone *wanted, struct profile *profile) {
    const char *wrong = slow_zone_check(wanted);
    if (wrong) {
        return wrong;
    }
    double a = wanted->fast.acceleration, b = wanted->fast.deceleration;
    double c = wanted->creep_speed, c2 = c * c;
    double before = wanted->fast.distance - wanted->zone;
    if (2 * a * before < c2) {
        return creep_all_the_way(wanted, profile);
    }
    double short_peak = sqrt((2 * a * b * before + a * c2) / (a + b));
    double peak = fmin(wanted->fast.speed, short_peak);
    double ramps = peak * peak / (2 * a) + (peak * peak - c2) / (2 * b);
    double stop = c2 / (2 * wanted->final_deceleration);
    begin(profile, peak, 0.0);
    append(profile, peak / a, a, 0.0);
    append(profile, short_peak <= wanted->fast.speed ? 0.0 : (before - ramps) / peak, 0.0, 0.0);
    append(profile, (peak - c) / b, -b, 0.0);
    append(profile, (wanted->zone - stop) / c, 0.0, 0.0);
    append(profile, c / wanted->final_deceleration, -wanted->final_deceleration, 0.0);
    return NULL;
}

/* A change of speed within the limits: jerk up, steady, jerk down. */
struct ramp {
    double jerk_s;
    double steady_s;
};

static struct ramp ramp_between(const struct profile_s_curve *wanted, double from, double to) {
    double a = wanted->acceleration, j = wanted->jerk, change = fabs(to - from);
    if (change * j >= a * a) {
        return (struct ramp){a / j, change / a - a / j};
    }
    return (struct ramp){sqrt(change / j), 0.0};
}

static double ramp_distance(const struct profile_s_curve *wanted, double from, double to) {
    struct ramp ramp = ramp_between(wanted, from, to);
    return (from + to) / 2 * (2 * ramp.jerk_s + ramp.steady_s);
}

static double ramps_distance(const struct profile_s_curve *wanted, double peak) {
    return ramp_distance(wanted, wanted->start_speed, peak) +
           ramp_distance(wanted, peak, wanted->end_speed);
}

/* The greatest peak that fits. The way of the ramps grows with the peak, so halving finds it, with
 * one rule for every case the book's closed forms take apart. */
static double s_curve_peak(const struct profile_s_curve *wanted) {
    double low = fmax(wanted->start_speed, wanted->end_speed), high = wanted->speed;
    if (ramps_distance(wanted, high) <= wanted->distance) {
        return high;
    }
    for (int halvings = 0; halvings < 100; halvings++) {
        double middle = low + (high - low) / 2;
        if (ramps_distance(wanted, middle) <= wanted->distance) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

static const char *s_curve_check(const struct profile_s_curve *wanted) {
    struct profile_trapezoid like = {wanted->distance, wanted->speed, wanted->acceleration,
                                     wanted->acceleration};
    const char *wrong = trapezoid_check(&like);
    if (wrong) {
        return wrong;
    }
    if (!number_is_positive(wanted->jerk)) {
        return "the jerk must be above zero";
    }
    if (!number_is_not_negative(wanted->start_speed) ||
        !number_is_not_negative(wanted->end_speed) || wanted->start_speed > wanted->speed ||
        wanted->end_speed > wanted->speed) {
        return "the speeds at start and end must be from zero to the greatest speed";
    }
    if (ramps_distance(wanted, fmax(wanted->start_speed, wanted->end_speed)) > wanted->distance) {
        return "the distance is too short to change from the start's to the end's speed";
    }
    return NULL;
}

static void append_ramp(struct profile *profile, struct ramp ramp, double jerk) {
    double steady = jerk * ramp.jerk_s;
    append(profile, ramp.jerk_s, 0.0, jerk);
    append(profile, ramp.steady_s, steady, 0.0);
    append(profile, ramp.jerk_s, steady, -jerk);
}

const char *profile_of_s_curve(const struct profile_s_curve *wanted, struct profile *profile) {
    const char *wrong = s_curve_check(wanted);
    if (wrong) {
        return wrong;
    }
    double peak = s_curve_peak(wanted);
    double cruise = fmax(0.0, wanted->distance - ramps_distance(wanted, peak)) / peak;
    begin(profile, peak, wanted->start_speed);
    append_ramp(profile, ramp_between(wanted, wanted->start_speed, peak), wanted->jerk);
    append(profile, cruise, 0.0, 0.0);
    append_ramp(profile, ramp_between(wanted, peak, wanted->end_speed), -wanted->jerk);
    return NULL;
}
