/* bridge_text.h: the configuration that follows from answers, as JSON. Pure: what is not answered
 * yet is left out, and the reader of configurations says that it is missing. */
#ifndef TOOLS_DRAWTENDER_BRIDGE_TEXT_H
#define TOOLS_DRAWTENDER_BRIDGE_TEXT_H

#include "tools/drawtender/describe/answers.h"

#include <cjson/cJSON.h>
#include <stdbool.h>

/* For the caller to free; NULL: memory is out. `is_simulated` leaves the terminals out. */
char *bridge_text(const struct answers *answers, bool is_simulated);

/* Parts of it, each in a file of its name. */
void bridge_text_lift(cJSON *bridge, const struct answers *answers);
void bridge_text_drive(cJSON *bridge, const struct answers *answers);
void bridge_text_tracks(cJSON *bridge, const struct answers *answers);
void bridge_text_wired(cJSON *bridge, const struct answers *answers);

/* The word at this place of a list of words; false: there are fewer. */
bool bridge_text_word(const char *words, unsigned index, char *word, size_t size);

#endif
