#include "panel/http/body.h"

#include "panel/http/answer.h"

#include <event2/buffer.h>
#include <event2/http.h>

cJSON *body_read(struct evhttp_request *request, size_t most) {
    struct evbuffer *input = evhttp_request_get_input_buffer(request);
    size_t length = evbuffer_get_length(input);
    if (length > most) {
        answer_error(request, ANSWER_TOO_LARGE, "the request is too long");
        return NULL;
    }
    const char *text = (const char *)evbuffer_pullup(input, -1);
    const char *end = NULL;
    cJSON *body = text != NULL ? cJSON_ParseWithLengthOpts(text, length, &end, 0) : NULL;
    while (body != NULL && end < text + length && (*end == ' ' || *end == '\n' || *end == '\r')) {
        end++;
    }
    if (!cJSON_IsObject(body) || end != text + length) {
        cJSON_Delete(body);
        answer_error(request, ANSWER_BAD_REQUEST, "wanted one JSON object");
        return NULL;
    }
    return body;
}

const char *body_text(const cJSON *body, const char *name) {
    return cJSON_GetStringValue(cJSON_GetObjectItemCaseSensitive(body, name));
}
