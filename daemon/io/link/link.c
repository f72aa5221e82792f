#include "io/link/link.h"

#include "base/log.h"
#include "core/words/lines.h"
#include "io/line_label.h"
#include "io/link/link_state.h"

#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- what the settings come to */

static unsigned find_device(struct link *link, const struct link_output *output) {
    struct link_value off = output->at;
    off.port = output->off_port;
    struct link_device device = {.at = output->at,
                                 .off_port = output->off_port,
                                 .on_point = link_points_add(&link->points, output->at),
                                 .off_point = link_points_add(&link->points, off)};
    unsigned i = 0;
    while (i < link->devices && (link->device[i].on_point != device.on_point ||
                                 link->device[i].off_point != device.off_point)) {
        i++;
    }
    if (i == link->devices) {
        link->device[link->devices++] = device;
    }
    return i;
}

static void add_lock(struct link *link, const struct link_value *at) {
    bool is_there = at->group != LINK_GA;
    for (unsigned i = 0; i < link->locks; i++) {
        is_there =
            is_there || (link->lock[i].bus == at->bus && link->lock[i].address == at->address);
    }
    if (!is_there) {
        link->lock[link->locks++] = (struct link_lock){.bus = at->bus, .address = at->address};
    }
}

static void lay_out(struct link *link) {
    for (unsigned i = 0; i < link->setup.outputs; i++) {
        link->output_device[i] = find_device(link, &link->setup.output[i]);
        add_lock(link, &link->setup.output[i].at);
    }
    for (unsigned i = 0; i < link->setup.inputs; i++) {
        link->input_point[i] = link_points_add(&link->points, link->setup.input[i].at);
    }
}

/* Devices are read and neither locked nor switched, nor trains stopped: it has none of them. */
static void run_dry(struct link *link, const struct line_track *tracks) {
    link->is_dry = true;
    link->devices = 0;
    link->locks = 0;
    link->setup.trains = 0;
    link->has_tracks = tracks != NULL;
    if (link->has_tracks) {
        memcpy(link->tracks, tracks, sizeof link->tracks);
    }
}

static void *link_open(const struct port_settings *settings, const struct port_host *host,
                       struct error *error) {
    const struct link_setup *setups = port_own(settings, link_ops.name);
    if (setups == NULL || host == NULL || host->base == NULL) {
        error_set(error, "links", "the driver \"link\" needs a link and an event loop");
        return NULL;
    }
    const struct link_setup *setup = &setups[settings->which];
    if (setup->inputs + setup->outputs == 0) {
        error_set(error, setup->name, "this link serves no line");
        return NULL;
    }
    struct link *link = calloc(1, sizeof *link);
    if (link == NULL) {
        error_set(error, setup->name, "out of memory");
        return NULL;
    }
    link->setup = *setup;
    link->bridge = *settings->setup;
    link->host = *host;
    link->seen = settings->seen;
    link->pause_us = setup->retry_least_us;
    lay_out(link);
    if (settings->is_dry) {
        run_dry(link, settings->tracks);
    }
    link_prepare_crash(link);
    return link;
}

/* ---- what the sessions tell */

static void on_received(void *context, enum srcp_mode mode, const struct srcp_answer *answer) {
    struct link *link = context;
    if (mode == SRCP_COMMAND_MODE) {
        link_turn_answered(link, answer);
        link->is_woken = true;
        return;
    }
    link->is_woken = link_points_told(&link->points, answer) || link->is_woken;
    link->is_woken = link_brake_told(&link->brake, &link->setup, answer) || link->is_woken;
    for (unsigned i = 0; i < link->locks; i++) {
        bool was_held = link->lock[i].is_held;
        link_lock_told(&link->lock[i], answer, link_session_id(link->session[SRCP_COMMAND_MODE]),
                       link->now_us);
        link->is_woken = link->is_woken || was_held != link->lock[i].is_held;
    }
}

static void on_lost(void *context, enum srcp_mode mode, const char *why) {
    (void)mode;
    struct link *link = context;
    link->lost = link->lost != NULL ? link->lost : why;
    link->is_woken = true;
}

static void count_bytes(struct link *link) {
    for (int mode = 0; mode < SRCP_MODES; mode++) {
        if (link->session[mode] != NULL) {
            link->received += link_session_take_count(link->session[mode]);
        }
    }
    if (link->received > LINK_FLOOD_BYTES) {
        on_lost(link, SRCP_INFO_MODE, "floods");
    }
}

