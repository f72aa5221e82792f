/* link.h: the driver "link": lines of a bridge that are devices on another SRCP server.
 *
 *   rests -> connects      after a pause that doubles from failure to failure
 *         -> homes         both sessions are open: everything commanded is switched off, locked,
 *                          proved off, and every value known
 *         -> runs          from then on lines are read, and driven as the bridge wants
 *   any   -> rests         no reply in time, a closed connection, nonsense, a flood; INFO and GET
 *                          that go on contradicting each other
 *
 * Only while it runs, and nothing that it commands is in trouble (link_device.h), the link is in
 * order; otherwise it is a lost device and reads nothing (S5, S7). Before it has first run it is
 * starting, for no longer than a reply and a proof may take.
 * What this cannot do: when this daemon dies, or the network does, the devices stay as they were
 * last set. Their server must have a watchdog of its own, or a relay must be wired. */
#ifndef IO_LINK_H
#define IO_LINK_H

#include "io/port.h"

/* More bytes than this in one beat are a flood. */
enum { LINK_FLOOD_BYTES = 1 << 20 };

/* Reads an array of struct link_setup. */
extern const struct port_ops link_ops;

#endif
