/* event_list.h: the events of a configuration's bridges as nodes of LCC, by name. */
#ifndef TOOLS_DRAWTENDER_EVENT_LIST_H
#define TOOLS_DRAWTENDER_EVENT_LIST_H

#include "base/error.h"
#include "config/config.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct event_row {
    const char *bridge, *name;
    const char *use; /* "told", "heard", "sent", "read" */
    uint64_t event;
};

/* Reads a configuration. Returns false and fills `error` with its first mistake. */
bool event_list_read(const char *file, struct config *config, struct config_report *complaints,
                     struct error *error);

/* Calls `take` for each event of each bridge that is a node. Returns how many are. */
unsigned event_list_each(const struct config *config,
                         void (*take)(void *context, const struct event_row *row), void *context);

/* Writes what an event is called, "Kettle Narrows: moving": by each bridge that has it, ", "
 * between them; "" if none has. */
void event_list_name(const struct config *config, uint64_t event, char *out, size_t size);

#endif
