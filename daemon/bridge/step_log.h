/* step_log.h: a bridge's changes as log lines. */
#ifndef DAEMON_STEP_LOG_H
#define DAEMON_STEP_LOG_H

#include "core/bridge.h"
#include "core/data/view.h"
#include "net/setup.h"

/* One line for each change of phase or fault, with the bridge's name, and what it waits for; and
 * for a home signal that is asked to show proceed and does not yet. */
void step_log(const struct net_bridge_setup *bridge, const struct bridge_view *before,
              const struct bridge_view *after);

#endif
