#include "panel/routes.h"

#include "panel/http/answer.h"
#include "panel/http/body.h"
#include "panel/http/guard.h"
#include "panel/http/page.h"
#include "panel/live/bridges_json.h"
#include "panel/parts.h"
#include "panel/requests.h"

#include <event2/http.h>
#include <stdio.h>
#include <string.h>

/* One request on its way. `rest`: what follows the path of its row. */
struct call {
    struct panel *panel;
    struct http_listener *listener;
    struct evhttp_request *request;
    const char *rest;
    const char *query; /* NULL: none */
};

struct route {
    const char *path; /* ends with '/': of all that is below it */
    enum evhttp_cmd_type method;
    enum guard_way way;
    void (*serve)(const struct call *call);
};

/* --- the page */

static void serve_file(const struct call *call, const char *name) {
    const struct page_file *file = page_find(name);
    if (file == NULL) {
        answer_error(call->request, ANSWER_NOT_FOUND, "the page does not have this file");
        return;
    }
    page_answer(call->request, file);
}

static void serve_index(const struct call *call) {
    serve_file(call, "index.html");
}

static void serve_page(const struct call *call) {
    serve_file(call, call->rest);
}

/* --- entering */

static void let_in(const struct call *call) {
    char name[32];
    char cookie[128];
    guard_cookie_name(call->listener, name);
    snprintf(cookie, sizeof cookie, "%s=%s; Path=/; HttpOnly; SameSite=Strict%s", name,
             call->listener->token.pass, call->listener->setup->is_behind_tls ? "; Secure" : "");
    if (call->listener->token.is_needed) {
        evhttp_add_header(evhttp_request_get_output_headers(call->request), "Set-Cookie", cookie);
    }
    answer_empty(call->request, ANSWER_NO_CONTENT);
}

static void serve_enter(const struct call *call) {
    struct token *token = &call->listener->token;
    cJSON *body = body_read(call->request, REQUESTS_BODY_MAX);
    const char *word = body_text(body, "token");
    if (body == NULL) {
        return;
    }
    if (word == NULL) {
        answer_error(call->request, ANSWER_BAD_REQUEST, "wanted {\"token\": \"...\"}");
    } else if (!token->is_needed) {
        let_in(call);
    } else {
        switch (token_try(token, word, context_clock_us())) {
        case TOKEN_RIGHT:
            let_in(call);
            break;
        case TOKEN_WRONG:
            answer_error(call->request, ANSWER_FORBIDDEN, "wrong token");
            break;
        case TOKEN_WAIT:
            answer_error(call->request, ANSWER_TOO_MANY,
                         "too many wrong tokens: wait a minute, then try again");
            break;
        }
    }
    cJSON_Delete(body);
}

/* --- the bridges */

static void serve_bridges(const struct call *call) {
    answer_json(call->request, ANSWER_OK,
                bridges_json(&call->panel->context, call->listener->setup->right));
}

static void serve_live(const struct call *call) {
    live_begin(&call->panel->live, call->listener, call->request);
}

static void serve_ask(const struct call *call) {
    requests_serve(call->panel, call->listener, call->request);
}

static void serve_history(const struct call *call) {
    history_serve(&call->panel->history, &call->panel->context, call->listener, call->request,
                  call->query);
}

static void serve_plot(const struct call *call) {
    history_serve_plot(&call->panel->history, &call->panel->context, call->listener, call->request,
                       call->rest);
}

static const struct route routes[] = {
    {"/", EVHTTP_REQ_GET, GUARD_PAGE, serve_index},
    {"/page/", EVHTTP_REQ_GET, GUARD_PAGE, serve_page},
    {"/enter", EVHTTP_REQ_POST, GUARD_ENTER, serve_enter},
    {"/bridges", EVHTTP_REQ_GET, GUARD_DATA, serve_bridges},
    {"/live", EVHTTP_REQ_GET, GUARD_DATA, serve_live},
    {"/ask", EVHTTP_REQ_POST, GUARD_ACT, serve_ask},
    {"/history", EVHTTP_REQ_GET, GUARD_DATA, serve_history},
    {"/plots/", EVHTTP_REQ_GET, GUARD_DATA, serve_plot},
};

/* --- finding the row */

enum { PATH_MAX_LENGTH = 200 };

/* What follows the row's path, or NULL if it is another's. */
static const char *match(const struct route *route, const char *path) {
    size_t length = strlen(route->path);
    bool is_folder = length > 1 && route->path[length - 1] == '/';
    if (strncmp(path, route->path, length) != 0 || (!is_folder && path[length] != '\0')) {
        return NULL;
    }
    return path + length;
}

static const struct route *find(struct call *call, const char *path) {
    for (size_t i = 0; i < sizeof routes / sizeof routes[0]; i++) {
        call->rest = match(&routes[i], path);
        if (call->rest != NULL) {
            return &routes[i];
        }
    }
    return NULL;
}

static void wrong_method(struct evhttp_request *request, const struct route *route) {
    evhttp_add_header(evhttp_request_get_output_headers(request), "Allow",
                      route->method == EVHTTP_REQ_POST ? "POST" : "GET");
    answer_error(request, ANSWER_BAD_METHOD, "method not allowed");
}

/* Connections that only wait for the next request are the first to go where there are many. */
static void be_short(const struct http_listener *listener, struct evhttp_request *request) {
    if (listener->count * 2 > listener->setup->clients_max) {
        evhttp_add_header(evhttp_request_get_output_headers(request), "Connection", "close");
    }
}

void routes_serve(struct evhttp_request *request, void *context) {
    struct http_listener *listener = context;
    struct call call = {.panel = listener->context, .listener = listener, .request = request};
    char path[PATH_MAX_LENGTH + 1];
    const char *uri = evhttp_request_get_uri(request);
    size_t length = strcspn(uri, "?");
    http_listener_serve(call.listener, request);
    be_short(call.listener, request);
    snprintf(path, sizeof path, "%.*s", (int)(length <= PATH_MAX_LENGTH ? length : 0), uri);
    call.query = uri[length] == '?' ? uri + length + 1 : NULL;
    const struct route *route = find(&call, path);
    bool is_method = route != NULL && evhttp_request_get_command(request) == route->method;
    if (!guard_passes(call.listener, request, is_method ? route->way : GUARD_PAGE)) {
        return;
    }
    if (route == NULL) {
        answer_error(request, ANSWER_NOT_FOUND, "not found");
    } else if (!is_method) {
        wrong_method(request, route);
    } else {
        route->serve(&call);
    }
}
