/* bus_json.h: one frame of an LCC bus for programs. */
#ifndef TOOLS_DRAWTENDER_BUS_JSON_H
#define TOOLS_DRAWTENDER_BUS_JSON_H

#include "tools/drawtender/lcc/bus_reader.h"

#include <cjson/cJSON.h>

/* {"time", "event": "frame", "frame", "alias", "node", "to", "to_node", "kind", "part", "id",
 * "name", "content", "words"}; null is what the frame does not have or nobody has told. Whoever
 * gets it frees it with cJSON_Delete(); NULL: memory is out. */
cJSON *bus_json(uint64_t time_us, const struct lcc_frame *frame, const struct bus_frame *heard,
                const char *name);

#endif
