/* node_lines.h: joins the lines of bridges that are devices of other nodes of LCC (io/nodes) with
 * the bus that carries their events (lcc). */
#ifndef BRIDGE_NODE_LINES_H
#define BRIDGE_NODE_LINES_H

#include "io/nodes/nodes_setup.h"
#include "io/nodes/nodes_wire.h"
#include "lcc/lcc.h"

struct node_lines {
    struct lcc *lcc; /* NULL: none, or not yet */
    struct nodes_wire wire[LCC_BRIDGES_MAX];
};

/* Before any bridge is opened. `lines` may not move. */
void node_lines_init(struct node_lines *lines);

/* What the driver of this bridge is to be given. */
struct nodes_given node_lines_given(struct node_lines *lines, unsigned bridge,
                                    const struct nodes_setup *setup);

/* Of struct lcc_host. */
void node_lines_said(struct node_lines *lines, unsigned bridge, const struct lcc_said *said);
void node_lines_came(struct node_lines *lines);

#endif
