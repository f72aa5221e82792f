/* datagrams.h: the datagrams of a node: what others ask of its memory, and its replies. Only for
 * the files in this folder. */
#ifndef PROTOCOL_LCC_NODE_DATAGRAMS_H
#define PROTOCOL_LCC_NODE_DATAGRAMS_H

#include "protocol/lcc/node/node_state.h"

/* Takes a part of a datagram to this node. */
void lcc_datagrams_take(struct lcc_node *node, uint64_t now_us, const struct lcc_frame *frame);

/* Somebody has confirmed our reply, or rejected it with `error`. */
void lcc_datagrams_confirmed(struct lcc_node *node, uint16_t source);
void lcc_datagrams_rejected(struct lcc_node *node, uint64_t now_us, uint16_t source,
                            unsigned error);

/* Sends again what was not confirmed in time, where there is room. */
void lcc_datagrams_repeat(struct lcc_node *node, uint64_t now_us);

/* Returns when that is next; UINT64_MAX: never. */
uint64_t lcc_datagrams_due_us(const struct lcc_node *node);

#endif
