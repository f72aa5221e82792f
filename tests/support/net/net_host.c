#include "support/net/net_host.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

void fake_is_lined(struct bridge_view *view) {
    view->state.phase = PHASE_LINED;
    view->state.goal = GOAL_NONE;
    view->state.fault = FAULT_NONE;
    view->state.contacts.seated.believed = LEVEL_ON;
    view->state.contacts.locked.believed = LEVEL_ON;
    view->state.contacts.withdrawn.believed = LEVEL_OFF;
    view->state.contacts.open.believed = LEVEL_OFF;
    view->state.motion.is_known = true;
    view->state.motion.position_frac = 0;
    view->state.is_power_wanted = true;
    view->outputs = (struct bridge_outputs){.river = RIVER_RED};
    struct track_outputs *track = &view->outputs.track[0];
    track->span_power = track->end[0].stop_power = track->end[1].stop_power = true;
}

void fake_starts_clearing(struct bridge_view *view) {
    view->state.phase = PHASE_CLEARING;
    view->state.goal = GOAL_UP;
}

void fake_is_open(struct bridge_view *view) {
    view->state.phase = PHASE_OPEN;
    view->state.goal = GOAL_NONE;
    view->state.contacts.seated.believed = LEVEL_OFF;
    view->state.contacts.locked.believed = LEVEL_OFF;
    view->state.contacts.withdrawn.believed = LEVEL_ON;
    view->state.contacts.open.believed = LEVEL_ON;
    view->state.motion.position_frac = 1;
    view->outputs = (struct bridge_outputs){.river = RIVER_GREEN};
}

void fake_is_at_fault(struct bridge_view *view) {
    view->state.phase = PHASE_FAULT;
    view->state.fault = FAULT_STALL;
    view->outputs = (struct bridge_outputs){.river = RIVER_RED};
}

void fake_sees_train_approach(struct bridge_view *view) {
    view->inputs.track[0].end[0].approach_clear = LEVEL_OFF;
}

void fake_sees_train_gone(struct bridge_view *view) {
    view->inputs.track[0].end[0].approach_clear = LEVEL_ON;
}

void fake_host_init(struct fake_host *fake) {
    *fake = (struct fake_host){.now_us = 1000000000, .answer = ANSWER_GRANTED};
    for (unsigned b = 0; b < FAKE_BRIDGES; b++) {
        struct bridge_view *view = &fake->view[b];
        fake_is_lined(view);
        view->inputs.current_a = NAN;
        for (unsigned end = 0; end < TRACK_ENDS; end++) {
            view->inputs.track[0].end[end].approach_clear = LEVEL_ON;
            view->inputs.track[0].end[end].stop_clear = LEVEL_ON;
        }
        view->inputs.track[0].span_clear = LEVEL_ON;
    }
}

static void put_power(struct bridge_view *view, bool is_on) {
    struct track_outputs *track = &view->outputs.track[0];
    track->span_power = track->end[0].stop_power = track->end[1].stop_power = is_on;
}

static void grant(struct bridge_view *view, const struct bridge_request *request) {
    struct track_outputs *track = &view->outputs.track[0];
    switch (request->kind) {
    case REQUEST_NONE:
        break;
    case REQUEST_RAISE:
        view->state.goal = GOAL_UP;
        break;
    case REQUEST_LOWER:
        view->state.goal = GOAL_DOWN;
        break;
    case REQUEST_STOP:
        view->state.phase = PHASE_HELD;
        view->state.goal = GOAL_NONE;
        break;
    case REQUEST_JOG_UP:
    case REQUEST_JOG_DOWN:
        view->state.phase = PHASE_HELD;
        view->state.jog = (struct jog_state){request->kind == REQUEST_JOG_UP ? 1 : -1, 0, JOG_US};
        break;
    case REQUEST_THROTTLE_UP:
    case REQUEST_THROTTLE_DOWN:
        view->state.goal = request->kind == REQUEST_THROTTLE_UP ? GOAL_UP : GOAL_DOWN;
        view->state.throttle =
            (struct throttle_state){request->share, request->is_voltage, THROTTLE_US};
        break;
    case REQUEST_THROTTLE_HOLD:
        view->state.throttle.share = request->share;
        break;
    case REQUEST_EMERGENCY_STOP:
        fake_is_at_fault(view);
        view->state.fault = FAULT_EMERGENCY_STOP;
        break;
    case REQUEST_ACKNOWLEDGE:
        view->state.phase = PHASE_UNPROVED;
        view->state.fault = FAULT_NONE;
        break;
    case REQUEST_SEEN_CLEAR:
        view->state.seen_clear_left_us = SEEN_CLEAR_US;
        break;
    case REQUEST_SIGNAL_STOP:
    case REQUEST_SIGNAL_PROCEED:
        track->end[request->end].signal_proceed = request->kind == REQUEST_SIGNAL_PROCEED;
        break;
    case REQUEST_POWER_OFF:
    case REQUEST_POWER_ON:
        put_power(view, request->kind == REQUEST_POWER_ON);
        break;
    case REQUEST_HORN_ON:
    case REQUEST_HORN_OFF:
        view->outputs.horn = request->kind == REQUEST_HORN_ON;
        break;
    }
}

