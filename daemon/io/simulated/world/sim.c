#include "io/simulated/world/sim.h"

#include "core/words/lines.h"
#include "io/simulated/sim_setup.h"
#include "io/simulated/world/sim_sensor.h"

#include <math.h>
#include <string.h>

/* A bar less withdrawn than this is in the way of the span. */
static const double lock_clear_frac = 0.02;

/* Keeps a span that rests on an obstruction from above on that side of it. */
static const double above_frac = 1e-9;

static double travel(const struct sim *sim) {
    return sim->bridge.is_hand_lifted ? 1 : sim->setup.lift.lift.travel;
}

double sim_position_frac(const struct sim *sim) {
    return sim->lift.position / travel(sim);
}

/* The span is off its seat: a train on it falls. */
static bool is_gap_open(const struct sim *sim) {
    const struct simulation_contact *seated = &sim->setup.contacts.seated;
    return sim_position_frac(sim) > seated->makes_at_frac + seated->hysteresis_frac;
}

struct span_limits {
    double low, high; /* fractions */
};

/* Something in the way at `place`: the span stays on the side where it is. */
static void obstruct(struct span_limits *limits, double frac, double place) {
    if (frac <= place) {
        limits->high = fmin(limits->high, place);
    } else {
        limits->low = fmax(limits->low, place + above_frac);
    }
}

static struct span_limits span_limits(const struct sim *sim) {
    struct span_limits limits = {0, sim->setup.lift.end_stop_frac};
    double frac = sim_position_frac(sim);
    if (sim->lock.driven_frac > lock_clear_frac) {
        /* Between where the seated contact makes and where it breaks: a locked span stays seated, a
         * span lowered on the bar does not become so. */
        const struct simulation_contact *seated = &sim->setup.contacts.seated;
        obstruct(&limits, frac, seated->makes_at_frac + seated->hysteresis_frac / 2);
    }
    if (sim_faults_is_on(&sim->faults, SIM_JAM, 0)) {
        double place = sim->faults.value[SIM_JAM];
        if (isnan(place)) {
            limits.low = frac;
            limits.high = frac;
        } else {
            obstruct(&limits, frac, place);
        }
    }
    return limits;
}

struct sim_lift_drive sim_lift_drive(const struct sim *sim) {
    const struct sim_faults *faults = &sim->faults;
    struct span_limits limits = span_limits(sim);
    bool runs_on = sim_faults_is_on(faults, SIM_MOTOR_RUNS_ON, 0) && sim->outputs.lift_effort == 0;
    double effort = runs_on ? sim->last_effort : sim->outputs.lift_effort;
    double volts = effort * sim->setup.lift.supply_v;
    return (struct sim_lift_drive){
        .volts = sim_faults_is_on(faults, SIM_MOTOR_REVERSED, 0) ? -volts : volts,
        .is_circuit_open = sim_faults_is_on(faults, SIM_MOTOR_OPEN, 0),
        .is_braked = !sim->outputs.brake_released || sim_faults_is_on(faults, SIM_BRAKE_STUCK, 0),
        .is_slipping = sim_faults_is_on(faults, SIM_PINION_SLIPS, 0),
        .lowest = limits.low * travel(sim),
        .highest = limits.high * travel(sim),
    };
}

static enum lock_drive lock_drive(const struct sim *sim) {
    if (sim_faults_is_on(&sim->faults, SIM_LOCK_STUCK, 0)) {
        return LOCK_DRIVE_REST;
    }
    return sim_faults_is_on(&sim->faults, SIM_LOCK_WITHDRAWS, 0) ? LOCK_DRIVE_WITHDRAWN
                                                                 : sim->outputs.lock;
}

/* Where a hand can move the span from here. */
static double hand_target(const struct sim *sim) {
    struct span_limits limits = span_limits(sim);
    return fmax(fmin(sim->hand_to_frac, limits.high), limits.low);
}

