/* json.h: the bridge for programs. Each object fits on a line of its own; null is what the server
 * has not told. Whoever gets an object frees it with cJSON_Delete(); NULL: memory is out. */
#ifndef TOOLS_DRAWTENDER_JSON_H
#define TOOLS_DRAWTENDER_JSON_H

#include "tools/drawtender/client/picture.h"

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

/* {"bus", "phase", "goal", "waits_for", "fault", "motion", "power", "devices"} */
cJSON *json_state(const struct picture *picture);

/* {"time", "event", ...}: what has changed, with the fields of json_state() that belong to it. */
cJSON *json_change(const struct picture *picture, const struct picture_change *change,
                   uint64_t time_us);

/* Prints the object on one line, flushes and frees it. False if that failed. */
bool json_print(FILE *out, cJSON *object);

#endif
