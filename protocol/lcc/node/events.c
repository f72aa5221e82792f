#include "protocol/lcc/node/events.h"

#include "protocol/lcc/identifier.h"
#include "protocol/lcc/message.h"

unsigned lcc_events_count(const struct lcc_node_setup *setup) {
    return 2 * setup->facts + setup->wanted;
}

static bool is_produced(const struct lcc_node_setup *setup, unsigned i) {
    return i < 2 * setup->facts;
}

/* Of a fact's two events the first is that it is so. */
static unsigned side_of(unsigned i) {
    return 1 - i % 2;
}

uint64_t lcc_events_id(const struct lcc_node_setup *setup, unsigned i) {
    return is_produced(setup, i) ? setup->fact[i / 2].event[side_of(i)]
                                 : setup->want[i - 2 * setup->facts].event;
}

const char *lcc_events_words(const struct lcc_node_setup *setup, unsigned i) {
    return is_produced(setup, i) ? setup->fact[i / 2].words[side_of(i)]
                                 : setup->want[i - 2 * setup->facts].words;
}

static void mark(bool *owed, unsigned *count, bool is_owed) {
    if (*owed != is_owed) {
        *owed = is_owed;
        *count += is_owed ? 1u : (unsigned)-1;
    }
}

static void count_changed(struct lcc_events *events, unsigned fact, enum lcc_truth truth,
                          enum lcc_truth told) {
    bool was = events->truth[fact] != events->told[fact];
    events->truth[fact] = truth;
    events->told[fact] = told;
    bool is = truth != told;
    if (was != is) {
        events->changed += is ? 1u : (unsigned)-1;
    }
}

void lcc_events_ask_all(struct lcc_events *events, const struct lcc_node_setup *setup) {
    for (unsigned i = 0; i < lcc_events_count(setup); i++) {
        mark(&events->is_listed[i], &events->listed, true);
    }
}

void lcc_events_start(struct lcc_events *events, const struct lcc_node_setup *setup) {
    for (unsigned f = 0; f < setup->facts; f++) {
        count_changed(events, f, events->truth[f], events->truth[f]);
        events->is_advertised[f] = false;
        mark(&events->is_repeated[f], &events->repeated, false);
    }
    lcc_events_ask_all(events, setup);
}

void lcc_events_set(struct lcc_events *events, unsigned fact, enum lcc_truth truth) {
    count_changed(events, fact, truth, events->told[fact]);
}

void lcc_events_repeat(struct lcc_events *events, unsigned fact) {
    mark(&events->is_repeated[fact], &events->repeated, true);
}

void lcc_events_ask(struct lcc_events *events, const struct lcc_node_setup *setup,
                    bool is_produced_asked, uint64_t event) {
    for (unsigned i = 0; i < lcc_events_count(setup); i++) {
        if (lcc_events_id(setup, i) == event && is_produced(setup, i) == is_produced_asked) {
            mark(&events->is_asked[i], &events->asked, true);
        }
    }
}

bool lcc_events_owe(const struct lcc_events *events) {
    return events->changed + events->repeated + events->asked + events->listed > 0;
}

static struct lcc_frame frame_of(uint16_t mti, uint16_t alias, uint64_t event) {
    uint8_t content[LCC_EVENT_BYTES];
    lcc_put(content, event, sizeof content);
    return lcc_frame_global(mti, alias, content, sizeof content);
}

static uint16_t mti_of(const struct lcc_events *events, const struct lcc_node_setup *setup,
                       unsigned i) {
    if (!is_produced(setup, i)) {
        return LCC_CONSUMER_UNKNOWN; /* what was asked last is nothing that a bridge shows */
    }
    switch (events->truth[i / 2]) {
    case LCC_UNKNOWN:
        break;
    case LCC_FALSE:
        return side_of(i) == 0 ? LCC_PRODUCER_VALID : LCC_PRODUCER_INVALID;
    case LCC_TRUE:
        return side_of(i) == 1 ? LCC_PRODUCER_VALID : LCC_PRODUCER_INVALID;
    }
    return LCC_PRODUCER_UNKNOWN;
}

static struct lcc_frame identify(struct lcc_events *events, const struct lcc_node_setup *setup,
                                 uint16_t alias, unsigned i) {
    mark(&events->is_asked[i], &events->asked, false);
    mark(&events->is_listed[i], &events->listed, false);
    if (is_produced(setup, i) && !events->is_listed[i ^ 1]) {
        events->is_advertised[i / 2] = true; /* a start lists both */
    }
    return frame_of(mti_of(events, setup, i), alias, lcc_events_id(setup, i));
}

/* Before a report both events must have been identified (Event Transport S); what is not known any
 * more has no event, and is identified as unknown (ours). */
static struct lcc_frame report(struct lcc_events *events, const struct lcc_node_setup *setup,
                               uint16_t alias, unsigned fact) {
    if (!events->is_advertised[fact]) {
        return identify(events, setup, alias, 2 * fact + !events->is_listed[2 * fact]);
    }
    enum lcc_truth truth = events->truth[fact];
    count_changed(events, fact, truth, truth);
    mark(&events->is_repeated[fact], &events->repeated, false);
    if (truth == LCC_UNKNOWN) {
        mark(&events->is_asked[2 * fact + 1], &events->asked, true);
        return identify(events, setup, alias, 2 * fact);
    }
    return frame_of(LCC_EVENT_REPORT, alias, setup->fact[fact].event[truth == LCC_TRUE]);
}

static bool is_owed(const struct lcc_events *events, unsigned fact) {
    return events->truth[fact] != events->told[fact] || events->is_repeated[fact];
}

/* Off before on, as at every output. */
static bool next_command(struct lcc_events *events, const struct lcc_node_setup *setup,
                         uint16_t alias, struct lcc_frame *frame) {
    for (int is_on = 0; is_on <= 1; is_on++) {
        for (unsigned f = 0; f < setup->facts && events->changed + events->repeated > 0; f++) {
            if (setup->fact[f].is_command && is_owed(events, f) &&
                (events->truth[f] == LCC_TRUE) == is_on) {
                *frame = report(events, setup, alias, f);
                return true;
            }
        }
    }
    return false;
}

bool lcc_events_next(struct lcc_events *events, const struct lcc_node_setup *setup, uint16_t alias,
                     struct lcc_frame *frame) {
    if (next_command(events, setup, alias, frame)) {
        return true;
    }
    for (unsigned i = 0; i < setup->facts && events->changed > 0; i++) {
        unsigned f = (events->turn + i) % setup->facts;
        if (events->truth[f] != events->told[f]) {
            events->turn = events->is_advertised[f] ? f + 1 : f;
            *frame = report(events, setup, alias, f);
            return true;
        }
    }
    const bool *owed = events->asked > 0 ? events->is_asked : events->is_listed;
    for (unsigned i = 0; i < lcc_events_count(setup) && events->asked + events->listed > 0; i++) {
        if (owed[i]) {
            *frame = identify(events, setup, alias, i);
            return true;
        }
    }
    return false;
}
