/* lines.h: the lines that say how things stand, stamped with when they came to stand so. `out` as
 * in protocol/reply.h. */
#ifndef NET_LINES_H
#define NET_LINES_H

#include "net/registry.h"

size_t line_device(char *out, const struct net_device *device);
size_t line_port(char *out, const struct net_device *device, unsigned port,
                 const struct bridge_view *view);
size_t line_power(char *out, const struct net_bridge *bridge, const struct bridge_view *view);

/* As it was set. */
size_t line_lock(char *out, const struct net_device *device);

/* The clock must be running. The time is the present one. */
size_t line_time_rate(char *out, const struct net_server *server);
size_t line_time(char *out, const struct net_server *server);

#endif
