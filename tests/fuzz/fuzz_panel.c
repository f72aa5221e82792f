/* The panel over HTTP, whole: any bytes on a connection. What comes back begins as an answer,
 * carries the strict headers or is one of libevent's own, and a bridge is asked only by a POST to
 * /ask that names an origin and one of the words there are. */
#define _GNU_SOURCE /* memmem() */
#include "fuzz/fuzz.h"
#include "panel/panel.h"

#include <arpa/inet.h>
#include <event2/event.h>
#include <netinet/in.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum { TURNS = 30, QUIET_TURNS = 4, ANSWERS_SIZE = 1 << 20 };

static struct {
    struct event_base *base;
    struct config config;
    struct panel *panel;
    struct bridge_view view;
    unsigned asked;
    unsigned runs;
    char answers[ANSWERS_SIZE];
} self;

static uint64_t now_us(void *context) {
    (void)context;
    return 1000000000;
}

static enum bridge_answer ask(void *context, int32_t who, unsigned bridge,
                              const struct bridge_request *request) {
    (void)context;
    FUZZ_HOLDS(who < 0 && bridge == 0 && request->kind != REQUEST_NONE);
    self.asked++;
    return ANSWER_GRANTED;
}

static enum bridge_answer would(void *context, unsigned bridge,
                                const struct bridge_request *request) {
    (void)context;
    (void)bridge;
    (void)request;
    return ANSWER_UNPROVED;
}

static const struct bridge_view *view(void *context, unsigned bridge) {
    (void)context;
    (void)bridge;
    return &self.view;
}

static int32_t barred_by(void *context, unsigned bridge, const struct bridge_request *request) {
    (void)context;
    (void)bridge;
    (void)request;
    return 0;
}

static void refused(void *context, unsigned bridge, const struct bridge_request *request,
                    const char *why) {
    (void)context;
    (void)bridge;
    (void)request;
    (void)why;
}

static void visitor(void *context, int32_t who, bool begins, const char *words) {
    (void)context;
    (void)who;
    (void)begins;
    (void)words;
}

static void start(void) {
    static struct config_report report;
    static const struct panel_host host = {.version = "fuzz",
                                           .pace = 1,
                                           .now_us = now_us,
                                           .ask = ask,
                                           .would = would,
                                           .view = view,
                                           .barred_by = barred_by,
                                           .refused = refused,
                                           .visitor = visitor};
    struct error error;
    signal(SIGPIPE, SIG_IGN);
    FUZZ_HOLDS(config_demo(&self.config, &report));
    self.config.panel.listener[0].port = 0;
    self.config.panel.listener[0].clients_max = 1000;
    self.base = event_base_new();
    self.panel = panel_new(self.base, &self.config, &host, &error);
    FUZZ_HOLDS(self.panel != NULL);
}

static int connect_to_panel(void) {
    struct sockaddr_in address = {.sin_family = AF_INET,
                                  .sin_port = htons(panel_port(self.panel, 0)),
                                  .sin_addr = {.s_addr = htonl(INADDR_LOOPBACK)}};
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    FUZZ_HOLDS(fd >= 0 && connect(fd, (struct sockaddr *)&address, sizeof address) == 0);
    return fd;
}

/* Until nothing has come for some turns, or the panel has closed. */
static size_t hear(int fd) {
    size_t length = 0;
    unsigned quiet = 0;
    for (unsigned turn = 0; turn < TURNS && quiet < QUIET_TURNS; turn++) {
        event_base_loop(self.base, EVLOOP_ONCE | EVLOOP_NONBLOCK);
        ssize_t got =
            recv(fd, self.answers + length, sizeof self.answers - 1 - length, MSG_DONTWAIT);
        quiet = got > 0 ? 0 : quiet + 1;
        length += got > 0 ? (size_t)got : 0;
        if (got == 0) {
            break;
        }
    }
    self.answers[length] = '\0';
    return length;
}

static bool has(const char *text, size_t size, const char *words) {
    return memmem(text, size, words, strlen(words)) != NULL;
}

static void check_answer(size_t length) {
    const char *end = memmem(self.answers, length, "\r\n\r\n", 4);
    if (length == 0 || end == NULL) {
        return;
    }
    size_t head = (size_t)(end - self.answers) + strlen("\r\n");
    FUZZ_HOLDS(strncmp(self.answers, "HTTP/", 5) == 0);
    const char *code = self.answers + strcspn(self.answers, " "); /* the version is the asker's */
    bool is_libevents =
        has(self.answers, head, "Content-Type: text/html\r\n") || strncmp(code, " 100 ", 5) == 0;
    FUZZ_HOLDS(is_libevents ||
               has(self.answers, head, "Content-Security-Policy: default-src 'none'"));
}

static void check_asked(const char *bytes, size_t size) {
    static const char *const words[] = {"raise",    "lower",     "stop", "acknowledge",
                                        "power on", "power off", "horn", "\\u"};
    bool has_word = false;
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        has_word = has_word || has(bytes, size, words[i]);
    }
    FUZZ_HOLDS(self.asked == 0 || (has(bytes, size, "POST") && has(bytes, size, "/ask") &&
                                   has(bytes, size, "http://") && has_word));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    enum { NEW_AFTER = 200 };
    if (self.panel == NULL) {
        start();
    }
    self.asked = 0;
    int fd = connect_to_panel();
    if (send(fd, data, size, MSG_NOSIGNAL | MSG_DONTWAIT) == (ssize_t)size) {
        check_answer(hear(fd));
        check_asked((const char *)data, size);
    }
    struct linger at_once = {.l_onoff = 1}; /* else ports run out */
    setsockopt(fd, SOL_SOCKET, SO_LINGER, &at_once, sizeof at_once);
    close(fd);
    event_base_loop(self.base, EVLOOP_ONCE | EVLOOP_NONBLOCK);
    if (++self.runs % NEW_AFTER == 0) { /* so that a leak shows, and the end is tried too */
        panel_free(self.panel);
        event_base_free(self.base);
        self.panel = NULL;
    }
    return 0;
}
