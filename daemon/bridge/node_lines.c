#include "bridge/node_lines.h"

#include "protocol/lcc/message.h"

#include <stddef.h>

static struct lcc *lcc_of(const struct nodes_wire *wire) {
    return ((const struct node_lines *)wire->context)->lcc;
}

static bool is_up(const struct nodes_wire *wire) {
    return lcc_of(wire) != NULL && lcc_is_up(lcc_of(wire));
}

static bool may_send(const struct nodes_wire *wire) {
    return lcc_of(wire) != NULL && lcc_may_send(lcc_of(wire), wire->bridge);
}

static bool identify(const struct nodes_wire *wire, uint64_t event) {
    return lcc_of(wire) != NULL && lcc_identify(lcc_of(wire), wire->bridge, event);
}

static void command(const struct nodes_wire *wire, unsigned number, bool is_on) {
    if (lcc_of(wire) != NULL) {
        lcc_command(lcc_of(wire), wire->bridge, number, is_on);
    }
}

static void exchange(const struct nodes_wire *wire, int limit_ms) {
    if (lcc_of(wire) != NULL) {
        lcc_exchange(lcc_of(wire), limit_ms);
    }
}

static void crash_off(const struct nodes_wire *wire) {
    if (lcc_of(wire) != NULL) {
        lcc_crash_off(lcc_of(wire), wire->bridge);
    }
}

void node_lines_init(struct node_lines *lines) {
    lines->lcc = NULL;
    for (unsigned b = 0; b < LCC_BRIDGES_MAX; b++) {
        lines->wire[b] = (struct nodes_wire){.context = lines,
                                             .bridge = b,
                                             .is_up = is_up,
                                             .may_send = may_send,
                                             .identify = identify,
                                             .command = command,
                                             .exchange = exchange,
                                             .crash_off = crash_off};
    }
}

struct nodes_given node_lines_given(struct node_lines *lines, unsigned bridge,
                                    const struct nodes_setup *setup) {
    return (struct nodes_given){.setup = setup, .wire = &lines->wire[bridge]};
}

static enum nodes_word word_of(uint16_t mti) {
    switch (mti) {
    case LCC_EVENT_REPORT:
        return NODES_REPORTS;
    case LCC_PRODUCER_VALID:
        return NODES_HOLDS;
    case LCC_PRODUCER_INVALID:
        return NODES_HOLDS_NOT;
    }
    return NODES_CANNOT_TELL;
}

void node_lines_said(struct node_lines *lines, unsigned bridge, const struct lcc_said *said) {
    nodes_wire_said(&lines->wire[bridge], word_of(said->mti), said->event, said->source);
}

void node_lines_came(struct node_lines *lines) {
    for (unsigned b = 0; b < LCC_BRIDGES_MAX; b++) {
        nodes_wire_woke(&lines->wire[b]);
    }
}
