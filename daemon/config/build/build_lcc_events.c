/* The events of a bridge as a node of LCC: which there are, what they are called, and their ids. A
 * default id is the node's id and two bytes that belong to the meaning: they are never given to
 * another. */
#include "base/text/near.h"
#include "config/build/build.h"
#include "protocol/lcc/event.h"
#include "protocol/lcc/identifier.h"

#include <stdio.h>
#include <string.h>

/* The two bytes: of states, that it is so has an even number, and the next odd one that it is not.
 */
enum { OF_BRIDGE = 0x0000, OF_ENDS = 0x0100, OF_SPANS = 0x0200, EACH = 0x20, OF_REQUESTS = 0x1000 };

static const struct {
    const char *words[2]; /* [1]: it is so */
    unsigned number;      /* within the bridge, the end or the span */
} states[LCC_STATES] = {
    [LCC_STATE_LINED] = {{"not lined", "lined"}, 0},
    [LCC_STATE_MOVING] = {{"at rest", "moving"}, 1},
    [LCC_STATE_OPEN] = {{"not open", "open"}, 2},
    [LCC_STATE_FAULT] = {{"no fault", "fault"}, 3},
    [LCC_STATE_SEATED] = {{"not seated", "seated"}, 4},
    [LCC_STATE_LOCKED] = {{"not locked", "locked"}, 5},
    [LCC_STATE_GOAL_UP] = {{"goal not up", "goal up"}, 6},
    [LCC_STATE_GOAL_DOWN] = {{"goal not down", "goal down"}, 7},
    [LCC_STATE_PROCEED] = {{"signal stop", "signal proceed"}, 0},
    [LCC_STATE_APPROACH] = {{"approach clear", "approach occupied"}, 1},
    [LCC_STATE_STOP_SECTION] = {{"stop section clear", "stop section occupied"}, 2},
    [LCC_STATE_STOP_POWER] = {{"stop section dead", "stop section powered"}, 3},
    [LCC_STATE_SPAN_SECTION] = {{"span clear", "span occupied"}, 0},
    [LCC_STATE_SPAN_POWER] = {{"span dead", "span powered"}, 1},
};

static const struct {
    const char *word;
    enum bridge_request_kind kind;
    uint64_t of_bus; /* a well-known event; 0: the node's own */
    bool is_power;
} requests[LCC_REQUESTS_MAX] = {
    {"raise", REQUEST_RAISE, 0, false},
    {"lower", REQUEST_LOWER, 0, false},
    {"stop", REQUEST_STOP, 0, false},
    {"emergency stop", REQUEST_EMERGENCY_STOP, 0, false},
    {"acknowledge", REQUEST_ACKNOWLEDGE, 0, false},
    {"power on", REQUEST_POWER_ON, 0, true},
    {"power off", REQUEST_POWER_OFF, 0, true},
    {"emergency stop of the bus", REQUEST_EMERGENCY_STOP, LCC_EMERGENCY_STOP, false},
    {"emergency off of the bus", REQUEST_EMERGENCY_STOP, LCC_EMERGENCY_OFF, false},
};

static void add_state(struct lcc_bridge_setup *lcc, enum lcc_state what, unsigned track,
                      unsigned end, unsigned base, const char *before) {
    struct lcc_state_setup *state = &lcc->state[lcc->states++];
    *state = (struct lcc_state_setup){.what = what, .track = track, .end = end};
    for (unsigned is_so = 0; is_so < 2; is_so++) {
        unsigned suffix = base + 2 * states[what].number + (is_so ? 0 : 1);
        state->event[is_so] = lcc_event_of_node(lcc->node, (uint16_t)suffix);
        snprintf(state->name[is_so], LCC_EVENT_NAME_SIZE, "%s%s", before,
                 states[what].words[is_so]);
    }
}

