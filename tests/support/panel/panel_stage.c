#define _GNU_SOURCE /* memmem() */
#include "support/panel/panel_stage.h"

#include "support/check.h"
#include "support/net/loopback.h"
#include "support/net/net_host.h"

#include <arpa/inet.h>
#include <cjson/cJSON.h>
#include <errno.h>
#include <event2/event.h>
#include <math.h>
#include <netinet/in.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <unistd.h>

enum { PIECE = 64 * 1024, SLOW_BUFFER = 4096 };

/* --- the host */

static uint64_t now_us(void *context) {
    return ((struct panel_stage *)context)->now_us;
}

static void tell(struct panel_stage *stage, const struct bridge_view *before,
                 const struct panel_step *step) {
    panel_notify(stage->panel, 0, before, &stage->view[0], step);
}

static void grant(struct bridge_view *view, enum bridge_request_kind kind) {
    if (kind == REQUEST_RAISE) {
        fake_starts_clearing(view);
    } else if (kind == REQUEST_EMERGENCY_STOP) {
        fake_is_at_fault(view);
        view->state.fault = FAULT_EMERGENCY_STOP;
    } else if (kind == REQUEST_HORN_ON || kind == REQUEST_HORN_OFF) {
        view->outputs.horn = kind == REQUEST_HORN_ON;
    }
}

static enum bridge_answer ask(void *context, int32_t who, unsigned bridge,
                              const struct bridge_request *request) {
    struct panel_stage *stage = context;
    const struct bridge_view before = stage->view[bridge];
    stage->request = *request;
    stage->who = who;
    stage->requests++;
    if (stage->answer == ANSWER_GRANTED) {
        grant(&stage->view[bridge], request->kind);
    }
    tell(stage, &before, &(struct panel_step){request, stage->answer, who});
    return stage->answer;
}

static enum bridge_answer would(void *context, unsigned bridge,
                                const struct bridge_request *request) {
    (void)bridge;
    (void)request;
    return ((struct panel_stage *)context)->answer;
}

static const struct bridge_view *view(void *context, unsigned bridge) {
    struct panel_stage *stage = context;
    stage->views++;
    return &stage->view[bridge];
}

static int32_t barred_by(void *context, unsigned bridge, const struct bridge_request *request) {
    (void)bridge;
    (void)request;
    return ((struct panel_stage *)context)->barred_by;
}

static const char *kept_by_stand(void *context, unsigned bridge,
                                 const struct bridge_request *request) {
    (void)bridge;
    (void)request;
    return ((struct panel_stage *)context)->kept_by_stand;
}

static void refused(void *context, unsigned bridge, const struct bridge_request *request,
                    const char *why) {
    (void)bridge;
    (void)request;
    struct panel_stage *stage = context;
    stage->refusals++;
    snprintf(stage->why, sizeof stage->why, "%s", why);
}

static void visitor(void *context, int32_t who, bool begins, const char *words) {
    struct panel_stage *stage = context;
    stage->visitor = who;
    stage->has_begun = begins;
    snprintf(stage->visitor_words, sizeof stage->visitor_words, "%s", words);
}

/* --- the stage */

void panel_stage_init(struct panel_stage *stage) {
    memset(stage, 0, sizeof *stage);
    signal(SIGPIPE, SIG_IGN); /* as the daemon has it */
    turning_begin(&stage->turning);
    stage->base = stage->turning.base;
    stage->config = calloc(1, sizeof *stage->config);
    struct config_report *report = calloc(1, sizeof *report);
    assert_true(config_demo(stage->config, report));
    free(report);
    assert_int_equal(stage->config->panel.listeners, 1);
    stage->config->panel.listener[0].port = 0;
    stage->now_us = 1000000000;
    stage->answer = ANSWER_GRANTED;
    fake_is_lined(&stage->view[0]);
    stage->view[0].inputs.current_a = (double)NAN;
}

