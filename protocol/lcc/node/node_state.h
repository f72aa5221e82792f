/* node_state.h: what a node remembers. Only for the files in this folder to write; times are as in
 * node.h. */
#ifndef PROTOCOL_LCC_NODE_NODE_STATE_H
#define PROTOCOL_LCC_NODE_NODE_STATE_H

#include "protocol/lcc/alias.h"
#include "protocol/lcc/assembly.h"
#include "protocol/lcc/node/events.h"
#include "protocol/lcc/node/out.h"
#include "protocol/lcc/node/pace.h"
#include "protocol/lcc/node/received.h"
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
    struct lcc_received_queue received;
    struct lcc_assembly assembly;
    struct lcc_reply reply[LCC_REPLIES_MAX];
    uint64_t holder; /* who has reserved the memory; 0: nobody */
    struct lcc_pace answers, tells;
    uint16_t twin;               /* alias of a node that has our id; 0: none was seen */
    struct lcc_received refused; /* came on a link that may not ask; source 0: nothing did */
};

#endif
