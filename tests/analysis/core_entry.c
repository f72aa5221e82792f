/* core_entry.c: where the analysis of the core begins: any setup within the limits of
 * bridge_setup_fault(), then steps without end with any inputs, any request and any time between
 * them. Not compiled into any program: `analyse` gives it to Frama-C's Eva. */
#include "core/bridge.h"

#include <__fc_builtin.h>
#include <math.h>
#include <stddef.h>

static struct bridge_setup setup;
static struct bridge_inputs inputs;
static struct bridge_state state;
static struct bridge_outputs outputs;

static bool any_bool(void) {
    return Frama_C_interval(0, 1) != 0;
}

static uint32_t any_time(void) {
    return Frama_C_unsigned_int_interval(0, UINT32_MAX);
}

static enum level any_level(void) {
    return (enum level)Frama_C_interval(LEVEL_UNKNOWN, LEVEL_ON);
}

static double any_double(void) {
    return Frama_C_double_interval(-1e300, 1e300);
}

/* A sensor's reading may be no number. */
static double any_reading(void) {
    return any_bool() ? NAN : any_double();
}

static void choose_end_setup(struct track_end_setup *end) {
    end->is_used = any_bool();
    end->has_approach_detector = any_bool();
    end->has_standing_detector = any_bool();
    end->has_stop_detector = any_bool();
    end->has_signal_proof = any_bool();
    end->has_stop_power_proof = any_bool();
    end->is_automatic = any_bool();
    end->approach_lock_us = any_time();
}

static double any_share(void) {
    return Frama_C_double_interval(0, 1);
}

static double any_positive(void) {
    return Frama_C_double_interval(1e-300, 1e300);
}

/* A hand-lifted span leaves all of it unset. */
static void choose_motion(struct motion_setup *motion) {
    motion->has_position = any_bool();
    motion->has_current = any_bool();
    motion->full_speed_frac_s = any_positive();
    motion->creep_speed_frac_s = any_positive();
    motion->acceleration_frac_s2 = any_positive();
    motion->deceleration_frac_s2 = any_positive();
    motion->slow_zone_seat_frac = any_share();
    motion->slow_zone_open_frac = any_share();
    motion->effort_start = any_share();
    motion->effort_full = any_share();
    motion->effort_push = any_share();
    motion->position_tolerance_frac = any_share();
    motion->overtravel_frac = any_share();
    motion->drift_frac = any_share();
    motion->no_movement_frac = any_share();
    motion->overspeed_ratio = any_positive();
    motion->stall_a = any_double();
    for (unsigned i = 0; i < MOTION_PLACES; i++) {
        motion->expected_a[0][i] = any_double();
        motion->expected_a[1][i] = any_double();
    }
    motion->binding_a = any_double();
    motion->binding_us = any_time();
    motion->stall_us = any_time();
    motion->no_movement_us = any_time();
    motion->travel_limit_us = any_time();
    motion->seat_limit_us = any_time();
    motion->push_us = any_time();
}

static void choose_setup(void) {
    setup.has_lock = any_bool();
    setup.has_lock_drive = any_bool();
    setup.has_nearly_seated = any_bool();
    setup.has_nearly_open = any_bool();
    setup.has_open = any_bool();
    setup.has_overtravel = any_bool();
    setup.has_stop_circuit = any_bool();
    setup.has_locked = any_bool();
    setup.has_withdrawn = any_bool();
    setup.rails = Frama_C_unsigned_int_interval(0, BRIDGE_RAILS_MAX);
    setup.tracks = Frama_C_unsigned_int_interval(1, BRIDGE_TRACKS_MAX);
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        choose_end_setup(&setup.track[t].end[0]);
        choose_end_setup(&setup.track[t].end[1]);
        setup.track[t].has_span_detector = any_bool();
        setup.track[t].has_span_power_proof = any_bool();
        setup.track[t].run_out_us = any_time();
    }
    setup.debounce_us = any_time();
    setup.clear_us = any_time();
    setup.proof_limit_us = any_time();
    setup.lock_limit_us = any_time();
    setup.clearing_limit_us = any_time();
    setup.warning_us = any_time();
    setup.short_blast_us = any_time();
    setup.prolonged_blast_us = any_time();
    setup.blast_gap_us = any_time();
}

static void choose_inputs(void) {
    inputs.seated = any_level();
    inputs.nearly_seated = any_level();
    inputs.open = any_level();
    inputs.nearly_open = any_level();
    inputs.within_travel = any_level();
    inputs.locked = any_level();
    inputs.withdrawn = any_level();
    inputs.stop_circuit = any_level();
    for (unsigned r = 0; r < BRIDGE_RAILS_MAX; r++) {
        inputs.rail[r] = any_level();
    }
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            struct track_end_inputs *end = &inputs.track[t].end[e];
            end->approach_clear = any_level();
            end->standing = any_level();
            end->stop_clear = any_level();
            end->signal_at_stop = any_level();
            end->stop_dead = any_level();
        }
        inputs.track[t].span_clear = any_level();
        inputs.track[t].span_dead = any_level();
    }
    inputs.position_frac = any_reading();
    inputs.current_a = any_reading();
    inputs.is_device_lost = any_bool();
    inputs.late_us = any_time();
}

/* The core's own check must be sound for these, too; what it says does not narrow them. */
static void step_without_end(void) {
    bridge_setup_fault(&setup);
    bridge_start(&setup, &state);
    while (any_bool()) {
        choose_inputs();
        struct bridge_request request = {
            .kind = (enum bridge_request_kind)Frama_C_interval(REQUEST_NONE, REQUEST_HORN_OFF),
            .track = any_time(),
            .end = any_time(),
            .effort_most = any_double(),
            .share = any_double(),
            .is_voltage = any_bool(),
        };
        bridge_step(&setup, &state, &inputs, &request, any_time(), &outputs);
        bridge_wake_us(&setup, &state);
        bridge_waiting(&setup, &state, &inputs);
    }
}

void powered_entry(void) {
    choose_setup();
    choose_motion(&setup.motion);
    step_without_end();
}

void by_hand_entry(void) {
    choose_setup();
    setup.is_hand_lifted = true;
    step_without_end();
}
