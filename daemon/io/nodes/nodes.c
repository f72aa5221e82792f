#include "io/nodes/nodes.h"

#include "base/log.h"
#include "base/time_limit.h"
#include "io/line_label.h"
#include "io/nodes/nodes_command.h"
#include "io/nodes/nodes_setup.h"
#include "io/nodes/nodes_wire.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum nodes_phase { NODES_LOST = 0, NODES_HOMES, NODES_RUNS };

enum { NODES_WORDS_SIZE = LINE_LABEL_SIZE + 64 };

struct nodes {
    struct nodes_setup setup;
    struct nodes_wire *wire;
    struct port_host host;
    struct nodes_point point[NODES_INPUTS_MAX];
    struct nodes_command command[NODES_OUTPUTS_MAX];
    enum nodes_phase phase;
    uint64_t now_us;        /* as of the last call that said */
    uint64_t opened_us;     /* the first of them */
    bool has_begun;         /* now_us is known */
    bool has_run;           /* once at least */
    bool was_up, was_ready; /* the bus, and our node there: as last looked at */
    bool is_woken;          /* something was said that the bridge should see */
    bool is_dry;
    bool was_on[NODES_OUTPUTS_MAX]; /* dry run: as last told, of each output */
    bool has_tracks;
    struct line_track tracks[BRIDGE_TRACKS_MAX]; /* for people */
    bool is_in_order;                            /* as last logged */
    char told_trouble[NODES_WORDS_SIZE];         /* as last logged; "": none */
};

static void *nodes_open(const struct port_settings *settings, const struct port_host *host,
                        struct error *error) {
    const struct nodes_given *given = port_own(settings, nodes_ops.name);
    struct nodes *nodes = given == NULL ? NULL : calloc(1, sizeof *nodes);
    if (nodes == NULL) {
        error_set(error, "lines",
                  given == NULL ? "none of them is another node's" : "out of memory");
        return NULL;
    }
    nodes->setup = *given->setup;
    nodes->wire = given->wire;
    nodes->wire->nodes = nodes;
    nodes->host = *host;
    nodes->is_dry = settings->is_dry;
    nodes->has_tracks = settings->tracks != NULL;
    if (nodes->has_tracks) {
        memcpy(nodes->tracks, settings->tracks, sizeof nodes->tracks);
    }
    for (unsigned i = 0; i < nodes->setup.points; i++) {
        memcpy(nodes->point[i].event, nodes->setup.point[i].event, sizeof nodes->point[i].event);
    }
    if (nodes->is_dry) {
        nodes->setup.commands = 0;
    }
    return nodes;
}

static void nodes_close(void *port) {
    struct nodes *nodes = port;
    nodes->wire->nodes = NULL;
    free(nodes);
}

/* ---- what is said */

/* Returns whether it is otherwise than before. */
static bool look_at_bus(struct nodes *nodes) {
    bool is_up = nodes->wire->is_up(nodes->wire);
    bool is_ready = is_up && nodes->wire->may_send(nodes->wire);
    bool has_turned = is_up != nodes->was_up || is_ready != nodes->was_ready;
    nodes->was_up = is_up;
    nodes->was_ready = is_ready;
    return has_turned;
}

void nodes_wire_said(const struct nodes_wire *wire, enum nodes_word word, uint64_t event,
                     uint16_t source) {
    struct nodes *nodes = wire->nodes;
    for (unsigned i = 0; nodes != NULL && i < nodes->setup.points; i++) {
        bool is_news = nodes_point_said(&nodes->point[i], word, event, source, nodes->now_us);
        nodes->is_woken = nodes->is_woken || is_news;
    }
}

void nodes_wire_woke(const struct nodes_wire *wire) {
    struct nodes *nodes = wire->nodes;
    if (nodes == NULL) {
        return;
    }
    bool has_turned = look_at_bus(nodes);
    if (nodes->is_woken || has_turned) {
        nodes->host.changed(nodes->host.context);
    }
}

/* ---- what it comes to */

static enum level level_of(const struct nodes *nodes, unsigned point) {
    return nodes_point_level(&nodes->point[point], nodes->setup.stale_us, nodes->now_us);
}