static bool is_span_moving(const struct sim *sim) {
    if (sim->bridge.is_hand_lifted) {
        return !isnan(sim->hand_to_frac) && hand_target(sim) != sim->lift.position;
    }
    struct sim_lift_drive drive = sim_lift_drive(sim);
    return sim_lift_is_moving(&sim->setup.lift, &sim->lift, &drive);
}

static void span_step(struct sim *sim, double dt_s) {
    if (sim->bridge.is_hand_lifted) {
        if (!isnan(sim->hand_to_frac)) {
            double left = hand_target(sim) - sim->lift.position;
            double step = sim->setup.lift.hand_speed_frac_s * dt_s;
            sim->lift.position += fabs(left) <= step ? left : copysign(step, left);
        }
        return;
    }
    struct sim_lift_drive drive = sim_lift_drive(sim);
    sim_lift_step(&sim->setup.lift, &sim->lift, &drive, dt_s);
}

struct sim_surroundings sim_surroundings(const struct sim *sim, struct sim_news *news) {
    return (struct sim_surroundings){.setup = &sim->setup,
                                     .track = sim->track,
                                     .faults = &sim->faults,
                                     .news = news,
                                     .is_gap_open = is_gap_open(sim)};
}

static void sense_truly(const struct sim *sim, struct bridge_inputs *inputs);

/* What is late must have been seen when it happened. */
static void follow_late(struct sim *sim) {
    if ((sim->faults.on[SIM_CONTACT_LATE] | sim->late.was_late) != 0) {
        struct bridge_inputs inputs;
        sense_truly(sim, &inputs);
        sim_late_follow(&sim->late, &sim->faults, &inputs, sim->world_us);
    }
}

/* Signals and track power follow the outputs without delay; only proofs come later. */
static void follow_tracks(struct sim *sim) {
    for (unsigned t = 0; t < sim->bridge.tracks; t++) {
        sim_track_follow(&sim->track[t], &sim->outputs.track[t], &sim->faults, t,
                         sim->setup.contacts.lamp_relay_us, sim->world_us);
    }
}

void sim_settle(struct sim *sim) {
    bool is_held =
        ((sim->faults.on[SIM_POSITION_FROZEN] | sim->faults.on[SIM_POSITION_LATE]) & 1) != 0;
    if (!is_held) { /* a sensor just mended reads at once */
        sim->frozen_frac = sim_position_frac(sim);
    }
    if (sim_faults_is_on(&sim->faults, SIM_DEVICE_LOST, 0)) {
        memset(&sim->outputs, 0, sizeof sim->outputs);
    }
    follow_tracks(sim);
    follow_late(sim);
}

static void timed_faults(struct sim *sim) {
    for (unsigned i = 0; i < sim->setup.faults; i++) {
        const struct simulation_fault *fault = &sim->setup.fault[i];
        if ((sim->faults_due >> i & 1) != 0 && sim->world_us >= fault->after_us) {
            sim->faults_due &= ~(UINT32_C(1) << i);
            sim_setup_fault(&sim->setup, sim->bridge.tracks, i, &sim->faults, NULL);
            sim_settle(sim);
        }
    }
}

/* Whether the position sensor reads anew in this step. */
static bool is_position_read(const struct sim *sim, uint64_t dt_us) {
    if (sim_faults_is_on(&sim->faults, SIM_POSITION_LATE, 0)) {
        return sim->world_us / SIM_LATE_US != (sim->world_us - dt_us) / SIM_LATE_US;
    }
    return !sim_faults_is_on(&sim->faults, SIM_POSITION_FROZEN, 0);
}

static void step(struct sim *sim, uint64_t dt_us) {
    double dt_s = (double)dt_us / 1e6;
    sim->world_us += dt_us;
    timed_faults(sim);
    follow_tracks(sim);
    sim_lock_step(&sim->lock, lock_drive(sim), (double)sim->setup.lift.lock_travel_us / 1e6, dt_s);
    span_step(sim, dt_s);
    sim_contacts_follow(&sim->setup.contacts, &sim->contacts, sim_position_frac(sim));
    if (is_position_read(sim, dt_us)) {
        sim->frozen_frac = sim_position_frac(sim);
    }
    struct sim_surroundings around = sim_surroundings(sim, &sim->news);
    if (sim_train_step(&around, sim->train, dt_s, sim->world_us)) {
        sim->has_wrecked = true;
    }
    follow_late(sim);
}

