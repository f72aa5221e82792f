/* events.h: the events of a node: what it owes to the bus about them. Newest state wins: what is
 * owed is a mark at an event, never a message that waits. */
#ifndef PROTOCOL_LCC_NODE_EVENTS_H
#define PROTOCOL_LCC_NODE_EVENTS_H

#include "protocol/lcc/frame.h"
#include "protocol/lcc/node/setup.h"

enum lcc_truth { LCC_UNKNOWN = 0, LCC_FALSE, LCC_TRUE };

enum { LCC_EVENTS_MAX = 2 * LCC_FACTS_MAX + LCC_WANTED_MAX };

/* All zero knows nothing and owes nothing. */
struct lcc_events {
    enum lcc_truth truth[LCC_FACTS_MAX];       /* as it is */
    enum lcc_truth told[LCC_FACTS_MAX];        /* as the bus was last told of a change */
    bool is_advertised[LCC_FACTS_MAX];         /* both events, since the node's last start */
    bool is_repeated[LCC_FACTS_MAX];           /* to be told again though nothing has changed */
    bool is_asked[LCC_EVENTS_MAX];             /* somebody asked for this very event */
    bool is_listed[LCC_EVENTS_MAX];            /* to be told with all others */
    unsigned asked, listed, changed, repeated; /* how many */
    unsigned turn; /* the fact that is looked at first: each has its turn */
};

/* Event `i` of a node: first two for each fact, then what it wants. */
unsigned lcc_events_count(const struct lcc_node_setup *setup);
uint64_t lcc_events_id(const struct lcc_node_setup *setup, unsigned i);
const char *lcc_events_words(const struct lcc_node_setup *setup, unsigned i);

/* The node has started: everything must be told, and counts as told as it is. */
void lcc_events_start(struct lcc_events *events, const struct lcc_node_setup *setup);

void lcc_events_set(struct lcc_events *events, unsigned fact, enum lcc_truth truth);

/* A command is to be told again: nobody has shown that it obeys. */
void lcc_events_repeat(struct lcc_events *events, unsigned fact);

/* Somebody asks for all, or for one that is produced or consumed; one that is not ours is nothing.
 */
void lcc_events_ask_all(struct lcc_events *events, const struct lcc_node_setup *setup);
void lcc_events_ask(struct lcc_events *events, const struct lcc_node_setup *setup, bool is_produced,
                    uint64_t event);

bool lcc_events_owe(const struct lcc_events *events);

/* Fills the next frame: commands first, off before on, then other changes, then what was asked for,
 * then the others. Returns false if nothing is owed. */
bool lcc_events_next(struct lcc_events *events, const struct lcc_node_setup *setup, uint16_t alias,
                     struct lcc_frame *frame);

#endif
