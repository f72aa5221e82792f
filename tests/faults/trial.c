#include "faults/trial.h"

#include "support/check.h"

#include <math.h>

static const uint64_t second_us = 1000000;

/* Longer than all longest times of an opening together, twice given up. */
enum { TRIAL_LIMIT_S = 600, LOOK_S = 15, AFTER_S = 30 };

const char *moment_name(enum moment moment) {
    static const char *const names[MOMENTS] = {
        [MOMENT_UNPROVED] = "unproved",
        [MOMENT_LINED] = "lined",
        [MOMENT_CLEARING] = "clearing",
        [MOMENT_CUTTING] = "cutting",
        [MOMENT_WARNING] = "warning",
        [MOMENT_UNLOCKING] = "unlocking",
        [MOMENT_RAISING] = "raising",
        [MOMENT_HALF_UP] = "half up",
        [MOMENT_OPEN] = "open",
        [MOMENT_WARNING_DOWN] = "warning down",
        [MOMENT_LOWERING] = "lowering",
        [MOMENT_HALF_DOWN] = "half down",
        [MOMENT_SEATING] = "seating",
        [MOMENT_LOCKING] = "locking",
        [MOMENT_PROVING] = "proving",
        [MOMENT_HELD] = "held",
        [MOMENT_FAULT] = "fault",
        [MOMENT_BAR_HALF_OUT] = "bar half out",
        [MOMENT_BAR_HALF_IN] = "bar half in",
    };
    return names[moment];
}

/* ---- the sound opening */

static void keep(struct stage *stage, enum moment moment, const struct closed *closed) {
    stage->at[moment] = *closed;
}

static void keep_at(struct stage *stage, enum moment moment, struct closed *closed,
                    enum bridge_phase phase) {
    if (!closed_run_to(closed, phase, 120 * second_us)) {
        fail_msg("no way to %s", moment_name(moment));
    }
    keep(stage, moment, closed);
}

static void run_half(struct closed *closed) {
    while (fabs(sim_position_frac(&closed->sim) - 0.5) > 0.05) {
        closed_go(closed, second_us);
    }
}

static void run_bar_half(struct closed *closed) {
    while (closed->bridge.has_lock && fabs(closed->sim.lock.driven_frac - 0.5) > 0.05) {
        closed_go(closed, second_us);
    }
}

static void stage_up(struct stage *stage, struct closed *closed) {
    keep_at(stage, MOMENT_CLEARING, closed, PHASE_CLEARING);
    keep_at(stage, MOMENT_CUTTING, closed, PHASE_CUTTING);
    keep_at(stage, MOMENT_WARNING, closed, PHASE_WARNING);
    keep_at(stage, MOMENT_UNLOCKING, closed, PHASE_UNLOCKING);
    run_bar_half(closed);
    keep(stage, MOMENT_BAR_HALF_OUT, closed);
    keep_at(stage, MOMENT_RAISING, closed, PHASE_RAISING);
    run_half(closed);
    keep(stage, MOMENT_HALF_UP, closed);
    struct closed *held = &stage->at[MOMENT_HELD];
    *held = *closed;
    closed_ask(held, REQUEST_STOP);
    closed_run_for(held, 3 * second_us);
    struct closed *latched = &stage->at[MOMENT_FAULT];
    *latched = *closed;
    closed_ask(latched, REQUEST_EMERGENCY_STOP);
    closed_run_for(latched, 3 * second_us);
    keep_at(stage, MOMENT_OPEN, closed, PHASE_OPEN);
}

static void stage_down(struct stage *stage, struct closed *closed) {
    keep_at(stage, MOMENT_WARNING_DOWN, closed, PHASE_WARNING);
    keep_at(stage, MOMENT_LOWERING, closed, PHASE_LOWERING);
    run_half(closed);
    keep(stage, MOMENT_HALF_DOWN, closed);
    keep_at(stage, MOMENT_SEATING, closed, PHASE_SEATING);
    keep_at(stage, MOMENT_LOCKING, closed, PHASE_LOCKING);
    run_bar_half(closed);
    keep(stage, MOMENT_BAR_HALF_IN, closed);
    keep_at(stage, MOMENT_PROVING, closed, PHASE_PROVING);
}

bool stage_has(const struct stage *stage, enum moment moment, enum trains trains) {
    const struct track_setup *track = &stage->at[MOMENT_LINED].bridge.track[0];
    bool is_of_bar = moment == MOMENT_BAR_HALF_OUT || moment == MOMENT_BAR_HALF_IN;
    bool is_seen = track->has_span_detector || track->run_out_us == 0; /* there by a person */
    bool is_scene = trains != TRAINS_ON_BRIDGE || (moment == MOMENT_LINED && is_seen);
    return is_scene && (!is_of_bar || stage->has_bar);
}

