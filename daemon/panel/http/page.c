#include "panel/http/page.h"

#include "panel/http/answer.h"

#include <event2/buffer.h>
#include <event2/http.h>
#include <stdbool.h>
#include <string.h>

const struct page_file *page_find(const char *name) {
    for (const struct page_file *file = page_files; file->name != NULL; file++) {
        if (strcmp(file->name, name) == 0) {
            return file;
        }
    }
    return NULL;
}

const char *page_type(const char *name) {
    static const struct {
        const char *ending, *type;
    } types[] = {
        {".html", "text/html; charset=utf-8"},
        {".css", "text/css; charset=utf-8"},
        {".js", "text/javascript; charset=utf-8"},
        {".svg", "image/svg+xml"},
        {".png", "image/png"},
        {".json", "application/json"},
        {".webmanifest", "application/manifest+json"},
    };
    const char *ending = strrchr(name, '.');
    for (size_t i = 0; ending != NULL && i < sizeof types / sizeof types[0]; i++) {
        if (strcmp(ending, types[i].ending) == 0) {
            return types[i].type;
        }
    }
    return "application/octet-stream";
}

/* RFC 9110, 12.5.3, as far as browsers go: whoever gives it a weight of nothing does not want it;
 * "*" is not taken as a wish. */
static bool takes_gzip(const char *accepted) {
    const char *at = accepted != NULL ? strstr(accepted, "gzip") : NULL;
    if (at == NULL) {
        return false;
    }
    at += strlen("gzip");
    at += strspn(at, " ");
    if (*at == ';') {
        at += 1 + strspn(at + 1, " ");
        return strncmp(at, "q=0", 3) != 0 || strspn(at + 3, ".0") < strcspn(at + 3, ", ");
    }
    return true;
}

void page_answer(struct evhttp_request *request, const struct page_file *file) {
    const struct evkeyvalq *asked = evhttp_request_get_input_headers(request);
    struct evkeyvalq *headers = evhttp_request_get_output_headers(request);
    const char *has = evhttp_find_header(asked, "If-None-Match");
    answer_head(request, page_type(file->name), "no-cache");
    evhttp_add_header(headers, "ETag", file->tag);
    evhttp_add_header(headers, "Vary", "Accept-Encoding");
    if (has != NULL && strstr(has, file->tag) != NULL) {
        evhttp_send_reply(request, ANSWER_NOT_MODIFIED, NULL, NULL);
        return;
    }
    struct evbuffer *body = evbuffer_new();
    if (body == NULL) {
        evhttp_send_reply(request, ANSWER_INTERNAL, NULL, NULL);
    } else if (takes_gzip(evhttp_find_header(asked, "Accept-Encoding"))) {
        evhttp_add_header(headers, "Content-Encoding", "gzip");
        evbuffer_add_reference(body, file->packed, file->packed_length, NULL, NULL);
        evhttp_send_reply(request, ANSWER_OK, NULL, body);
    } else {
        evbuffer_add_reference(body, file->plain, file->plain_length, NULL, NULL);
        evhttp_send_reply(request, ANSWER_OK, NULL, body);
    }
    if (body != NULL) {
        evbuffer_free(body);
    }
}
