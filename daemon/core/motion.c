#include "core/motion.h"

#include "core/data/request.h"
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

/* Index of what is kept for each way: up 0, down 1. */
static int way_of(int direction) {
    return direction < 0;
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
    if (debounce_is_on(&contacts->seated)) {
        motion->position_frac = 0;
        motion->is_known = true;
    } else if (debounce_is_on(&contacts->open)) {
        motion->position_frac = 1;
        motion->is_known = true;
    } else if (debounce_is_on(&contacts->nearly_seated)) {
        motion->position_frac = fmin(motion->position_frac, setup->slow_zone_seat_frac);
    } else if (debounce_is_on(&contacts->nearly_open)) {
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
 * movement), or by the contact it should leave. At the other one nobody can tell yet. */
static enum lasting stillness(const struct motion_setup *setup, struct motion_state *motion,
                              const struct bridge_contacts *contacts) {
    if (setup->has_position) {
        double from_frac = motion->watch_frac[way_of(motion->direction)];
        double gone_frac = motion->direction * (motion->position_frac - from_frac);
        return gone_frac < setup->no_movement_frac ? LASTING_COUNT : LASTING_CLEAR;
    }
    if (debounce_is_on(motion->direction > 0 ? &contacts->seated : &contacts->open)) {
        return LASTING_COUNT;
    }
    return debounce_is_on(&contacts->seated) || debounce_is_on(&contacts->open) ? LASTING_KEEP
                                                                                : LASTING_CLEAR;
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
    const double *expected = setup->expected_a[way_of(motion->direction)];
    double place = clamp_frac(motion->position_frac) * (MOTION_PLACES - 1);
    int below = (int)fmin(place, MOTION_PLACES - 2);
    return expected[below] + (place - below) * (expected[below + 1] - expected[below]);
}

static bool is_binding(const struct motion_setup *setup, const struct motion_state *motion,
                       double current_a) {
    return setup->binding_us > 0 && motion->is_known &&
           current_a > expected_current(setup, motion) + setup->binding_a;
}

/* Too much current counts; too little to count disproves it once it has been so for a while, or at
 * once where the span is seen to move. */
static enum lasting told_by_current(bool is_too_much, bool is_seen_moving) {
    if (is_too_much) {
        return LASTING_COUNT;
    }
    return is_seen_moving ? LASTING_CLEAR : LASTING_EASE;
}

/* Movement either way shows that the motor turns. What is driven next begins where it is now. */
static void forget_stillness(struct motion_state *motion) {
    for (int way = 0; way < 2; way++) {
        lasting_step(&motion->no_movement[way], LASTING_CLEAR, 0, 0);
        motion->watch_frac[way] = motion->position_frac;
        motion->watch_effort[way] = 0;
    }
}

/* A jog begins at rest each time and may never come up to creep, nor may a throttle: it counts by
 * the way that it was to go, as the time that creep takes for that. A throttle's voltage may be too
 * low to go any way: that counts, too. */
static uint32_t still_us(const struct motion_setup *limits, const struct motion_state *motion,
                         const struct motion_duty *duty, uint32_t dt_us) {
    double share = fmin(motion->speed_frac_s / limits->creep_speed_frac_s, 1);
    if (duty->is_throttled) {
        return (uint32_t)ceil(dt_us * fmax(share, THROTTLE_SHARE_LEAST));
    }
    return duty->is_jogged ? (uint32_t)(dt_us * share) : dt_us;
}

/* Tapping up and down in turn must not hold a stalled motor either: each way keeps its own. */
static bool has_stood(const struct motion_setup *limits, struct motion_state *motion,
                      enum lasting still, uint32_t dt_us) {
    int way = way_of(motion->direction);
    if (still == LASTING_CLEAR) {
        forget_stillness(motion);
        return false;
    }
    lasting_step(&motion->no_movement[1 - way], LASTING_KEEP, limits->no_movement_us, dt_us);
    return lasting_step(&motion->no_movement[way], still, limits->no_movement_us, dt_us);
}

/* Stall, binding and no movement; all of them run in every step. */
static enum bridge_fault watch_hindered(const struct motion_setup *limits,
                                        struct motion_state *motion,
                                        const struct bridge_contacts *contacts,
                                        const struct bridge_inputs *inputs,
                                        const struct motion_duty *duty, uint32_t dt_us) {
    enum lasting still = stillness(limits, motion, contacts);
    bool is_seen_moving = limits->has_position && still == LASTING_CLEAR;
    bool is_stalling = limits->has_current && inputs->current_a >= limits->stall_a;
    bool binds = is_binding(limits, motion, inputs->current_a);
    bool has_stalled = lasting_step(&motion->stall, told_by_current(is_stalling, is_seen_moving),
                                    limits->stall_us, dt_us);
    bool has_bound = watch_step(&motion->binding, binds, limits->binding_us, dt_us);
    bool is_stuck = has_stood(limits, motion, still, still_us(limits, motion, duty, dt_us));
    if (has_stalled || has_bound) {
        return has_stalled ? FAULT_STALL : FAULT_BINDING;
    }
    return is_stuck ? FAULT_NO_MOVEMENT : FAULT_NONE;
}

void motion_forget_watches(struct motion_state *motion) {
    lasting_step(&motion->stall, LASTING_CLEAR, 0, 0);
    watch_step(&motion->binding, false, 0, 0);
    forget_stillness(motion);
}

static enum bridge_fault watch_driven(const struct bridge_setup *setup, struct motion_state *motion,
                                      const struct bridge_contacts *contacts,
                                      const struct bridge_inputs *inputs,
                                      const struct motion_duty *duty, uint32_t dt_us) {
    const struct motion_setup *limits = &setup->motion;
    enum bridge_fault hindered = FAULT_NONE;
    if (duty->is_pushing) { /* it has reached its seat: what was counted on the way is done with */
        motion_forget_watches(motion);
    } else {
        hindered = watch_hindered(limits, motion, contacts, inputs, duty, dt_us);
    }
    if (hindered != FAULT_NONE) {
        return hindered;
    }
    if (fabs(motion->measured_frac_s) > limits->full_speed_frac_s * limits->overspeed_ratio) {
        return FAULT_OVERSPEED;
    }
    return is_overtravelled(setup, motion, contacts) ? FAULT_OVERTRAVEL : FAULT_NONE;
}

static void rest_watches(const struct motion_setup *setup, struct motion_state *motion,
                         enum lasting told, uint32_t dt_us) {
    lasting_step(&motion->stall, told, setup->stall_us, dt_us);
    watch_step(&motion->binding, false, 0, 0);
    for (int way = 0; way < 2; way++) {
        lasting_step(&motion->no_movement[way], told, setup->no_movement_us, dt_us);
    }
}

enum bridge_fault motion_watch(const struct bridge_setup *setup, struct motion_state *motion,
                               const struct bridge_contacts *contacts,
                               const struct bridge_inputs *inputs, const struct motion_duty *duty,
                               uint32_t dt_us) {
    if (motion->direction != 0) {
        return watch_driven(setup, motion, contacts, inputs, duty, dt_us);
    }
    rest_watches(&setup->motion, motion, duty->is_jogged ? LASTING_KEEP : LASTING_EASE, dt_us);
    if (!duty->is_held_still) {
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

/* What has been counted before a short rest, or between jogs, counts on from the same place, unless
 * it is tried harder now: the search for the least effort that moves the span raises it step by
 * step, and comes to an end. */
static void mark_start(struct motion_state *motion, int direction, double effort_most) {
    static const double harder = 1.02;
    int way = way_of(direction);
    bool is_kept = motion->no_movement[way].ease_us > 0;
    if (!is_kept || effort_most > harder * motion->watch_effort[way]) {
        lasting_step(&motion->no_movement[way], LASTING_CLEAR, 0, 0);
        motion->watch_frac[way] = motion->position_frac;
        motion->watch_effort[way] = effort_most;
    }
}

/* The effort for a speed. */
static double effort_at(const struct motion_setup *setup, double speed_frac_s) {
    double share = speed_frac_s / setup->full_speed_frac_s;
    return setup->effort_start + (setup->effort_full - setup->effort_start) * share;
}

/* The effort towards `direction`, speeding up to `target_frac_s`; it will not be above
 * `effort_most`. */
static double drive(const struct motion_setup *setup, struct motion_state *motion, int direction,
                    double target_frac_s, double effort_most, uint32_t dt_us) {
    if (motion->direction != direction) {
        motion->direction = direction;
        motion->speed_frac_s = 0; /* the ramp begins now: the time before does not count */
        mark_start(motion, direction, effort_most);
    } else {
        double faster = motion->speed_frac_s + setup->acceleration_frac_s2 * dt_us / us_per_s;
        motion->speed_frac_s = fmin(faster, target_frac_s);
    }
    return direction * effort_at(setup, motion->speed_frac_s);
}

double motion_command(const struct motion_setup *setup, struct motion_state *motion, int direction,
                      uint32_t dt_us) {
    if (direction == 0) {
        if (motion->direction != 0) {
            come_to_rest(motion);
        }
        return 0;
    }
    return drive(setup, motion, direction, target_speed(setup, motion, direction),
                 setup->effort_full, dt_us);
}

double motion_creep(const struct motion_setup *setup, struct motion_state *motion, int direction,
                    double effort_most, uint32_t dt_us) {
    double creep_effort = effort_at(setup, setup->creep_speed_frac_s);
    double most = effort_most > 0 ? fmin(effort_most, creep_effort) : creep_effort;
    double effort = drive(setup, motion, direction, setup->creep_speed_frac_s, most, dt_us);
    return direction * fmin(fabs(effort), most);
}

/* Below the least effort that moves the span it stands, and is not moved by what is missing. */
static double throttle_speed(const struct motion_setup *setup,
                             const struct throttle_state *throttle) {
    if (!throttle->is_voltage) {
        return throttle->share * setup->full_speed_frac_s;
    }
    double above = throttle->share * setup->effort_full - setup->effort_start;
    double whole = setup->effort_full - setup->effort_start;
    return above <= 0 ? 0 : setup->full_speed_frac_s * above / whole;
}

double motion_follow(const struct motion_setup *setup, struct motion_state *motion, int direction,
                     const struct throttle_state *throttle, uint32_t dt_us) {
    double most = throttle->is_voltage ? throttle->share * setup->effort_full : setup->effort_full;
    double target = fmin(target_speed(setup, motion, direction), throttle_speed(setup, throttle));
    return direction * fmin(fabs(drive(setup, motion, direction, target, most, dt_us)), most);
}

bool motion_is_slowed(const struct motion_setup *setup, const struct motion_state *motion,
                      int direction, const struct throttle_state *throttle) {
    return target_speed(setup, motion, direction) < throttle_speed(setup, throttle);
}

uint32_t motion_counted_us(const struct motion_setup *setup, const struct throttle_state *throttle,
                           uint32_t dt_us) {
    double share = throttle_speed(setup, throttle) / setup->full_speed_frac_s;
    return (uint32_t)ceil(dt_us * fmax(share, THROTTLE_SHARE_LEAST));
}

bool motion_is_open(const struct bridge_setup *setup, const struct motion_state *motion,
                    const struct bridge_contacts *contacts) {
    if (setup->has_open) {
        return debounce_is_on(&contacts->open);
    }
    /* Driven there it must arrive; at rest there it may lie a little off. */
    double slack_frac = motion->direction == 0 ? setup->motion.position_tolerance_frac : 0;
    return setup->motion.has_position && motion->position_frac >= 1 - slack_frac;
}

bool motion_is_near_seat(const struct bridge_setup *setup, const struct motion_state *motion,
                         const struct bridge_contacts *contacts) {
    return debounce_is_on(&contacts->seated) ||
           (setup->has_nearly_seated && debounce_is_on(&contacts->nearly_seated)) ||
           (motion->is_known && motion->position_frac <= setup->motion.slow_zone_seat_frac);
}