/* Several outputs may share a command, each with a proof of its own. */
static enum nodes_shown shown_by(const struct nodes *nodes, unsigned command) {
    bool is_off = true, is_on = true, is_any_on = false, is_any_off = false;
    for (unsigned i = 0; i < nodes->setup.outputs; i++) {
        if (nodes->setup.output[i].command == command) {
            enum level level = level_of(nodes, nodes->setup.output[i].proof);
            is_off = is_off && level == LEVEL_ON;
            is_on = is_on && level == LEVEL_OFF;
            is_any_off = is_any_off || level == LEVEL_ON;
            is_any_on = is_any_on || level == LEVEL_OFF;
        }
    }
    bool is_wanted_on = nodes->command[command].is_wanted_on;
    if (nodes->command[command].step == NODES_PROVED) { /* one that changes is enough */
        return is_wanted_on ? (is_any_off ? NODES_SHOWS_OFF : NODES_SHOWS_NEITHER)
                            : (is_any_on ? NODES_SHOWS_ON : NODES_SHOWS_NEITHER);
    }
    return is_off ? NODES_SHOWS_OFF : is_on ? NODES_SHOWS_ON : NODES_SHOWS_NEITHER;
}

static void check_commands(struct nodes *nodes) {
    for (unsigned i = 0; i < nodes->setup.commands; i++) {
        nodes_command_check(&nodes->command[i], shown_by(nodes, i), nodes->setup.obey_us,
                            nodes->now_us);
    }
}

/* ---- what is sent */

static void send_command(struct nodes *nodes, unsigned command) {
    nodes->wire->command(nodes->wire, command, nodes->command[command].is_wanted_on);
    nodes_command_sent(&nodes->command[command], nodes->now_us);
    for (unsigned i = 0; i < nodes->setup.outputs; i++) {
        if (nodes->setup.output[i].command == command) {
            nodes_point_doubt(&nodes->point[nodes->setup.output[i].proof]);
        }
    }
}

static void send_due(struct nodes *nodes) {
    for (unsigned i = 0; i < nodes->setup.commands && nodes->was_ready; i++) {
        if (nodes_command_is_due(&nodes->command[i], nodes->setup.beat_us, nodes->now_us)) {
            send_command(nodes, i);
        }
    }
}

/* Where there is no room for the question now it is asked again soon. */
static void ask_due(struct nodes *nodes) {
    for (unsigned i = 0; i < nodes->setup.points && nodes->was_ready; i++) {
        struct nodes_point *point = &nodes->point[i];
        if (nodes->now_us >= nodes_point_due_us(point, nodes->setup.beat_us)) {
            bool is_asked = nodes->wire->identify(nodes->wire, point->event[1]);
            nodes_point_asked(point, nodes->now_us);
            point->must_ask = !is_asked;
            point->awaited -= !is_asked;
        }
    }
}

/* ---- phases */

static void begin_homing(struct nodes *nodes) {
    nodes->phase = NODES_HOMES;
    for (unsigned i = 0; i < nodes->setup.points; i++) {
        nodes_point_forget(&nodes->point[i]);
    }
    for (unsigned i = 0; i < nodes->setup.commands; i++) {
        nodes_command_restart(&nodes->command[i], nodes->now_us);
    }
}

static bool is_home(const struct nodes *nodes) {
    for (unsigned i = 0; i < nodes->setup.points; i++) {
        if (level_of(nodes, i) == LEVEL_UNKNOWN) {
            return false;
        }
    }
    for (unsigned i = 0; i < nodes->setup.commands; i++) {
        if (!nodes_command_is_settled(&nodes->command[i])) {
            return false;
        }
    }
    return true;
}

static void step(struct nodes *nodes) {
    look_at_bus(nodes);
    if (!nodes->was_up && nodes->phase != NODES_LOST) {
        log_line(LOG_WARNING, "lines of other nodes: nobody is on the bus any more");
        nodes->phase = NODES_LOST;
    } else if (nodes->was_ready && nodes->phase == NODES_LOST) {
        begin_homing(nodes);
    }
    if (nodes->phase == NODES_LOST) {
        return;
    }
    check_commands(nodes);
    if (nodes->phase == NODES_HOMES && is_home(nodes)) {
        nodes->phase = NODES_RUNS;
        nodes->has_run = true;
    }
    send_due(nodes);
    ask_due(nodes);
}

