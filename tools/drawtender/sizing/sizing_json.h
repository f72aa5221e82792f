/* sizing_json.h: the sizing report for programs. SI units but for positions, which come in the unit
 * named; null is what is not known or has no meaning. Whoever gets an object frees it with
 * cJSON_Delete(); NULL: memory is out. */
#ifndef TOOLS_DRAWTENDER_SIZING_JSON_H
#define TOOLS_DRAWTENDER_SIZING_JSON_H

#include "plots/sizing_report.h"

#include <cjson/cJSON.h>

/* {"name", "kind", "position_unit", "verdicts", "weights", "values", "watches", "positions",
 * "opening", "closing"} */
cJSON *sizing_json_bridge(const struct sizing_report *report);

/* [{"where", "what", "measure"}] */
cJSON *sizing_json_complaints(const struct config_list *list);

/* [{"what", "place_m", "now_m", "least_m", "most_m"}]: where the sliding weights would be better.
 */
cJSON *sizing_json_slides(const struct config_bridge *bridge, const struct weights *weights);

/* The cautions, as one text. */
cJSON *sizing_json_caution(void);

#endif
