/* timetable_json.h: a planned timetable for programs. */
#ifndef TOOLS_DRAWTENDER_TIMETABLE_JSON_H
#define TOOLS_DRAWTENDER_TIMETABLE_JSON_H

#include "tools/drawtender/timetable/timetable.h"

#include <cjson/cJSON.h>

/* {"clock", "times", "openings", "trains", "boats", "boats_wait_s"}: times of day as HH:MM:SS of
 * the model, opening numbers from 1. For the caller to free; NULL: memory is out. */
cJSON *timetable_json(const struct timetable *timetable);

#endif
