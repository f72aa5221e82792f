#include "panel/live/state_json.h"

#include "core/bridge.h"
#include "core/lock.h"
#include "core/words/names.h"
#include "panel/context.h"
#include "panel/permission.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* --- small things */

const char *state_json_level(enum level level) {
    static const char *const names[] = {"unknown", "off", "on"};
    return names[level];
}

/* Rounded, so that noise in the last digits is not a change; null where it is not a number.
 */
static void add_rounded(cJSON *object, const char *name, double value, double digits) {
    if (isfinite(value)) {
        double scale = pow(10, digits);
        cJSON_AddNumberToObject(object, name, round(value * scale) / scale + 0.0);
    } else {
        cJSON_AddNullToObject(object, name);
    }
}

static void add_text(cJSON *object, const char *name, const char *words) {
    if (words != NULL && words[0] != '\0') {
        cJSON_AddStringToObject(object, name, words);
    } else {
        cJSON_AddNullToObject(object, name);
    }
}

/* Levels say that a section is clear; the page shows what is on it. */
static void add_occupied(cJSON *object, const char *name, bool is_there, enum level clear) {
    if (is_there && clear != LEVEL_UNKNOWN) {
        cJSON_AddBoolToObject(object, name, clear == LEVEL_OFF);
    } else {
        cJSON_AddNullToObject(object, name);
    }
}

/* --- what it is doing */

void state_json_waiting(const struct net_bridge_setup *setup, const struct bridge_view *view,
                        char *words, size_t size) {
    struct bridge_waiting waiting = bridge_waiting(&setup->setup, &view->state, &view->inputs);
    bridge_wait_words(&waiting, setup->track_name[waiting.track],
                      setup->end_name[waiting.track][waiting.end], words, size);
}

/* Nothing else will do, or it would come sooner than the time. */
static bool is_word_wanted(const struct net_bridge_setup *setup, const struct bridge_view *view) {
    enum bridge_wait what = bridge_waiting(&setup->setup, &view->state, &view->inputs).what;
    return what == WAIT_SEEN_CLEAR || what == WAIT_RUN_OUT;
}

static void add_sequence(cJSON *json, const struct net_bridge_setup *setup,
                         const struct bridge_view *view) {
    char words[256];
    const struct bridge_state *state = &view->state;
    state_json_waiting(setup, view, words, sizeof words);
    cJSON_AddStringToObject(json, "phase", bridge_phase_name(state->phase));
    cJSON_AddStringToObject(json, "goal", bridge_goal_name(state->goal));
    add_text(json, "waits_for", words);
    cJSON_AddBoolToObject(json, "wants_seen_clear", is_word_wanted(setup, view));
    if (state->phase == PHASE_FAULT) {
        cJSON *fault = cJSON_AddObjectToObject(json, "fault");
        cJSON_AddStringToObject(fault, "name", bridge_fault_name(state->fault));
        cJSON_AddStringToObject(fault, "words", bridge_fault_text(state->fault));
    } else {
        cJSON_AddNullToObject(json, "fault");
    }
}

static void add_throttle(cJSON *json, const struct bridge_setup *setup,
                         const struct bridge_state *state) {
    if (state->throttle.share == 0) {
        cJSON_AddNullToObject(json, "throttle");
        return;
    }
    cJSON *throttle = cJSON_AddObjectToObject(json, "throttle");
    add_rounded(throttle, "share", state->throttle.share, 2);
    cJSON_AddBoolToObject(throttle, "is_slowed", bridge_is_slowed(setup, state));
}

static void add_motion(cJSON *json, const struct net_bridge_setup *net,
                       const struct bridge_view *view) {
    const struct bridge_setup *setup = &net->setup;
    bool is_known = bridge_is_position_known(setup, &view->state);
    add_rounded(json, "position", is_known ? view->state.motion.position_frac : (double)NAN, 4);
    add_rounded(json, "speed", bridge_speed_frac_s(setup, &view->state, &view->outputs), 4);
    add_rounded(json, "current_a", view->inputs.current_a, 2);
    add_rounded(json, "effort", view->outputs.lift_effort, 2);
    add_rounded(json, "volts", net_volts(net, view->outputs.lift_effort), 1);
    add_throttle(json, setup, &view->state);
}

/* --- contacts */

/* What its contact says of the bar, or else the time of its drive. */
static const char *bar_word(bool has_contact, enum level contact, bool is_driven, bool is_there) {
    if (has_contact) {
        return state_json_level(contact);
    }
    return !is_driven ? "absent" : is_there ? "on" : "off";
}

static void add_lock(cJSON *json, const struct bridge_setup *setup,
                     const struct bridge_view *view) {
    static const char *const drives[] = {"rest", "driven", "withdrawn"};
    const struct bridge_contacts *contacts = &view->state.contacts;
    cJSON *lock = cJSON_AddObjectToObject(json, "lock");
    cJSON_AddStringToObject(lock, "drive", drives[view->outputs.lock]);
    cJSON_AddStringToObject(lock, "locked",
                            bar_word(setup->has_locked, contacts->locked.believed,
                                     setup->has_lock_drive, lock_is_locked(setup, &view->state)));
    cJSON_AddStringToObject(lock, "withdrawn",
                            bar_word(setup->has_withdrawn, contacts->withdrawn.believed,
                                     setup->has_lock_drive,
                                     lock_is_withdrawn(setup, &view->state)));
}

