/* nodes.h: the driver "nodes": lines of a bridge that are devices of other nodes of LCC.
 *
 *   lost  -> homes       somebody is on the bus, and this bridge's node may speak: everything
 * commanded is commanded off, everything read is asked for homes -> runs        all is proved off,
 * and known; from then on lines are read and driven any   -> lost        nobody is on the bus
 *
 * Only while it runs, and nothing that it commands is in trouble (nodes_command.h), it is in order;
 * otherwise it is a lost device and reads nothing (S5, S7). A single line that nobody confirms in
 * time is not known (S5). Before it has first run it is starting, for as long as that may take.
 * What this cannot do: when this daemon dies, or the bus does, signals and power stay as they were
 * last commanded. Their nodes must have a watchdog of their own, or a relay must be wired. */
#ifndef IO_NODES_H
#define IO_NODES_H

#include "io/port.h"

/* To find a hub and get an alias, once; beside the time to obey. */
enum { NODES_START_US = 2000000 };

/* Reads a struct nodes_given. */
extern const struct port_ops nodes_ops;

#endif