static bool has_opened(const struct link *link) {
    return link->phase == LINK_CONNECTS && link_session_is_open(link->session[0]) &&
           link_session_is_open(link->session[1]);
}

static void on_woke(void *context) {
    struct link *link = context;
    count_bytes(link);
    if ((link->is_woken || has_opened(link)) && link->host.changed != NULL) {
        link->host.changed(link->host.context); /* last: it may end the sessions */
    }
}

/* ---- phases */

static void enter(struct link *link, enum link_phase phase) {
    link->phase = phase;
    link->phase_us = link->now_us;
}

static void free_sessions(struct link *link) {
    for (int mode = 0; mode < SRCP_MODES; mode++) {
        link_session_free(link->session[mode]);
        link->session[mode] = NULL;
    }
    link->asked.what = LINK_ASKS_NOTHING;
    link->offs_awaited = 0;
}

/* Where only INFO is lost, or a reply, what is on is still switched off: nobody else does it until
 * the link is back. */
static void drop(struct link *link, const char *why) {
    bool is_news = link->pause_us < link->setup.retry_most_us;
    enum log_level level = link->phase == LINK_RUNS ? LOG_WARNING
                           : is_news                ? LOG_NOTICE
                                                    : LOG_DEBUG;
    log_line(level, "link %s to %s port %u: %s; again in %.1f s", link->setup.name,
             link->setup.host, link->setup.port, why, link->pause_us / 1e6);
    link_switch_all_off(link);
    free_sessions(link);
    link->lost = NULL;
    link->retry_at_us = link->now_us + link->pause_us;
    link->pause_us = link->pause_us < link->setup.retry_most_us / 2 ? link->pause_us * 2
                                                                    : link->setup.retry_most_us;
    enter(link, LINK_RESTS);
}

static void connect_both(struct link *link) {
    const struct link_session_host host = {
        .context = link, .received = on_received, .lost = on_lost, .woke = on_woke};
    struct error error = {.what = ""};
    link_points_forget(&link->points);
    memset(link->doubted_us, 0, sizeof link->doubted_us);
    for (unsigned i = 0; i < link->locks; i++) {
        link->lock[i].holder = 0;
    }
    link->received = 0;
    enter(link, LINK_CONNECTS);
    for (int mode = 0; mode < SRCP_MODES; mode++) {
        link->session[mode] = link_session_new(link->host.base, link->setup.host, link->setup.port,
                                               (enum srcp_mode)mode, &host, &error);
        if (link->session[mode] == NULL) {
            drop(link, "cannot connect");
            return;
        }
    }
}

static void begin_homing(struct link *link) {
    enter(link, LINK_HOMES);
    link->beat_at_us = link->now_us + link->setup.beat_us;
    for (unsigned i = 0; i < link->devices; i++) {
        link_device_restart(&link->device[i], link->now_us);
    }
    for (unsigned i = 0; i < link->locks; i++) {
        link_lock_restart(&link->lock[i], link->now_us);
    }
    for (unsigned i = 0; i < link->points.count; i++) {
        link->points.point[i].must_ask = true;
    }
}

static bool is_home(const struct link *link) {
    for (unsigned i = 0; i < link->locks; i++) {
        if (!link->lock[i].is_held) {
            return false;
        }
    }
    for (unsigned i = 0; i < link->points.count; i++) {
        const struct link_point *point = &link->points.point[i];
        if (!point->is_told || point->is_doubted || point->must_ask) {
            return false;
        }
    }
    for (unsigned i = 0; i < link->devices; i++) {
        if (!link_device_is_settled(&link->device[i])) {
            return false;
        }
    }
    return true;
}

/* INFO and GET may pass each other on their way, but not for long. */
static bool is_in_doubt_too_long(struct link *link) {
    bool is_too_long = false;
    for (unsigned i = 0; i < link->points.count; i++) {
        if (!link->points.point[i].is_doubted) {
            link->doubted_us[i] = 0;
        } else if (link->doubted_us[i] == 0) {
            link->doubted_us[i] = link->now_us + 1;
        } else if (link->now_us > link->doubted_us[i] + link->setup.obey_us) {
            char words[LINK_LINE_SIZE];
            link_value_words(link->points.point[i].at, words);
            log_line(LOG_WARNING, "link %s: %s: GET and INFO disagree", link->setup.name, words);
            is_too_long = true;
        }
    }
    return is_too_long;
}