void panel_stage_open(struct panel_stage *stage) {
    struct error error = {.what = ""};
    const struct panel_host host = {.context = stage,
                                    .version = "1.2.3",
                                    .pace = 1,
                                    .now_us = now_us,
                                    .ask = ask,
                                    .would = would,
                                    .view = view,
                                    .barred_by = barred_by,
                                    .kept_by_stand = kept_by_stand,
                                    .refused = refused,
                                    .visitor = visitor};
    stage->panel = panel_new(stage->base, stage->config, &host, &error);
    if (stage->panel == NULL) {
        fail_msg("%s: %s", error.where, error.what);
    }
}

void panel_stage_close(struct panel_stage *stage) {
    panel_free(stage->panel);
    for (unsigned i = 0; i < stage->browsers; i++) {
        browser_leave(&stage->browser[i]);
    }
    turning_end(&stage->turning);
    free(stage->config);
}

void panel_stage_turn(struct panel_stage *stage) {
    turning_once(&stage->turning);
}

void panel_stage_settle(struct panel_stage *stage) {
    turning_settle(&stage->turning);
}

void panel_stage_cycle(struct panel_stage *stage, void (*change)(struct bridge_view *view)) {
    static const struct bridge_request none = {.kind = REQUEST_NONE};
    const struct bridge_view before = stage->view[0];
    if (change != NULL) {
        change(&stage->view[0]);
    }
    tell(stage, &before, &(struct panel_step){&none, ANSWER_NONE, 0});
}

/* --- browsers */

static void bytes_came(evutil_socket_t fd, short what, void *context) {
    (void)what;
    struct browser *browser = context;
    if (browser->taken == browser->length) {
        browser->taken = browser->length = 0;
    }
    if (browser->size - browser->length < PIECE) {
        browser->size = browser->length + 2 * PIECE;
        browser->bytes = realloc(browser->bytes, browser->size);
        assert_non_null(browser->bytes);
    }
    ssize_t count = recv(fd, browser->bytes + browser->length, PIECE, 0);
    if (count > 0) {
        browser->length += (size_t)count;
        browser->received += (size_t)count;
    } else if (count == 0 || (errno != EAGAIN && errno != EINTR)) {
        browser->is_at_end = true;
        event_del(browser->readable);
    }
}

void browser_read(struct panel_stage *stage, struct browser *browser) {
    browser->readable =
        event_new(stage->base, browser->fd, EV_READ | EV_PERSIST, bytes_came, browser);
    event_add(browser->readable, NULL);
}

static bool is_free(const struct browser *browser) {
    return browser->fd < 0 && browser->bytes == NULL;
}

/* The first that has left, or one more. */
static struct browser *take_browser(struct panel_stage *stage) {
    for (unsigned i = 0; i < stage->browsers; i++) {
        if (is_free(&stage->browser[i])) {
            return &stage->browser[i];
        }
    }
    assert_true(stage->browsers < BROWSERS_MAX);
    return &stage->browser[stage->browsers++];
}

void panel_stage_from(struct panel_stage *stage, const char *address) {
    stage->from = address;
}

struct browser *browser_come(struct panel_stage *stage, bool is_slow) {
    struct browser *browser = take_browser(stage);
    struct sockaddr_in address = {.sin_family = AF_INET,
                                  .sin_port = htons(panel_port(stage->panel, 0))};
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    memset(browser, 0, sizeof *browser);
    browser->fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    assert_true(browser->fd >= 0);
    loopback_bind(browser->fd, stage->from);
    int buffer = SLOW_BUFFER;
    if (is_slow) {
        setsockopt(browser->fd, SOL_SOCKET, SO_RCVBUF, &buffer, sizeof buffer);
    }
    assert_int_equal(connect(browser->fd, (struct sockaddr *)&address, sizeof address), 0);
    evutil_make_socket_nonblocking(browser->fd);
    if (!is_slow) {
        browser_read(stage, browser);
    }
    return browser;
}

void browser_leave(struct browser *browser) {
    if (browser->readable != NULL) {
        event_free(browser->readable);
        browser->readable = NULL;
    }
    if (browser->fd >= 0) {
        close(browser->fd);
    }
    browser->fd = -1;
    free(browser->bytes);
    free(browser->body);
    free(browser->stream);
    browser->bytes = browser->body = browser->stream = NULL;
}

