/* spaces.h: the memory of a node, as others read it. All of it is read-only: what is in it comes
 * from the configuration of the node's owner, and is changed there. */
#ifndef PROTOCOL_LCC_NODE_SPACES_H
#define PROTOCOL_LCC_NODE_SPACES_H

#include "protocol/lcc/memory.h"
#include "protocol/lcc/node/setup.h"

/* The configuration space is as long as its events, but has this many bytes at least. */
enum { LCC_CONFIGURATION_BYTES_MIN = 64 };

struct lcc_space lcc_spaces_of(const struct lcc_node_setup *setup, uint8_t space);

/* Copies up to `count` bytes from `address` on. Returns how many, 0 beyond the end. */
unsigned lcc_spaces_read(const struct lcc_node_setup *setup, uint8_t space, uint32_t address,
                         unsigned count, uint8_t *data);

#endif
