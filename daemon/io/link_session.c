#include "io/link_session.h"

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
#include <time.h>

enum { CHUNK = 16384 };

enum step { STEP_WELCOME = 0, STEP_MODE, STEP_GO, STEP_OPEN, STEP_LOST };

struct link_session {
    struct link_session_host host;
    enum srcp_mode mode;
    enum step step;
    struct bufferevent *buffer;
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
        lose(session, "no memory to send");
    }
}

static void greet(struct link_session *session, struct srcp_text line) {
    struct srcp_text version = srcp_welcome_value(line, "SRCP");
    if (version.length < 3 || strncmp(version.at, "0.8", 3) != 0) {
        lose(session, "does not greet as a server of SRCP 0.8");
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
            lose(session, "gave no session id");
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
        lose(session, "said what is no line of the protocol");
    } else if (is_handshake(session, &answer)) {
        shake(session, &answer);
    } else {
        session->host.said(session->host.context, session->mode, &answer);
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
            lose(session, "said what is no line of the protocol");
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
    return fault == ECONNREFUSED ? "no server listens there" : "cannot be reached";
}

static void on_event(struct bufferevent *buffer, short what, void *context) {
    int fault = errno; /* of the system call that brought this about */
    (void)buffer;
    struct link_session *session = context;
    if ((what & BEV_EVENT_CONNECTED) != 0) {
        int at_once =
            1; /* a command to stop may not lie about until the last one is acknowledged */
        setsockopt(bufferevent_getfd(session->buffer), IPPROTO_TCP, TCP_NODELAY, &at_once,
                   sizeof at_once);
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
        session->buffer = bufferevent_socket_new(base, -1, BEV_OPT_CLOSE_ON_FREE);
    }
    if (session == NULL || session->buffer == NULL) {
        error_set(error, address, "no memory for a session");
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

static int left_ms(const struct timespec *start, int limit_ms) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    long long passed_ms =
        (now.tv_sec - start->tv_sec) * 1000LL + (now.tv_nsec - start->tv_nsec) / 1000000;
    return passed_ms < limit_ms ? limit_ms - (int)passed_ms : 0;
}

static bool wait_for(int fd, short what, int limit_ms) {
    struct pollfd one = {.fd = fd, .events = what};
    return poll(&one, 1, limit_ms) == 1 && (one.revents & what) != 0;
}

/* By hand what else the loop does: it keeps the buffer's front to itself. Returns whether all went.
 */
static bool send_rest(struct link_session *session, const struct timespec *start, int limit_ms) {
    struct evbuffer *out = bufferevent_get_output(session->buffer);
    int fd = bufferevent_getfd(session->buffer);
    evbuffer_unfreeze(out, 1);
    while (evbuffer_get_length(out) > 0) {
        if (!wait_for(fd, POLLOUT, left_ms(start, limit_ms)) || evbuffer_write(out, fd) <= 0) {
            return false;
        }
    }
    return true;
}

/* A connection that is closed with answers unread is reset, and what was sent last may be lost with
 * it: so they are read. */
void link_session_drain(struct link_session *session, unsigned replies, int limit_ms) {
    char chunk[CHUNK];
    int fd = bufferevent_getfd(session->buffer);
    struct timespec start;
    clock_gettime(CLOCK_MONOTONIC, &start);
    if (!send_rest(session, &start, limit_ms)) {
        return;
    }
    while (replies > 0 && left_ms(&start, limit_ms) > 0 &&
           wait_for(fd, POLLIN, left_ms(&start, limit_ms))) {
        ssize_t length = recv(fd, chunk, sizeof chunk, 0);
        if (length <= 0) {
            return;
        }
        for (ssize_t i = 0; i < length && replies > 0; i++) {
            replies -= chunk[i] == '\n';
        }
    }
}
