#include "support/core/core_walk.h"

#include "support/core/core_parts.h"
#include "support/core/puppet.h"

#include <math.h>
#include <string.h>

uint32_t walk_random(struct walk *walk, uint32_t below) {
    uint32_t x = walk->random; /* xorshift, Marsaglia 2003 */
    x ^= x << 13;
    x ^= x >> 17;
    x ^= x << 5;
    walk->random = x;
    return x % below;
}

static bool is_chance(struct walk *walk, uint32_t percent) {
    return walk_random(walk, 100) < percent;
}

/* Every end and track for itself; at least one end of each is used. */
static void mix_tracks(struct walk *walk, struct bridge_setup *setup) {
    static const uint32_t locks_us[] = {1, 8000000, 40000000};
    static const uint32_t run_outs_us[] = {0, 1, 20000000, 60000000};
    for (unsigned t = 0; t < setup->tracks; t++) {
        struct track_setup *track = &setup->track[t];
        *track = (struct track_setup){.has_span_detector = is_chance(walk, 60),
                                      .has_span_power_proof = is_chance(walk, 60),
                                      .run_out_us = run_outs_us[walk_random(walk, 4)]};
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            track->end[e] = (struct track_end_setup){
                .is_used = is_chance(walk, 70),
                .has_approach_detector = is_chance(walk, 60),
                .has_standing_detector = is_chance(walk, 50),
                .has_stop_detector = is_chance(walk, 60),
                .has_signal_proof = is_chance(walk, 60),
                .has_stop_power_proof = is_chance(walk, 60),
                .is_automatic = is_chance(walk, 70),
                .approach_lock_us = locks_us[walk_random(walk, 3)],
            };
        }
        track->end[0].is_used = track->end[0].is_used || !track->end[1].is_used;
    }
}

/* Among them those that may be zero, and limits as long as they can be. */
static void mix_times(struct walk *walk, struct bridge_setup *setup) {
    static const uint32_t debounces_us[] = {0, 0, 20000, 500000};
    static const uint32_t clears_us[] = {0, 1000000, 5000000, 5000000};
    static const uint32_t warnings_us[] = {0, 1, 10000000};
    static const uint32_t pushes_us[] = {0, 500000, 5000000};
    setup->debounce_us = debounces_us[walk_random(walk, 4)];
    setup->clear_us = clears_us[walk_random(walk, 4)];
    setup->warning_us = warnings_us[walk_random(walk, 3)];
    setup->motion.push_us = setup->is_hand_lifted ? 0 : pushes_us[walk_random(walk, 3)];
    setup->motion.travel_limit_us *= 3; /* a span that is creeping all the way */
    uint32_t *const limits_us[] = {&setup->proof_limit_us, &setup->lock_limit_us,
                                   &setup->clearing_limit_us, &setup->motion.seat_limit_us,
                                   &setup->motion.travel_limit_us};
    for (size_t i = 0; i < sizeof limits_us / sizeof limits_us[0]; i++) {
        *limits_us[i] = is_chance(walk, 20) ? UINT32_MAX - 1 : *limits_us[i];
    }
}

struct bridge_setup walk_random_setup(struct walk *walk) {
    struct bridge_setup setup = is_chance(walk, 20) ? puppet_hand_setup() : puppet_setup();
    for (size_t i = 0; i < core_parts_count; i++) {
        *core_part_of(&setup, i) = is_chance(walk, 60);
    }
    setup.has_lock = is_chance(walk, 80);
    setup.has_lock_drive = setup.has_lock_drive && setup.has_lock;
    core_parts_make_sound(&setup);
    setup.rails = walk_random(walk, BRIDGE_RAILS_MAX + 1);
    setup.tracks = 1 + walk_random(walk, BRIDGE_TRACKS_MAX);
    mix_tracks(walk, &setup);
    mix_times(walk, &setup);
    return setup;
}

void walk_start(struct walk *walk, enum walk_kind kind, const struct bridge_setup *setup,
                uint32_t seed) {
    memset(walk, 0, sizeof *walk);
    walk->kind = kind;
    walk->random = seed;
    walk->setup = *setup;
    walk->lock_frac = 1;
    bridge_start(&walk->setup, &walk->state);
}

/* ---- the wild world */

static enum level any_level(struct walk *walk) {
    uint32_t of_ten = walk_random(walk, 10);
    return of_ten == 0 ? LEVEL_UNKNOWN : of_ten < 4 ? LEVEL_OFF : LEVEL_ON;
}

