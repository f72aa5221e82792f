/* composite.h: the port made of several, for a bridge whose lines are not all served by one driver:
 * a motor here, signals and detectors on another server. Each part is a port like any other and
 * gets the outputs whole; it acts on those lines that its settings name. Of its readings only its
 * own lines are taken.
 * A lost part is a lost device for the bridge (S7), and readings that a part has not confirmed for
 * too long are none (S5). Until every part has started nothing is read but the stop circuit, so
 * that the bridge stays unproved (S6). */
#ifndef IO_COMPOSITE_H
#define IO_COMPOSITE_H

#include "base/error.h"
#include "core/data/setup.h"
#include "io/composite_setup.h"
#include "io/port.h"

/* Reads a struct composite_setup. */
extern const struct port_ops composite_ops;

/* Whether each line that the bridge needs is served, and none that it does not have, nor one by two
 * parts. The error names the line; tracks and ends are numbered in it, from 1. */
bool composite_is_whole(const struct composite_setup *setup, const struct bridge_setup *bridge,
                        struct error *error);

#endif
