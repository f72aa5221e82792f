#include "prove/moves/raw.h"

#include <math.h>

uint32_t raw_random(uint64_t *seed) {
    *seed ^= *seed >> 12;
    *seed ^= *seed << 25;
    *seed ^= *seed >> 27;
    return (uint32_t)(*seed * 2685821657736338717u >> 32);
}

static unsigned below(uint64_t *seed, unsigned limit) {
    return raw_random(seed) % limit;
}

static bool is_one_in(uint64_t *seed, unsigned many) {
    return below(seed, many) == 0;
}

static double any_position(uint64_t *seed) {
    static const double positions[] = {NAN, INFINITY, -0.5, -0.05, -0.01, 0,    0.02, 0.04, 0.07,
                                       0.3, 0.5,      0.51, 0.95,  0.98,  0.99, 1,    1.01, 1.05};
    return positions[below(seed, sizeof positions / sizeof positions[0])];
}

static double any_estimate(uint64_t *seed) {
    double position = any_position(seed);
    return isfinite(position) ? position : 0.25;
}

static enum level *any_track_input(uint64_t *seed, const struct scene *scene,
                                   struct bridge_inputs *in) {
    struct track_inputs *track = &in->track[below(seed, scene->setup.tracks)];
    struct track_end_inputs *end = &track->end[below(seed, TRACK_ENDS)];
    enum level *const all[] = {
        &end->approach_clear, &end->standing,     &end->stop_clear,  &end->signal_at_stop,
        &end->stop_dead,      &track->span_clear, &track->span_dead,
    };
    return all[below(seed, sizeof all / sizeof all[0])];
}

static enum level *any_contact(uint64_t *seed, struct bridge_inputs *in) {
    enum level *const all[] = {
        &in->seated,      &in->nearly_seated, &in->open,
        &in->nearly_open, &in->within_travel, &in->locked,
        &in->withdrawn,   &in->stop_circuit,  &in->rail[below(seed, BRIDGE_RAILS_MAX)],
    };
    return all[below(seed, sizeof all / sizeof all[0])];
}

static void disturb_inputs(const struct scene *scene, uint64_t *seed, struct bridge_inputs *in) {
    for (unsigned changes = below(seed, 5); changes > 0; changes--) {
        enum level *input =
            is_one_in(seed, 2) ? any_contact(seed, in) : any_track_input(seed, scene, in);
        *input = (enum level)below(seed, 3);
    }
    if (is_one_in(seed, 3)) {
        in->position_frac = any_position(seed);
    }
    if (is_one_in(seed, 4)) {
        in->current_a = is_one_in(seed, 4) ? (double)NAN : 6;
    }
    in->is_device_lost = in->is_device_lost || is_one_in(seed, 16);
}

static void disturb_request(const struct scene *scene, uint64_t *seed, struct move *move) {
    move->request.kind = (enum bridge_request_kind)below(seed, REQUEST_HORN_OFF + 1);
    move->request.track = below(seed, scene->setup.tracks + 1);
    move->request.end = below(seed, TRACK_ENDS + 1);
    move->request.effort_most = below(seed, 3) * 0.1;
    static const double shares[] = {NAN, -1, 0, 0.04, 0.05, 0.5, 1, 1.01};
    move->request.share = shares[below(seed, 8)];
    move->request.is_voltage = is_one_in(seed, 2);
    bool is_throttle =
        move->request.kind >= REQUEST_THROTTLE_UP && move->request.kind <= REQUEST_THROTTLE_HOLD;
    if (is_throttle && !scene->has_throttle) {
        move->request.kind = REQUEST_NONE;
    }
}

static struct watch any_watch(uint64_t *seed) {
    static const struct watch watches[] = {
        {false, 0}, {true, SCENE_WHOLE_US}, {true, SCENE_TICK_US}, {true, 0}};
    return watches[below(seed, 4)];
}

static void disturb_motion(const struct scene *scene, uint64_t *seed, struct motion_state *motion) {
    motion->position_frac = any_estimate(seed);
    motion->is_known = !is_one_in(seed, 4);
    motion->speed_frac_s =
        motion->direction != 0 ? scene->setup.motion.full_speed_frac_s * below(seed, 5) / 4 : 0;
    motion->measured_frac_s = any_estimate(seed) * 2;
    motion->window_frac = any_estimate(seed);
    motion->window_s = is_one_in(seed, 2) ? 0 : 0.2;
    motion->watch_frac[0] = motion->watch_frac[1] = any_estimate(seed);
    motion->rest_frac = any_estimate(seed);
    motion->settle_us = below(seed, 3) * SCENE_TICK_US;
    motion->no_movement[0].watch = motion->no_movement[1].watch = any_watch(seed);
    motion->stall.watch = any_watch(seed);
    motion->binding = any_watch(seed);
}

