/* body.h: the JSON that a browser sends: small, one object, read whole or not at all. */
#ifndef PANEL_BODY_H
#define PANEL_BODY_H

#include <cjson/cJSON.h>
#include <stddef.h>

struct evhttp_request;

/* NULL: it has been answered (413, 400). Else for the caller to delete. */
cJSON *body_read(struct evhttp_request *request, size_t most);

/* The text of a member, or NULL if it is not a text. */
const char *body_text(const cJSON *body, const char *name);

#endif