void browser_send(struct panel_stage *stage, struct browser *browser, const char *bytes,
                  size_t length) {
    while (length > 0) {
        ssize_t sent = send(browser->fd, bytes, length, MSG_NOSIGNAL);
        if (sent < 0) {
            if (errno != EAGAIN) {
                return; /* the panel has closed: what it said first is still to be read */
            }
            panel_stage_turn(stage);
            continue;
        }
        bytes += sent;
        length -= (size_t)sent;
    }
}

/* --- answers */

bool browser_header(const struct browser *browser, const char *name, char *value, size_t size) {
    size_t length = strlen(name);
    for (const char *line = strstr(browser->head, "\r\n"); line != NULL;
         line = strstr(line, "\r\n")) {
        line += 2;
        if (strncasecmp(line, name, length) == 0 && line[length] == ':') {
            const char *start = line + length + 1 + strspn(line + length + 1, " ");
            snprintf(value, size, "%.*s", (int)strcspn(start, "\r"), start);
            return true;
        }
    }
    return false;
}

/* libevent's own answers are HTML; ours never are, but for the page. */
static bool is_libevents(const struct browser *browser) {
    char type[64] = "";
    browser_header(browser, "Content-Type", type, sizeof type);
    return strcmp(type, "text/html") == 0;
}

static void check_strict(const struct browser *browser) {
    static const char *const wanted[][2] = {
        {"Content-Security-Policy", "default-src 'none'; script-src 'self'"},
        {"X-Content-Type-Options", "nosniff"},
        {"Referrer-Policy", "no-referrer"},
        {"Cross-Origin-Resource-Policy", "same-origin"},
        {"Cache-Control", "no-"},
    };
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0] && !is_libevents(browser); i++) {
        char value[512];
        if (!browser_header(browser, wanted[i][0], value, sizeof value) ||
            strncmp(value, wanted[i][1], strlen(wanted[i][1])) != 0) {
            fail_msg("no %s: %s in:\n%s", wanted[i][0], wanted[i][1], browser->head);
        }
    }
}

static bool take_head(struct browser *browser) {
    size_t length = browser->length - browser->taken;
    const char *start = browser->bytes + browser->taken;
    const char *end = length > 0 ? memmem(start, length, "\r\n\r\n", 4) : NULL;
    if (end == NULL) {
        return false;
    }
    size_t size = (size_t)(end - start) + 2;
    assert_true(size < sizeof browser->head);
    snprintf(browser->head, sizeof browser->head, "%.*s", (int)size, start);
    browser->taken += size + 2;
    assert_int_equal(sscanf(browser->head, "HTTP/1.%*d %d", &browser->code), 1);
    check_strict(browser);
    return true;
}

static bool take_body(struct browser *browser) {
    char text[32];
    size_t wanted = 0;
    if (browser_header(browser, "Content-Length", text, sizeof text)) {
        wanted = (size_t)strtoul(text, NULL, 10);
    }
    if (browser->length - browser->taken < wanted) {
        return false;
    }
    free(browser->body);
    browser->body = calloc(1, wanted + 1);
    memcpy(browser->body, browser->bytes + browser->taken, wanted);
    browser->body_length = wanted;
    browser->taken += wanted;
    return true;
}

static bool get_head(struct panel_stage *stage, struct browser *browser) {
    while (browser->bytes == NULL || !take_head(browser)) {
        if (browser->is_at_end) {
            return false;
        }
        panel_stage_turn(stage);
    }
    return true;
}

int browser_answer(struct panel_stage *stage, struct browser *browser) {
    browser->code = 0;
    if (!get_head(stage, browser)) {
        return 0;
    }
    while (!take_body(browser)) {
        assert_false(browser->is_at_end);
        panel_stage_turn(stage);
    }
    return browser->code;
}

struct browser *browse(struct panel_stage *stage, const char *request) {
    for (unsigned i = 0; i < stage->browsers; i++) { /* those of earlier calls */
        if (stage->browser[i].body != NULL) {
            browser_leave(&stage->browser[i]);
        }
    }
    struct browser *browser = browser_come(stage, false);
    browser_send(stage, browser, request, strlen(request));
    browser_answer(stage, browser);
    if (browser->body == NULL) {
        browser->body = calloc(1, 1);
    }
    return browser;
}