static double any_measure(struct walk *walk) {
    switch (walk_random(walk, 12)) {
    case 0:
        return NAN;
    case 1:
        return INFINITY;
    case 2:
        return -1e300;
    case 3:
        return 1;
    case 4:
        return walk_random(walk, 1000) / 500.0 - 0.5;
    default:
        return 0;
    }
}

static void look_wild(struct walk *walk) {
    struct bridge_inputs *in = &walk->inputs;
    enum level *const contacts[] = {&in->seated,      &in->nearly_seated, &in->open,
                                    &in->nearly_open, &in->within_travel, &in->locked,
                                    &in->withdrawn,   &in->stop_circuit};
    for (size_t i = 0; i < sizeof contacts / sizeof contacts[0]; i++) {
        *contacts[i] = any_level(walk);
    }
    for (unsigned i = 0; i < BRIDGE_RAILS_MAX; i++) {
        in->rail[i] = any_level(walk);
    }
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        in->track[t].span_clear = any_level(walk);
        in->track[t].span_dead = any_level(walk);
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            in->track[t].end[e] =
                (struct track_end_inputs){any_level(walk), any_level(walk), any_level(walk),
                                          any_level(walk), any_level(walk)};
        }
    }
    in->position_frac = any_measure(walk);
    in->current_a = any_measure(walk);
    in->is_device_lost = is_chance(walk, 2);
}

/* ---- the likely world */

static enum level made_if(bool is_made) {
    return is_made ? LEVEL_ON : LEVEL_OFF;
}

/* Span and lock go where they are driven, or where a hand or an accident puts them. */
static void move(struct walk *walk, uint32_t dt_us) {
    static const double places[] = {0, 0, 0.04, 0.3, 0.97, 1};
    double dt_s = dt_us / 1e6;
    if (walk->outputs.lift_effort != 0) {
        double go_frac = walk->state.motion.direction * walk->state.motion.speed_frac_s * dt_s;
        walk->span_frac = fmin(fmax(walk->span_frac + go_frac, 0), 1);
    }
    bool is_by_hand = !walk->setup.has_lock_drive && is_chance(walk, 5);
    bool is_withdrawing = walk->outputs.lock == LOCK_DRIVE_WITHDRAWN ||
                          (is_by_hand && walk->state.phase == PHASE_UNLOCKING);
    bool is_locking = walk->outputs.lock == LOCK_DRIVE_DRIVEN ||
                      (is_by_hand && walk->state.phase == PHASE_LOCKING);
    walk->lock_frac = is_withdrawing ? 0 : is_locking ? 1 : walk->lock_frac;
    if (walk_random(walk, 1000) < (walk->setup.is_hand_lifted ? 30 : 3)) {
        walk->span_frac = places[walk_random(walk, 6)];
        walk->lock_frac = walk->span_frac > 0 ? 0 : walk_random(walk, 2);
    }
}

static void show_contacts(struct walk *walk) {
    struct bridge_inputs *in = &walk->inputs;
    in->seated = made_if(walk->span_frac <= 0.005);
    in->nearly_seated = made_if(walk->span_frac <= 0.05);
    in->open = made_if(walk->span_frac >= 0.995);
    in->nearly_open = made_if(walk->span_frac >= 0.95);
    in->within_travel = LEVEL_ON;
    in->locked = made_if(walk->lock_frac >= 1);
    in->withdrawn = made_if(walk->lock_frac <= 0);
    in->stop_circuit = LEVEL_ON;
    for (unsigned i = 0; i < BRIDGE_RAILS_MAX; i++) {
        in->rail[i] = made_if(walk->span_frac <= 0.005);
    }
    in->position_frac = walk->span_frac;
    in->current_a = fabs(walk->outputs.lift_effort) * 4;
    in->is_device_lost = false;
}

/* A train comes now and then, and is gone again a few steps later. */
static bool goes_on(struct walk *walk, bool is_train, uint32_t per_mille) {
    return is_train ? !is_chance(walk, 20) : walk_random(walk, 1000) < per_mille;
}

/* A feedback may stay behind for a step or more, each for itself. */
static void show_late(struct walk *walk, enum level *feedback, bool is_made) {
    if (*feedback == LEVEL_UNKNOWN || !is_chance(walk, 20)) {
        *feedback = made_if(is_made);
    }
}

static void run_trains(struct walk *walk) {
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            bool *train = walk->is_train[t][e];
            train[0] = goes_on(walk, train[0], 30);
            train[1] = goes_on(walk, train[1], 2);
        }
        walk->is_train_on_span[t] = goes_on(walk, walk->is_train_on_span[t], 2);
    }
}