/* An absent contact is never believed anything. */
static void disturb_contact(uint64_t *seed, bool is_there, struct debounced *contact) {
    if (is_there) {
        contact->believed = (enum level)below(seed, 3);
        contact->candidate = (enum level)below(seed, 3);
    }
}

static void disturb_contacts(const struct bridge_setup *has, uint64_t *seed,
                             struct bridge_contacts *contacts) {
    disturb_contact(seed, true, &contacts->seated);
    disturb_contact(seed, has->has_nearly_seated, &contacts->nearly_seated);
    disturb_contact(seed, has->has_open, &contacts->open);
    disturb_contact(seed, has->has_nearly_open, &contacts->nearly_open);
    disturb_contact(seed, has->has_overtravel, &contacts->within_travel);
    disturb_contact(seed, has->has_locked, &contacts->locked);
    disturb_contact(seed, has->has_withdrawn, &contacts->withdrawn);
    for (unsigned i = 0; i < has->rails; i++) {
        disturb_contact(seed, true, &contacts->rail[i]);
    }
}

/* Core and judge have seen the same: not clear, clear for a while, or long enough. */
static void disturb_approach(const struct scene *scene, uint64_t *seed, struct watch *watch,
                             struct judged_while *section) {
    bool is_clear = is_one_in(seed, 2);
    bool is_long = is_clear && is_one_in(seed, 2);
    *watch = (struct watch){is_clear, is_clear && !is_long ? scene->setup.clear_us : 0};
    *section = (struct judged_while){is_clear, is_long ? scene->setup.clear_us : 0};
}

static void disturb_tracks(const struct scene *scene, uint64_t *seed, struct node *node) {
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        struct track_state *track = &node->state.track[t];
        track->is_fresh = is_one_in(seed, 2);
        track->is_occupied = is_one_in(seed, 2);
        track->power_unproved = any_watch(seed);
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (scene->setup.track[t].end[e].is_used) {
                track->end[e].is_proceed_wanted = is_one_in(seed, 2);
                track->end[e].is_occupied = is_one_in(seed, 2);
                track->end[e].is_approached = is_one_in(seed, 2);
                track->end[e].is_just_left = is_one_in(seed, 2);
                disturb_approach(scene, seed, &track->end[e].approach_clear,
                                 &node->judge.track[t].end[e].approach_clear);
                track->end[e].signal_unproved = any_watch(seed);
                node->judge.track[t].end[e].was_doubtful = track->end[e].signal_unproved.is_running;
                track->end[e].power_unproved = any_watch(seed);
            }
        }
    }
}

static void disturb_rest(uint64_t *seed, struct bridge_state *state) {
    state->is_power_wanted = is_one_in(seed, 2);
    state->is_horn_asked = is_one_in(seed, 2);
    state->has_opened = is_one_in(seed, 2);
    state->has_given_up = is_one_in(seed, 2);
    state->word_barred_left_us = is_one_in(seed, 2) ? SCENE_TICK_US : 0;
    state->openings = raw_random(seed);
    state->fault = (enum bridge_fault)below(seed, BRIDGE_FAULTS);
    if (state->throttle.share > 0) {
        static const double held[] = {THROTTLE_SHARE_LEAST, 0.3, 1};
        state->throttle.share = held[below(seed, 3)];
        state->throttle.is_voltage = is_one_in(seed, 2);
    }
    if (state->horn.signal != HORN_SILENT) {
        state->horn = is_one_in(seed, 2) ? (struct horn_state){HORN_OPENING, below(seed, 4), 1}
                                         : (struct horn_state){HORN_CLOSING, below(seed, 10), 1};
    }
}

void raw_disturb(const struct scene *scene, uint64_t *seed, struct node *node, struct move *move) {
    static const uint32_t times_us[] = {0, 1, SCENE_TICK_US / 2, SCENE_TICK_US, SCENE_WHOLE_US};
    disturb_inputs(scene, seed, &move->inputs);
    disturb_request(scene, seed, move);
    disturb_motion(scene, seed, &node->state.motion);
    disturb_contacts(&scene->setup, seed, &node->state.contacts);
    disturb_tracks(scene, seed, node);
    disturb_rest(seed, &node->state);
    move->dt_us = times_us[below(seed, sizeof times_us / sizeof times_us[0])];
    move->inputs.late_us = is_one_in(seed, 4) ? times_us[below(seed, 5)] : 0;
    /* Those times are any now: the judge does not know which end. */
    move->ends.signal_proof = move->ends.power_proof = move->ends.phase_limit =
        move->ends.throttle = false;
}