static void label_of(const struct nodes *nodes, unsigned output, char label[LINE_LABEL_SIZE]) {
    line_label(nodes->has_tracks ? nodes->tracks : NULL, output, LINE_WHEN_ON, label);
}

/* Returns whether something that is commanded is in trouble, with words for the log. */
static bool find_trouble(const struct nodes *nodes, char words[NODES_WORDS_SIZE]) {
    words[0] = '\0';
    for (unsigned i = 0; i < nodes->setup.outputs && nodes->setup.commands > 0; i++) {
        enum nodes_trouble trouble = nodes->command[nodes->setup.output[i].command].trouble;
        if (nodes->phase != NODES_LOST && trouble != NODES_NO_TROUBLE) {
            char label[LINE_LABEL_SIZE];
            label_of(nodes, nodes->setup.output[i].line, label);
            snprintf(words, NODES_WORDS_SIZE, "%s %s", label,
                     trouble == NODES_DISOBEYED ? "does not obey"
                                                : "changed though nobody here asked for it");
            return true;
        }
    }
    return nodes->phase != NODES_RUNS;
}

static bool is_in_order(struct nodes *nodes) {
    char words[NODES_WORDS_SIZE];
    bool was_in_order = nodes->is_in_order;
    nodes->is_in_order = !find_trouble(nodes, words);
    if (nodes->is_in_order && !was_in_order) {
        log_line(LOG_NOTICE, "lines of other nodes: in order");
    } else if (words[0] != '\0' && strcmp(words, nodes->told_trouble) != 0) {
        log_line(LOG_WARNING, "lines of other nodes: %s", words);
    }
    memcpy(nodes->told_trouble, words, sizeof words);
    return nodes->is_in_order;
}

/* ---- the port */

static uint64_t start_limit_us(const struct nodes *nodes) {
    return nodes->opened_us + NODES_START_US + nodes->setup.obey_us;
}

static bool nodes_is_starting(const void *port) {
    const struct nodes *nodes = port;
    return !nodes->has_run && nodes->now_us <= start_limit_us(nodes);
}

/* A proof counts only while nothing is under way to what it proves. */
static bool is_under_way(const struct nodes *nodes, unsigned point) {
    for (unsigned i = 0; i < nodes->setup.outputs && nodes->setup.commands > 0; i++) {
        if (nodes->setup.output[i].proof == point &&
            !nodes_command_is_settled(&nodes->command[nodes->setup.output[i].command])) {
            return true;
        }
    }
    return false;
}

static void nodes_sense(void *port, uint64_t now_us, struct bridge_inputs *inputs) {
    struct nodes *nodes = port;
    nodes->now_us = now_us;
    nodes->opened_us = nodes->has_begun ? nodes->opened_us : now_us;
    nodes->has_begun = true;
    nodes->is_woken = false;
    step(nodes);
    lines_forget(inputs);
    inputs->is_device_lost = !is_in_order(nodes);
    for (unsigned i = 0; !inputs->is_device_lost && i < nodes->setup.inputs; i++) {
        unsigned point = nodes->setup.input[i].point;
        *lines_level(inputs, nodes->setup.input[i].line) =
            is_under_way(nodes, point) ? LEVEL_OFF : level_of(nodes, point);
    }
}

static bool all_want_on(const struct nodes *nodes, unsigned command,
                        const struct bridge_outputs *outputs) {
    for (unsigned i = 0; i < nodes->setup.outputs; i++) {
        if (nodes->setup.output[i].command == command &&
            !lines_wants_on(outputs, nodes->setup.output[i].line, LINE_WHEN_ON)) {
            return false;
        }
    }
    return true;
}

static void tell_dry(struct nodes *nodes, const struct bridge_outputs *outputs) {
    for (unsigned i = 0; i < nodes->setup.outputs; i++) {
        unsigned line = nodes->setup.output[i].line;
        if (lines_wants_on(outputs, line, LINE_WHEN_ON) != nodes->was_on[i]) {
            char label[LINE_LABEL_SIZE];
            nodes->was_on[i] = !nodes->was_on[i];
            label_of(nodes, line, label);
            log_line(LOG_NOTICE, "dry run: would switch %s %s", label,
                     nodes->was_on[i] ? "on" : "off");
        }
    }
}