static bool is_moving(const struct sim *sim) {
    struct sim_surroundings around = sim_surroundings(sim, NULL);
    return is_span_moving(sim) || sim_lock_is_moving(&sim->lock, lock_drive(sim)) ||
           sim_train_is_moving(&around, sim->train);
}

/* World time of the next thing that happens of itself though nothing moves. */
static uint64_t due_us(const struct sim *sim) {
    uint64_t due = sim_train_due_us(&sim->setup, sim->train);
    uint64_t flap = sim_faults_due_us(&sim->faults, sim->world_us);
    uint64_t late = sim_late_due_us(&sim->late);
    due = flap < due ? flap : due;
    due = late < due ? late : due;
    for (unsigned t = 0; t < sim->bridge.tracks; t++) {
        uint64_t proof = sim_track_due_us(&sim->track[t]);
        due = proof < due ? proof : due;
    }
    for (unsigned i = 0; i < sim->setup.faults; i++) {
        if ((sim->faults_due >> i & 1) != 0 && sim->setup.fault[i].after_us < due) {
            due = sim->setup.fault[i].after_us;
        }
    }
    return due;
}

/* Steps of the grid that can be leapt over: nothing moves before the last of them. */
static uint64_t idle_steps(const struct sim *sim, uint64_t steps) {
    if (is_moving(sim)) {
        return 0;
    }
    uint64_t due = due_us(sim);
    if (due <= sim->world_us) {
        return 0;
    }
    /* The step that ends at or past the due time is walked, not leapt. */
    uint64_t before = (due - sim->world_us - 1) / SIM_STEP_US;
    return before < steps ? before : steps;
}

void sim_advance(struct sim *sim, uint64_t now_us) {
    if (!sim->has_begun) {
        sim->has_begun = true;
        sim->begun_us = now_us;
    }
    sim->now_us = now_us - sim->begun_us;
    uint64_t left = (sim->now_us - sim->world_us) / SIM_STEP_US;
    while (left > 0) {
        uint64_t idle = idle_steps(sim, left);
        sim->world_us += idle * SIM_STEP_US;
        left -= idle;
        if (left > 0) {
            uint64_t steps = (left - 1) / SIM_STEPS_MAX + 1;
            step(sim, steps * SIM_STEP_US);
            left -= steps;
        }
    }
}

void sim_act(struct sim *sim, const struct bridge_outputs *outputs) {
    if (sim_faults_is_on(&sim->faults, SIM_DEVICE_LOST, 0)) {
        return;
    }
    sim->outputs = *outputs;
    if (outputs->lift_effort != 0) {
        sim->last_effort = outputs->lift_effort;
    }
    follow_tracks(sim);
    follow_late(sim);
}

uint32_t sim_wake_us(const struct sim *sim) {
    if (is_moving(sim)) {
        return SIM_WAKE_US;
    }
    uint64_t due = due_us(sim);
    if (due == UINT64_MAX) {
        return UINT32_MAX;
    }
    /* On the grid, a step late at most: the world lags behind the time shown. */
    uint64_t wait = due + SIM_STEP_US > sim->now_us ? due + SIM_STEP_US - sim->now_us : 0;
    return wait < UINT32_MAX ? (uint32_t)wait : UINT32_MAX - 1;
}

static enum level level(bool is_on) {
    return is_on ? LEVEL_ON : LEVEL_OFF;
}

