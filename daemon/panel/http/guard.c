#include "panel/http/guard.h"

#include "panel/http/answer.h"
#include "panel/http/http_listener.h"

#include <arpa/inet.h>
#include <event2/http.h>
#include <event2/keyvalq_struct.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>

enum { HOST_MAX = 255 };

/* --- names */

static bool is_named(const char *host, size_t length, const char *names) {
    while (*names != '\0') {
        size_t size = strcspn(names, " ");
        if (size == length && length > 0 && strncasecmp(host, names, length) == 0) {
            return true;
        }
        names += size + strspn(names + size, " ");
    }
    return false;
}

static bool is_port(const char *text) {
    return *text == '\0' || (*text == ':' && text[1] != '\0' && strlen(text) <= 6 &&
                             strspn(text + 1, "0123456789") == strlen(text + 1));
}

bool guard_is_host(const char *host, const char *names) {
    char name[HOST_MAX + 1];
    struct in6_addr address;
    bool is_bracketed = host[0] == '[';
    size_t length = strcspn(host + is_bracketed, is_bracketed ? "]" : ":");
    if (length > HOST_MAX || (is_bracketed && host[1 + length] != ']') ||
        !is_port(host + length + 2 * (size_t)is_bracketed)) {
        return false;
    }
    snprintf(name, sizeof name, "%.*s", (int)length, host + is_bracketed);
    if (is_bracketed) {
        return inet_pton(AF_INET6, name, &address) == 1;
    }
    return inet_pton(AF_INET, name, &address) == 1 || is_named(name, length, "localhost") ||
           is_named(name, length, names);
}

void guard_cookie_name(const struct http_listener *listener, char name[32]) {
    snprintf(name, 32, "drawtender_%u", http_listener_port(listener));
}

/* --- headers */

/* NULL also if there are two: who knows which of them counts. */
static const char *only(const struct evkeyvalq *headers, const char *name) {
    const char *found = NULL;
    const struct evkeyval *header;
    TAILQ_FOREACH(header, headers, next) {
        if (strcasecmp(header->key, name) == 0) {
            if (found != NULL) {
                return NULL;
            }
            found = header->value;
        }
    }
    return found;
}

static bool is_from_here(const struct http_listener *listener, const struct evkeyvalq *headers,
                         const char *host) {
    const char *scheme = listener->setup->is_behind_tls ? "https://" : "http://";
    const char *origin = only(headers, "Origin");
    return origin != NULL && strncmp(origin, scheme, strlen(scheme)) == 0 &&
           strcasecmp(origin + strlen(scheme), host) == 0;
}

/* Browsers say so themselves; a client that does not is not a browser, or an old one. */
static bool is_other_site(const struct evkeyvalq *headers) {
    const char *site = evhttp_find_header(headers, "Sec-Fetch-Site");
    return site != NULL && strcmp(site, "same-origin") != 0 && strcmp(site, "none") != 0;
}

static bool is_json(const struct evkeyvalq *headers) {
    static const char json[] = "application/json";
    const char *type = only(headers, "Content-Type");
    return type != NULL && strncasecmp(type, json, strlen(json)) == 0 &&
           strchr("; ", type[strlen(json)]) != NULL;
}

static bool has_pass(const struct http_listener *listener, const struct evkeyvalq *headers) {
    char name[32];
    guard_cookie_name(listener, name);
    return !listener->token.is_needed ||
           token_has_pass(&listener->token, evhttp_find_header(headers, "Cookie"), name);
}

static bool is_near_enough(const struct http_listener *listener, struct evhttp_request *request) {
    const struct sockaddr *from =
        evhttp_connection_get_addr(evhttp_request_get_connection(request));
    return from != NULL &&
           network_may_come(listener->setup->network, listener->setup->networks, from);
}

/* --- what stands in the way; 0: nothing */

struct refusal {
    int code;
    const char *words;
};

/* Of any request. */
static struct refusal look_at_caller(const struct http_listener *listener,
                                     struct evhttp_request *request, const char *host) {
    if (!is_near_enough(listener, request)) {
        return (struct refusal){ANSWER_FORBIDDEN, "this panel does not accept your network"};
    }
    if (evhttp_request_get_uri(request)[0] != '/') {
        return (struct refusal){ANSWER_BAD_REQUEST, "wanted a path of this panel"};
    }
    if (host == NULL) {
        return (struct refusal){ANSWER_BAD_REQUEST, "wanted one Host"};
    }
    if (!guard_is_host(host, listener->setup->names)) {
        return (struct refusal){ANSWER_MISDIRECTED,
                                "this panel does not have that name: use its address, or add the "
                                "name to the configuration (names)"};
    }
    return (struct refusal){0, NULL};
}

/* Of one that changes something. */
static struct refusal look_at_post(const struct http_listener *listener,
                                   const struct evkeyvalq *headers, const char *host) {
    if (!is_from_here(listener, headers, host)) {
        return (struct refusal){ANSWER_FORBIDDEN, "wanted an Origin that is this panel"};
    }
    if (!is_json(headers)) {
        return (struct refusal){ANSWER_BAD_TYPE, "wanted application/json"};
    }
    return (struct refusal){0, NULL};
}

static struct refusal look(const struct http_listener *listener, struct evhttp_request *request,
                           enum guard_way way) {
    const struct evkeyvalq *headers = evhttp_request_get_input_headers(request);
    const char *host = only(headers, "Host");
    struct refusal refusal = look_at_caller(listener, request, host);
    bool is_post = way == GUARD_ENTER || way == GUARD_ACT;
    if (refusal.code != 0 || way == GUARD_PAGE) {
        return refusal;
    }
    if (is_other_site(headers)) {
        return (struct refusal){ANSWER_FORBIDDEN, "not available to pages of other sites"};
    }
    if (is_post) {
        refusal = look_at_post(listener, headers, host);
    }
    if (refusal.code == 0 && way != GUARD_ENTER && !has_pass(listener, headers)) {
        return (struct refusal){ANSWER_UNAUTHORIZED, "enter the token first"};
    }
    if (refusal.code == 0 && way == GUARD_ACT && listener->setup->right < PANEL_OPERATE) {
        return (struct refusal){ANSWER_FORBIDDEN, "this panel may only observe"};
    }
    return refusal;
}

bool guard_passes(const struct http_listener *listener, struct evhttp_request *request,
                  enum guard_way way) {
    struct refusal refusal = look(listener, request, way);
    if (refusal.code != 0) {
        answer_error(request, refusal.code, refusal.words);
    }
    return refusal.code == 0;
}
