#include "support/io/link_peer.h"

#include "support/check.h"

#include <event2/buffer.h>
#include <event2/bufferevent.h>
#include <event2/event.h>
#include <event2/listener.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>

static const char *const names[PEER_VALUES] = {"GA 11 0", "GA 11 1", "GA 12 0", "GA 12 1",
                                               "GA 3 0",  "POWER",   "FB 106",  "FB 102",
                                               "FB 103",  "FB 104",  "FB 105"};

static bool begins(const char *text, const char *start) {
    return start != NULL && strncmp(text, start, strlen(start)) == 0;
}

static unsigned number_of(const char *device) {
    for (unsigned i = 0; i < PEER_VALUES; i++) {
        if (strcmp(names[i], device) == 0) {
            return i;
        }
    }
    fail_msg("the peer has no \"%s\"", device);
    return 0;
}

/* ---- saying */

/* "7.000 200 OK" as "1767225600.1234567  200  OK  as you wish" with CR LF. */
static void say_floridly(struct evbuffer *output, const char *text) {
    while (*text != '\0') {
        size_t length = strcspn(text, "\n");
        bool is_stamped = begins(text, "7.000 ");
        const char *words = is_stamped ? text + 6 : text;
        int rest = (int)(length - (size_t)(words - text));
        bool is_ok = rest == 6 && begins(words, "200 OK");
        evbuffer_add_printf(output, "%s%.*s%s\r\n", is_stamped ? "1767225600.1234567  " : "", rest,
                            words, is_ok ? "  as you wish" : "");
        text += length + (text[length] == '\n');
    }
}

static void say(struct peer_session *session, const char *text) {
    struct evbuffer *output = bufferevent_get_output(session->buffer);
    if (session->peer->is_florid) {
        say_floridly(output, text);
    } else {
        evbuffer_add(output, text, strlen(text));
    }
}

static void say_to(struct link_peer *peer, bool is_info, const char *text) {
    for (unsigned i = 0; i < PEER_SESSIONS; i++) {
        struct peer_session *session = &peer->session[i];
        if (session->buffer != NULL && session->is_open && session->is_info == is_info) {
            say(session, text);
        }
    }
}

void peer_say_info(struct link_peer *peer, const char *text) {
    say_to(peer, true, text);
}

void peer_say_command(struct link_peer *peer, const char *text) {
    say_to(peer, false, text);
}

static void end(struct peer_session *session) {
    if (session->buffer != NULL) {
        bufferevent_free(session->buffer);
        *session = (struct peer_session){.peer = session->peer};
    }
}

void peer_hang_up(struct link_peer *peer) {
    for (unsigned i = 0; i < PEER_SESSIONS; i++) {
        end(&peer->session[i]);
    }
}

void peer_hang_up_info(struct link_peer *peer) {
    for (unsigned i = 0; i < PEER_SESSIONS; i++) {
        if (peer->session[i].is_info) {
            end(&peer->session[i]);
        }
    }
}

static void reply(struct peer_session *session, const char *words) {
    struct link_peer *peer = session->peer;
    char line[SRCP_LINE_MAX + 48];
    int length = snprintf(line, sizeof line, "7.000 %s\n", words);
    if (peer->is_mute) {
        return;
    }
    if (peer->breaks_off_after > 0 && session->is_open) {
        assert_true(peer->breaks_off_after < length);
        int fd = bufferevent_getfd(session->buffer);
        assert_int_equal(send(fd, line, (size_t)peer->breaks_off_after, MSG_NOSIGNAL),
                         peer->breaks_off_after);
        peer->breaks_off_after = 0;
        peer_hang_up(peer);
        return;
    }
    say(session, line);
}

static void info_line(const struct link_peer *peer, unsigned i, char line[64]) {
    if (strcmp(names[i], "POWER") == 0) {
        snprintf(line, 64, "7.000 100 INFO 1 POWER %s\n", peer->value[i] == 1 ? "ON" : "OFF");
    } else {
        snprintf(line, 64, "7.000 100 INFO 1 %s %d\n", names[i], peer->value[i]);
    }
}

static void become(struct link_peer *peer, unsigned i, int value) {
    char line[64];
    if (peer->value[i] != value) {
        peer->value[i] = value;
        info_line(peer, i, line);
        if (!peer->hides_changes) {
            peer_say_info(peer, line);
        }
    }
}

void peer_change(struct link_peer *peer, const char *device, int value) {
    become(peer, number_of(device), value);
}

int peer_shows(const struct link_peer *peer, const char *device) {
    return peer->value[number_of(device)];
}

/* ---- what is asked */

static void ask_for(struct link_peer *peer, const char *line, unsigned i, int value) {
    peer->asked[i] = value;
    if (!peer->ignores_sets && !begins(line, peer->disobeys)) {
        become(peer, i, value);
    }
}

static void set(struct peer_session *session, const char *line) {
    struct link_peer *peer = session->peer;
    unsigned address, port, value;
    char device[24];
    if (begins(line, "SET 1 POWER ")) {
        ask_for(peer, line, number_of("POWER"), strcmp(line, "SET 1 POWER ON") == 0);
    } else if (sscanf(line, "SET 1 GA %u %u %u -1", &address, &port, &value) == 3) {
        snprintf(device, sizeof device, "GA %u %u", address, port);
        ask_for(peer, line, number_of(device), (int)value);
        if (address != 3) {
            snprintf(device, sizeof device, "GA %u %u", address, 1 - port);
            ask_for(peer, line, number_of(device), 1 - (int)value);
        }
    }
    reply(session, "200 OK");
}

