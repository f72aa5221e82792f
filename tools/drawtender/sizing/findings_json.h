/* findings_json.h: what a builder asks, for programs: SI units. */
#ifndef TOOLS_DRAWTENDER_FINDINGS_JSON_H
#define TOOLS_DRAWTENDER_FINDINGS_JSON_H

#include "plots/sizing_report.h"

#include <cjson/cJSON.h>

/* Returns an object: an array of rows for each topic. The caller owns it. */
cJSON *findings_json(const struct sizing_report *report);

#endif
