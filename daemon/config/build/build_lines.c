/* Lines on other servers and of other nodes: who serves what, and whether that is all, and enough
 * for the invariants.
 */
#include "base/text/near.h"
#include "config/build/build.h"

#include <math.h>
#include <string.h>

struct lines {
    struct build *build;
    struct line_set there;           /* what this bridge has */
    struct line_set linked;          /* what links and other nodes serve */
    bool has_when[LINES_OUTPUTS][8]; /* which devices each output has */
    struct line_set by_link[LINKS_MAX];
    struct line_set by_nodes;
};

static uint64_t bit(unsigned number) {
    return UINT64_C(1) << number;
}

static bool find_link(const struct lines *lines, const char *place, const char *written,
                      unsigned *link) {
    const struct written_links *links = &lines->build->written->links;
    struct near near = near_begin(written);
    for (*link = 0; *link < links->list.count; (*link)++) {
        const char *name = links->item[*link].name;
        if (strcmp(name, written) == 0) {
            return true;
        }
        near_offer(&near, name);
    }
    if (near.best != NULL) {
        return build_error(lines->build, place, "there is no link \"%s\" (did you mean \"%s\"?)",
                           written, near.best);
    }
    return build_error(lines->build, place, "there is no link \"%s\"", written);
}

/* ---- one line */

static bool set_value(const struct lines *lines, unsigned i, struct link_value *value) {
    const struct written_line *line = &lines->build->written->lines.item[i];
    struct place address = build_place("/lines/%u/address", i);
    bool is_power = line->group == LINK_POWER;
    if (line->group < 0) {
        return build_error(lines->build, build_place("/lines/%u/group", i).text,
                           "needed: the kind of device on the other server");
    }
    if (is_power != (line->address == FIELD_NO_NUMBER)) {
        return build_error(lines->build, address.text,
                           is_power ? "POWER has no address: a bus has only one track power"
                                    : "needed: GA and FB have many devices");
    }
    *value = (struct link_value){.group = (enum link_group)line->group,
                                 .bus = line->bus,
                                 .address = is_power ? 0 : line->address,
                                 .port = line->group == LINK_GA ? line->port : 0};
    return true;
}

static void add_input(struct lines *lines, unsigned i, unsigned which) {
    const struct written_line *line = &lines->build->written->lines.item[i];
    struct place place = build_place("/lines/%u/input", i);
    struct link_setup *link = &lines->build->bridge->link[which];
    struct link_input input = {.on = line->on == 1};
    if (!build_find_input(lines->build, place.text, line->input, &input.line) ||
        !set_value(lines, i, &input.at)) {
        return;
    }
    if (input.line >= LINES_LEVELS) {
        build_error(lines->build, place.text, "cannot be read over a link: it is a measured value");
    } else if (input.line == LINE_STOP_CIRCUIT) {
        build_error(lines->build, place.text,
                    "the stop circuit must be wired: no network may lie between it and the lift");
    } else if ((lines->linked.inputs & bit(input.line)) != 0) {
        build_error(lines->build, place.text, "\"%.60s\" is assigned twice", line->input);
    } else if (line->on == FIELD_NO_NUMBER) {
        build_error(lines->build, build_place("/lines/%u/on", i).text,
                    "needed: the value that means made, clear, at stop or dead");
    } else {
        lines->linked.inputs |= bit(input.line);
        lines->by_link[which].inputs |= bit(input.line);
        link->input[link->inputs++] = input;
    }
}

static void complain_of_state(const struct lines *lines, unsigned i) {
    build_error(lines->build, build_place("/lines/%u/when", i).text, "\"%.60s\" has no such state",
                lines->build->written->lines.item[i].output);
}

static void add_output(struct lines *lines, unsigned i, unsigned which) {
    const struct written_line *line = &lines->build->written->lines.item[i];
    struct place place = build_place("/lines/%u/output", i);
    struct link_setup *link = &lines->build->bridge->link[which];
    struct link_output output = {.when = (enum line_when)line->when};
    if (line->when < 0 ||
        !build_find_output(lines->build, place.text, line->output, &output.line) ||
        !set_value(lines, i, &output.at)) {
        return;
    }
    output.off_port = line->group == LINK_GA && line->off_port != FIELD_NO_NUMBER ? line->off_port
                                                                                  : output.at.port;
    if (line->group == LINK_FB) {
        build_error(lines->build, build_place("/lines/%u/group", i).text,
                    "feedback cannot be driven: wanted \"GA\" or \"POWER\"");
    } else if (!build_may_be(output.line, output.when)) {
        complain_of_state(lines, i);
    } else if (lines->has_when[output.line][line->when]) {
        build_error(lines->build, place.text, "\"%.60s\" is assigned twice", line->output);
    } else {
        lines->has_when[output.line][line->when] = true;
        lines->linked.outputs |= bit(output.line);
        lines->by_link[which].outputs |= bit(output.line);
        link->output[link->outputs++] = output;
    }
}

