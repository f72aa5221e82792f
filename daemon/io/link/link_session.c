#include "io/link/link_session.h"

#include "base/invariant.h"
#include "protocol/line.h"

#include <errno.h>
#include <event2/buffer.h>
#include <event2/bufferevent.h>
#include <event2/event.h>
#include <netdb.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>

enum { CHUNK = 16384 };

enum step { STEP_WELCOME = 0, STEP_MODE, STEP_GO, STEP_OPEN, STEP_LOST };

struct link_session {
    struct link_session_host host;
    enum srcp_mode mode;
    enum step step;
    struct bufferevent *buffer;
    int fd; /* of the buffer, once it is connected; otherwise -1 */
    struct srcp_line_reader reader;
    int32_t id;
    uint32_t received;
};

/* ---- what the server says */

static void lose(struct link_session *session, const char *why) {
    if (session->step != STEP_LOST) {
        session->step = STEP_LOST;
        session->host.lost(session->host.context, session->mode, why);
    }
}

static void send_line(struct link_session *session, const char *line) {
    struct evbuffer *out = bufferevent_get_output(session->buffer);
    if (evbuffer_add_printf(out, "%s\n", line) < 0) {
        lose(session, "out of memory for sending");
    }
}

static void greet(struct link_session *session, struct srcp_text line) {
    struct srcp_text version = srcp_welcome_value(line, "SRCP");
    if (version.length < 3 || strncmp(version.at, "0.8", 3) != 0) {
        lose(session, "does not identify itself as an SRCP 0.8 server");
        return;
    }
    char request[64];
    snprintf(request, sizeof request, "SET CONNECTIONMODE SRCP %s", srcp_mode_name(session->mode));
    send_line(session, request);
    session->step = STEP_MODE;
}

static void shake(struct link_session *session, const struct srcp_answer *answer) {
    if (answer->kind != SRCP_ANSWER_OK) {
        lose(session, "refused the handshake");
    } else if (session->step == STEP_MODE) {
        send_line(session, "GO");
        session->step = STEP_GO;
    } else {
        session->id = srcp_answer_session(answer);
        session->step = STEP_OPEN;
        if (session->id == 0) {
            lose(session, "sent no session id");
        }
    }
}

/* States of a dump may come before the reply to GO (recalled, weak): they count. */
static bool is_handshake(const struct link_session *session, const struct srcp_answer *answer) {
    return session->step != STEP_OPEN && answer->kind != SRCP_ANSWER_INFO;
}

static void take_line(struct link_session *session, struct srcp_text line) {
    struct srcp_answer answer;
    if (session->step == STEP_WELCOME) {
        greet(session, line);
    } else if (!srcp_answer_parse(line, &answer)) {
        lose(session, "sent something that is not a line of the protocol");
    } else if (is_handshake(session, &answer)) {
        shake(session, &answer);
    } else {
        session->host.received(session->host.context, session->mode, &answer);
    }
}

static void take_chunk(struct link_session *session, struct srcp_text chunk) {
    while (session->step != STEP_LOST) {
        struct srcp_text line;
        switch (srcp_line_next(&session->reader, &chunk, &line)) {
        case SRCP_LINE_NONE:
            return;
        case SRCP_LINE_TEXT:
            take_line(session, line);
            break;
        case SRCP_LINE_BAD:
            lose(session, "sent something that is not a line of the protocol");
            break;
        case SRCP_LINE_TOO_LONG:
            lose(session, "sent a line without end");
            break;
        }
    }
}

/* ---- the connection */

static void on_read(struct bufferevent *buffer, void *context) {
    struct link_session *session = context;
    char chunk[CHUNK];
    size_t length;
    while ((length = bufferevent_read(buffer, chunk, sizeof chunk)) > 0) {
        session->received += (uint32_t)length;
        take_chunk(session, (struct srcp_text){chunk, length});
    }
    session->host.woke(session->host.context);
}

static const char *why_unreached(int fault) {
    return fault == ECONNREFUSED ? "no server is listening there" : "cannot be reached";
}

static void on_event(struct bufferevent *buffer, short what, void *context) {
    int fault = errno; /* of the system call that brought this about */
    (void)buffer;
    struct link_session *session = context;
    if ((what & BEV_EVENT_CONNECTED) != 0) {
        int at_once =
            1; /* a command to stop may not lie about until the last one is acknowledged */
        session->fd = bufferevent_getfd(session->buffer);
        setsockopt(session->fd, IPPROTO_TCP, TCP_NODELAY, &at_once, sizeof at_once);
        return;
    }
    lose(session, (what & BEV_EVENT_EOF) != 0     ? "closed the connection"
                  : session->step == STEP_WELCOME ? why_unreached(fault)
                                                  : "the connection broke");
    session->host.woke(session->host.context);
}