static void show_tracks(struct walk *walk) {
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        struct track_inputs *in = &walk->inputs.track[t];
        const struct track_outputs *out = &walk->outputs.track[t];
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const bool *train = walk->is_train[t][e];
            in->end[e].approach_clear = made_if(!train[0]);
            in->end[e].standing = made_if(train[0] && is_chance(walk, 10));
            in->end[e].stop_clear = made_if(!train[1]);
            show_late(walk, &in->end[e].signal_at_stop, !out->end[e].signal_proceed);
            show_late(walk, &in->end[e].stop_dead, !out->end[e].stop_power);
        }
        in->span_clear = made_if(!walk->is_train_on_span[t]);
        show_late(walk, &in->span_dead, !out->span_power);
    }
}

static void spoil_one(struct walk *walk) {
    static const enum level levels[] = {LEVEL_UNKNOWN, LEVEL_OFF, LEVEL_ON};
    switch (walk_random(walk, 10)) {
    case 0:
        walk->inputs.stop_circuit = LEVEL_OFF;
        break;
    case 1:
        walk->inputs.is_device_lost = true;
        break;
    case 2:
        walk->inputs.position_frac = any_measure(walk);
        break;
    case 3:
        walk->inputs.current_a = any_measure(walk);
        break;
    case 4:
        walk->inputs.track[walk_random(walk, BRIDGE_TRACKS_MAX)] = (struct track_inputs){0};
        break;
    default:
        *core_input_of(&walk->inputs, walk_random(walk, (uint32_t)core_inputs_count)) =
            levels[walk_random(walk, 3)];
        break;
    }
}

static void look_likely(struct walk *walk, uint32_t dt_us) {
    move(walk, dt_us);
    show_contacts(walk);
    run_trains(walk);
    show_tracks(walk);
    if (walk_random(walk, 1000) < 8) {
        spoil_one(walk);
    }
}

/* ---- a step */

static struct bridge_request any_request(struct walk *walk) {
    struct bridge_request request = {
        .track = walk_random(walk, BRIDGE_TRACKS_MAX + 1),
        .end = walk_random(walk, TRACK_ENDS + 1),
    };
    static const double efforts_most[] = {0, 0.05, 1, -1};
    request.effort_most = efforts_most[walk_random(walk, 4)];
    request.share = efforts_most[walk_random(walk, 4)];
    request.is_voltage = is_chance(walk, 50);
    if (walk->state.phase == PHASE_FAULT && is_chance(walk, 30)) {
        request.kind = REQUEST_ACKNOWLEDGE;
    } else if (walk->state.phase == PHASE_HELD && is_chance(walk, 10)) {
        request.kind = is_chance(walk, 50) ? REQUEST_JOG_UP : REQUEST_JOG_DOWN;
    } else if (walk->state.throttle.share > 0 && is_chance(walk, 30)) {
        request.kind = REQUEST_THROTTLE_HOLD;
    } else if (walk->state.phase == PHASE_LINED && is_chance(walk, 10)) {
        request.kind = is_chance(walk, 50) ? REQUEST_POWER_ON : REQUEST_SIGNAL_PROCEED;
    } else if (walk->state.phase == PHASE_CLEARING && is_chance(walk, 5)) {
        request.kind = REQUEST_SEEN_CLEAR;
    } else if (is_chance(walk, 4)) {
        static const enum bridge_request_kind moves[] = {
            REQUEST_RAISE, REQUEST_LOWER, REQUEST_THROTTLE_UP, REQUEST_THROTTLE_DOWN};
        request.kind = moves[walk_random(walk, 4)];
    } else if (is_chance(walk, 4)) {
        request.kind = (enum bridge_request_kind)walk_random(walk, REQUEST_HORN_OFF + 1);
    }
    return request;
}

static void count(struct walk *walk) {
    walk->steps_in[walk->state.phase]++;
    walk->steps_driven += walk->outputs.lift_effort != 0 ? 1 : 0;
    walk->steps_jogged += walk->state.phase == PHASE_HELD && walk->outputs.lift_effort != 0 ? 1 : 0;
    walk->steps_withdrawing += walk->outputs.lock == LOCK_DRIVE_WITHDRAWN ? 1 : 0;
    walk->steps_locking += walk->outputs.lock == LOCK_DRIVE_DRIVEN ? 1 : 0;
    walk->steps_at_proceed += walk->outputs.track[0].end[0].signal_proceed ? 1 : 0;
}