void stage_set(struct stage *stage, enum fault_bridge bridge, uint32_t debounce_us) {
    struct closed closed;
    const struct bridge_setup setup = bridges_setup(bridge, debounce_us);
    stage->has_bar = setup.has_lock;
    closed_begin_with(&closed, &setup);
    keep(stage, MOMENT_UNPROVED, &closed);
    if (setup.has_lock && !setup.has_locked) { /* nobody knows the bar: it is driven anew */
        assert_true(closed_run_to(&closed, PHASE_HELD, second_us));
        closed_ask(&closed, REQUEST_LOWER);
    }
    assert_true(closed_run_to(&closed, PHASE_LINED, 30 * second_us));
    closed_run_for(&closed, 20 * second_us); /* approach locking from the start is over */
    keep(stage, MOMENT_LINED, &closed);
    closed_ask(&closed, REQUEST_RAISE);
    stage_up(stage, &closed);
    closed_run_for(&closed, 5 * second_us);
    closed_ask(&closed, REQUEST_LOWER);
    stage_down(stage, &closed);
    assert_true(closed_run_to(&closed, PHASE_LINED, 30 * second_us));
    for (unsigned m = 0; m < MOMENTS; m++) {
        assert_null(stage->at[m].broken);
        assert_null(stage->at[m].hung);
        assert_int_equal(stage->at[m].untrue, 0);
    }
}

/* ---- one trial */

struct trial {
    struct closed closed;
    const struct bridge_defect *second; /* still to come */
    uint64_t second_at_us;
    uint64_t struck_us;
    bool was_raised; /* the opening that is asked for has been */
    bool was_lowered;
};

static void begin_trains(struct closed *closed, enum trains trains) {
    switch (trains) {
    case TRAINS_NONE:
        break;
    case TRAINS_COMING:
        closed_tell(closed, "train freight start");
        break;
    case TRAINS_ON_BRIDGE:
        closed_tell(closed, "train freight start");
        while (!sim_train_is_on(&closed->sim.setup, closed->sim.train, 0, 0, SIM_SPAN)) {
            closed_go(closed, second_us);
        }
        closed_run_for(closed, 17 * second_us / 5); /* 1.7 m at 0.5 m/s: all of it on the span */
        closed_tell(closed, "train freight stop");
        break;
    case TRAIN_SCENES:
        break;
    }
}

/* What an operator does who wants one opening, and goes on after a stop or an emergency stop. */
static bool operate(struct trial *trial, enum moment moment) {
    struct closed *closed = &trial->closed;
    enum bridge_phase phase = closed->state.phase;
    if (phase == PHASE_LINED && !trial->was_raised) {
        closed_run_for(closed, LOOK_S * second_us);
        trial->was_raised = true;
        closed_ask(closed, REQUEST_RAISE);
        return true;
    }
    if (phase == PHASE_OPEN && closed->state.goal == GOAL_NONE) {
        trial->was_raised = true;
        trial->was_lowered = true;
        closed_run_for(closed, second_us);
        closed_ask(closed, REQUEST_LOWER);
        return true;
    }
    if (phase == PHASE_HELD && !trial->was_lowered && !closed->state.has_given_up) {
        trial->was_raised = true;
        trial->was_lowered = true;
        closed_ask(closed, REQUEST_LOWER);
        return true;
    }
    if (closed_gives_word(closed)) {
        return true;
    }
    if (moment == MOMENT_FAULT && phase == PHASE_FAULT &&
        closed->state.fault == FAULT_EMERGENCY_STOP) {
        return closed_ask(closed, REQUEST_ACKNOWLEDGE) == ANSWER_GRANTED;
    }
    /* After a stop the power waits to be asked for. */
    if (phase == PHASE_LINED && !closed->state.is_power_wanted) {
        return closed_ask(closed, REQUEST_POWER_ON) == ANSWER_GRANTED;
    }
    return false;
}

static void strike_second(struct trial *trial) {
    if (trial->second != NULL && trial->closed.now_us >= trial->second_at_us) {
        const struct bridge_defect *second = trial->second;
        trial->second = NULL;
        catalog_strike(second, &trial->closed);
    }
}

static bool is_over(const struct trial *trial) {
    const struct bridge_state *state = &trial->closed.state;
    bool is_done = state->phase == PHASE_LINED && trial->was_raised && state->goal == GOAL_NONE;
    return trial->second == NULL &&
           (is_done || state->phase == PHASE_FAULT || state->phase == PHASE_HELD);
}

static void run_out(struct trial *trial, enum moment moment) {
    struct closed *closed = &trial->closed;
    uint64_t end_us = closed->now_us + TRIAL_LIMIT_S * second_us;
    while (closed->now_us < end_us && closed->hung == NULL) {
        strike_second(trial);
        if (closed->has_phase_changed || !operate(trial, moment)) {
            if (is_over(trial) && !closed->has_phase_changed) {
                return;
            }
            uint64_t until_us = trial->second != NULL && trial->second_at_us < end_us
                                    ? trial->second_at_us
                                    : end_us;
            closed_go(closed, until_us - closed->now_us);
        }
    }
}

