/* fast_clock.h: TIME as the server keeps it: the model clock, who is told of it, and when. */
#ifndef NET_FAST_CLOCK_H
#define NET_FAST_CLOCK_H

#include "net/registry.h"

bool fast_clock_init(struct net_server *server);
void fast_clock_free(struct net_server *server);

void fast_clock_start(struct net_server *server, uint32_t fx, uint32_t fy);

/* Starts a clock that stands, one to one. */
void fast_clock_set(struct net_server *server, const struct model_time *time);
void fast_clock_stop(struct net_server *server);

/* The clock follows the layout's, which says that it is so. A minute that is told already is not
 * told again. */
void fast_clock_follow(struct net_server *server, const struct net_clock *layout);

/* The number of listeners changed: the minute is counted only for somebody. */
void fast_clock_arm(struct net_server *server);

#endif
