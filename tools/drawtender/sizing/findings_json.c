#include "tools/drawtender/sizing/findings_json.h"

#include "config/reader/measure.h"
#include "plots/finding_words.h"
#include "plots/sizing_words.h"
#include "tools/drawtender/sizing/doubt_json.h"

#include <math.h>

enum { WORDS_SIZE = 512 };

static void add_number(cJSON *object, const char *name, double value) {
    cJSON_AddItemToObject(object, name,
                          isfinite(value) ? cJSON_CreateNumber(value) : cJSON_CreateNull());
}

static void add_missing(cJSON *row, const struct sizing_report *report,
                        const struct finding *finding) {
    char place[WORDS_SIZE];
    finding_words_place(report, finding, place, sizeof place);
    cJSON_AddStringToObject(row, "missing", place);
    const char *advice = measure_for(place);
    if (advice != NULL) {
        cJSON_AddStringToObject(row, "measure", advice);
    }
}

static cJSON *row_of(const struct sizing_report *report, const struct finding *finding) {
    char words[WORDS_SIZE];
    cJSON *row = cJSON_CreateObject();
    finding_words(report, finding, words, sizeof words);
    cJSON_AddStringToObject(row, "about", finding_words_key(finding->about));
    cJSON_AddStringToObject(row, "state", finding_words_state(finding));
    cJSON_AddStringToObject(row, "words", words);
    add_number(row, "value", finding->value);
    cJSON_AddStringToObject(row, "unit", finding_words_unit(finding->about));
    add_number(row, "least", finding->least);
    add_number(row, "most", finding->most);
    add_number(row, "margin", finding->margin);
    doubt_json_add(row, report, &finding->doubt);
    add_number(row, "position", sizing_report_shown(report, finding->at));
    if (finding->state == VERDICT_UNKNOWN) {
        add_missing(row, report, finding);
    }
    return row;
}

cJSON *findings_json(const struct sizing_report *report) {
    cJSON *object = cJSON_CreateObject();
    cJSON *rows = NULL;
    enum finding_topic topic = FINDING_TOPICS;
    for (unsigned i = 0; i < report->findings.count; i++) {
        const struct finding *finding = &report->findings.finding[i];
        if (finding_topic(finding->about) != topic) {
            topic = finding_topic(finding->about);
            rows = cJSON_AddArrayToObject(object, finding_words_topic_key(topic));
        }
        cJSON_AddItemToArray(rows, row_of(report, finding));
    }
    return object;
}
