/* config_text.h: configurations as text, and what was said of them. */
#ifndef SUPPORT_CONFIG_TEXT_H
#define SUPPORT_CONFIG_TEXT_H

#include "config/config.h"

#include <cjson/cJSON.h>

/* The whole file with a NUL after it, for the caller to free(); fails the test if it is not there.
 */
char *config_text_of_file(const char *path);

/* Whether the list has a complaint of exactly this place that contains these words. */
bool config_text_has(const struct config_list *list, const char *where, const char *words);

/* To the test's error output. */
void config_text_print(const struct config_list *list);

/* Puts the JSON text `value` at the JSON Pointer `where` of `tree`, or takes away what is there if
 * `value` is NULL. A new key of an object is made; an index must exist. Fails the test if there is
 * no such place. Tokens without "~". */
void config_text_patch(cJSON *tree, const char *where, const char *value);

/* Reads the example `file` of config/, patched so. Returns whether it is usable. */
bool config_text_read_with(const char *file, const char *where, const char *value,
                           struct config *config, struct config_report *report);

#endif
