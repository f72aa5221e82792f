#include "core/motion.h"

#include "core/timing.h"

#include <math.h>

/* A speed is measured over at least this long: shorter, the sensor's own noise would look like
 * speed. */
static const double speed_window_s = 0.25;

/* The lift may run on a little after its drive is off. */
enum { SETTLE_US = 1000000 };

static const double us_per_s = 1e6;

static double clamp_frac(double value) {
    return fmin(fmax(value, 0.0), 1.0);
}

static bool is_made(const struct debounced *contact) {
    return contact->believed == LEVEL_ON;
}

static void measure(struct motion_state *motion, double position_frac, uint32_t dt_us) {
    if (!motion->is_known) { /* first reading: no speed yet */
        motion->window_frac = position_frac;
        motion->is_known = true;
    }
    motion->position_frac = position_frac;
    motion->window_s += dt_us / us_per_s;
    if (motion->window_s >= speed_window_s) {
        motion->measured_frac_s = (position_frac - motion->window_frac) / motion->window_s;
        motion->window_frac = position_frac;
        motion->window_s = 0;
    }
}

static void estimate(const struct motion_setup *setup, struct motion_state *motion,
                     const struct bridge_contacts *contacts, uint32_t dt_us) {
    motion->position_frac = clamp_frac(motion->position_frac +
                                       motion->direction * motion->speed_frac_s * dt_us / us_per_s);
    if (is_made(&contacts->seated)) {
        motion->position_frac = 0;
        motion->is_known = true;
    } else if (is_made(&contacts->open)) {
        motion->position_frac = 1;
        motion->is_known = true;
    } else if (is_made(&contacts->nearly_seated)) {
        motion->position_frac = fmin(motion->position_frac, setup->slow_zone_seat_frac);
    } else if (is_made(&contacts->nearly_open)) {
        motion->position_frac = fmax(motion->position_frac, 1 - setup->slow_zone_open_frac);
    }
}

void motion_observe(const struct motion_setup *setup, struct motion_state *motion,
                    const struct bridge_contacts *contacts, const struct bridge_inputs *inputs,
                    uint32_t dt_us) {
    if (!setup->has_position) {
        estimate(setup, motion, contacts, dt_us);
    } else if (isfinite(inputs->position_frac)) {
        measure(motion, inputs->position_frac, dt_us);
    }
    if (motion->settle_us > 0) {
        motion->settle_us = countdown(motion->settle_us, dt_us);
        motion->rest_frac = motion->position_frac;
    }
}

/* Driven, yet the span does not go where it should: by the sensor (moving the wrong way is no
 * movement), or by the contact it should leave. */
static bool is_stuck(const struct motion_setup *setup, struct motion_state *motion,
                     const struct bridge_contacts *contacts) {
    if (setup->has_position) {
        double gone_frac = motion->direction * (motion->position_frac - motion->watch_frac);
        if (gone_frac >= setup->no_movement_frac) {
            motion->watch_frac = motion->position_frac;
            return false;
        }
        return true;
    }
    return is_made(motion->direction > 0 ? &contacts->seated : &contacts->open);
}

static bool is_overtravelled(const struct bridge_setup *setup, const struct motion_state *motion,
                             const struct bridge_contacts *contacts) {
    bool is_beyond_contact = setup->has_overtravel && contacts->within_travel.believed != LEVEL_ON;
    /* Away from the end it has passed the span may always be driven: that is the way back. Which
     * end that is an unknown position does not tell. */
    if (motion->direction > 0) {
        return (is_beyond_contact && (!motion->is_known || motion->position_frac > 0.5)) ||
               motion->position_frac > 1 + setup->motion.overtravel_frac;
    }
    return (is_beyond_contact && (!motion->is_known || motion->position_frac <= 0.5)) ||
           motion->position_frac < -setup->motion.overtravel_frac;
}

/* What the motor should take here at most, the way it goes. */
static double expected_current(const struct motion_setup *setup,
                               const struct motion_state *motion) {
    const double *expected = setup->expected_a[motion->direction < 0];
    double place = clamp_frac(motion->position_frac) * (MOTION_PLACES - 1);
    int below = (int)fmin(place, MOTION_PLACES - 2);
    return expected[below] + (place - below) * (expected[below + 1] - expected[below]);
}

static bool is_binding(const struct motion_setup *setup, const struct motion_state *motion,
                       double current_a) {
    return setup->binding_us > 0 && motion->is_known &&
           current_a > expected_current(setup, motion) + setup->binding_a;
}

