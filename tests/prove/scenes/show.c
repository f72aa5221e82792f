#include "prove/scenes/show.h"

#include <math.h>
#include <stddef.h>

enum level show_on_if(bool is_on) {
    return is_on ? LEVEL_ON : LEVEL_OFF;
}

double show_position(enum place place) {
    static const double at[PLACES] = {
        [PLACE_SEATED] = 0, [PLACE_NEAR_SEAT] = 0.04, [PLACE_MIDDLE] = 0.5, [PLACE_OPEN] = 1};
    return at[place];
}

static void show_contacts(struct bridge_inputs *in, enum place place, enum bar bar) {
    in->seated = show_on_if(place == PLACE_SEATED);
    in->nearly_seated = show_on_if(place == PLACE_SEATED || place == PLACE_NEAR_SEAT);
    in->open = show_on_if(place == PLACE_OPEN);
    in->nearly_open = show_on_if(place == PLACE_OPEN);
    in->position_frac = show_position(place);
    in->locked = show_on_if(bar == BAR_LOCKED || bar == BAR_LOCKED_RAILS_OFF);
    in->withdrawn = show_on_if(bar == BAR_WITHDRAWN);
    for (unsigned i = 0; i < BRIDGE_RAILS_MAX; i++) {
        in->rail[i] = show_on_if(bar != BAR_LOCKED_RAILS_OFF);
    }
}

/* ---- one of several of a kind: the number counts down to it */

static enum level *counted(bool is_there, enum level *level, unsigned *left) {
    if (!is_there) {
        return NULL;
    }
    return (*left)-- == 0 ? level : NULL;
}

/* Feedbacks of signals and sections. NULL: there are fewer. */
static enum level *feedback_at(const struct bridge_setup *setup, struct bridge_inputs *in,
                               unsigned left) {
    enum level *found = NULL;
    for (unsigned t = 0; t < setup->tracks && found == NULL; t++) {
        const struct track_setup *has = &setup->track[t];
        found = counted(has->has_span_power_proof, &in->track[t].span_dead, &left);
        for (unsigned e = 0; e < TRACK_ENDS && found == NULL; e++) {
            bool is_used = has->end[e].is_used;
            found = counted(is_used && has->end[e].has_signal_proof,
                            &in->track[t].end[e].signal_at_stop, &left);
            if (found == NULL) {
                found = counted(is_used && has->end[e].has_stop_power_proof,
                                &in->track[t].end[e].stop_dead, &left);
            }
        }
    }
    return found;
}

static enum level *detector_at(const struct bridge_setup *setup, struct bridge_inputs *in,
                               unsigned left) {
    enum level *found = NULL;
    for (unsigned t = 0; t < setup->tracks && found == NULL; t++) {
        const struct track_setup *has = &setup->track[t];
        found = counted(has->has_span_detector, &in->track[t].span_clear, &left);
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_setup *end = &has->end[e];
            struct track_end_inputs *to = &in->track[t].end[e];
            const bool are_there[] = {end->has_approach_detector, end->has_standing_detector,
                                      end->has_stop_detector};
            enum level *const levels[] = {&to->approach_clear, &to->standing, &to->stop_clear};
            for (size_t i = 0; i < sizeof levels / sizeof levels[0] && found == NULL; i++) {
                found = counted(end->is_used && are_there[i], levels[i], &left);
            }
        }
    }
    return found;
}

static enum level *contact_at(const struct bridge_setup *setup, struct bridge_inputs *in,
                              unsigned left) {
    const bool are_there[] = {true,
                              setup->has_locked,
                              setup->has_withdrawn,
                              setup->has_open,
                              setup->has_nearly_seated,
                              setup->has_nearly_open,
                              setup->has_overtravel,
                              setup->rails > 0,
                              setup->rails > 1};
    enum level *const levels[] = {
        &in->seated,        &in->locked,        &in->withdrawn,
        &in->open,          &in->nearly_seated, &in->nearly_open,
        &in->within_travel, &in->rail[0],       &in->rail[setup->rails > 1 ? setup->rails - 1 : 0]};
    enum level *found = NULL;
    for (size_t i = 0; i < sizeof levels / sizeof levels[0] && found == NULL; i++) {
        found = counted(are_there[i], levels[i], &left);
    }
    return found;
}

typedef enum level *level_at(const struct bridge_setup *setup, struct bridge_inputs *in,
                             unsigned left);

static unsigned count_of(level_at *at, const struct bridge_setup *setup) {
    struct bridge_inputs in;
    unsigned count = 0;
    while (at(setup, &in, count) != NULL) {
        count++;
    }
    return count;
}

unsigned show_troubles(const struct bridge_setup *setup, enum trouble trouble) {
    switch (trouble) {
    case TROUBLE_RAIL:
        return setup->rails;
    case TROUBLE_FEEDBACK:
        return count_of(feedback_at, setup);
    case TROUBLE_CONTACT_UNKNOWN:
        return count_of(contact_at, setup);
    case TROUBLE_DETECTOR_UNKNOWN:
        return count_of(detector_at, setup);
    case TROUBLE_FEEDBACK_UNKNOWN:
        return count_of(feedback_at, setup);
    default:
        return 1;
    }
}

