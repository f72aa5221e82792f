#include "prove/show.h"

#include <math.h>

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

static void show_trouble(const struct bridge_setup *setup, enum trouble trouble,
                         struct bridge_inputs *in) {
    switch (trouble) {
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
    show_trouble(setup, span->trouble, inputs);
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