static uint64_t now_us(void *context) {
    const struct fake_host *fake = context;
    return fake->now_us;
}

static void tell(struct fake_host *fake, unsigned bridge, const struct bridge_view *before) {
    if (fake->server != NULL) {
        net_server_notify(fake->server, bridge, before, &fake->view[bridge]);
    }
}

static enum bridge_answer ask(void *context, int32_t session, unsigned bridge,
                              const struct bridge_request *request) {
    struct fake_host *fake = context;
    struct bridge_view before = fake->view[bridge];
    fake->request = *request;
    fake->asker = session;
    fake->requests++;
    if (fake->answer == ANSWER_GRANTED) {
        grant(&fake->view[bridge], request);
    }
    tell(fake, bridge, &before);
    return fake->answer;
}

static enum bridge_answer would(void *context, unsigned bridge,
                                const struct bridge_request *request) {
    (void)bridge;
    (void)request;
    const struct fake_host *fake = context;
    return fake->answer;
}

static const char *kept_by_stand(void *context, unsigned bridge,
                                 const struct bridge_request *request) {
    (void)bridge;
    (void)request;
    const struct fake_host *fake = context;
    return fake->kept_by_stand;
}

static const struct bridge_view *view(void *context, unsigned bridge) {
    const struct fake_host *fake = context;
    return &fake->view[bridge];
}

static bool simulate(void *context, unsigned bridge, const char *words, struct error *error) {
    struct fake_host *fake = context;
    snprintf(fake->simulated, sizeof fake->simulated, "%u: %s", bridge, words);
    return fake->simulate_fault == NULL || error_set(error, "", "%s", fake->simulate_fault);
}

static bool would_simulate(void *context, unsigned bridge, const char *words, struct error *error) {
    (void)bridge;
    (void)words;
    const struct fake_host *fake = context;
    return fake->simulate_fault == NULL || error_set(error, "", "%s", fake->simulate_fault);
}

static void stop(void *context) {
    struct fake_host *fake = context;
    fake->stops++;
}

static void tell_session(void *context, int32_t id, bool begins, const char *words) {
    struct fake_host *fake = context;
    fake->session = id;
    fake->has_begun = begins;
    snprintf(fake->session_words, sizeof fake->session_words, "%s", words);
}

static void tell_clock(void *context) {
    ((struct fake_host *)context)->clock_changes++;
}

struct net_host fake_host_interface(struct fake_host *fake) {
    return (struct net_host){.context = fake,
                             .version = "0.0",
                             .now_us = now_us,
                             .pace = 1e-6,
                             .ask = ask,
                             .would = would,
                             .kept_by_stand = kept_by_stand,
                             .view = view,
                             .simulate = simulate,
                             .would_simulate = would_simulate,
                             .session = tell_session,
                             .clock_changed = tell_clock,
                             .stop = stop};
}

void fake_host_cycle(struct fake_host *fake, unsigned bridge,
                     void (*change)(struct bridge_view *view)) {
    struct bridge_view before = fake->view[bridge];
    change(&fake->view[bridge]);
    tell(fake, bridge, &before);
}

static void name(char *to, const char *words) {
    snprintf(to, NET_NAME_SIZE, "%s", words);
}

static void setup_bridge(struct net_bridge_setup *bridge, unsigned bus) {
    *bridge =
        (struct net_bridge_setup){.bus = bus, .travel = 75, .travel_unit = "deg", .supply_v = 12};
    bridge->setup.has_lock = bridge->setup.has_locked = bridge->setup.has_withdrawn = true;
    name(bridge->name, "Kettle Narrows");
    name(bridge->track_name[0], "main");
    name(bridge->end_name[0][0], "west");
    name(bridge->end_name[0][1], "east");
    bridge->setup.tracks = 1;
    bridge->setup.has_open = true;
    bridge->setup.motion.has_position = true;
    bridge->setup.track[0].has_span_detector = true;
    for (unsigned end = 0; end < TRACK_ENDS; end++) {
        struct track_end_setup *setup = &bridge->setup.track[0].end[end];
        setup->is_used = setup->has_approach_detector = setup->has_stop_detector = true;
    }
    bridge->address = (struct net_address_map){.device =
                                                   {
#define X(id, group, address, name, help) address,
                                                       NET_DEVICE_LIST(X)
#undef X
                                                   },
                                               .ga_signal = {{11, 12}},
                                               .fb_approach = {{101, 105}},
                                               .fb_stop = {{102, 104}},
                                               .fb_span = {103}};
}

void fake_setup(struct net_setup *setup, unsigned bridges) {
    static const enum net_right rights[] = {NET_ADMINISTER, NET_OPERATE, NET_OBSERVE};
    *setup = (struct net_setup){.listeners = sizeof rights / sizeof rights[0],
                                .bridges = bridges,
                                .sessions_max = 100,
                                .backlog_bytes = 256 * 1024,
                                .handshake_us = 30000000};
    for (unsigned i = 0; i < setup->listeners; i++) {
        setup->listener[i] =
            (struct net_listener_setup){.address = "127.0.0.1", .right = rights[i]};
    }
    for (unsigned b = 0; b < bridges; b++) {
        setup_bridge(&setup->bridge[b], 1 + b);
    }
}