static struct addrinfo *resolve(const char *address, uint16_t port, struct error *error) {
    const struct addrinfo hints = {.ai_flags = AI_NUMERICHOST | AI_NUMERICSERV,
                                   .ai_family = AF_UNSPEC,
                                   .ai_socktype = SOCK_STREAM};
    struct addrinfo *found = NULL;
    char service[8];
    snprintf(service, sizeof service, "%u", port);
    if (getaddrinfo(address, service, &hints, &found) != 0) {
        error_set(error, address, "not a numeric IPv4 or IPv6 address");
        return NULL;
    }
    return found;
}

/* Behind the bridges' timers: a server that floods may not hold them up. */
static void put_last(struct event_base *base, struct bufferevent *buffer) {
    int priorities = event_base_get_npriorities(base);
    bufferevent_priority_set(buffer, priorities - 1);
}

struct link_session *link_session_new(struct event_base *base, const char *address, uint16_t port,
                                      enum srcp_mode mode, const struct link_session_host *host,
                                      struct error *error) {
    struct addrinfo *to = resolve(address, port, error);
    if (to == NULL) {
        return NULL;
    }
    struct link_session *session = calloc(1, sizeof *session);
    if (session != NULL) {
        session->host = *host;
        session->mode = mode;
        session->fd = -1;
        session->buffer = bufferevent_socket_new(base, -1, BEV_OPT_CLOSE_ON_FREE);
    }
    if (session == NULL || session->buffer == NULL) {
        error_set(error, address, "out of memory for a session");
        free(session);
        session = NULL;
    } else {
        put_last(base, session->buffer);
        bufferevent_setcb(session->buffer, on_read, NULL, on_event, session);
        bufferevent_enable(session->buffer, EV_READ | EV_WRITE);
        if (bufferevent_socket_connect(session->buffer, to->ai_addr, (int)to->ai_addrlen) != 0) {
            lose(session, why_unreached(errno));
        }
    }
    freeaddrinfo(to);
    return session;
}

void link_session_free(struct link_session *session) {
    if (session != NULL) {
        bufferevent_free(session->buffer);
        free(session);
    }
}

bool link_session_is_open(const struct link_session *session) {
    return session->step == STEP_OPEN;
}

int32_t link_session_id(const struct link_session *session) {
    return session->id;
}

void link_session_send(struct link_session *session, const char *line) {
    send_line(session, line);
}

uint32_t link_session_take_count(struct link_session *session) {
    uint32_t received = session->received;
    session->received = 0;
    return received;
}

/* ---- without the loop */

/* The loop keeps the buffer's front to itself until it runs again. */
static void send_rest(struct link_session *session) {
    struct evbuffer *out = bufferevent_get_output(session->buffer);
    evbuffer_unfreeze(out, 1);
    if (evbuffer_get_length(out) > 0 && evbuffer_write(out, session->fd) < 0 && errno != EAGAIN &&
        errno != EINTR) {
        lose(session, "the connection broke");
    }
    evbuffer_freeze(out, 1);
}

static void read_some(struct link_session *session) {
    char chunk[CHUNK];
    ssize_t length = recv(session->fd, chunk, sizeof chunk, MSG_DONTWAIT);
    if (length > 0) {
        take_chunk(session, (struct srcp_text){chunk, (size_t)length});
    } else if (length == 0 || (errno != EAGAIN && errno != EINTR)) {
        lose(session, length == 0 ? "closed the connection" : "the connection broke");
    }
}

static bool is_usable(const struct link_session *session) {
    return session != NULL && session->fd >= 0 && session->step != STEP_LOST;
}

void link_session_exchange(struct link_session *const session[], unsigned count, int limit_ms) {
    struct pollfd wait[SRCP_MODES];
    INVARIANT(count <= SRCP_MODES);
    for (unsigned i = 0; i < count; i++) {
        wait[i] = (struct pollfd){.fd = -1, .events = POLLIN};
        if (is_usable(session[i])) {
            struct evbuffer *out = bufferevent_get_output(session[i]->buffer);
            wait[i].fd = session[i]->fd;
            wait[i].events |= evbuffer_get_length(out) > 0 ? POLLOUT : 0;
        }
    }
    if (poll(wait, count, limit_ms) <= 0) {
        return;
    }
    for (unsigned i = 0; i < count; i++) {
        if ((wait[i].revents & POLLOUT) != 0) {
            send_rest(session[i]);
        }
        if ((wait[i].revents & (POLLIN | POLLHUP | POLLERR)) != 0 && is_usable(session[i])) {
            read_some(session[i]);
        }
    }
}

void link_session_crash_send(const struct link_session *session, const char *bytes, size_t length) {
    if (session->step == STEP_OPEN) {
        ssize_t sent = send(session->fd, bytes, length, MSG_DONTWAIT | MSG_NOSIGNAL);
        (void)sent; /* whatever came of it, nothing more can be done */
    }
}
