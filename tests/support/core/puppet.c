#include "support/core/puppet.h"

#include "support/check.h"

#include <math.h>
#include <string.h>

enum { PUPPET_STEP_US = 10000 };

/* Longer than the approach locking that runs from any start (S6). */
enum { LOCK_FROM_START_US = 10000000 };

static const double lock_bar_s = 1.0;

struct bridge_setup puppet_setup(void) {
    struct track_end_setup end = {
        .is_used = true,
        .has_approach_detector = true,
        .has_standing_detector = true,
        .has_stop_detector = true,
        .has_signal_proof = true,
        .has_stop_power_proof = true,
        .is_automatic = true,
        .approach_lock_us = 8000000,
    };
    struct bridge_setup setup = {
        .has_lock = true,
        .has_lock_drive = true,
        .has_nearly_seated = true,
        .has_nearly_open = true,
        .has_open = true,
        .has_overtravel = true,
        .has_stop_circuit = true,
        .has_locked = true,
        .has_withdrawn = true,
        .rails = 2,
        .tracks = 1,
        .track = {{.end = {end, end}, .has_span_detector = true, .has_span_power_proof = true}},
        .motion =
            {
                .has_position = true,
                .has_current = true,
                .full_speed_frac_s = 0.04,
                .creep_speed_frac_s = 0.01,
                .acceleration_frac_s2 = 0.02,
                .deceleration_frac_s2 = 0.02,
                .slow_zone_seat_frac = 0.06,
                .slow_zone_open_frac = 0.06,
                .effort_start = 0.1,
                .effort_full = 0.5,
                .effort_push = 0.2,
                .position_tolerance_frac = 0.03,
                .overtravel_frac = 0.02,
                .drift_frac = 0.02,
                .no_movement_frac = 0.004,
                .overspeed_ratio = 1.2,
                .stall_a = 5,
                .stall_us = 500000,
                .no_movement_us = 2000000,
                .travel_limit_us = 60000000,
                .seat_limit_us = 15000000,
                .push_us = 500000,
            },
        .clear_us = 5000000,
        .proof_limit_us = 2000000,
        .lock_limit_us = 4000000,
        .clearing_limit_us = 120000000,
        .warning_us = 10000000,
        .short_blast_us = 1000000,
        .prolonged_blast_us = 5000000,
        .blast_gap_us = 1000000,
    };
    return setup;
}

struct bridge_setup puppet_hand_setup(void) {
    struct bridge_setup setup = puppet_setup();
    setup.is_hand_lifted = true;
    setup.has_lock_drive = false;
    setup.has_nearly_seated = false;
    setup.has_nearly_open = false;
    setup.has_overtravel = false;
    setup.has_withdrawn = false;
    setup.rails = 0;
    setup.motion = (struct motion_setup){0};
    return setup;
}

static enum level made_if(bool is_made) {
    return is_made ? LEVEL_ON : LEVEL_OFF;
}

static void show_span(struct puppet *p) {
    struct bridge_inputs *in = &p->inputs;
    in->seated = made_if(p->span_frac <= 0.005);
    in->nearly_seated = made_if(p->span_frac <= 0.05);
    in->open = made_if(p->span_frac >= 0.995);
    in->nearly_open = made_if(p->span_frac >= 0.95);
    in->within_travel = made_if(p->span_frac > -0.03 && p->span_frac < 1.03);
    in->locked = made_if(p->lock_frac >= 0.99);
    in->withdrawn = made_if(p->lock_frac <= 0.01);
    in->position_frac = p->span_frac;
    in->current_a = fabs(p->outputs.lift_effort) * 4;
}

static void show_feedback(struct puppet *p) {
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        struct track_inputs *in = &p->inputs.track[t];
        const struct track_outputs *out = &p->outputs.track[t];
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            in->end[e].signal_at_stop = made_if(!out->end[e].signal_proceed);
            in->end[e].stop_dead = made_if(!out->end[e].stop_power);
        }
        in->span_dead = made_if(!out->span_power);
    }
}

