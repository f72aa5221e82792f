#include "net/devices/message.h"

#include "core/bridge.h"
#include "core/words/guard_words.h"
#include "core/words/names.h"
#include "net/session/session.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static const char *const our_types[] = {"PHASE", "MOTION", "REFUSED", "FAULT", "TRAIN", "GUARD"};

bool message_is_ours(struct srcp_text type) {
    for (size_t i = 0; i < sizeof our_types / sizeof our_types[0]; i++) {
        if (srcp_text_is(type, our_types[i])) {
            return true;
        }
    }
    return false;
}

/* To one session, or to all that listen (NULL). */
static void say(struct net_server *server, struct session *session, const char *type,
                const char *format, ...) __attribute__((format(printf, 4, 5)));

static void say(struct net_server *server, struct session *session, const char *type,
                const char *format, ...) {
    char words[SRCP_LINE_MAX];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    char line[SRCP_REPLY_SIZE];
    size_t length =
        srcp_info_gm(line, server_now_us(server), 0, 0, srcp_text_of(type), srcp_text_of(words));
    if (session != NULL) {
        session_send(session, line, length);
    } else {
        server_broadcast(server, line, length);
    }
}

void message_say(struct net_server *server, const char *type, const char *words) {
    say(server, NULL, type, "%s", words);
}

void message_refused(struct net_server *server, unsigned bus, enum srcp_group group,
                     unsigned address, int32_t session, const char *reason) {
    say(server, NULL, "REFUSED", "%u %s %u %d %s", bus, srcp_group_name(group), address, session,
        reason);
}

/* FAULT */

static enum bridge_fault latched(const struct bridge_view *view) {
    return view->state.phase == PHASE_FAULT ? view->state.fault : FAULT_NONE;
}

static void say_fault(const struct net_bridge *bridge, struct session *session,
                      enum bridge_fault fault) {
    say(bridge->server, session, "FAULT", "%u %s %s", bridge->setup->bus, bridge_fault_name(fault),
        fault == FAULT_NONE ? "-" : bridge_fault_text(fault));
}

/* PHASE */

static struct bridge_waiting waiting_of(const struct net_bridge *bridge,
                                        const struct bridge_view *view) {
    return bridge_waiting(&bridge->setup->setup, &view->state, &view->inputs);
}

static void say_phase(const struct net_bridge *bridge, struct session *session,
                      const struct bridge_view *view) {
    struct bridge_waiting waiting = waiting_of(bridge, view);
    char words[2 * NET_NAME_SIZE + 64] = "-";
    if (waiting.what != WAIT_NONE) {
        bridge_wait_words(&waiting, bridge->setup->track_name[waiting.track],
                          bridge->setup->end_name[waiting.track][waiting.end], words, sizeof words);
    }
    say(bridge->server, session, "PHASE", "%u %s %s %s", bridge->setup->bus,
        bridge_phase_name(view->state.phase), bridge_goal_name(view->state.goal), words);
}

static bool phase_differs(const struct net_bridge *bridge, const struct bridge_view *before,
                          const struct bridge_view *after) {
    struct bridge_waiting was = waiting_of(bridge, before);
    struct bridge_waiting is = waiting_of(bridge, after);
    return before->state.phase != after->state.phase || before->state.goal != after->state.goal ||
           was.what != is.what || was.track != is.track || was.end != is.end;
}

/* MOTION */

/* Told again by then: a span that does not move has a current all the same. */
static const uint64_t motion_old_us = 500000;

/* Positions are told at each whole step of this. */
static double step_of(const struct net_bridge_setup *setup) {
    return strcmp(setup->travel_unit, "mm") == 0 ? 10 : 1;
}

static bool is_position_known(const struct net_bridge *bridge, const struct bridge_view *view) {
    return bridge_is_position_known(&bridge->setup->setup, &view->state);
}

static double position_of(const struct net_bridge *bridge, const struct bridge_view *view) {
    return view->state.motion.position_frac * bridge->setup->travel;
}

static double speed_of(const struct net_bridge *bridge, const struct bridge_view *view) {
    return bridge_speed_frac_s(&bridge->setup->setup, &view->state, &view->outputs) *
           bridge->setup->travel;
}