static void sense_track(const struct sim *sim, unsigned number, struct track_inputs *inputs) {
    const struct sim_track *track = &sim->track[number];
    const struct simulation_setup *setup = &sim->setup;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        struct track_end_inputs *end = &inputs->end[e];
        end->approach_clear =
            level(!sim_train_is_on(setup, sim->train, number, e, SIM_NEAR_APPROACH));
        end->standing = level(sim_train_stands(setup, sim->train, number, e));
        end->stop_clear = level(!sim_train_is_on(setup, sim->train, number, e, SIM_NEAR_STOP));
        end->signal_at_stop = level(track->signal[e].is_proved_at_stop);
        end->stop_dead = level(!track->stop_powered[e]);
    }
    inputs->span_clear = level(!sim_train_is_on(setup, sim->train, number, 0, SIM_SPAN));
    inputs->span_dead = level(!track->span_powered);
}

static double sense_position(const struct sim *sim) {
    const struct simulation_lift *lift = &sim->setup.lift;
    if (!lift->measures_position || sim_faults_is_on(&sim->faults, SIM_POSITION_LOST, 0)) {
        return NAN;
    }
    double frac = sim->frozen_frac;
    if (sim_faults_is_on(&sim->faults, SIM_POSITION_JUMPS, 0)) {
        frac += sim->faults.value[SIM_POSITION_JUMPS];
    }
    if (sim_faults_is_on(&sim->faults, SIM_POSITION_FLAPPING, 0) &&
        sim_faults_is_flapped(sim->world_us)) {
        frac += sim->faults.value[SIM_POSITION_FLAPPING];
    }
    bool is_frozen = sim_faults_is_on(&sim->faults, SIM_POSITION_FROZEN, 0);
    return sim_sensor_read(frac, is_frozen ? 0 : lift->position_noise_frac,
                           lift->position_quantum_frac, sim->setup.seed, SIM_SENSOR_POSITION,
                           sim->world_us);
}

static double sense_current(const struct sim *sim) {
    const struct simulation_lift *lift = &sim->setup.lift;
    if (!lift->measures_current || sim->bridge.is_hand_lifted ||
        sim_faults_is_on(&sim->faults, SIM_CURRENT_LOST, 0)) {
        return NAN;
    }
    if (sim_faults_is_on(&sim->faults, SIM_CURRENT_DEAD, 0)) {
        return 0;
    }
    struct sim_lift_drive drive = sim_lift_drive(sim);
    return sim_sensor_read(sim_lift_current_a(lift, &sim->lift, &drive), lift->current_noise_a,
                           lift->current_quantum_a, sim->setup.seed, SIM_SENSOR_CURRENT,
                           sim->world_us);
}

/* A hand at the contact itself; then what its wires make of it. */
static void work_by_hand(const struct sim *sim, struct bridge_inputs *inputs) {
    for (unsigned i = 0; sim_faults_reach(sim->hand_made | sim->hand_open, i); i++) {
        if ((sim->hand_made >> i & 1) != 0) {
            *lines_level(inputs, i) = LEVEL_ON;
        } else if ((sim->hand_open >> i & 1) != 0) {
            *lines_level(inputs, i) = LEVEL_OFF;
        }
    }
}

static void miswire(const struct sim_faults *faults, struct bridge_inputs *inputs) {
    if (sim_faults_is_on(faults, SIM_CONTACTS_SWAPPED, 0)) {
        enum level seated = inputs->seated;
        inputs->seated = inputs->open;
        inputs->open = seated;
    }
    for (unsigned i = 0; sim_faults_reach(faults->on[SIM_CONTACT_INVERTED], i); i++) {
        if (sim_faults_is_on(faults, SIM_CONTACT_INVERTED, i)) {
            enum level *one = lines_level(inputs, i);
            *one = level(*one != LEVEL_ON);
        }
    }
}