static void get(struct peer_session *session, const char *device) {
    struct link_peer *peer = session->peer;
    unsigned i = number_of(device);
    device = peer->answers_another ? "FB 103" : device;
    int value = peer->answers_as_asked ? peer->asked[i] : peer->value[i];
    char words[SRCP_LINE_MAX + 32];
    if (strcmp(device, "POWER") == 0) {
        snprintf(words, sizeof words, "100 INFO 1 POWER %s", value == 1 ? "ON" : "OFF");
    } else {
        snprintf(words, sizeof words, "100 INFO 1 %s %d", device, value);
    }
    reply(session, words);
}

static void hear(struct peer_session *session, const char *line) {
    struct link_peer *peer = session->peer;
    size_t filled = strlen(peer->heard);
    snprintf(peer->heard + filled, sizeof peer->heard - filled, "%s|", line);
    if (begins(line, peer->refuses)) {
        reply(session, "414 ERROR device locked");
    } else if (begins(line, "GET 1 ")) {
        get(session, line + 6);
    } else if (begins(line, "SET 1 LOCK ") || begins(line, "SET 1 GL ")) {
        reply(session, "200 OK");
    } else {
        set(session, line);
    }
}

static void go(struct peer_session *session) {
    struct link_peer *peer = session->peer;
    char words[32];
    session->id = ++peer->ids;
    snprintf(words, sizeof words, "200 OK GO %d", session->id);
    reply(session, peer->go != NULL ? peer->go : words);
    session->is_open = true;
    for (unsigned i = 0; session->is_info && i < PEER_VALUES; i++) {
        char line[64];
        info_line(peer, i, line);
        say(session, line);
    }
}

static void take_line(struct peer_session *session, const char *line) {
    session->peer->lines++;
    if (session->is_open) {
        hear(session, line);
    } else if (strcmp(line, "GO") == 0) {
        go(session);
    } else {
        assert_true(begins(line, "SET CONNECTIONMODE SRCP "));
        session->is_info = strstr(line, "INFO") != NULL;
        reply(session, session->peer->refuses_mode ? "401 ERROR unsupported connection mode"
                                                   : "202 OK CONNECTIONMODE");
    }
}

/* ---- connections */

static void on_read(struct bufferevent *buffer, void *context) {
    struct peer_session *session = context;
    char chunk[4096];
    size_t length = bufferevent_read(buffer, chunk, sizeof chunk);
    struct srcp_text rest = {chunk, length};
    struct srcp_text text;
    enum srcp_line_kind kind;
    while (session->buffer != NULL &&
           (kind = srcp_line_next(&session->reader, &rest, &text)) != SRCP_LINE_NONE) {
        char line[SRCP_LINE_MAX + 1];
        assert_int_equal(kind, SRCP_LINE_TEXT);
        memcpy(line, text.at, text.length);
        line[text.length] = '\0';
        take_line(session, line);
    }
}

static void on_event(struct bufferevent *buffer, short what, void *context) {
    (void)buffer;
    if ((what & (BEV_EVENT_EOF | BEV_EVENT_ERROR)) != 0) {
        end(context);
    }
}

static void on_client(struct evconnlistener *listener, evutil_socket_t fd, struct sockaddr *from,
                      int length, void *context) {
    (void)listener;
    (void)from;
    (void)length;
    struct link_peer *peer = context;
    int at_once = 1;
    setsockopt(fd, IPPROTO_TCP, TCP_NODELAY, &at_once, sizeof at_once);
    peer->connections++;
    for (unsigned i = 0; i < PEER_SESSIONS; i++) {
        struct peer_session *session = &peer->session[i];
        if (session->buffer == NULL) {
            session->buffer = bufferevent_socket_new(peer->base, fd, BEV_OPT_CLOSE_ON_FREE);
            bufferevent_setcb(session->buffer, on_read, NULL, on_event, session);
            bufferevent_enable(session->buffer, EV_READ | EV_WRITE);
            if (!peer->is_mute) {
                say(session, peer->greeting != NULL ? peer->greeting : "yard 1; SRCP 0.8.4\n");
            }
            return;
        }
    }
    fail_msg("the link opens more and more sessions");
}

void peer_close_door(struct link_peer *peer) {
    evconnlistener_free(peer->listener);
    peer->listener = NULL;
}

void peer_open_door(struct link_peer *peer) {
    struct sockaddr_in address = {.sin_family = AF_INET, .sin_port = htons(peer->port)};
    socklen_t length = sizeof address;
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    peer->listener =
        evconnlistener_new_bind(peer->base, on_client, peer,
                                LEV_OPT_CLOSE_ON_FREE | LEV_OPT_CLOSE_ON_EXEC | LEV_OPT_REUSEABLE,
                                16, (struct sockaddr *)&address, sizeof address);
    assert_non_null(peer->listener);
    assert_int_equal(
        getsockname(evconnlistener_get_fd(peer->listener), (struct sockaddr *)&address, &length),
        0);
    peer->port = ntohs(address.sin_port);
}

void peer_start(struct link_peer *peer, struct event_base *base) {
    memset(peer, 0, sizeof *peer);
    peer->base = base;
    for (unsigned i = 0; i < PEER_SESSIONS; i++) {
        peer->session[i].peer = peer;
    }
    static const char *const are_on[] = {"GA 11 1", "GA 12 1", "POWER"};
    for (size_t i = 0; i < sizeof are_on / sizeof are_on[0]; i++) {
        peer->value[number_of(are_on[i])] = 1;
    }
    memcpy(peer->asked, peer->value, sizeof peer->asked);
    peer_open_door(peer);
}

void peer_stop(struct link_peer *peer) {
    peer_hang_up(peer);
    if (peer->listener != NULL) {
        peer_close_door(peer);
    }
}