static void add_node_input(struct lines *lines, unsigned i) {
    const struct written_line *line = &lines->build->written->lines.item[i];
    struct place place = build_place("/lines/%u/input", i);
    uint64_t event[2];
    unsigned number;
    if (!build_find_input(lines->build, place.text, line->input, &number) ||
        !build_node_events(lines->build, i, event)) {
        return;
    }
    if ((lines->linked.inputs & bit(number)) != 0) {
        build_error(lines->build, place.text, "\"%.60s\" is assigned twice", line->input);
    } else if (build_node_input(lines->build, i, number, event)) {
        lines->linked.inputs |= bit(number);
        lines->by_nodes.inputs |= bit(number);
    }
}

static void add_node_output(struct lines *lines, unsigned i) {
    const struct written_line *line = &lines->build->written->lines.item[i];
    struct place place = build_place("/lines/%u/output", i);
    uint64_t event[2];
    unsigned number;
    if (line->when < 0 || !build_find_output(lines->build, place.text, line->output, &number) ||
        !build_node_events(lines->build, i, event)) {
        return;
    }
    if (!build_may_be(number, (enum line_when)line->when)) {
        complain_of_state(lines, i);
    } else if (lines->has_when[number][line->when]) {
        build_error(lines->build, place.text, "\"%.60s\" is assigned twice", line->output);
    } else if (build_node_output(lines->build, i, number, event)) {
        lines->has_when[number][LINE_WHEN_ON] = true;
        lines->linked.outputs |= bit(number);
        lines->by_nodes.outputs |= bit(number);
    }
}

static void add_link_line(struct lines *lines, unsigned i) {
    const struct written_line *line = &lines->build->written->lines.item[i];
    struct place place = build_place("/lines/%u/link", i);
    unsigned link;
    if (line->link[0] == '\0') {
        build_error(
            lines->build, place.text,
            "needed: the link that serves it, or else an \"on event\" and an \"off event\"");
    } else if (find_link(lines, place.text, line->link, &link)) {
        (line->input[0] != '\0' ? add_input : add_output)(lines, i, link);
    }
}

static void add_line(struct lines *lines, unsigned i) {
    const struct written_line *line = &lines->build->written->lines.item[i];
    if ((line->input[0] != '\0') == (line->output[0] != '\0')) {
        build_error(lines->build, build_place("/lines/%u", i).text,
                    "wanted either an \"input\" or an \"output\"");
    } else if (build_is_node_line(line)) {
        (line->input[0] != '\0' ? add_node_input : add_node_output)(lines, i);
    } else {
        add_link_line(lines, i);
    }
}

/* ---- one link */

static bool has_approach_detector(const struct bridge_setup *setup) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        if (setup->track[t].end[0].has_approach_detector ||
            setup->track[t].end[1].has_approach_detector) {
            return true;
        }
    }
    return false;
}

static void set_trains(const struct build *build, unsigned i, struct link_setup *link) {
    const struct written_link_trains *trains = &build->written->links.item[i].trains;
    link->trains = trains->list.count;
    for (unsigned t = 0; t < link->trains; t++) {
        link->train[t] = (struct link_train){.bus = trains->item[t].bus,
                                             .address = trains->item[t].address,
                                             .steps = trains->item[t].steps};
    }
    if (link->trains > 0 && !has_approach_detector(&build->net->setup)) {
        build_error(build, build_place("/links/%u/trains", i).text,
                    "trains are stopped when an approach detector sees them, and no track has one");
    }
}

static void check_link_name(const struct build *build, unsigned i) {
    const struct written_links *links = &build->written->links;
    for (unsigned other = 0; other < i; other++) {
        if (strcmp(links->item[i].name, links->item[other].name) == 0) {
            build_error(build, build_place("/links/%u/name", i).text,
                        "\"%s\" is already the name of link %u", links->item[i].name, other);
        }
    }
}

static void set_link(const struct build *build, unsigned i) {
    const struct written_link *written = &build->written->links.item[i];
    struct link_setup *link = &build->bridge->link[i];
    *link = (struct link_setup){.port = (uint16_t)written->port,
                                .beat_us = build_us(written->beat_s),
                                .reply_us = build_us(written->reply_s),
                                .obey_us = build_us(written->obey_s),
                                .retry_least_us = build_us(written->retry_least_s),
                                .retry_most_us = build_us(written->retry_most_s),
                                .lock_s = (uint32_t)ceil(written->lock_s)};
    memcpy(link->name, written->name, sizeof link->name);
    memcpy(link->host, written->address, sizeof link->host);
    if (!build_is_numeric(link->host)) {
        build_error(build, build_place("/links/%u/address", i).text,
                    "found \"%.40s\", wanted a numeric address such as \"127.0.0.1\" or \"::1\"",
                    link->host);
    }
    if (link->retry_most_us < link->retry_least_us) {
        build_error(build, build_place("/links/%u/longest retry", i).text,
                    "is shorter than the first");
    }
    check_link_name(build, i);
    set_trains(build, i, link);
}