/* A contact fault hides what is really there. */
static void overlay_faults(const struct sim *sim, struct bridge_inputs *inputs) {
    const struct sim_faults *faults = &sim->faults;
    uint64_t any = faults->on[SIM_CONTACT_MADE] | faults->on[SIM_CONTACT_OPEN] |
                   faults->on[SIM_CONTACT_BROKEN] | faults->on[SIM_CONTACT_FLAPPING] |
                   faults->on[SIM_CONTACT_LATE];
    for (unsigned i = 0; sim_faults_reach(any, i); i++) {
        if (sim_faults_is_on(faults, SIM_CONTACT_MADE, i)) {
            *lines_level(inputs, i) = LEVEL_ON;
        } else if (sim_faults_is_on(faults, SIM_CONTACT_OPEN, i)) {
            *lines_level(inputs, i) = LEVEL_OFF;
        } else if (sim_faults_is_on(faults, SIM_CONTACT_BROKEN, i)) {
            *lines_level(inputs, i) = LEVEL_UNKNOWN;
        } else if (sim_faults_is_on(faults, SIM_CONTACT_FLAPPING, i)) {
            *lines_level(inputs, i) = level(!sim_faults_is_flapped(sim->world_us));
        } else if (sim_faults_is_on(faults, SIM_CONTACT_LATE, i)) {
            *lines_level(inputs, i) = sim->late.shown[i];
        }
    }
}

static void sense_truly(const struct sim *sim, struct bridge_inputs *inputs) {
    memset(inputs, 0, sizeof *inputs); /* LEVEL_UNKNOWN */
    inputs->position_frac = NAN;
    inputs->current_a = NAN;
    inputs->is_device_lost = sim_faults_is_on(&sim->faults, SIM_DEVICE_LOST, 0);
    if (inputs->is_device_lost) {
        return;
    }
    inputs->seated = level(sim->contacts.seated);
    inputs->nearly_seated = level(sim->contacts.nearly_seated);
    inputs->open = level(sim->contacts.open);
    inputs->nearly_open = level(sim->contacts.nearly_open);
    inputs->within_travel = level(sim->contacts.within_travel);
    inputs->locked = level(sim_lock_is_driven(&sim->lock));
    inputs->withdrawn = level(sim_lock_is_withdrawn(&sim->lock));
    for (unsigned r = 0; r < BRIDGE_RAILS_MAX; r++) {
        inputs->rail[r] = level(sim->contacts.rail);
    }
    inputs->stop_circuit = level(!sim_faults_is_on(&sim->faults, SIM_STOP_CIRCUIT, 0));
    for (unsigned t = 0; t < sim->bridge.tracks; t++) {
        sense_track(sim, t, &inputs->track[t]);
    }
    inputs->position_frac = sense_position(sim);
    inputs->current_a = sense_current(sim);
    work_by_hand(sim, inputs);
    miswire(&sim->faults, inputs);
}

void sim_sense(const struct sim *sim, struct bridge_inputs *inputs) {
    sense_truly(sim, inputs);
    if (!inputs->is_device_lost) {
        overlay_faults(sim, inputs);
    }
}

bool sim_begin(struct sim *sim, const struct bridge_setup *bridge,
               const struct simulation_setup *setup, struct error *error) {
    memset(sim, 0, sizeof *sim);
    sim->bridge = *bridge;
    sim->setup = *setup;
    sim_setup_fill(&sim->setup, bridge);
    if (!sim_setup_check(&sim->setup, bridge, error)) {
        return false;
    }
    for (unsigned i = 0; i < sim->setup.faults; i++) {
        struct sim_faults trial = {0};
        if (!sim_setup_fault(&sim->setup, bridge->tracks, i, &trial, error)) {
            return false;
        }
    }
    sim->faults_due = (UINT32_C(1) << sim->setup.faults) - 1;
    sim->hand_to_frac = NAN;
    sim->lift.position = sim->setup.lift.start_frac * travel(sim);
    sim->frozen_frac = sim->setup.lift.start_frac;
    bool is_locked = sim->bridge.has_lock && !sim->setup.lift.starts_unlocked;
    sim->lock.driven_frac = is_locked ? 1 : 0;
    for (unsigned t = 0; t < bridge->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            sim->track[t].signal[e].is_proved_at_stop = true;
        }
    }
    sim_train_begin(&sim->setup, sim->train);
    timed_faults(sim);
    sim_contacts_follow(&sim->setup.contacts, &sim->contacts, sim_position_frac(sim));
    return true;
}