/* Watches a lined bridge: whether no home signal clears though nobody is told why: neither a wait,
 * nor a section that reads occupied, nor a train on its way. */
static bool is_dark(struct closed *closed) {
    for (int i = 0; i < 10 * LOOK_S; i++) {
        closed_run_for(closed, second_us * 13 / 100); /* out of step with what flaps */
        const struct track_end_outputs *end = closed->outputs.track[0].end;
        const struct track_inputs *in = &closed->inputs.track[0];
        if (end[0].signal_proceed || end[1].signal_proceed || in->span_clear != LEVEL_ON ||
            in->end[0].stop_clear != LEVEL_ON || in->end[1].stop_clear != LEVEL_ON ||
            closed->state.phase != PHASE_LINED) {
            return false;
        }
    }
    return true;
}

static enum end_kind end_of(const struct trial *trial, enum bridge_wait wait, bool is_dark) {
    const struct closed *closed = &trial->closed;
    if (closed->hung != NULL) {
        return END_HUNG;
    }
    switch (closed->state.phase) {
    case PHASE_FAULT:
        return END_FAULT;
    case PHASE_LINED:
        if (closed->state.has_given_up) {
            return END_GIVEN_UP;
        }
        return is_dark && wait == WAIT_NONE ? END_HUNG : END_COMPLETE;
    case PHASE_HELD:
        return closed->state.has_given_up ? END_GIVEN_UP : END_WAITS;
    case PHASE_UNPROVED:
        return END_WAITS;
    case PHASE_CLEARING:
    case PHASE_CUTTING:
    case PHASE_WARNING:
    case PHASE_UNLOCKING:
    case PHASE_RAISING:
    case PHASE_OPEN:
    case PHASE_LOWERING:
    case PHASE_SEATING:
    case PHASE_LOCKING:
    case PHASE_PROVING:
    case BRIDGE_PHASES:
        break;
    }
    return END_HUNG; /* past the longest time of all, or open though it was to be lowered */
}

/* Everything mended, the fault acknowledged, the span asked down: it must come to lined. */
static bool comes_to_lined(struct closed *closed) {
    if (sim_position_frac(&closed->sim) > 1) { /* wound back by hand */
        closed->sim.lift.position = closed->sim.setup.lift.lift.travel;
        sim_contacts_follow(&closed->sim.setup.contacts, &closed->sim.contacts, 1);
    }
    closed_tell(closed, "fault all off");
    closed_tell(closed, "train freight gone");
    uint64_t end_us = closed->now_us + TRIAL_LIMIT_S * second_us;
    while (closed->state.phase != PHASE_LINED && closed->now_us < end_us) {
        if (closed->state.phase == PHASE_FAULT) {
            closed_ask(closed, REQUEST_ACKNOWLEDGE);
        } else if (closed->state.phase == PHASE_OPEN || closed->state.phase == PHASE_HELD) {
            closed_ask(closed, REQUEST_LOWER);
        } else {
            closed_gives_word(closed);
        }
        closed_run_for(closed, second_us);
    }
    return closed->state.phase == PHASE_LINED;
}

struct outcome trial_run(const struct stage *stage, enum moment moment, enum trains trains,
                         const struct bridge_defect *first, const struct bridge_defect *second,
                         uint64_t later_us, bool mend) {
    struct trial trial = {.closed = stage->at[moment], .second = second};
    struct closed *closed = &trial.closed;
    trial.was_raised = moment > MOMENT_LINED;
    trial.was_lowered = moment > MOMENT_OPEN && moment < MOMENT_HELD;
    begin_trains(closed, trains);
    trial.struck_us = closed->now_us;
    trial.second_at_us = closed->now_us + later_us;
    catalog_strike(first, closed);
    run_out(&trial, moment);

    struct outcome outcome = {.fault = closed->state.fault};
    if (closed->phase_since_us > trial.struck_us) {
        outcome.safe_us = closed->phase_since_us - trial.struck_us;
    }
    if (closed->state.phase == PHASE_LINED) {
        outcome.is_dark = is_dark(closed);
    }
    closed_run_for(closed, AFTER_S * second_us);
    outcome.fault = closed->state.fault;
    outcome.wait = bridge_waiting(&closed->bridge, &closed->state, &closed->inputs).what;
    outcome.end = end_of(&trial, outcome.wait, outcome.is_dark);
    outcome.is_mended = !mend || comes_to_lined(closed);
    outcome.broken = closed->broken;
    outcome.untrue = closed->untrue;
    return outcome;
}
