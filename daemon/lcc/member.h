/* member.h: a bridge as a node: its setup out of the configuration's, and what it is asked. */
#ifndef LCC_MEMBER_H
#define LCC_MEMBER_H

#include "lcc/host.h"
#include "lcc/setup.h"
#include "protocol/lcc/node/node.h"

struct lcc_link;

struct member {
    unsigned bridge;
    const struct bridge_setup *core;
    const struct lcc_bridge_setup *setup;
    const struct lcc_host *host;
    struct lcc_node_setup node_setup;
    struct lcc_node node;
    char *cdi;
    uint16_t twin; /* the last that was logged */
};

/* `clock`: an event of the clock that this node asks for; 0: none. Returns NULL without memory. All
 * that is given must outlive it. */
struct member *member_new(unsigned bridge, const struct bridge_setup *core,
                          const struct lcc_bridge_setup *setup, uint64_t clock,
                          const struct lcc_host *host);
void member_free(struct member *member);

/* Takes a frame of another node. */
void member_take(struct member *member, uint64_t now_us, const struct lcc_frame *frame,
                 struct lcc_origin origin);

/* The bridge wants a line so; told again if it is wanted so already. */
void member_command(struct member *member, unsigned command, bool is_on);

/* The bridge is so now. */
void member_see(struct member *member, const struct bridge_view *view);

/* Asks the bridge for what its node has heard; `find_link` names the link that it came by, NULL: it
 * has gone. */
void member_ask(struct member *member, uint64_t now_us,
                struct lcc_link *(*find_link)(void *context, unsigned number), void *context);

#endif
