#include "faults/closed.h"

#include "core/words/names.h"
#include "support/check.h"
#include "support/io/sim_world.h"

#include <math.h>
#include <string.h>

static const double degree = 3.14159265358979323846 / 180;

/* What inputs tell is a step of the world old, and is believed after debouncing. */
enum { WORLD_LAG_US = 30000, SLACK_US = 1000000 };

struct bridge_setup closed_bridge(uint32_t debounce_us) {
    struct bridge_setup setup = sim_world_bridge();
    struct motion_setup *motion = &setup.motion;
    motion->full_speed_frac_s = 0.14;
    motion->creep_speed_frac_s = 0.035;
    motion->acceleration_frac_s2 = 0.07;
    motion->deceleration_frac_s2 = 0.07;
    motion->travel_limit_us = 40000000;
    motion->seat_limit_us = 15000000;
    setup.debounce_us = debounce_us;
    return setup;
}

void closed_begin(struct closed *closed, uint32_t debounce_us) {
    const struct bridge_setup bridge = closed_bridge(debounce_us);
    closed_begin_with(closed, &bridge);
}

void closed_begin_with(struct closed *closed, const struct bridge_setup *bridge) {
    memset(closed, 0, sizeof *closed);
    closed->bridge = *bridge;
    assert_null(bridge_setup_fault(&closed->bridge));

    struct simulation_setup simulation = sim_world_simulation();
    simulation.lift.lift.travel = 10 * degree;
    simulation.lift.brake_torque_nm = 1;
    simulation.lift.starts_unlocked = !bridge->has_lock; /* no bar is one that is never in */
    simulation.trains = 1;
    simulation.train[0] = sim_world_train();
    simulation.train[0].start_us = UINT64_MAX / 2;
    simulation.train[0].set_back_us = 20000000;
    struct error error = {.what = ""};
    if (!sim_begin(&closed->sim, &closed->bridge, &simulation, &error)) {
        fail_msg("%s: %s", error.where, error.what);
    }
    sim_advance(&closed->sim, 0);
    bridge_start(&closed->bridge, &closed->state);
    closed_ask(closed, REQUEST_NONE);
}

/* ---- how the world really is */

static bool is_down_and_locked(const struct sim *sim) {
    const struct simulation_contact *seated = &sim->setup.contacts.seated;
    return sim_position_frac(sim) <= seated->makes_at_frac + seated->hysteresis_frac &&
           (!sim->bridge.has_lock || sim_lock_is_driven(&sim->lock));
}

bool closed_is_train_on_bridge(const struct closed *closed) {
    const struct sim *sim = &closed->sim;
    return sim_train_is_on(&sim->setup, sim->train, 0, 0, SIM_NEAR_STOP) ||
           sim_train_is_on(&sim->setup, sim->train, 0, 0, SIM_SPAN) ||
           sim_train_is_on(&sim->setup, sim->train, 0, 0, SIM_FAR_STOP);
}

static bool is_untrue(const struct closed *closed, enum untruth untruth) {
    const struct sim *sim = &closed->sim;
    const struct track_outputs *track = &sim->outputs.track[0];
    bool is_driven = sim->outputs.lift_effort != 0;
    switch (untruth) {
    case UNTRUE_WRECK:
        return sim->has_wrecked;
    case UNTRUE_POWER:
        return (track->span_power || track->end[0].stop_power || track->end[1].stop_power) &&
               !is_down_and_locked(sim);
    case UNTRUE_SIGNAL:
        return (track->end[0].signal_proceed || track->end[1].signal_proceed) &&
               !is_down_and_locked(sim);
    case UNTRUE_LIFT_LOCK:
        return is_driven && !sim_lock_is_withdrawn(&sim->lock);
    case UNTRUE_LIFT_TRAIN:
        return is_driven && closed_is_train_on_bridge(closed);
    case UNTRUTHS:
        break;
    }
    return false;
}

const char *untruth_text(enum untruth untruth) {
    static const char *const texts[UNTRUTHS] = {
        [UNTRUE_WRECK] = "a train falls into the gap",
        [UNTRUE_POWER] = "sections are powered though the span is not down and locked",
        [UNTRUE_SIGNAL] = "a signal shows proceed though the span is not down and locked",
        [UNTRUE_LIFT_LOCK] = "the lift is driven against the lock bar",
        [UNTRUE_LIFT_TRAIN] = "the lift is driven under a train",
    };
    return texts[untruth];
}

static void judge_world(struct closed *closed, uint64_t dt_us) {
    uint64_t most_us = closed->bridge.debounce_us + WORLD_LAG_US;
    for (unsigned u = 0; u < UNTRUTHS; u++) {
        if (!is_untrue(closed, (enum untruth)u)) {
            closed->untrue_us[u] = 0;
            continue;
        }
        closed->untrue_us[u] += dt_us;
        if (u == UNTRUE_WRECK || closed->untrue_us[u] > most_us) {
            closed->untrue |= UINT32_C(1) << u;
        }
    }
}

/* ---- what the bridge owes */

