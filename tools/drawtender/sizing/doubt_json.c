#include "tools/drawtender/sizing/doubt_json.h"

#include "plots/sizing_words.h"

#include <math.h>

static void add_number(cJSON *object, const char *name, bool is_known, double value) {
    cJSON_AddItemToObject(
        object, name, is_known && isfinite(value) ? cJSON_CreateNumber(value) : cJSON_CreateNull());
}

void doubt_json_add(cJSON *object, const struct sizing_report *report, const struct doubt *doubt) {
    bool is_known = doubt->cause > 0;
    const char *cause = sizing_words_cause(report, doubt);
    add_number(object, "spread", is_known, doubt_wider(doubt));
    add_number(object, "less", is_known, doubt->less);
    add_number(object, "more", is_known, doubt->more);
    cJSON_AddItemToObject(object, "measure_first",
                          cause != NULL ? cJSON_CreateString(cause) : cJSON_CreateNull());
}

cJSON *doubt_json_refusals(const struct sizing_report *report) {
    const struct sizing_refusals *refusals = &report->refusals;
    cJSON *list = cJSON_CreateArray();
    for (size_t i = 0; i < refusals->count && i < SIZING_REFUSALS_MAX; i++) {
        const struct sizing_refusal *refusal = &refusals->refusal[i];
        char words[1024], value[64];
        cJSON *object = cJSON_CreateObject();
        sizing_words_refusal(report, refusal, words, sizeof words);
        config_moves_text(report->moves, refusal->input, refusal->way, value, sizeof value);
        cJSON_AddStringToObject(object, "where", config_moves_where(report->moves, refusal->input));
        cJSON_AddStringToObject(object, "end", refusal->way < 0 ? "least" : "most");
        cJSON_AddStringToObject(object, "value", value);
        cJSON_AddStringToObject(object, "words", words);
        cJSON_AddItemToArray(list, object);
    }
    return list;
}
