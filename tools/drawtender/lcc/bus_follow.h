/* bus_follow.h: all that goes over an LCC bus, as a passive reader at a listener hears it. */
#ifndef TOOLS_DRAWTENDER_BUS_FOLLOW_H
#define TOOLS_DRAWTENDER_BUS_FOLLOW_H

#include "tools/drawtender/tool.h"

/* Connects to options->lcc and prints each frame as a line, until the limit (OUTCOME_DONE), an
 * interrupt or the end of the connection. Sends nothing, so it needs no alias. The first word is
 * the configuration that names events, if there is one. */
enum outcome bus_follow(struct tool *tool);

#endif
