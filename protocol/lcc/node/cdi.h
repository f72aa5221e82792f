/* cdi.h: a node's description of its memory, for programs that configure nodes: Configuration
 * Description Information S, 14 Jun 2025, schema 1.4. */
#ifndef PROTOCOL_LCC_NODE_CDI_H
#define PROTOCOL_LCC_NODE_CDI_H

#include "protocol/lcc/node/setup.h"

/* Writes the description with its zero, as far as `size` lets it. Returns the size that it takes;
 * more than `size`: it was cut. Nothing is written for a size of 0. Characters beyond ASCII are
 * written as "?": not everybody who reads it knows UTF-8. */
size_t lcc_cdi_write(const struct lcc_node_setup *setup, char *text, size_t size);

#endif
