/* bridges_json.h: what never changes while the daemon runs: README.md, `GET /bridges`. */
#ifndef PANEL_BRIDGES_JSON_H
#define PANEL_BRIDGES_JSON_H

#include "panel/setup.h"

#include <cjson/cJSON.h>

struct panel_context;

/* For the caller to delete. */
cJSON *bridges_json(const struct panel_context *context, enum panel_right right);

/* "observe", "operate". */
const char *bridges_json_right(enum panel_right right);

#endif