static void check_link(const struct lines *lines, unsigned i) {
    const struct link_setup *link = &lines->build->bridge->link[i];
    if (link->inputs + link->outputs == 0) {
        build_error(lines->build, build_place("/links/%u", i).text, "no line uses this link");
    } else if (link->outputs > 0) {
        build_warning(lines->build, build_place("/links/%u", i).text,
                      "when this daemon or the network dies, what it drives there stays as it was "
                      "last set: that server needs a watchdog of its own, or a wired relay must "
                      "cut it");
    }
}

/* ---- the whole */

/* S3: without a proof the core would take a signal to be at stop as soon as it is told to be. */
static void check_proofs(const struct lines *lines) {
    const struct written_lines *written = &lines->build->written->lines;
    for (unsigned i = 0; i < written->list.count; i++) {
        unsigned output, input;
        struct place place = build_place("/lines/%u/output", i);
        if (written->item[i].output[0] == '\0' || build_has_errors(lines->build) ||
            !build_find_output(lines->build, place.text, written->item[i].output, &output) ||
            !lines_proof(output, &input)) {
            continue;
        }
        if ((lines->linked.inputs & bit(input)) == 0) {
            build_error(lines->build, place.text,
                        "\"%.60s\" is driven over a link, so its proof must come over one, too: "
                        "an \"input\" of the same name, and \"signal proof\", \"power proof\" or "
                        "\"span power proof\" with its track (S3)",
                        written->item[i].output);
        }
    }
}

static void check_pairs(const struct lines *lines) {
    static const struct {
        unsigned output;
        enum line_when one, other;
    } pairs[] = {{LINE_LIFT, LINE_WHEN_RAISE, LINE_WHEN_LOWER},
                 {LINE_LOCK, LINE_WHEN_DRIVEN, LINE_WHEN_WITHDRAWN}};
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        const bool *has = lines->has_when[pairs[i].output];
        if (has[pairs[i].one] != has[pairs[i].other]) {
            build_error(lines->build, "/lines", "the %s needs two devices, one for each direction",
                        pairs[i].output == LINE_LIFT ? "lift" : "lock");
        }
    }
}

static void add_part(struct build *build, const char *driver, unsigned which, struct line_set lines,
                     uint32_t stale_us) {
    struct composite_setup *composite = &build->bridge->composite;
    if ((lines.inputs | lines.outputs) == 0) {
        return;
    }
    struct composite_part *part = &composite->part[composite->parts++];
    *part = (struct composite_part){.lines = lines, .which = which, .stale_us = stale_us};
    memcpy(part->driver, driver, strlen(driver) + 1);
}

/* Twice the time in which a link itself would notice: another pair of eyes. */
static uint32_t link_stale_us(const struct link_setup *link) {
    return 2 * (link->beat_us + link->reply_us);
}

static void set_parts(struct lines *lines) {
    struct build *build = lines->build;
    const char *driver = build->written->output;
    bool has_driver = strcmp(driver, "none") != 0;
    struct line_set rest = {lines->there.inputs & ~lines->linked.inputs,
                            lines->there.outputs & ~lines->linked.outputs};
    struct line_set needed = lines_needed(&build->net->setup);
    for (unsigned i = 0; i < build->bridge->links; i++) {
        add_part(build, "link", i, lines->by_link[i], link_stale_us(&build->bridge->link[i]));
    }
    add_part(build, "nodes", 0, lines->by_nodes, 0);
    if (has_driver) {
        add_part(build, driver, 0, rest, 0);
    } else {
        build_complain_of_missing(
            build, "/lines",
            (struct line_set){needed.inputs & rest.inputs, needed.outputs & rest.outputs});
    }
}

void build_lines(struct build *build) {
    const struct written_bridge *written = build->written;
    struct lines lines = {.build = build, .there = lines_there(&build->net->setup)};
    if (written->links.list.count + written->lines.list.count == 0) {
        return;
    }
    build->bridge->links = written->links.list.count;
    for (unsigned i = 0; i < build->bridge->links; i++) {
        set_link(build, i);
    }
    for (unsigned i = 0; i < written->lines.list.count; i++) {
        add_line(&lines, i);
    }
    for (unsigned i = 0; i < build->bridge->links; i++) {
        check_link(&lines, i);
    }
    build_nodes(build);
    check_proofs(&lines);
    check_pairs(&lines);
    set_parts(&lines);
    build->bridge->has_lines = true;
    memcpy(build->bridge->output, "composite", sizeof "composite");
}