/* "12.4", "-" for NAN; never "-0.0". */
static void number(char *text, size_t size, int digits, double value) {
    if (isnan(value)) {
        snprintf(text, size, "-");
        return;
    }
    double scale = pow(10, digits);
    snprintf(text, size, "%.*f", digits, round(value * scale) / scale + 0.0);
}

/* What bounds a hand at a throttle; "-" where there is none. */
static const char *bound_of(const struct net_bridge *bridge, const struct bridge_view *view) {
    if (view->state.throttle.share == 0 || !bridge_is_moving(&view->outputs)) {
        return "-";
    }
    return bridge_is_slowed(&bridge->setup->setup, &view->state) ? "slowed" : "hand";
}

static void say_motion(const struct net_bridge *bridge, struct session *session,
                       const struct bridge_view *view) {
    char position[32];
    char speed[32];
    char current[32];
    char volts[32];
    number(position, sizeof position, 1,
           is_position_known(bridge, view) ? position_of(bridge, view) : (double)NAN);
    number(speed, sizeof speed, 2, speed_of(bridge, view));
    number(current, sizeof current, 2, view->inputs.current_a);
    number(volts, sizeof volts, 1, net_volts(bridge->setup, view->outputs.lift_effort));
    const char *unit = bridge->setup->travel_unit;
    say(bridge->server, session, "MOTION", "%u %s %s %s %s/s %s A %s V %s", bridge->setup->bus,
        position, unit, speed, unit, current, volts, bound_of(bridge, view));
}

static void motion_news(struct net_bridge *bridge, const struct bridge_view *before,
                        const struct bridge_view *after) {
    bool was_moving = bridge_is_moving(&before->outputs);
    bool is_moving = bridge_is_moving(&after->outputs);
    if (!was_moving && !is_moving) {
        if (is_position_known(bridge, before) != is_position_known(bridge, after)) {
            say_motion(bridge, NULL, after);
        }
        return;
    }
    double steps = is_position_known(bridge, after)
                       ? position_of(bridge, after) / step_of(bridge->setup)
                       : (double)bridge->motion_step;
    uint64_t now_us = server_now_us(bridge->server);
    if (!was_moving) {
        bridge->motion_step = lround(steps);
        bridge->motion_told_us = now_us;
    }
    bool is_at_step = fabs(steps - (double)bridge->motion_step) >= 1;
    bool is_old = now_us - bridge->motion_told_us >= motion_old_us;
    if (is_at_step || is_old || !is_moving) {
        bridge->motion_step = lround(steps);
        bridge->motion_told_us = now_us;
        say_motion(bridge, NULL, after);
    }
}

void message_news(struct net_bridge *bridge, const struct bridge_view *before,
                  const struct bridge_view *after) {
    motion_news(bridge, before, after);
    if (latched(before) != latched(after)) {
        say_fault(bridge, NULL, latched(after));
    }
    if (phase_differs(bridge, before, after)) {
        say_phase(bridge, NULL, after);
    }
}

/* GUARD: the restrictive rows alone; they never change. */

static void say_guards(const struct net_bridge *bridge, struct session *session) {
    struct line_track tracks[BRIDGE_TRACKS_MAX];
    struct guards guards;
    struct guard_words words;
    net_name_tracks(bridge->setup, tracks);
    guards_of(&bridge->setup->setup, &guards);
    for (unsigned i = 0; i < guards.rows; i++) {
        const struct guard_row *row = &guards.row[i];
        if (guard_is_restrictive(row) && guards_describe(&guards, i, tracks, &words)) {
            say(bridge->server, session, "GUARD", "%u %s %s %s: %s", bridge->setup->bus,
                guard_name(row->how), words.invariants, words.condition, words.rests_on);
        }
    }
}

void message_dump(struct session *session, const struct net_bridge *bridge) {
    const struct bridge_view *view = bridge_now(bridge);
    say_guards(bridge, session);
    say_motion(bridge, session, view);
    if (latched(view) != FAULT_NONE) {
        say_fault(bridge, session, latched(view));
    }
    say_phase(bridge, session, view);
}
