/* lcc.h: the bridges as nodes of NMRA's Layout Command Control: links, and one node for each bridge
 * that has an id. It asks and tells; it decides nothing about a bridge. */
#ifndef LCC_LCC_H
#define LCC_LCC_H

#include "base/error.h"
#include "lcc/host.h"
#include "lcc/setup.h"

#include <stdint.h>

struct event_base;
struct lcc;

/* Opens all listeners, or none, and begins to connect. `setup`, and the core's setup of each of
 * `bridges` bridges, must outlive it; `host` is copied. Returns NULL and fills `error`. */
struct lcc *lcc_new(struct event_base *base, const struct lcc_setup *setup,
                    const struct bridge_setup *const core[], unsigned bridges,
                    const struct lcc_host *host, struct error *error);
/* NULL is accepted, here and below: then there is no LCC, and nothing happens. */
void lcc_free(struct lcc *lcc);

/* The port that listener `i` really has. */
uint16_t lcc_port(const struct lcc *lcc, unsigned listener);

/* How many descriptors it may have open with this setup. */
unsigned lcc_descriptors(const struct lcc_setup *setup);

/* A bridge's cycle ran: must be called after every step, the steps of lcc_host.ask included. Does
 * next to nothing. */
void lcc_notify(struct lcc *lcc, unsigned bridge, const struct bridge_view *after);

#endif