/* The span goes at the speed that the effort stands for; the seat stops it. */
static void obey(struct puppet *p, uint32_t dt_us) {
    const struct motion_setup *motion = &p->setup.motion;
    double dt_s = dt_us / 1e6;
    double effort = p->outputs.lift_effort;
    if (effort != 0) {
        double share =
            (fabs(effort) - motion->effort_start) / (motion->effort_full - motion->effort_start);
        p->span_frac =
            fmax(p->span_frac + copysign(share * motion->full_speed_frac_s * dt_s, effort), 0);
    }
    if (p->outputs.lock == LOCK_DRIVE_DRIVEN) {
        p->lock_frac = fmin(p->lock_frac + dt_s / lock_bar_s, 1);
    } else if (p->outputs.lock == LOCK_DRIVE_WITHDRAWN) {
        p->lock_frac = fmax(p->lock_frac - dt_s / lock_bar_s, 0);
    }
}

void puppet_start(struct puppet *p, const struct bridge_setup *setup) {
    memset(p, 0, sizeof *p);
    p->setup = *setup;
    assert_null(bridge_setup_fault(setup));
    bridge_start(&p->setup, &p->state);
    p->lock_frac = 1;
    p->inputs.stop_circuit = LEVEL_ON;
    for (unsigned i = 0; i < BRIDGE_RAILS_MAX; i++) {
        p->inputs.rail[i] = LEVEL_ON;
    }
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        p->inputs.track[t].span_clear = LEVEL_ON;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            p->inputs.track[t].end[e].approach_clear = LEVEL_ON;
            p->inputs.track[t].end[e].standing = LEVEL_OFF;
            p->inputs.track[t].end[e].stop_clear = LEVEL_ON;
        }
    }
    show_span(p);
    show_feedback(p);
}

static enum bridge_answer judged_step(struct puppet *p, const struct bridge_request *request,
                                      uint32_t dt_us) {
    p->now_us += dt_us;
    p->horn_us += p->outputs.horn ? dt_us : 0;
    obey(p, dt_us);
    if (!p->is_frozen) {
        show_span(p);
    }
    if (p->meddle != NULL) {
        p->meddle(p);
    }
    enum bridge_answer answer =
        bridge_step(&p->setup, &p->state, &p->inputs, request, dt_us, &p->outputs);
    const char *broken =
        invariants_broken(&p->judge, &p->setup, &p->inputs, request, dt_us, &p->outputs);
    if (broken != NULL) {
        fail_msg("%s", broken);
    }
    if (!p->is_frozen) {
        show_feedback(p);
    }
    return answer;
}

/* As the daemon does: steps again at once while the phase changes. */
static enum bridge_answer ask(struct puppet *p, const struct bridge_request *request,
                              uint32_t dt_us) {
    const struct bridge_request nothing = {.kind = REQUEST_NONE};
    enum bridge_phase before = p->state.phase;
    enum bridge_answer answer = judged_step(p, request, dt_us);
    for (unsigned turns = 0; p->state.phase != before; turns++) {
        assert_true(turns < BRIDGE_PHASES);
        before = p->state.phase;
        judged_step(p, &nothing, 0);
    }
    return answer;
}

enum bridge_answer puppet_step(struct puppet *p, enum bridge_request_kind kind, uint32_t dt_us) {
    return judged_step(p, &(struct bridge_request){.kind = kind}, dt_us);
}

enum bridge_answer puppet_ask(struct puppet *p, enum bridge_request_kind kind, uint32_t dt_us) {
    return ask(p, &(struct bridge_request){.kind = kind}, dt_us);
}

enum bridge_answer puppet_ask_signal(struct puppet *p, enum bridge_request_kind kind,
                                     unsigned end) {
    return ask(p, &(struct bridge_request){.kind = kind, .end = end}, 0);
}

enum bridge_answer puppet_ask_throttle(struct puppet *p, enum bridge_request_kind kind,
                                       double share, bool is_voltage, uint32_t dt_us) {
    return ask(p, &(struct bridge_request){.kind = kind, .share = share, .is_voltage = is_voltage},
               dt_us);
}