static void nodes_act(void *port, uint64_t now_us, const struct bridge_outputs *outputs) {
    struct nodes *nodes = port;
    nodes->now_us = now_us;
    if (nodes->is_dry) {
        tell_dry(nodes, outputs);
    }
    if (nodes->phase != NODES_RUNS) {
        return;
    }
    for (unsigned i = 0; i < nodes->setup.commands; i++) {
        nodes_command_want(&nodes->command[i], all_want_on(nodes, i, outputs), now_us);
    }
    send_due(nodes);
    ask_due(nodes);
}

static uint64_t sooner(uint64_t one_us, uint64_t other_us) {
    return one_us < other_us ? one_us : other_us;
}

static uint64_t due_us(const struct nodes *nodes) {
    uint64_t due = nodes_is_starting(nodes) ? start_limit_us(nodes) + 1 : UINT64_MAX;
    if (nodes->phase == NODES_LOST) {
        return due; /* the bus calls when it is back */
    }
    for (unsigned i = 0; i < nodes->setup.points; i++) {
        const struct nodes_point *point = &nodes->point[i];
        due = nodes->was_ready ? sooner(due, nodes_point_due_us(point, nodes->setup.beat_us)) : due;
        if (level_of(nodes, i) != LEVEL_UNKNOWN) {
            due = sooner(due, nodes_point_stale_us(point, nodes->setup.stale_us) + 1);
        }
    }
    for (unsigned i = 0; i < nodes->setup.commands; i++) {
        due = sooner(due, nodes_command_due_us(&nodes->command[i], nodes->setup.beat_us,
                                               nodes->setup.obey_us, nodes->was_ready));
    }
    return due;
}

/* Never at once: what could be done now has been done. */
static uint32_t nodes_wake_us(const void *port) {
    static const uint64_t least_us = 1000;
    const struct nodes *nodes = port;
    uint64_t due = due_us(nodes);
    uint64_t wake_us = due > nodes->now_us + least_us ? due - nodes->now_us : least_us;
    return wake_us < UINT32_MAX ? (uint32_t)wake_us : UINT32_MAX;
}

/* ---- the end */

static bool nodes_safe(void *port) {
    struct nodes *nodes = port;
    for (unsigned i = 0; i < nodes->setup.commands; i++) {
        nodes_command_restart(&nodes->command[i], nodes->now_us);
        send_command(nodes, i);
    }
    ask_due(nodes);
    nodes->wire->exchange(nodes->wire, 0);
    return nodes->setup.commands == 0;
}

static bool are_all_off(const struct nodes *nodes) {
    for (unsigned i = 0; i < nodes->setup.commands; i++) {
        if (nodes->command[i].is_wanted_on || !nodes_command_is_settled(&nodes->command[i])) {
            return false;
        }
    }
    return true;
}

static bool nodes_settle(void *port, uint32_t within_us) {
    enum { LOOK_MS = 10 };
    struct nodes *nodes = port;
    struct time_limit limit = time_limit_in(within_us);
    uint64_t begun_us = nodes->now_us;
    uint32_t left_us = within_us;
    while (!are_all_off(nodes) && nodes->was_up && left_us > 0) {
        nodes->wire->exchange(nodes->wire, LOOK_MS);
        look_at_bus(nodes);
        left_us = time_limit_left_us(&limit);
        nodes->now_us = begun_us + (within_us - left_us);
        check_commands(nodes);
        send_due(nodes);
        ask_due(nodes);
    }
    return are_all_off(nodes);
}

static void nodes_crash_safe(void *port) {
    const struct nodes *nodes = port;
    if (nodes->setup.commands > 0) {
        nodes->wire->crash_off(nodes->wire);
    }
}

const struct port_ops nodes_ops = {
    .name = "nodes",
    .can_run_dry = true,
    .open = nodes_open,
    .sense = nodes_sense,
    .act = nodes_act,
    .wake_us = nodes_wake_us,
    .safe = nodes_safe,
    .settle = nodes_settle,
    .crash_safe = nodes_crash_safe,
    .close = nodes_close,
    .is_starting = nodes_is_starting,
};