static const char *judged_step(struct walk *walk, const struct bridge_request *request,
                               uint32_t dt_us, enum bridge_answer *answer) {
    bool was_faulty = walk->state.phase == PHASE_FAULT;
    *answer =
        bridge_step(&walk->setup, &walk->state, &walk->inputs, request, dt_us, &walk->outputs);
    count(walk);
    walk->words += request->kind == REQUEST_SEEN_CLEAR && *answer == ANSWER_GRANTED ? 1 : 0;
    walk->gaps += !was_faulty && walk->state.fault == FAULT_LATE ? 1 : 0;
    return invariants_broken(&walk->judge, &walk->setup, &walk->inputs, request, dt_us,
                             &walk->outputs);
}

const char *walk_step(struct walk *walk) {
    static const uint32_t times_us[] = {0,       1,       10000,   100000,   500000,
                                        1000000, 1000000, 3000000, 20000000, UINT32_MAX};
    uint32_t dt_us = times_us[walk_random(walk, is_chance(walk, 5) ? 10 : 8)];
    if (walk->kind == WALK_WILD) {
        look_wild(walk);
    } else {
        look_likely(walk, dt_us);
    }
    walk->inputs.late_us = is_chance(walk, 5) ? walk_random(walk, dt_us / 2 + 1) * 2 : 0;
    struct bridge_request request = any_request(walk);
    enum bridge_answer answer;
    const char *broken = judged_step(walk, &request, dt_us, &answer);
    walk->inputs.late_us = 0;
    return broken;
}

void walk_restart(struct walk *walk) {
    bridge_start(&walk->setup, &walk->state);
    walk->outputs = (struct bridge_outputs){0};
    walk->judge = (struct seen){0};
}

/* ---- a world in order */

/* A hand does what a gate, or a lock bar without a drive, waits for; 0: it rests. */
static void work_by_hand(struct walk *walk, int direction, double dt_s) {
    enum bridge_phase phase = walk->state.phase;
    bool is_lifting = phase == PHASE_UNLOCKING || phase == PHASE_RAISING || phase == PHASE_LOWERING;
    if (!walk->setup.is_hand_lifted) {
        bool is_bar = !walk->setup.has_lock_drive;
        walk->lock_frac = is_bar && phase == PHASE_UNLOCKING ? 0 : walk->lock_frac;
        walk->lock_frac = is_bar && phase == PHASE_LOCKING ? 1 : walk->lock_frac;
    } else if (direction > 0 && is_lifting) {
        walk->span_frac = walk->lock_frac > 0 ? 0 : fmin(walk->span_frac + 0.2 * dt_s, 1);
        walk->lock_frac = 0;
    } else if (direction < 0) {
        walk->lock_frac = walk->span_frac > 0.005 ? 0 : 1;
        walk->span_frac = fmax(walk->span_frac - 0.2 * dt_s, 0);
    }
}

static void obey(struct walk *walk, uint32_t dt_us) {
    double dt_s = dt_us / 1e6;
    const struct motion_state *motion = &walk->state.motion;
    if (walk->outputs.lift_effort != 0) {
        double go_frac = motion->direction * motion->speed_frac_s * dt_s;
        walk->span_frac = fmin(fmax(walk->span_frac + go_frac, 0), 1);
    }
    bool is_withdrawing = walk->outputs.lock == LOCK_DRIVE_WITHDRAWN;
    bool is_locking = walk->outputs.lock == LOCK_DRIVE_DRIVEN;
    walk->lock_frac = is_withdrawing ? fmax(walk->lock_frac - dt_s, 0)
                      : is_locking   ? fmin(walk->lock_frac + dt_s, 1)
                                     : walk->lock_frac;
}

const char *walk_in_order(struct walk *walk, enum bridge_request_kind kind, int direction,
                          uint32_t dt_us, enum bridge_answer *answer) {
    const struct bridge_request request = {.kind = kind};
    walk->lock_frac = walk->span_frac > 0.005 ? 0 : walk->lock_frac; /* no bar off the seat */
    walk->inputs.late_us = 0;
    obey(walk, dt_us);
    work_by_hand(walk, direction, dt_us / 1e6);
    show_contacts(walk);
    memset(walk->is_train, 0, sizeof walk->is_train);
    memset(walk->is_train_on_span, 0, sizeof walk->is_train_on_span);
    show_tracks(walk);
    return judged_step(walk, &request, dt_us, answer);
}

const char *walk_rest(struct walk *walk, uint32_t dt_us) {
    const struct bridge_request nothing = {.kind = REQUEST_NONE};
    enum bridge_answer answer;
    return judged_step(walk, &nothing, dt_us, &answer);
}
