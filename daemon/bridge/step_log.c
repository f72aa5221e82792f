#include "bridge/step_log.h"

#include "base/log.h"
#include "core/words/names.h"

#include <math.h>
#include <stdio.h>

static void log_phase(const struct net_bridge_setup *bridge, const struct bridge_view *before,
                      const struct bridge_view *after) {
    struct bridge_waiting waiting = bridge_waiting(&bridge->setup, &after->state, &after->inputs);
    char place[48] = "an unknown place";
    if (bridge_is_position_known(&bridge->setup, &after->state)) {
        double tenths = round(after->state.motion.position_frac * bridge->travel * 10);
        snprintf(place, sizeof place, "%.1f %s", tenths / 10 + 0.0, bridge->travel_unit);
    }
    log_line(LOG_NOTICE, "%s: %s -> %s at %s; waits for: %s", bridge->name,
             bridge_phase_name(before->state.phase), bridge_phase_name(after->state.phase), place,
             bridge_wait_text(waiting.what));
}

static bool is_word_wanted(const struct net_bridge_setup *bridge, const struct bridge_view *view) {
    return bridge_waiting(&bridge->setup, &view->state, &view->inputs).what == WAIT_SEEN_CLEAR;
}

/* It is waited for, or given: who gave it is in the record. */
static void log_word(const struct net_bridge_setup *bridge, const struct bridge_view *before,
                     const struct bridge_view *after) {
    if (after->state.seen_clear_left_us > before->state.seen_clear_left_us) {
        log_line(LOG_NOTICE, "%s: reported seen clear", bridge->name);
    } else if (after->state.phase == before->state.phase && is_word_wanted(bridge, after) &&
               !is_word_wanted(bridge, before)) {
        log_line(LOG_NOTICE, "%s: waits for: %s", bridge->name, bridge_wait_text(WAIT_SEEN_CLEAR));
    }
}

/* A home signal was asked to show proceed in this step, and does not yet. */
static bool is_signal_newly_awaited(const struct net_bridge_setup *bridge,
                                    const struct bridge_state *before,
                                    const struct bridge_state *after) {
    bool is_awaited = false;
    for (unsigned t = 0; t < bridge->setup.tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_state *end = &after->track[t].end[e];
            is_awaited = is_awaited || (end->is_proceed_wanted && !end->shows_proceed &&
                                        !before->track[t].end[e].is_proceed_wanted);
        }
    }
    return is_awaited;
}

static void log_awaited_signal(const struct net_bridge_setup *bridge,
                               const struct bridge_view *after) {
    struct bridge_waiting waiting = bridge_waiting(&bridge->setup, &after->state, &after->inputs);
    char words[2 * NET_NAME_SIZE + 64];
    bridge_wait_words(&waiting, bridge->track_name[waiting.track],
                      bridge->end_name[waiting.track][waiting.end], words, sizeof words);
    if (waiting.what != WAIT_NONE) {
        log_line(LOG_NOTICE, "%s: proceed was requested for a home signal; %s; waits for: %s",
                 bridge->name, bridge_phase_name(after->state.phase), words);
    }
}

void step_log(const struct net_bridge_setup *bridge, const struct bridge_view *before,
              const struct bridge_view *after) {
    if (after->inputs.late_us > LATE_MOST_US) {
        log_line(LOG_WARNING, "%s: inputs were read %.1f s later than planned", bridge->name,
                 after->inputs.late_us * 1e-6);
    }
    if (after->state.fault != before->state.fault && after->state.fault != FAULT_NONE) {
        log_line(LOG_ERROR, "%s: FAULT %s: %s", bridge->name, bridge_fault_name(after->state.fault),
                 bridge_fault_text(after->state.fault));
    }
    if (after->state.phase != before->state.phase) {
        log_phase(bridge, before, after);
    } else if (is_signal_newly_awaited(bridge, &before->state, &after->state)) {
        log_awaited_signal(bridge, after);
    }
    log_word(bridge, before, after);
    if (after->state.has_given_up && !before->state.has_given_up) {
        log_line(LOG_WARNING, "%s: opening abandoned: trains did not clear in time", bridge->name);
    }
}