static void work(struct link *link) {
    if (link->now_us - link->window_us >= link->setup.beat_us) {
        link->window_us = link->now_us;
        link->received = 0;
    }
    for (unsigned i = 0; i < link->devices; i++) {
        link_device_check(&link->device[i], &link->points, link->setup.obey_us, link->now_us);
    }
    if (link->asked.what != LINK_ASKS_NOTHING &&
        link->now_us - link->asked.since_us > link->setup.reply_us) {
        drop(link, "does not reply in time");
        return;
    }
    if (is_in_doubt_too_long(link)) {
        drop(link, "contradicts itself");
        return;
    }
    if (link->phase == LINK_HOMES && is_home(link)) {
        enter(link, LINK_RUNS);
        link->has_run = true;
        link->pause_us = link->setup.retry_least_us;
    }
    link_turn(link);
}

static void step(struct link *link) {
    if (link->lost != NULL) {
        drop(link, link->lost);
    }
    switch (link->phase) {
    case LINK_RESTS:
        if (link->now_us >= link->retry_at_us) {
            connect_both(link);
        }
        return;
    case LINK_CONNECTS:
        if (has_opened(link)) {
            begin_homing(link);
            work(link);
        } else if (link->now_us - link->phase_us > link->setup.reply_us) {
            drop(link, "does not answer in time");
        }
        return;
    case LINK_HOMES:
    case LINK_RUNS:
        work(link);
        return;
    }
}

/* ---- in order or not, and why not */

/* Returns whether there is trouble, with words for the log; none where drop() has said why. Locks
 * first: who holds one is why the device was refused. */
static bool find_trouble(const struct link *link, char words[LINK_LOCK_WORDS_SIZE]) {
    words[0] = '\0';
    for (unsigned i = 0; i < link->locks; i++) {
        if (link->lock[i].is_refused) {
            link_lock_words(&link->lock[i], words);
            return true;
        }
    }
    for (unsigned i = 0; i < link->devices; i++) {
        if (link->device[i].trouble != LINK_NO_TROUBLE) {
            char device[LINK_LINE_SIZE];
            link_value_words(link->device[i].at, device);
            snprintf(words, LINK_LOCK_WORDS_SIZE, "%s %s", device,
                     link_trouble_words(link->device[i].trouble));
            return true;
        }
    }
    return link->phase != LINK_RUNS;
}

static bool is_in_order(struct link *link) {
    char words[LINK_LOCK_WORDS_SIZE];
    bool was_in_order = link->is_in_order;
    link->is_in_order = !find_trouble(link, words);
    if (link->is_in_order && !was_in_order) {
        log_line(LOG_NOTICE, "link %s: in order", link->setup.name);
    } else if (words[0] != '\0' && strcmp(words, link->told_trouble) != 0) {
        log_line(LOG_WARNING, "link %s: %s", link->setup.name, words);
    }
    snprintf(link->told_trouble, sizeof link->told_trouble, "%s", words);
    return link->is_in_order;
}

static uint64_t start_limit_us(const struct link *link) {
    return link->opened_us + link->setup.reply_us + link->setup.obey_us;
}

static bool link_is_starting(const void *port) {
    const struct link *link = port;
    return !link->has_run && link->now_us <= start_limit_us(link);
}

/* ---- the port */

/* The proof of a device counts only when nothing is under way to it. */
static bool is_under_way(const struct link *link, unsigned point) {
    for (unsigned i = 0; i < link->devices; i++) {
        const struct link_device *device = &link->device[i];
        if ((device->on_point == point || device->off_point == point) &&
            !link_device_is_settled(device)) {
            return true;
        }
    }
    return link->points.point[point].is_doubted;
}

static enum level read_input(const struct link *link, unsigned i) {
    const struct link_point *point = &link->points.point[link->input_point[i]];
    if (!point->is_told || (point->told != 0 && point->told != 1)) {
        return LEVEL_UNKNOWN;
    }
    bool is_on = point->told == link->setup.input[i].on;
    return is_on && !is_under_way(link, link->input_point[i]) ? LEVEL_ON : LEVEL_OFF;
}

static void link_sense(void *port, uint64_t now_us, struct bridge_inputs *inputs) {
    struct link *link = port;
    link->now_us = now_us;
    link->opened_us = link->has_begun ? link->opened_us : now_us;
    link->has_begun = true;
    link->fresh_us = link->has_answered ? now_us : link->fresh_us;
    link->has_answered = link->is_woken = false;
    step(link);
    lines_forget(inputs);
    inputs->is_device_lost = !is_in_order(link);
    for (unsigned i = 0; !inputs->is_device_lost && i < link->setup.inputs; i++) {
        *lines_level(inputs, link->setup.input[i].line) = read_input(link, i);
    }
}

