/* answer.h: what goes back to a browser. Every answer carries the same strict headers: only what
 * comes from here may be run, shown or asked, and nobody may put the page into another. */
#ifndef PANEL_ANSWER_H
#define PANEL_ANSWER_H

#include <cjson/cJSON.h>
#include <stddef.h>

struct evbuffer;
struct evhttp_request;

/* Ours alone among the codes of RFC 9110; RFC 6585 for the last. */
enum {
    ANSWER_OK = 200,
    ANSWER_NO_CONTENT = 204,
    ANSWER_NOT_MODIFIED = 304,
    ANSWER_BAD_REQUEST = 400,
    ANSWER_UNAUTHORIZED = 401,
    ANSWER_FORBIDDEN = 403,
    ANSWER_NOT_FOUND = 404,
    ANSWER_BAD_METHOD = 405,
    ANSWER_CONFLICT = 409,
    ANSWER_TOO_LARGE = 413,
    ANSWER_BAD_TYPE = 415,
    ANSWER_MISDIRECTED = 421,
    ANSWER_TOO_MANY = 429,
    ANSWER_INTERNAL = 500,
    ANSWER_UNAVAILABLE = 503
};

/* Headers of every answer; `cache`: for Cache-Control. */
void answer_head(struct evhttp_request *request, const char *type, const char *cache);

/* Bytes as they lie in `body`, which is emptied. Not to be kept by anybody. */
void answer_data(struct evhttp_request *request, int code, const char *type, struct evbuffer *body);

/* `json` is freed; NULL: there was no memory for it. */
void answer_json(struct evhttp_request *request, int code, cJSON *json);

/* {"error": words} */
void answer_error(struct evhttp_request *request, int code, const char *words);

/* Nothing but its code. */
void answer_empty(struct evhttp_request *request, int code);

#endif
