/* node.h: one node of the bus. Frames come in, frames go out, what was asked of it is taken by its
 * owner; it has no socket and no clock. Times are microseconds of any clock that does not run
 * backwards. A node answers while it tells, and remembers nobody's node id: aliases are enough. */
#ifndef PROTOCOL_LCC_NODE_NODE_H
#define PROTOCOL_LCC_NODE_NODE_H

#include "protocol/lcc/alias.h"
#include "protocol/lcc/assembly.h"
#include "protocol/lcc/node/events.h"
#include "protocol/lcc/node/heard.h"
#include "protocol/lcc/node/out.h"
#include "protocol/lcc/node/pace.h"
#include "protocol/lcc/node/setup.h"

/* A reply that goes as a datagram is kept until the other has confirmed it: sent anew after 3 s,
 * twice, then dropped (ours; S: not under 3 s). */
enum { LCC_REPLIES_MAX = 4, LCC_REPLY_US = 3000000, LCC_REPLY_TRIES = 3 };

struct lcc_reply {
    bool is_used;
    uint16_t destination;
    unsigned tries;
    uint64_t again_us;
    unsigned length;
    uint8_t datagram[LCC_DATAGRAM_MAX];
};

struct lcc_node {
    const struct lcc_node_setup *setup;
    struct lcc_alias alias;
    uint16_t lost;       /* an alias whose AMR is owed; 0: none */
    bool is_initialized; /* the bus knows that the node is there */
    bool is_restarting;  /* asked to, and first says so */
    bool owes_reserve, owes_define, owes_verified;
    struct lcc_out out;
    struct lcc_events events;
    struct lcc_heard_queue heard;
    struct lcc_assembly assembly;
    struct lcc_reply reply[LCC_REPLIES_MAX];
    uint64_t holder; /* who has reserved the memory; 0: nobody */
    struct lcc_pace answers, tells;
    uint16_t twin;            /* alias of a node that has our id; 0: none was seen */
    struct lcc_heard refused; /* came on a link that may not ask; source 0: nothing did */
};

/* `setup` must outlive the node. It does not start. */
void lcc_node_init(struct lcc_node *node, const struct lcc_node_setup *setup);

/* Starts, or starts anew: an alias, and then all states are told. */
void lcc_node_start(struct lcc_node *node);

/* The bus is gone: nothing is sent until lcc_node_start(); what was not sent is dropped. */
void lcc_node_stop(struct lcc_node *node);

/* Something is so, or not, or not known. */
void lcc_node_set(struct lcc_node *node, unsigned fact, enum lcc_truth truth);

/* Where a frame came from; `link` is handed back with what was heard in it. */
struct lcc_origin {
    unsigned link;
    bool may_ask; /* events of this link are requests, not only those that are for all */
};

/* Takes a frame of another node. */
void lcc_node_take(struct lcc_node *node, uint64_t now_us, const struct lcc_frame *frame,
                   struct lcc_origin origin);

/* Fills the next frame to send. Returns false if none may go now. */
bool lcc_node_next(struct lcc_node *node, uint64_t now_us, struct lcc_frame *frame);

/* Returns when lcc_node_next() may have a frame, if no other comes; UINT64_MAX: never. */
uint64_t lcc_node_due_us(const struct lcc_node *node);

/* Takes an event that was reported. Returns false if there is none. */
bool lcc_node_heard(struct lcc_node *node, uint64_t now_us, struct lcc_heard *heard);

/* Takes an event that was not heard, for its link may not ask; the last, if there were more.
 * Returns false if there is none. */
bool lcc_node_refused(struct lcc_node *node, struct lcc_heard *refused);

/* Returns the alias of another node that has this node's id, once each time it is seen; 0: none. */
uint16_t lcc_node_twin(struct lcc_node *node);

#endif
