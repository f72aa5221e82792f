#include "net/devices/devices.h"

#include "base/invariant.h"
#include "base/text/word.h"
#include "core/bridge.h"
#include "core/lock.h"

#include <stdio.h>
#include <stdlib.h>

struct reading {
    const struct device *device;
    unsigned port;
    const struct bridge_setup *setup;
    const struct bridge_view *view;
};

/* Ports of the span that jog it, up and down; their value may say how hard. */
enum { SPAN_JOG_UP = 5, SPAN_JOG_DOWN = 6, SHARE_VALUE_MOST = 1000 };

/* The span's port by which a person says that it is seen clear. */
enum { SPAN_SEEN_CLEAR = 7 };

/* Ports of the span that run it by a throttle: up, down, hold on; by speed, then by voltage. */
enum { SPAN_THROTTLE = 8, THROTTLE_ACTS = 3, SPAN_PORTS = SPAN_THROTTLE + 2 * THROTTLE_ACTS };

/* What part of the bridge a kind of device belongs to. */
enum device_place { PLACE_BRIDGE = 0, PLACE_TRACK, PLACE_TRACK_END };

struct device_kind {
    const char *label;
    enum net_contact contact; /* where it is one */
    enum device_place place;
    enum device_group group;
    unsigned ports;
    bool is_switched;
    int (*read)(const struct reading *reading);
    enum bridge_request_kind (*request)(unsigned port, int value); /* NULL: read only */
    bool (*is_held)(const struct device *device, const struct bridge_state *state); /* or NULL */
};

static bool is_made(const struct debounced *contact) {
    return contact->believed == LEVEL_ON;
}

/* GA */

static int read_throttle(const struct bridge_state *state, unsigned port) {
    bool is_voltage = port >= SPAN_THROTTLE + THROTTLE_ACTS;
    if (state->throttle.share == 0 || state->throttle.is_voltage != is_voltage) {
        return 0;
    }
    switch ((port - SPAN_THROTTLE) % THROTTLE_ACTS) {
    case 0:
        return state->goal == GOAL_UP;
    case 1:
        return state->goal == GOAL_DOWN;
    default:
        return 1;
    }
}

static int read_span(const struct reading *reading) {
    const struct bridge_state *state = &reading->view->state;
    bool is_aimless = state->goal == GOAL_NONE;
    switch (reading->port) {
    case 0:
        return state->goal == GOAL_DOWN || (is_aimless && bridge_is_lined(state));
    case 1:
        return state->goal == GOAL_UP || (is_aimless && state->phase == PHASE_OPEN);
    case 2:
        return state->phase == PHASE_HELD;
    case 3:
        return state->phase == PHASE_FAULT && state->fault == FAULT_EMERGENCY_STOP;
    case SPAN_JOG_UP:
        return state->jog.left_us > 0 && state->jog.direction > 0;
    case SPAN_JOG_DOWN:
        return state->jog.left_us > 0 && state->jog.direction < 0;
    case SPAN_SEEN_CLEAR:
        return state->seen_clear_left_us > 0;
    case 4:
        return 0; /* acknowledging is an act, not a state */
    default:
        return read_throttle(state, reading->port);
    }
}

static enum bridge_request_kind request_span(unsigned port, int value) {
    static const enum bridge_request_kind acts[] = {
        REQUEST_LOWER,       REQUEST_RAISE,  REQUEST_STOP,     REQUEST_EMERGENCY_STOP,
        REQUEST_ACKNOWLEDGE, REQUEST_JOG_UP, REQUEST_JOG_DOWN, REQUEST_SEEN_CLEAR};
    static const enum bridge_request_kind by_hand[THROTTLE_ACTS] = {
        REQUEST_THROTTLE_UP, REQUEST_THROTTLE_DOWN, REQUEST_THROTTLE_HOLD};
    if (port < SPAN_THROTTLE) {
        return value == 0 ? REQUEST_NONE : acts[port];
    }
    /* Whichever knob is back at its zero: the hand lets go. */
    return value == 0 ? REQUEST_THROTTLE_HOLD : by_hand[(port - SPAN_THROTTLE) % THROTTLE_ACTS];
}

static bool span_is_held(const struct device *device, const struct bridge_state *state) {
    (void)device;
    return bridge_holds_span(state);
}

static int read_span_lock(const struct reading *reading) {
    const struct bridge_state *state = &reading->view->state;
    return reading->port == 0 ? lock_is_withdrawn(reading->setup, state)
                              : lock_is_locked(reading->setup, state);
}

