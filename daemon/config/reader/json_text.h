/* json_text.h: JSON text into a tree, within limits and to the letter of RFC 8259: cJSON alone
 * takes control characters, leading zeros and any nesting the stack bears, and cannot say where. */
#ifndef CONFIG_JSON_TEXT_H
#define CONFIG_JSON_TEXT_H

#include "base/error.h"

#include <cjson/cJSON.h>
#include <stddef.h>

enum { JSON_TEXT_MAX = 1024 * 1024, JSON_DEPTH_MAX = 16 };

/* `text` need not end with a NUL. Returns the tree, for the caller to give to cJSON_Delete(), or
 * NULL and fills `error`: where is "line 3, column 7" (both from 1, columns in characters). */
cJSON *json_text_parse(const char *text, size_t length, struct error *error);

/* Returns the whole file, of which one byte more than JSON_TEXT_MAX is read at most, for the caller
 * to free(); or NULL and fills `error`. */
char *json_text_read(const char *path, size_t *length, struct error *error);

#endif