bool puppet_run_to(struct puppet *p, enum bridge_phase phase, uint64_t limit_us) {
    for (uint64_t run_us = 0; p->state.phase != phase; run_us += PUPPET_STEP_US) {
        if (run_us >= limit_us) {
            return false;
        }
        puppet_ask(p, REQUEST_NONE, PUPPET_STEP_US);
    }
    return true;
}

void puppet_run_for(struct puppet *p, uint64_t time_us) {
    for (uint64_t run_us = 0; run_us < time_us; run_us += PUPPET_STEP_US) {
        puppet_ask(p, REQUEST_NONE, PUPPET_STEP_US);
    }
}

bool puppet_run_to_with_word(struct puppet *p, enum bridge_phase phase, uint64_t limit_us) {
    for (uint64_t run_us = 0; p->state.phase != phase; run_us += PUPPET_STEP_US) {
        bool is_wanted = bridge_waiting(&p->setup, &p->state, &p->inputs).what == WAIT_SEEN_CLEAR;
        if (run_us >= limit_us) {
            return false;
        }
        puppet_ask(p, is_wanted ? REQUEST_SEEN_CLEAR : REQUEST_NONE, PUPPET_STEP_US);
    }
    return true;
}

/* Nothing tells of the bar after a start: it must be driven anew. */
static void drive_bar(struct puppet *p) {
    if (p->setup.has_lock && !p->setup.has_locked) {
        assert_true(puppet_run_to(p, PHASE_HELD, 1000000));
        assert_int_equal(puppet_ask(p, REQUEST_LOWER, 0), ANSWER_GRANTED);
    }
}

void puppet_line(struct puppet *p, const struct bridge_setup *setup) {
    puppet_start(p, setup);
    drive_bar(p);
    assert_true(
        puppet_run_to(p, PHASE_LINED, 1000000 + 2 * setup->lock_limit_us + setup->proof_limit_us));
    puppet_run_for(p, setup->clear_us + LOCK_FROM_START_US);
}

/* Bare steps: no phase passes unseen. */
static void walk_to(struct puppet *p, enum bridge_phase phase) {
    for (unsigned steps = 0; p->state.phase != phase; steps++) {
        assert_true(steps < 20000);
        puppet_step(p, REQUEST_NONE, PUPPET_STEP_US);
    }
}

static void start_opening(struct puppet *p, const struct bridge_setup *setup) {
    puppet_line(p, setup);
    assert_int_equal(puppet_step(p, REQUEST_RAISE, 0), ANSWER_GRANTED);
}

static void start_closing(struct puppet *p, const struct bridge_setup *setup) {
    start_opening(p, setup);
    walk_to(p, PHASE_OPEN);
    assert_int_equal(puppet_step(p, REQUEST_LOWER, 0), ANSWER_GRANTED);
}

void puppet_start_in(struct puppet *p, const struct bridge_setup *setup, enum bridge_phase phase) {
    switch (phase) {
    case PHASE_UNPROVED:
        puppet_start(p, setup);
        break;
    case PHASE_LINED:
        puppet_line(p, setup);
        break;
    case PHASE_CLEARING:
    case PHASE_CUTTING:
    case PHASE_WARNING:
    case PHASE_UNLOCKING:
    case PHASE_RAISING:
    case PHASE_OPEN:
        start_opening(p, setup);
        break;
    case PHASE_LOWERING:
    case PHASE_SEATING:
    case PHASE_LOCKING:
    case PHASE_PROVING:
        start_closing(p, setup);
        break;
    case PHASE_HELD:
        start_opening(p, setup);
        walk_to(p, PHASE_RAISING);
        puppet_run_for(p, 5000000);
        puppet_step(p, REQUEST_STOP, 0);
        break;
    case PHASE_FAULT:
        puppet_line(p, setup);
        puppet_step(p, REQUEST_EMERGENCY_STOP, 0);
        break;
    case BRIDGE_PHASES:
        break;
    }
    walk_to(p, phase);
}
