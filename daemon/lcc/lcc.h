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

/* ---- lines of a bridge that are devices of other nodes; `lcc` must be there */

/* Whether there is anybody to hear. */
bool lcc_is_up(const struct lcc *lcc);

/* Whether the bridge's node has an alias, and has told who it is. */
bool lcc_may_send(const struct lcc *lcc, unsigned bridge);

/* Asks whose event this is, and whether it holds. Returns false if the node may send nothing now.
 */
bool lcc_identify(struct lcc *lcc, unsigned bridge, uint64_t event);

/* Sends the event that is wanted of a line, again too. */
void lcc_command(struct lcc *lcc, unsigned bridge, unsigned command, bool is_on);

/* Does what the loop does here, where no loop runs: waits `limit_ms` at the longest for something
 * to come, takes and sends what goes at once. From then on bridges are asked nothing. */
void lcc_exchange(struct lcc *lcc, int limit_ms);

/* Commands all lines of the bridge off, as far as the kernel takes it at once. Async-signal-safe;
 * nothing else may be called afterwards. */
void lcc_crash_off(const struct lcc *lcc, unsigned bridge);

#endif
