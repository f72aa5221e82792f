/* state_json.h: one bridge as it is now, whole, as the event `state` has it: README.md. */
#ifndef PANEL_STATE_JSON_H
#define PANEL_STATE_JSON_H

#include "core/data/view.h"

#include <cjson/cJSON.h>
#include <stddef.h>

struct net_bridge_setup;
struct panel_context;

/* The member that changes even where nothing else does; the last one. */
#define STATE_JSON_TIME "at_ms"

/* For the caller to delete. */
cJSON *state_json(const struct panel_context *context, unsigned bridge);

/* "home signal to be proved at stop (main, west)"; "" for nothing. */
void state_json_waiting(const struct net_bridge_setup *setup, const struct bridge_view *view,
                        char *words, size_t size);

/* "on", "off", "unknown". */
const char *state_json_level(enum level level);

#endif