static enum bridge_fault watch_driven(const struct bridge_setup *setup, struct motion_state *motion,
                                      const struct bridge_contacts *contacts,
                                      const struct bridge_inputs *inputs, bool is_pushing,
                                      uint32_t dt_us) {
    const struct motion_setup *limits = &setup->motion;
    bool is_stalling = !is_pushing && limits->has_current && inputs->current_a >= limits->stall_a;
    if (watch_step(&motion->stall.watch, is_stalling, limits->stall_us, dt_us)) {
        return FAULT_STALL;
    }
    bool binds = !is_pushing && is_binding(limits, motion, inputs->current_a);
    if (watch_step(&motion->binding.watch, binds, limits->binding_us, dt_us)) {
        return FAULT_BINDING;
    }
    bool is_still = !is_pushing && is_stuck(limits, motion, contacts);
    if (watch_step(&motion->no_movement.watch, is_still, limits->no_movement_us, dt_us)) {
        return FAULT_NO_MOVEMENT;
    }
    if (fabs(motion->measured_frac_s) > limits->full_speed_frac_s * limits->overspeed_ratio) {
        return FAULT_OVERSPEED;
    }
    return is_overtravelled(setup, motion, contacts) ? FAULT_OVERTRAVEL : FAULT_NONE;
}

enum bridge_fault motion_watch(const struct bridge_setup *setup, struct motion_state *motion,
                               const struct bridge_contacts *contacts,
                               const struct bridge_inputs *inputs, bool is_pushing,
                               bool is_held_still, uint32_t dt_us) {
    if (motion->direction != 0) {
        return watch_driven(setup, motion, contacts, inputs, is_pushing, dt_us);
    }
    watch_step(&motion->stall.watch, false, 0, dt_us);
    watch_step(&motion->binding.watch, false, 0, dt_us);
    watch_step(&motion->no_movement.watch, false, 0, dt_us);
    if (!is_held_still) {
        motion->rest_frac = motion->position_frac;
    }
    bool has_drifted = setup->motion.has_position &&
                       fabs(motion->position_frac - motion->rest_frac) > setup->motion.drift_frac;
    return has_drifted ? FAULT_DRIFT : FAULT_NONE;
}

/* The fastest speed from which creep is reached where the slow zone begins (v^2 = c^2 + 2 b d). */
static double target_speed(const struct motion_setup *setup, const struct motion_state *motion,
                           int direction) {
    if (!motion->is_known) {
        return setup->creep_speed_frac_s;
    }
    double to_zone_frac = direction > 0 ? 1 - setup->slow_zone_open_frac - motion->position_frac
                                        : motion->position_frac - setup->slow_zone_seat_frac;
    double creep = setup->creep_speed_frac_s;
    double square = creep * creep + 2 * setup->deceleration_frac_s2 * fmax(to_zone_frac, 0);
    return fmin(setup->full_speed_frac_s, sqrt(square));
}

static void come_to_rest(struct motion_state *motion) {
    motion->direction = 0;
    motion->speed_frac_s = 0;
    motion->settle_us = SETTLE_US;
}

/* The effort towards `direction`, speeding up to `target_frac_s`. */
static double drive(const struct motion_setup *setup, struct motion_state *motion, int direction,
                    double target_frac_s, uint32_t dt_us) {
    if (motion->direction != direction) {
        motion->direction = direction;
        motion->speed_frac_s = 0; /* the ramp begins now: the time before does not count */
        motion->watch_frac = motion->position_frac;
    } else {
        double faster = motion->speed_frac_s + setup->acceleration_frac_s2 * dt_us / us_per_s;
        motion->speed_frac_s = fmin(faster, target_frac_s);
    }
    double share = motion->speed_frac_s / setup->full_speed_frac_s;
    return direction * (setup->effort_start + (setup->effort_full - setup->effort_start) * share);
}

double motion_command(const struct motion_setup *setup, struct motion_state *motion, int direction,
                      uint32_t dt_us) {
    if (direction == 0) {
        if (motion->direction != 0) {
            come_to_rest(motion);
        }
        return 0;
    }
    return drive(setup, motion, direction, target_speed(setup, motion, direction), dt_us);
}

double motion_creep(const struct motion_setup *setup, struct motion_state *motion, int direction,
                    double effort_most, uint32_t dt_us) {
    double effort = drive(setup, motion, direction, setup->creep_speed_frac_s, dt_us);
    bool is_limited = effort_most > 0 && fabs(effort) > effort_most;
    return is_limited ? direction * effort_most : effort;
}

bool motion_is_open(const struct bridge_setup *setup, const struct motion_state *motion,
                    const struct bridge_contacts *contacts) {
    if (setup->has_open) {
        return is_made(&contacts->open);
    }
    /* Driven there it must arrive; at rest there it may lie a little off. */
    double slack_frac = motion->direction == 0 ? setup->motion.position_tolerance_frac : 0;
    return setup->motion.has_position && motion->position_frac >= 1 - slack_frac;
}

bool motion_is_near_seat(const struct bridge_setup *setup, const struct motion_state *motion,
                         const struct bridge_contacts *contacts) {
    return is_made(&contacts->seated) ||
           (setup->has_nearly_seated && is_made(&contacts->nearly_seated)) ||
           (motion->is_known && motion->position_frac <= setup->motion.slow_zone_seat_frac);
}
