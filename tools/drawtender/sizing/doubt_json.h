/* doubt_json.h: how far a margin may be off, and what to measure first, for programs. */
#ifndef DRAWTENDER_DOUBT_JSON_H
#define DRAWTENDER_DOUBT_JSON_H

#include "plots/sizing_report.h"

#include <cjson/cJSON.h>

/* Adds "spread" (the wider side), "less", "more" and "measure_first" to a verdict's object; null
 * where nothing is said to be off. A side that has no end is null. */
void doubt_json_add(cJSON *object, const struct sizing_report *report, const struct doubt *doubt);

/* The ends of what inputs may be at which the bridge would be refused. */
cJSON *doubt_json_refusals(const struct sizing_report *report);

#endif
