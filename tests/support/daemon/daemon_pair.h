/* daemon_pair.h: two real daemons: a bridge, and a yard on which it depends by a link; and sessions
 * with both. */
#ifndef SUPPORT_DAEMON_PAIR_H
#define SUPPORT_DAEMON_PAIR_H

#include "support/daemon/daemon.h"

#include <cjson/cJSON.h>

struct daemon_pair {
    struct daemon_run yard, bridge;
    struct daemon_session yard_command, yard_info, command, info;
    bool has_yard, has_bridge;
};

/* Starts the yard with a configuration file; `port` 0: on a free one. */
void daemon_pair_start_yard(struct daemon_pair *pair, const char *config, uint16_t port);

/* Starts the bridge with this tree, whose first link is made to lead to the yard; deletes the tree.
 */
void daemon_pair_start_bridge(struct daemon_pair *pair, cJSON *tree);

/* By this signal; nothing where it has ended. */
void daemon_pair_end_yard(struct daemon_pair *pair, int how);
void daemon_pair_end_bridge(struct daemon_pair *pair, int how);

#endif