static void show_trouble(const struct bridge_setup *setup, const struct span_choice *span,
                         struct bridge_inputs *in) {
    unsigned at = span->trouble_at;
    switch (span->trouble) {
    case TROUBLE_NONE:
        break;
    case TROUBLE_DEVICE_LOST:
        in->is_device_lost = true;
        break;
    case TROUBLE_UNKNOWN: /* of the open end: the seat and the lock keep their readings */
        in->open = LEVEL_UNKNOWN;
        in->position_frac = setup->has_open ? in->position_frac : (double)NAN;
        break;
    case TROUBLE_STOP_CIRCUIT:
        in->stop_circuit = LEVEL_OFF;
        break;
    case TROUBLE_STOP_AND_LOST:
        in->stop_circuit = LEVEL_OFF;
        in->is_device_lost = true;
        break;
    case TROUBLE_LATE:
        in->late_us = LATE_MOST_US + 1;
        break;
    case TROUBLE_RAIL:
        in->rail[at] = LEVEL_OFF;
        break;
    case TROUBLE_FEEDBACK:
        *feedback_at(setup, in, at) = show_on_if(*feedback_at(setup, in, at) != LEVEL_ON);
        break;
    case TROUBLE_CONTACT_UNKNOWN:
        *contact_at(setup, in, at) = LEVEL_UNKNOWN;
        break;
    case TROUBLE_DETECTOR_UNKNOWN:
        *detector_at(setup, in, at) = LEVEL_UNKNOWN;
        break;
    case TROUBLE_FEEDBACK_UNKNOWN:
        *feedback_at(setup, in, at) = LEVEL_UNKNOWN;
        break;
    case TROUBLE_SIGNAL_PROOF_OVERDUE: /* these are about times: moves.c */
    case TROUBLE_POWER_PROOF_OVERDUE:
    case TROUBLE_PHASE_OVER:
        break;
    case TROUBLE_SEATED_AND_OPEN:
        in->seated = in->open = LEVEL_ON;
        break;
    case TROUBLE_SEATED_NEARLY_OPEN:
        in->seated = in->nearly_open = LEVEL_ON;
        break;
    case TROUBLE_SEATED_NOT_NEARLY:
        in->seated = LEVEL_ON;
        in->nearly_seated = LEVEL_OFF;
        break;
    case TROUBLE_SEATED_ELSEWHERE:
        in->seated = LEVEL_ON;
        in->position_frac = 0.04;
        break;
    case TROUBLE_OPEN_NEARLY_SEATED:
        in->open = in->nearly_seated = LEVEL_ON;
        break;
    case TROUBLE_OPEN_NOT_NEARLY:
        in->open = LEVEL_ON;
        in->nearly_open = LEVEL_OFF;
        break;
    case TROUBLE_OPEN_ELSEWHERE:
        in->open = LEVEL_ON;
        in->position_frac = 0.96;
        break;
    case TROUBLE_NEAR_BOTH:
        in->nearly_seated = in->nearly_open = LEVEL_ON;
        break;
    case TROUBLE_LOCKED_AND_WITHDRAWN:
        in->locked = in->withdrawn = LEVEL_ON;
        break;
    case TROUBLE_LOCKED_UNSEATED:
        in->locked = LEVEL_ON;
        in->seated = LEVEL_OFF;
        break;
    case TROUBLES:
        break;
    }
}

void show_span(const struct bridge_setup *setup, const struct span_choice *span,
               struct bridge_inputs *inputs) {
    show_contacts(inputs, span->place, span->bar);
    show_trouble(setup, span, inputs);
}

struct bridge_inputs show_quiet(const struct scene *scene, const struct node *node) {
    struct bridge_inputs in = {.within_travel = LEVEL_ON, .stop_circuit = LEVEL_ON};
    show_contacts(&in, PLACE_SEATED, BAR_LOCKED);
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        enum level dead = show_on_if(!node->state.track[t].is_powered);
        in.track[t].span_clear = LEVEL_ON;
        in.track[t].span_dead = dead;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            in.track[t].end[e] = (struct track_end_inputs){.approach_clear = LEVEL_ON,
                                                           .standing = LEVEL_OFF,
                                                           .stop_clear = LEVEL_ON,
                                                           .signal_at_stop = LEVEL_ON,
                                                           .stop_dead = dead};
        }
    }
    return in;
}

void show_signal_unproved(const struct bridge_setup *setup, struct bridge_inputs *inputs) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (setup->track[t].end[e].has_signal_proof) {
                inputs->track[t].end[e].signal_at_stop = LEVEL_OFF;
                return;
            }
        }
    }
}

void show_power_proof(const struct bridge_setup *setup, struct bridge_inputs *inputs,
                      unsigned track, enum level level) {
    if (setup->track[track].has_span_power_proof) {
        inputs->track[track].span_dead = level;
    } else {
        unsigned end = setup->track[track].end[0].has_stop_power_proof ? 0 : 1;
        inputs->track[track].end[end].stop_dead = level;
    }
}

void show_dead_unproved(const struct scene *scene, const struct node *node,
                        struct bridge_inputs *inputs) {
    unsigned track = 0;
    while (track + 1 < scene->setup.tracks && node->state.track[track].is_powered) {
        track++;
    }
    show_power_proof(&scene->setup, inputs, track, LEVEL_OFF);
}