static void add_end(struct lcc_bridge_setup *lcc, const struct net_bridge_setup *net, unsigned t,
                    unsigned e) {
    const struct track_end_setup *end = &net->setup.track[t].end[e];
    unsigned base = OF_ENDS + (t * TRACK_ENDS + e) * EACH;
    char before[LCC_EVENT_NAME_SIZE];
    snprintf(before, sizeof before, "%s %s ", net->track_name[t], net->end_name[t][e]);
    if (!end->is_used) {
        return;
    }
    add_state(lcc, LCC_STATE_PROCEED, t, e, base, before);
    if (end->has_approach_detector) {
        add_state(lcc, LCC_STATE_APPROACH, t, e, base, before);
    }
    if (end->has_stop_detector) {
        add_state(lcc, LCC_STATE_STOP_SECTION, t, e, base, before);
    }
    add_state(lcc, LCC_STATE_STOP_POWER, t, e, base, before);
}

static void add_track(struct lcc_bridge_setup *lcc, const struct net_bridge_setup *net,
                      unsigned t) {
    char before[LCC_EVENT_NAME_SIZE];
    snprintf(before, sizeof before, "%s ", net->track_name[t]);
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        add_end(lcc, net, t, e);
    }
    if (net->setup.track[t].has_span_detector) {
        add_state(lcc, LCC_STATE_SPAN_SECTION, t, 0, OF_SPANS + t * EACH, before);
    }
    add_state(lcc, LCC_STATE_SPAN_POWER, t, 0, OF_SPANS + t * EACH, before);
}

static void add_requests(struct lcc_bridge_setup *lcc, const struct written_node *written) {
    for (unsigned i = 0; i < LCC_REQUESTS_MAX; i++) {
        bool is_of_bus = requests[i].of_bus != 0;
        if ((is_of_bus && !written->obeys_bus) || (requests[i].is_power && !written->power)) {
            continue;
        }
        struct lcc_request_setup *request = &lcc->request[lcc->requests++];
        *request = (struct lcc_request_setup){.kind = requests[i].kind, .is_of_bus = is_of_bus};
        request->event = is_of_bus ? requests[i].of_bus
                                   : lcc_event_of_node(lcc->node, (uint16_t)(OF_REQUESTS + i));
        snprintf(request->name, LCC_EVENT_NAME_SIZE, "%s", requests[i].word);
    }
}

static void name_lines(const struct build *build, struct line_track tracks[BRIDGE_TRACKS_MAX]) {
    const struct net_bridge_setup *net = build->net;
    for (unsigned t = 0; t < net->setup.tracks; t++) {
        tracks[t] =
            (struct line_track){net->track_name[t], {net->end_name[t][0], net->end_name[t][1]}};
    }
}

/* "main.west.approach" as "main.west.approach clear". */
static void name_pair(struct lcc_line_setup *line, const char *name, bool is_command) {
    static const struct {
        const char *ending;
        bool is_command;
        const char *words[2];
    } rows[] = {{".signal", true, {"to stop", "to proceed"}},
                {"power", true, {"off", "on"}},
                {".signal", false, {"not at stop", "at stop"}},
                {"power", false, {"not dead", "dead"}},
                {".standing", false, {"not seen to stand", "seen to stand"}},
                {"", false, {"occupied", "clear"}}};
    size_t length = strlen(name);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        size_t ending = strlen(rows[i].ending);
        if (rows[i].is_command == is_command && length >= ending &&
            strcmp(name + length - ending, rows[i].ending) == 0) {
            snprintf(line->name[0], LCC_EVENT_NAME_SIZE, "%s %s", name, rows[i].words[0]);
            snprintf(line->name[1], LCC_EVENT_NAME_SIZE, "%s %s", name, rows[i].words[1]);
            return;
        }
    }
}

/* Of lines that share a pair the first gives the name. */
static void add_lines(const struct build *build, struct lcc_bridge_setup *lcc) {
    const struct nodes_setup *nodes = &build->bridge->nodes;
    struct line_track tracks[BRIDGE_TRACKS_MAX] = {{.name = ""}};
    char name[LINE_NAME_SIZE];
    name_lines(build, tracks);
    lcc->points = nodes->points;
    lcc->commands = nodes->commands;
    for (unsigned i = nodes->inputs; i-- > 0;) {
        struct lcc_line_setup *point = &lcc->point[nodes->input[i].point];
        memcpy(point->event, nodes->point[nodes->input[i].point].event, sizeof point->event);
        lines_input_name(tracks, nodes->input[i].line, name);
        name_pair(point, name, false);
    }
    for (unsigned i = nodes->outputs; i-- > 0;) {
        struct lcc_line_setup *command = &lcc->command[nodes->output[i].command];
        memcpy(command->event, nodes->command[nodes->output[i].command].event,
               sizeof command->event);
        lines_output_name(tracks, nodes->output[i].line, name);
        name_pair(command, name, true);
    }
}

