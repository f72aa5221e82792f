/* permission.h: whether a request would be granted now, and why not, in words. */
#ifndef PANEL_PERMISSION_H
#define PANEL_PERMISSION_H

#include "core/data/request.h"

#include <stdbool.h>

struct panel_context;

enum { PERMISSION_WORDS_SIZE = 320 };

/* Returns the words for an answer of the bridge, as the page shows them. */
const char *permission_words(enum bridge_answer answer);

/* Returns whether the bridge's stand, or a session of the protocol, keeps this request away, and
 * fills `why`. Nothing keeps a stop or an emergency stop away (S9). */
bool permission_is_barred(const struct panel_context *context, unsigned bridge,
                          const struct bridge_request *request, char why[PERMISSION_WORDS_SIZE]);

/* Returns whether it would be granted now, and change something; if not, fills `why`; else "". */
bool permission_would(const struct panel_context *context, unsigned bridge,
                      enum bridge_request_kind kind, char why[PERMISSION_WORDS_SIZE]);

#endif
