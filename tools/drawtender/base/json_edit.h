/* json_edit.h: changes single values in the text of a JSON file and leaves all else as it was
 * written: order, blanks, line ends. Pure. The text must be sound JSON (config_read_text() says),
 * keys without escapes. */
#ifndef TOOLS_DRAWTENDER_JSON_EDIT_H
#define TOOLS_DRAWTENDER_JSON_EDIT_H

#include "base/error.h"

/* The text with the value at `pointer` ("/bridges/0/motion/travel limit") put to `value`, JSON
 * itself: "\"90 s\"". A key that is missing is made, its object too; an element of a list is not.
 * The caller frees it. NULL, and `error` filled: no such place, or no memory. */
char *json_edit_set(const char *text, const char *pointer, const char *value, struct error *error);

#endif