/* Every event of a bridge, by number. Returns NULL beyond the last. */
static uint64_t *event_of(struct lcc_bridge_setup *lcc, unsigned i, const char **name) {
    unsigned of_states = 2 * lcc->states;
    if (i < of_states) {
        *name = lcc->state[i / 2].name[i % 2];
        return &lcc->state[i / 2].event[i % 2];
    }
    if (i < of_states + lcc->requests) {
        *name = lcc->request[i - of_states].name;
        return &lcc->request[i - of_states].event;
    }
    unsigned line = i - of_states - lcc->requests;
    if (line < 2 * lcc->commands) {
        *name = lcc->command[line / 2].name[line % 2];
        return &lcc->command[line / 2].event[line % 2];
    }
    line -= 2 * lcc->commands;
    if (line < 2 * lcc->points) {
        *name = lcc->point[line / 2].name[line % 2];
        return &lcc->point[line / 2].event[line % 2];
    }
    return NULL;
}

static void set_event(const struct build *build, struct lcc_bridge_setup *lcc,
                      const struct written_event *written, unsigned i) {
    struct place event = build_place("/lcc/events/%u/event", i);
    struct place id = build_place("/lcc/events/%u/id", i);
    struct near near = near_begin(written->event);
    const char *name;
    uint64_t *place;
    for (unsigned n = 0; (place = event_of(lcc, n, &name)) != NULL; n++) {
        if (strcmp(name, written->event) == 0) {
            break;
        }
        near_offer(&near, name);
    }
    if (place == NULL && near.best != NULL) {
        build_error(build, event.text, "there is no event \"%.60s\" (did you mean \"%s\"?)",
                    written->event, near.best);
    } else if (place == NULL) {
        build_error(build, event.text, "there is no event \"%.60s\" of this bridge",
                    written->event);
    } else if (!lcc_identifier_read(written->id, LCC_EVENT_BYTES, place)) {
        build_error(build, id.text,
                    "cannot read \"%.40s\": wanted eight bytes such as \"0A.44.52.00.00.01.10.00\"",
                    written->id);
    }
}

/* An event that stood for two things of a bridge would tell, or ask for, both at once. */
static void check_unique(const struct build *build, struct lcc_bridge_setup *lcc) {
    const char *name, *other;
    const uint64_t *event;
    for (unsigned i = 0; (event = event_of(lcc, i, &name)) != NULL; i++) {
        for (unsigned n = 0; n < i; n++) {
            if (*event_of(lcc, n, &other) == *event) {
                char text[LCC_EVENT_TEXT];
                lcc_identifier_write(*event, LCC_EVENT_BYTES, text);
                build_error(build, "/lcc/events", "%s is both \"%s\" and \"%s\"", text, other,
                            name);
            }
        }
    }
}

void build_lcc_events(const struct build *build, struct lcc_bridge_setup *lcc) {
    bool has_locked = build->net->setup.has_lock && build->net->setup.has_locked;
    for (unsigned s = 0; s < LCC_STATES_OF_BRIDGE; s++) {
        if (s != LCC_STATE_LOCKED || has_locked) {
            add_state(lcc, (enum lcc_state)s, 0, 0, OF_BRIDGE, "");
        }
    }
    for (unsigned t = 0; t < build->net->setup.tracks; t++) {
        add_track(lcc, build->net, t);
    }
    add_requests(lcc, &build->written->node);
    for (unsigned i = 0; i < build->written->node.events.list.count; i++) {
        set_event(build, lcc, &build->written->node.events.item[i], i);
    }
    add_lines(build, lcc);
    check_unique(build, lcc);
}
