#include "panel/http/answer.h"

#include <event2/buffer.h>
#include <event2/http.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

static const char no_store[] = "no-store";

static const struct {
    const char *name, *value;
} strict[] = {
    {"Content-Security-Policy",
     "default-src 'none'; script-src 'self'; style-src 'self'; "
     "img-src 'self'; connect-src 'self'; manifest-src 'self'; base-uri 'none'; "
     "form-action 'none'; frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
};

void answer_head(struct evhttp_request *request, const char *type, const char *cache) {
    struct evkeyvalq *headers = evhttp_request_get_output_headers(request);
    for (size_t i = 0; i < sizeof strict / sizeof strict[0]; i++) {
        evhttp_add_header(headers, strict[i].name, strict[i].value);
    }
    evhttp_add_header(headers, "Cache-Control", cache);
    if (type != NULL) {
        evhttp_add_header(headers, "Content-Type", type);
    }
}

void answer_data(struct evhttp_request *request, int code, const char *type,
                 struct evbuffer *body) {
    answer_head(request, type, no_store);
    evhttp_send_reply(request, code, NULL, body);
}

static void send_text(struct evhttp_request *request, int code, const char *text) {
    struct evbuffer *body = evbuffer_new();
    if (body != NULL) {
        evbuffer_add(body, text, strlen(text));
    }
    answer_head(request, "application/json", no_store);
    /* After HEAD the next answer of the connection begins where a body would. */
    bool is_bare = evhttp_request_get_command(request) == EVHTTP_REQ_HEAD;
    evhttp_send_reply(request, code, NULL, is_bare ? NULL : body);
    if (body != NULL) {
        evbuffer_free(body);
    }
}

void answer_json(struct evhttp_request *request, int code, cJSON *json) {
    char *text = json != NULL ? cJSON_PrintUnformatted(json) : NULL;
    cJSON_Delete(json);
    if (text != NULL) {
        send_text(request, code, text);
    } else {
        send_text(request, ANSWER_INTERNAL, "{\"error\":\"no memory\"}");
    }
    cJSON_free(text);
}

void answer_error(struct evhttp_request *request, int code, const char *words) {
    cJSON *json = cJSON_CreateObject();
    cJSON_AddStringToObject(json, "error", words);
    answer_json(request, code, json);
}

void answer_empty(struct evhttp_request *request, int code) {
    answer_head(request, NULL, no_store);
    evhttp_send_reply(request, code, NULL, NULL);
}