static int read_horn(const struct reading *reading) {
    return reading->view->outputs.horn;
}

static enum bridge_request_kind request_horn(unsigned port, int value) {
    (void)port;
    return value == 0 ? REQUEST_HORN_OFF : REQUEST_HORN_ON;
}

static int read_river(const struct reading *reading) {
    bool is_green = reading->view->outputs.river == RIVER_GREEN;
    return reading->port == 0 ? !is_green : is_green;
}

static int read_signal(const struct reading *reading) {
    const struct device *device = reading->device;
    const struct track_outputs *track = &reading->view->outputs.track[device->track];
    bool is_proceed = track->end[device->end].signal_proceed;
    return reading->port == 0 ? !is_proceed : is_proceed;
}

static enum bridge_request_kind request_signal(unsigned port, int value) {
    if (value == 0) {
        return REQUEST_NONE;
    }
    return port == 0 ? REQUEST_SIGNAL_STOP : REQUEST_SIGNAL_PROCEED;
}

static bool signal_is_held(const struct device *device, const struct bridge_state *state) {
    return bridge_holds_signal(state, device->track, device->end);
}

/* FB */

static int read_seated(const struct reading *reading) {
    return is_made(&reading->view->state.contacts.seated);
}

static int read_locked(const struct reading *reading) {
    return lock_is_locked(reading->setup, &reading->view->state);
}

static int read_open(const struct reading *reading) {
    return bridge_open_level(reading->setup, &reading->view->state) == LEVEL_ON;
}

static int read_moving(const struct reading *reading) {
    return bridge_is_moving(&reading->view->outputs);
}

static int read_lined(const struct reading *reading) {
    return bridge_is_lined(&reading->view->state);
}

static int read_fault(const struct reading *reading) {
    return reading->view->state.phase == PHASE_FAULT;
}

/* Sections: all but a clear reading counts as occupied (closed circuit, 49 CFR 236.5). */

static const struct track_inputs *track_of(const struct reading *reading) {
    return &reading->view->inputs.track[reading->device->track];
}

static int read_approach(const struct reading *reading) {
    return track_of(reading)->end[reading->device->end].approach_clear != LEVEL_ON;
}

static int read_stop(const struct reading *reading) {
    return track_of(reading)->end[reading->device->end].stop_clear != LEVEL_ON;
}

static int read_span_section(const struct reading *reading) {
    return track_of(reading)->span_clear != LEVEL_ON;
}

/* Raw readings, for set-up: as the input shows in this moment, before any debouncing. Proofs and
 * contacts: what is not made, or not known, is 0. */

static int read_contact(const struct reading *reading) {
    const struct bridge_inputs *inputs = &reading->view->inputs;
    const enum level *const own[] = {
        [NET_CONTACT_SEATED] = &inputs->seated,
        [NET_CONTACT_NEARLY_SEATED] = &inputs->nearly_seated,
        [NET_CONTACT_NEARLY_OPEN] = &inputs->nearly_open,
        [NET_CONTACT_OPEN] = &inputs->open,
        [NET_CONTACT_WITHIN_TRAVEL] = &inputs->within_travel,
        [NET_CONTACT_LOCKED] = &inputs->locked,
        [NET_CONTACT_WITHDRAWN] = &inputs->withdrawn,
        [NET_CONTACT_STOP_CIRCUIT] = &inputs->stop_circuit,
    };
    enum net_contact contact = reading->device->kind->contact;
    const enum level *level =
        contact < NET_CONTACT_RAIL ? own[contact] : &inputs->rail[contact - NET_CONTACT_RAIL];
    return *level == LEVEL_ON;
}

static int read_standing(const struct reading *reading) {
    return track_of(reading)->end[reading->device->end].standing == LEVEL_ON;
}

static int read_signal_proof(const struct reading *reading) {
    return track_of(reading)->end[reading->device->end].signal_at_stop == LEVEL_ON;
}

static int read_stop_proof(const struct reading *reading) {
    return track_of(reading)->end[reading->device->end].stop_dead == LEVEL_ON;
}

static int read_span_proof(const struct reading *reading) {
    return track_of(reading)->span_dead == LEVEL_ON;
}

/* What each device of NET_DEVICE_LIST is made of, beside its name and its group. */
#define KIND_SPAN                                                                                  \
    .ports = SPAN_PORTS, .read = read_span, .request = request_span, .is_held = span_is_held
