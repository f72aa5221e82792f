#include "tools/drawtender/describe/json_put.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { VALUE_SIZE = 48 };

static void write_value(char text[VALUE_SIZE], double value, const char *unit) {
    snprintf(text, VALUE_SIZE, "%.5g %s", value, unit);
}

void json_put_value(cJSON *object, const char *key, double value, const char *unit) {
    char text[VALUE_SIZE];
    if (isfinite(value)) {
        write_value(text, value, unit);
        cJSON_AddStringToObject(object, key, text);
    }
}

void json_put_guess(cJSON *object, const char *key, double value, const char *unit,
                    unsigned off_percent) {
    char text[VALUE_SIZE];
    if (isfinite(value)) {
        snprintf(text, VALUE_SIZE, "%.5g %s +- %u %%", value, unit, off_percent);
        cJSON_AddStringToObject(object, key, text);
    }
}

void json_put_answer(cJSON *object, const char *key, const struct answers *answers,
                     enum question_id id) {
    const char *value = answers_value(answers, id);
    if (answers_is_several(answers, id)) {
        json_put_value(object, key, answers_number(answers, id), "kg");
    } else if (value != NULL && strcmp(value, "none") != 0 && strcmp(value, "?") != 0) {
        cJSON_AddStringToObject(object, key, value);
    }
}

void json_put_count(cJSON *object, const char *key, const struct answers *answers,
                    enum question_id id) {
    double count = answers_number(answers, id);
    if (!isnan(count)) {
        cJSON_AddNumberToObject(object, key, count);
    }
}

void json_put_yes(cJSON *object, const char *key, const struct answers *answers,
                  enum question_id id) {
    if (answers_is(answers, id, "yes")) {
        cJSON_AddTrueToObject(object, key);
    }
}

void json_put_pair(cJSON *object, const char *key, double forward_m, double up_m) {
    const double lengths[] = {forward_m, up_m};
    char text[VALUE_SIZE];
    if (!isfinite(forward_m) || !isfinite(up_m)) {
        return;
    }
    cJSON *pair = cJSON_AddArrayToObject(object, key);
    for (size_t i = 0; i < 2; i++) {
        write_value(text, lengths[i] == 0 ? 0 : 1000 * lengths[i], "mm");
        cJSON_AddItemToArray(pair, cJSON_CreateString(text));
    }
}

cJSON *json_put_object(cJSON *object, const char *key) {
    return cJSON_AddObjectToObject(object, key);
}

cJSON *json_put_item(cJSON *list) {
    cJSON *item = cJSON_CreateObject();
    cJSON_AddItemToArray(list, item);
    return item;
}
