/* json_put.h: members of a configuration, left out where there is nothing to put. */
#ifndef TOOLS_DRAWTENDER_JSON_PUT_H
#define TOOLS_DRAWTENDER_JSON_PUT_H

#include "tools/drawtender/describe/answers.h"

#include <cjson/cJSON.h>

/* Of what nobody has measured: with how far it may be off. */
void json_put_guess(cJSON *object, const char *key, double value, const char *unit,
                    unsigned off_percent);

/* A number with its unit, "0.42 m", rounded to what can be measured; nothing if it is NAN. */
void json_put_value(cJSON *object, const char *key, double value, const char *unit);
/* The answer as it was written, or assumed; nothing for "none", "?" or no answer. */
void json_put_answer(cJSON *object, const char *key, const struct answers *answers,
                     enum question_id id);
/* A whole number; nothing without an answer. */
void json_put_count(cJSON *object, const char *key, const struct answers *answers,
                    enum question_id id);
/* true after a "yes"; else nothing. */
void json_put_yes(cJSON *object, const char *key, const struct answers *answers,
                  enum question_id id);
/* Two lengths; nothing unless both are numbers. */
void json_put_pair(cJSON *object, const char *key, double forward_m, double up_m);

/* A new object for this key. */
cJSON *json_put_object(cJSON *object, const char *key);
/* A new object at the end of this list. */
cJSON *json_put_item(cJSON *list);

#endif