/* The longest time of each phase as the setup has it; UINT64_MAX: a place to stay. */
static uint64_t longest_us(const struct bridge_setup *setup, enum bridge_phase phase) {
    switch (phase) {
    case PHASE_CLEARING:
        return setup->clearing_limit_us;
    case PHASE_CUTTING:
        return setup->proof_limit_us;
    case PHASE_PROVING: /* rails; and signals, whose time may begin with the last proceed */
        return 2 * (uint64_t)setup->proof_limit_us;
    case PHASE_WARNING: /* five short blasts and their gaps, or the set time */
        return (uint64_t)setup->warning_us + 5 * (setup->short_blast_us + setup->blast_gap_us);
    case PHASE_UNLOCKING: /* where no contact tells, the drive is on for the whole time first */
        return (setup->has_withdrawn ? 1 : 2) * (uint64_t)setup->lock_limit_us;
    case PHASE_LOCKING:
        return (setup->has_locked ? 1 : 2) * (uint64_t)setup->lock_limit_us;
    case PHASE_RAISING:
    case PHASE_LOWERING: /* creeping all the way where its place is not known */
        return (uint64_t)fmax(setup->motion.travel_limit_us,
                              1.5e6 / setup->motion.creep_speed_frac_s);
    case PHASE_SEATING:
        return setup->motion.seat_limit_us;
    case PHASE_UNPROVED:
    case PHASE_LINED:
    case PHASE_OPEN:
    case PHASE_HELD:
    case PHASE_FAULT:
    case BRIDGE_PHASES:
        break;
    }
    return UINT64_MAX;
}

static bool are_outputs_safe(const struct bridge_outputs *outputs) {
    const struct track_outputs *track = &outputs->track[0];
    return outputs->lift_effort == 0 && !outputs->brake_released &&
           outputs->lock == LOCK_DRIVE_REST && !track->span_power && !track->end[0].stop_power &&
           !track->end[1].stop_power && !track->end[0].signal_proceed &&
           !track->end[1].signal_proceed && outputs->river != RIVER_GREEN;
}

static void judge_duties(struct closed *closed) {
    uint64_t longest = longest_us(&closed->bridge, closed->state.phase);
    if (longest != UINT64_MAX && closed->now_us - closed->phase_since_us > longest + SLACK_US &&
        closed->hung == NULL) {
        closed->hung = bridge_phase_name(closed->state.phase);
    }
    bool must_be_safe = closed->state.phase == PHASE_FAULT || closed->state.phase == PHASE_UNPROVED;
    if (must_be_safe && !are_outputs_safe(&closed->outputs) && closed->broken == NULL) {
        closed->broken = "fault or unproved without the safe state";
    }
}

/* ---- stepping */

static enum bridge_answer step(struct closed *closed, uint64_t dt_us,
                               const struct bridge_request *request) {
    enum bridge_phase before = closed->state.phase;
    closed->now_us += dt_us;
    sim_advance(&closed->sim, closed->now_us);
    sim_sense(&closed->sim, &closed->inputs);
    enum bridge_answer answer = bridge_step(&closed->bridge, &closed->state, &closed->inputs,
                                            request, (uint32_t)dt_us, &closed->outputs);
    const char *broken = invariants_broken(&closed->judge, &closed->bridge, &closed->inputs,
                                           request, (uint32_t)dt_us, &closed->outputs);
    if (broken != NULL && closed->broken == NULL) {
        closed->broken = broken;
    }
    sim_act(&closed->sim, &closed->outputs);
    closed->has_phase_changed = closed->state.phase != before;
    if (closed->has_phase_changed) {
        closed->phase_since_us = closed->now_us;
    }
    judge_world(closed, dt_us);
    judge_duties(closed);
    return answer;
}

enum bridge_answer closed_ask(struct closed *closed, enum bridge_request_kind kind) {
    return step(closed, 0, &(struct bridge_request){.kind = kind});
}

void closed_go(struct closed *closed, uint64_t most_us) {
    uint64_t wait_us = bridge_wake_us(&closed->bridge, &closed->state);
    uint64_t world_us = sim_wake_us(&closed->sim);
    wait_us = world_us < wait_us ? world_us : wait_us;
    wait_us = most_us < wait_us ? most_us : wait_us;
    step(closed, closed->has_phase_changed ? 0 : wait_us,
         &(struct bridge_request){.kind = REQUEST_NONE});
}

bool closed_gives_word(struct closed *closed) {
    struct bridge_waiting waiting =
        bridge_waiting(&closed->bridge, &closed->state, &closed->inputs);
    return waiting.what == WAIT_SEEN_CLEAR && !closed_is_train_on_bridge(closed) &&
           closed_ask(closed, REQUEST_SEEN_CLEAR) == ANSWER_GRANTED;
}

bool closed_run_to(struct closed *closed, enum bridge_phase phase, uint64_t limit_us) {
    uint64_t end_us = closed->now_us + limit_us;
    while (closed->state.phase != phase && closed->now_us < end_us) {
        if (!closed_gives_word(closed)) {
            closed_go(closed, end_us - closed->now_us);
        }
    }
    return closed->state.phase == phase;
}

void closed_run_for(struct closed *closed, uint64_t time_us) {
    uint64_t end_us = closed->now_us + time_us;
    while (closed->now_us < end_us) {
        closed_go(closed, end_us - closed->now_us);
    }
}

void closed_tell(struct closed *closed, const char *words) {
    struct error error = {.what = ""};
    if (!sim_command(&closed->sim, words, &error)) {
        fail_msg("%s: %s", words, error.what);
    }
}

void closed_restart(struct closed *closed, uint64_t dead_us) {
    const struct bridge_outputs safe = {0};
    sim_act(&closed->sim, &safe);
    closed->now_us += dead_us;
    sim_advance(&closed->sim, closed->now_us);
    judge_world(closed, dead_us);
    bridge_start(&closed->bridge, &closed->state);
    closed->judge = (struct seen){0};
    closed->phase_since_us = closed->now_us;
    closed_ask(closed, REQUEST_NONE);
}

bool closed_is_at_rest(const struct closed *closed) {
    return longest_us(&closed->bridge, closed->state.phase) == UINT64_MAX;
}