struct browser *browse_get(struct panel_stage *stage, const char *path, const char *headers) {
    char request[2048];
    snprintf(request, sizeof request, "GET %s HTTP/1.1\r\nHost: localhost\r\n%s\r\n", path,
             headers);
    return browse(stage, request);
}

struct browser *browse_post(struct panel_stage *stage, const char *path, const char *headers,
                            const char *body) {
    char request[32768];
    snprintf(request, sizeof request,
             "POST %s HTTP/1.1\r\nHost: localhost\r\nOrigin: http://localhost\r\n"
             "Content-Type: application/json\r\nContent-Length: %zu\r\n%s\r\n%s",
             path, strlen(body), headers, body);
    return browse(stage, request);
}

/* --- streams */

struct browser *browser_listen(struct panel_stage *stage, const char *headers) {
    char request[1024];
    struct browser *browser = browser_come(stage, false);
    snprintf(request, sizeof request, "GET /live HTTP/1.1\r\nHost: localhost\r\n%s\r\n", headers);
    browser_send(stage, browser, request, strlen(request));
    assert_true(get_head(stage, browser));
    assert_int_equal(browser->code, 200);
    return browser;
}

/* One chunk (RFC 9112, 7.1) to the end of the stream. */
static bool take_chunk(struct browser *browser) {
    const char *start = browser->bytes + browser->taken;
    size_t length = browser->length - browser->taken;
    const char *end = length > 0 ? memmem(start, length, "\r\n", 2) : NULL;
    if (end == NULL) {
        return false;
    }
    size_t size = (size_t)strtoul(start, NULL, 16);
    size_t head = (size_t)(end - start) + 2;
    if (length < head + size + 2) {
        return false;
    }
    if (browser->stream_taken > 0) {
        browser->stream_length -= browser->stream_taken;
        memmove(browser->stream, browser->stream + browser->stream_taken, browser->stream_length);
        browser->stream_taken = 0;
    }
    browser->stream = realloc(browser->stream, browser->stream_length + size + 1);
    memcpy(browser->stream + browser->stream_length, start + head, size);
    browser->stream_length += size;
    browser->stream[browser->stream_length] = '\0';
    browser->taken += head + size + 2;
    return true;
}

static void read_field(const char *text, const char *name, char *value, size_t size) {
    const char *at = strstr(text, name);
    value[0] = '\0';
    if (at != NULL && (at == text || at[-1] == '\n')) {
        snprintf(value, size, "%s", at + strlen(name));
        value[strcspn(value, "\n")] = '\0';
    }
}

static bool take_event(struct browser *browser) {
    char *start = browser->stream != NULL ? browser->stream + browser->stream_taken : NULL;
    char *end = start != NULL ? strstr(start, "\n\n") : NULL;
    if (end == NULL) {
        return false;
    }
    *end = '\0';
    read_field(start, "event: ", browser->event, sizeof browser->event);
    read_field(start, "id: ", browser->id, sizeof browser->id);
    read_field(start, "data: ", browser->data, sizeof browser->data);
    browser->stream_taken = (size_t)(end + 2 - browser->stream);
    return true;
}

bool browser_event(struct panel_stage *stage, struct browser *browser) {
    while (!take_event(browser)) {
        if (take_chunk(browser)) {
            continue;
        }
        if (browser->is_at_end) {
            return false;
        }
        panel_stage_turn(stage);
    }
    return true;
}

void browser_await(struct panel_stage *stage, struct browser *browser, const char *event) {
    do {
        if (!browser_event(stage, browser)) {
            fail_msg("the stream ended before an event %s", event);
        }
    } while (strcmp(browser->event, event) != 0);
}

void browser_newest_moment(struct panel_stage *stage, char *moment, size_t size) {
    struct browser *listener = browser_listen(stage, "");
    browser_await(stage, listener, "alive");
    cJSON *json = cJSON_Parse(listener->data);
    const char *text = cJSON_GetStringValue(cJSON_GetObjectItemCaseSensitive(json, "moment"));
    assert_non_null(text);
    snprintf(moment, size, "%s", text);
    cJSON_Delete(json);
    browser_leave(listener);
}
