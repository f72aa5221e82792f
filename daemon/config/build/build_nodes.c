/* Lines that are devices of other nodes of LCC: pairs of events, and which lines share one. */
#include "config/build/build.h"
#include "protocol/lcc/identifier.h"

#include <string.h>

bool build_is_node_line(const struct written_line *line) {
    return line->on_event[0] != '\0' || line->off_event[0] != '\0';
}

static bool read_event(const struct build *build, unsigned i, const char *key, const char *written,
                       uint64_t *event) {
    struct place place = build_place("/lines/%u/%s", i, key);
    if (written[0] == '\0') {
        return build_error(build, place.text, "needed: a line that is another node's has a pair");
    }
    return lcc_identifier_read(written, LCC_EVENT_BYTES, event) ||
           build_error(build, place.text,
                       "cannot read \"%.40s\": wanted eight bytes such as "
                       "\"05.01.01.01.A2.07.00.00\"",
                       written);
}

bool build_node_events(const struct build *build, unsigned i, uint64_t event[2]) {
    const struct written_line *line = &build->written->lines.item[i];
    struct place place = build_place("/lines/%u", i);
    if (line->link[0] != '\0' || line->group >= 0 || line->address != FIELD_NO_NUMBER ||
        line->on != FIELD_NO_NUMBER) {
        return build_error(build, place.text, "wanted either a link, or a pair of events");
    }
    if (!build->written->node.is.is_given) {
        return build_error(build, place.text,
                           "events need a node of this bridge's own to ask: \"lcc\" of the bridge");
    }
    bool is_read = read_event(build, i, "on event", line->on_event, &event[1]);
    is_read = read_event(build, i, "off event", line->off_event, &event[0]) && is_read;
    if (is_read && event[0] == event[1]) {
        return build_error(build, build_place("/lines/%u/off event", i).text,
                           "is the \"on event\", too: nobody could tell which of them holds");
    }
    return is_read;
}

/* Half a pair shared would make one event mean two things. */
static bool find_pair(const struct build *build, unsigned i, struct nodes_pair *pair,
                      unsigned *pairs, const uint64_t event[2], unsigned *which) {
    for (*which = 0; *which < *pairs; (*which)++) {
        const uint64_t *other = pair[*which].event;
        if (other[0] == event[0] && other[1] == event[1]) {
            return true;
        }
        for (unsigned is_on = 0; is_on < 2; is_on++) {
            if (other[is_on] == event[0] || other[is_on] == event[1]) {
                return build_error(build, build_place("/lines/%u", i).text,
                                   "lines share both events, or none: one of these is paired with "
                                   "another already");
            }
        }
    }
    memcpy(pair[(*pairs)++].event, event, sizeof pair->event);
    return true;
}

bool build_node_input(const struct build *build, unsigned i, unsigned line,
                      const uint64_t event[2]) {
    struct nodes_setup *nodes = &build->bridge->nodes;
    struct nodes_input input = {.line = line};
    if (line < LINES_OWN_LEVELS || line >= LINES_LEVELS) {
        return build_error(build, build_place("/lines/%u/input", i).text,
                           "cannot be an event: only detectors, and proofs of signals and power, "
                           "can");
    }
    if (!find_pair(build, i, nodes->point, &nodes->points, event, &input.point)) {
        return false;
    }
    nodes->input[nodes->inputs++] = input;
    return true;
}

bool build_node_output(const struct build *build, unsigned i, unsigned line,
                       const uint64_t event[2]) {
    struct nodes_setup *nodes = &build->bridge->nodes;
    struct nodes_output output = {.line = line};
    unsigned proof;
    if (!lines_proof(line, &proof)) {
        return build_error(build, build_place("/lines/%u/output", i).text,
                           "cannot be an event: only home signals and track power can");
    }
    if (!find_pair(build, i, nodes->command, &nodes->commands, event, &output.command)) {
        return false;
    }
    nodes->output[nodes->outputs++] = output;
    return true;
}

/* S3: the proof must be what the same node says, or it could not be told from the one before. */
static bool find_proof(const struct nodes_setup *nodes, struct nodes_output *output) {
    unsigned proof = 0;
    lines_proof(output->line, &proof);
    for (unsigned i = 0; i < nodes->inputs; i++) {
        if (nodes->input[i].line == proof) {
            output->proof = nodes->input[i].point;
            return true;
        }
    }
    return false;
}

static void find_proofs(const struct build *build) {
    const struct written_lines *written = &build->written->lines;
    struct nodes_setup *nodes = &build->bridge->nodes;
    unsigned output = 0;
    for (unsigned i = 0; i < written->list.count && !build_has_errors(build); i++) {
        if (written->item[i].output[0] != '\0' && build_is_node_line(&written->item[i]) &&
            !find_proof(nodes, &nodes->output[output++])) {
            build_error(build, build_place("/lines/%u/output", i).text,
                        "\"%.60s\" is another node's, so its proof must be an event, too: an "
                        "\"input\" of the same name, and \"signal proof\", \"power proof\" or "
                        "\"span power proof\" with its track (S3)",
                        written->item[i].output);
        }
    }
}

void build_nodes(const struct build *build) {
    const struct written_node *written = &build->written->node;
    struct nodes_setup *nodes = &build->bridge->nodes;
    build->bridge->has_nodes = nodes->inputs + nodes->outputs > 0;
    if (!build->bridge->has_nodes) {
        return;
    }
    nodes->beat_us = build_us(written->beat_s);
    nodes->stale_us = build_us(written->stale_s);
    nodes->obey_us = build_us(written->obey_s);
    if (written->stale_s < written->beat_s + 1) { /* Message Network S: an answer takes 750 ms */
        build_error(build, "/lcc/stale",
                    "is shorter than the beat and a second: an answer may come so late");
    }
    find_proofs(build);
    if (nodes->outputs > 0) {
        build_warning(build, "/lines",
                      "when this daemon or the bus dies, signals and power of other nodes stay as "
                      "they were last commanded: those nodes need a watchdog of their own, or a "
                      "wired relay must cut the power");
    }
}