static void add_contact(cJSON *contacts, const char *name, bool is_there, enum level level) {
    if (is_there) {
        cJSON_AddStringToObject(contacts, name, state_json_level(level));
    }
}

static void add_contacts(cJSON *json, const struct bridge_setup *setup,
                         const struct bridge_view *view) {
    const struct bridge_contacts *seen = &view->state.contacts;
    cJSON *list = cJSON_AddObjectToObject(json, "contacts");
    add_contact(list, "seated", true, seen->seated.believed);
    add_contact(list, "nearly seated", setup->has_nearly_seated, seen->nearly_seated.believed);
    add_contact(list, "nearly open", setup->has_nearly_open, seen->nearly_open.believed);
    add_contact(list, "open", setup->has_open, seen->open.believed);
    add_contact(list, "within travel", setup->has_overtravel, seen->within_travel.believed);
    add_contact(list, "stop circuit", setup->has_stop_circuit, view->inputs.stop_circuit);
    for (unsigned i = 0; i < setup->rails; i++) {
        char name[16];
        snprintf(name, sizeof name, "rail %u", i + 1);
        add_contact(list, name, true, seen->rail[i].believed);
    }
}

/* --- tracks */

/* In half seconds: a countdown is not news at every step. */
static double half_seconds(uint32_t us) {
    return ceil(us / 5e5) / 2;
}

static cJSON *end_json(const struct track_end_setup *setup, const struct track_end_inputs *inputs,
                       const struct track_end_state *state,
                       const struct track_end_outputs *outputs) {
    cJSON *end = cJSON_CreateObject();
    cJSON_AddStringToObject(end, "signal", outputs->signal_proceed ? "proceed" : "stop");
    cJSON_AddStringToObject(end, "signal_proved",
                            setup->has_signal_proof ? state_json_level(inputs->signal_at_stop)
                                                    : "absent");
    add_occupied(end, "approach", setup->has_approach_detector, inputs->approach_clear);
    if (setup->has_standing_detector && inputs->standing != LEVEL_UNKNOWN) {
        cJSON_AddBoolToObject(end, "standing", inputs->standing == LEVEL_ON);
    } else {
        cJSON_AddNullToObject(end, "standing");
    }
    cJSON *stop = cJSON_AddObjectToObject(end, "stop");
    cJSON_AddBoolToObject(stop, "powered", outputs->stop_power);
    add_occupied(stop, "occupied", setup->has_stop_detector, inputs->stop_clear);
    cJSON_AddNumberToObject(end, "lock_left_s", half_seconds(state->approach_lock_us));
    return end;
}

static void add_tracks(cJSON *json, const struct bridge_setup *setup,
                       const struct bridge_view *view) {
    cJSON *tracks = cJSON_AddArrayToObject(json, "tracks");
    for (unsigned t = 0; t < setup->tracks; t++) {
        cJSON *track = cJSON_CreateObject();
        cJSON *span = cJSON_AddObjectToObject(track, "span");
        cJSON_AddBoolToObject(span, "powered", view->outputs.track[t].span_power);
        add_occupied(span, "occupied", setup->track[t].has_span_detector,
                     view->inputs.track[t].span_clear);
        cJSON *ends = cJSON_AddArrayToObject(track, "ends");
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            cJSON_AddItemToArray(
                ends, setup->track[t].end[e].is_used
                          ? end_json(&setup->track[t].end[e], &view->inputs.track[t].end[e],
                                     &view->state.track[t].end[e], &view->outputs.track[t].end[e])
                          : cJSON_CreateNull());
        }
        cJSON_AddItemToArray(tracks, track);
    }
}

/* --- all of it */

static void add_rights(cJSON *json, const struct panel_context *context, unsigned bridge) {
    static const enum bridge_request_kind kinds[] = {REQUEST_RAISE, REQUEST_LOWER,
                                                     REQUEST_ACKNOWLEDGE, REQUEST_SEEN_CLEAR};
    cJSON *may = cJSON_AddObjectToObject(json, "may");
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        char why[PERMISSION_WORDS_SIZE];
        permission_would(context, bridge, kinds[i], why);
        add_text(may, bridge_request_name(kinds[i]), why);
    }
}

cJSON *state_json(const struct panel_context *context, unsigned bridge) {
    static const char *const rivers[] = {"red", "red flashing", "green"};
    const struct net_bridge_setup *setup = &context->config->net.bridge[bridge];
    cJSON *json = cJSON_CreateObject();
    const struct bridge_view view = *context->host.view(context->host.context, bridge);
    cJSON_AddNumberToObject(json, "bus", setup->bus);
    add_sequence(json, setup, &view);
    add_motion(json, setup, &view);
    add_lock(json, &setup->setup, &view);
    add_contacts(json, &setup->setup, &view);
    cJSON_AddStringToObject(json, "river", rivers[view.outputs.river]);
    cJSON_AddBoolToObject(json, "horn", view.outputs.horn);
    cJSON_AddNumberToObject(json, "openings", view.state.openings);
    cJSON_AddBoolToObject(json, "is_device_lost", view.inputs.is_device_lost);
    add_tracks(json, &setup->setup, &view);
    if (context->config->lcc.bridge[bridge].node != 0 && context->host.lcc_links != NULL) {
        cJSON_AddNumberToObject(json, "lcc_links", context->host.lcc_links(context->host.context));
    }
    add_rights(json, context, bridge);
    cJSON_AddNumberToObject(json, STATE_JSON_TIME, (double)context_now_ms(context));
    return json;
}