#define KIND_LOCK .ports = 2, .read = read_span_lock
#define KIND_HORN .ports = 1, .is_switched = true, .read = read_horn, .request = request_horn
#define KIND_RIVER .ports = 2, .read = read_river
#define KIND_SEATED .ports = 1, .read = read_seated
#define KIND_LOCKED .ports = 1, .read = read_locked
#define KIND_OPEN .ports = 1, .read = read_open
#define KIND_MOVING .ports = 1, .read = read_moving
#define KIND_LINED .ports = 1, .read = read_lined
#define KIND_FAULT .ports = 1, .read = read_fault

static const struct device_kind single[NET_DEVICES] = {
#define X(id, group_, address, name, help)                                                         \
    [NET_DEVICE_##id] = {.label = name, .group = DEVICE_##group_, KIND_##id},
    NET_DEVICE_LIST(X)
#undef X
};

static const struct device_kind home_signal = {.label = "signal",
                                               .place = PLACE_TRACK_END,
                                               .group = DEVICE_GA,
                                               .ports = 2,
                                               .read = read_signal,
                                               .request = request_signal,
                                               .is_held = signal_is_held};
static const struct device_kind approach_section = {.label = "approach",
                                                    .place = PLACE_TRACK_END,
                                                    .group = DEVICE_FB,
                                                    .ports = 1,
                                                    .read = read_approach};
static const struct device_kind stop_section = {
    .label = "stop", .place = PLACE_TRACK_END, .group = DEVICE_FB, .ports = 1, .read = read_stop};
static const struct device_kind span_section = {.label = "span",
                                                .place = PLACE_TRACK,
                                                .group = DEVICE_FB,
                                                .ports = 1,
                                                .read = read_span_section};

#define CONTACT(which, words)                                                                      \
    [which] = {.label = "contact " words,                                                          \
               .contact = (which),                                                                 \
               .group = DEVICE_FB,                                                                 \
               .ports = 1,                                                                         \
               .read = read_contact}
static const struct device_kind contacts[NET_CONTACTS] = {
    CONTACT(NET_CONTACT_SEATED, "seated"),
    CONTACT(NET_CONTACT_NEARLY_SEATED, "nearly-seated"),
    CONTACT(NET_CONTACT_NEARLY_OPEN, "nearly-open"),
    CONTACT(NET_CONTACT_OPEN, "open"),
    CONTACT(NET_CONTACT_WITHIN_TRAVEL, "within-travel"),
    CONTACT(NET_CONTACT_LOCKED, "locked"),
    CONTACT(NET_CONTACT_WITHDRAWN, "withdrawn"),
    CONTACT(NET_CONTACT_STOP_CIRCUIT, "stop-circuit"),
    CONTACT(NET_CONTACT_RAIL + 0, "rail-1"),
    CONTACT(NET_CONTACT_RAIL + 1, "rail-2"),
    CONTACT(NET_CONTACT_RAIL + 2, "rail-3"),
    CONTACT(NET_CONTACT_RAIL + 3, "rail-4"),
};

#define OF_END(words, function)                                                                    \
    { .label = words, .place = PLACE_TRACK_END, .group = DEVICE_FB, .ports = 1, .read = function }
static const struct device_kind standing = OF_END("standing", read_standing);
static const struct device_kind signal_proof = OF_END("at-stop", read_signal_proof);
static const struct device_kind stop_proof = OF_END("dead-stop", read_stop_proof);
static const struct device_kind span_proof = {.label = "dead-span",
                                              .place = PLACE_TRACK,
                                              .group = DEVICE_FB,
                                              .ports = 1,
                                              .read = read_span_proof};

struct listing {
    struct device *list;
    size_t count;
};

static void add(struct listing *listing, const struct device_kind *kind, unsigned address,
                unsigned track, unsigned end) {
    if (address != 0) {
        INVARIANT(listing->count < DEVICES_MAX);
        listing->list[listing->count++] =
            (struct device){.kind = kind, .address = address, .track = track, .end = end};
    }
}

static void add_track(struct listing *listing, const struct net_address_map *map, unsigned track) {
    for (unsigned end = 0; end < TRACK_ENDS; end++) {
        add(listing, &home_signal, map->ga_signal[track][end], track, end);
        add(listing, &approach_section, map->fb_approach[track][end], track, end);
        add(listing, &stop_section, map->fb_stop[track][end], track, end);
        add(listing, &standing, map->fb_standing[track][end], track, end);
        add(listing, &signal_proof, map->fb_signal_proof[track][end], track, end);
        add(listing, &stop_proof, map->fb_stop_proof[track][end], track, end);
    }
    add(listing, &span_section, map->fb_span[track], track, 0);
    add(listing, &span_proof, map->fb_span_proof[track], track, 0);
}

static int by_group_and_address(const void *left, const void *right) {
    const struct device *a = left;
    const struct device *b = right;
    if (a->kind->group != b->kind->group) {
        return a->kind->group < b->kind->group ? -1 : 1;
    }
    return a->address < b->address ? -1 : a->address > b->address;
}

size_t devices_list(const struct net_bridge_setup *bridge, struct device list[DEVICES_MAX]) {
    const struct net_address_map *map = &bridge->address;
    struct listing listing = {.list = list};
    for (unsigned i = 0; i < NET_DEVICES; i++) {
        bool is_there = i != NET_DEVICE_LOCK || bridge->setup.has_lock;
        add(&listing, &single[i], is_there ? map->device[i] : 0, 0, 0);
    }
    for (unsigned i = 0; i < NET_CONTACTS; i++) {
        add(&listing, &contacts[i], map->fb_contact[i], 0, 0);
    }
    for (unsigned track = 0; track < bridge->setup.tracks; track++) {
        add_track(&listing, map, track);
    }
    qsort(list, listing.count, sizeof list[0], by_group_and_address);
    return listing.count;
}

enum device_group device_group(const struct device *device) {
    return device->kind->group;
}

void device_label(const struct device *device, const struct net_bridge_setup *bridge,
                  char label[DEVICE_LABEL_SIZE]) {
    char track[NET_NAME_SIZE];
    char end[NET_NAME_SIZE];
    word_of_name(bridge->track_name[device->track], track, sizeof track);
    word_of_name(bridge->end_name[device->track][device->end], end, sizeof end);
    switch (device->kind->place) {
    case PLACE_BRIDGE:
        snprintf(label, DEVICE_LABEL_SIZE, "%s", device->kind->label);
        break;
    case PLACE_TRACK:
        snprintf(label, DEVICE_LABEL_SIZE, "%s %s", device->kind->label, track);
        break;
    case PLACE_TRACK_END:
        snprintf(label, DEVICE_LABEL_SIZE, "%s %s %s", device->kind->label, track, end);
        break;
    }
}

unsigned device_ports(const struct device *device) {
    return device->kind->ports;
}

int device_value(const struct device *device, unsigned port, const struct bridge_setup *setup,
                 const struct bridge_view *view) {
    struct reading reading = {device, port, setup, view};
    return device->kind->read(&reading);
}

bool device_is_read_only(const struct device *device) {
    return device->kind->request == NULL;
}

int device_value_most(const struct device *device, unsigned port) {
    bool is_share = port == SPAN_JOG_UP || port == SPAN_JOG_DOWN || port >= SPAN_THROTTLE;
    return device->kind == &single[NET_DEVICE_SPAN] && is_share ? SHARE_VALUE_MOST : 1;
}

bool device_is_switched(const struct device *device) {
    return device->kind->is_switched;
}

struct bridge_request device_request(const struct device *device, unsigned port, int value) {
    return (struct bridge_request){.kind = device->kind->request(port, value),
                                   .track = device->track,
                                   .end = device->end,
                                   .effort_most = value > 1 ? (double)value / SHARE_VALUE_MOST : 0,
                                   .share = (double)value / SHARE_VALUE_MOST,
                                   .is_voltage = port >= SPAN_THROTTLE + THROTTLE_ACTS};
}

bool device_is_held(const struct device *device, const struct bridge_view *view) {
    return device->kind->is_held != NULL && device->kind->is_held(device, &view->state);
}

static bool track_is_powered(const struct track_setup *setup, const struct track_outputs *outputs) {
    for (unsigned end = 0; end < TRACK_ENDS; end++) {
        if (setup->end[end].is_used && !outputs->end[end].stop_power) {
            return false;
        }
    }
    return outputs->span_power;
}

bool devices_power_is_on(const struct bridge_setup *setup, const struct bridge_view *view) {
    for (unsigned track = 0; track < setup->tracks; track++) {
        if (!track_is_powered(&setup->track[track], &view->outputs.track[track])) {
            return false;
        }
    }
    return true;
}