static bool wants_on(const struct link_output *output, const struct bridge_outputs *outputs) {
    return lines_wants_on(outputs, output->line, output->when);
}

/* Several lines may share a device, as sections share track power: it is on only for all of them.
 */
static bool all_want_on(const struct link *link, unsigned device,
                        const struct bridge_outputs *outputs) {
    for (unsigned i = 0; i < link->setup.outputs; i++) {
        if (link->output_device[i] == device && !wants_on(&link->setup.output[i], outputs)) {
            return false;
        }
    }
    return true;
}

static void tell_dry(struct link *link, const struct bridge_outputs *outputs) {
    for (unsigned i = 0; i < link->setup.outputs; i++) {
        const struct link_output *output = &link->setup.output[i];
        char label[LINE_LABEL_SIZE];
        if (wants_on(output, outputs) != link->was_on[i]) {
            link->was_on[i] = !link->was_on[i];
            line_label(link->has_tracks ? link->tracks : NULL, output->line, output->when, label);
            log_line(LOG_NOTICE, "dry run: would switch %s %s", label,
                     link->was_on[i] ? "on" : "off");
        }
    }
}

static void link_act(void *port, uint64_t now_us, const struct bridge_outputs *outputs) {
    struct link *link = port;
    link->now_us = now_us;
    if (link->is_dry) {
        tell_dry(link, outputs);
    }
    if (link->phase != LINK_RUNS) {
        link->brake.is_wanted = false; /* begins anew when it runs */
        return;
    }
    for (unsigned i = 0; i < link->devices; i++) {
        link_device_want(&link->device[i], all_want_on(link, i, outputs), now_us);
    }
    bool is_braking =
        link->seen != NULL && link_brake_is_wanted(&link->bridge, link->seen, outputs);
    link_brake_look(&link->brake, link->setup.trains, is_braking);
    link_turn(link);
}

/* ---- when to look again */

static uint64_t sooner(uint64_t one_us, uint64_t other_us) {
    return one_us < other_us ? one_us : other_us;
}

static uint64_t device_due_us(const struct link *link, const struct link_device *device) {
    if (device->step == LINK_DEVICE_PROVED || device->trouble != LINK_NO_TROUBLE) {
        return UINT64_MAX;
    }
    return device->since_us + link->setup.obey_us + 1;
}

static uint64_t due_us(const struct link *link) {
    if (link->phase == LINK_RESTS) {
        return link->retry_at_us;
    }
    if (link->phase == LINK_CONNECTS) {
        return link->phase_us + link->setup.reply_us + 1;
    }
    uint64_t due = link->now_us + link->setup.beat_us;
    for (unsigned i = 0; i < link->devices; i++) {
        due = sooner(due, device_due_us(link, &link->device[i]));
    }
    if (link->asked.what != LINK_ASKS_NOTHING) {
        return sooner(due, link->asked.since_us + link->setup.reply_us + 1);
    }
    for (unsigned i = 0; i < link->locks; i++) {
        due = sooner(due, link->lock[i].due_us);
    }
    return sooner(due, link->beat_at_us);
}

/* Never at once: what could be done now has been done. */
uint32_t link_wake_us(const void *port) {
    static const uint64_t least_us = 1000;
    const struct link *link = port;
    uint64_t due = due_us(link);
    due = link_is_starting(link) ? sooner(due, start_limit_us(link) + 1) : due;
    uint64_t wake_us = due > link->now_us + least_us ? due - link->now_us : least_us;
    return wake_us < UINT32_MAX ? (uint32_t)wake_us : UINT32_MAX;
}

/* ---- the end: link_end.c */

static void link_close(void *port) {
    struct link *link = port;
    free_sessions(link);
    free(link);
}

static uint64_t link_fresh_us(const void *port) {
    return ((const struct link *)port)->fresh_us;
}

const struct port_ops link_ops = {
    .name = "link",
    .can_run_dry = true,
    .open = link_open,
    .sense = link_sense,
    .act = link_act,
    .wake_us = link_wake_us,
    .safe = link_safe,
    .settle = link_settle,
    .crash_safe = link_crash_safe,
    .close = link_close,
    .is_starting = link_is_starting,
    .fresh_us = link_fresh_us,
};
