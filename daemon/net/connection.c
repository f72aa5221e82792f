#include "net/connection.h"

#include <event2/buffer.h>
#include <event2/bufferevent.h>
#include <event2/event.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdbool.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <sys/time.h>

enum {
    INPUT_MAX = 4096,           /* bytes kept of what the client sent ahead */
    PATIENCE_BYTES = 16 * 1024, /* unread answers at which a patient connection takes no line */
    LINES_A_TURN = 32,          /* then the others have theirs */
    KERNEL_BUFFER = 64 * 1024,  /* what the kernel may hold unsent is bounded too */
    LINGER_US = 2000000,
    KEEPALIVE_IDLE_S = 30, /* a client whose machine died is noticed in about a minute */
    KEEPALIVE_INTERVAL_S = 10,
    KEEPALIVE_PROBES = 3,
};

enum stage { OPEN = 0, FLUSHING, LINGERING, GONE };

struct connection {
    struct connection_owner owner;
    struct bufferevent *stream;
    struct event *turn;   /* to do something in a turn of its own */
    struct event *hangup; /* the client left while its lines were on hold */
    struct event *limit;
    struct srcp_line_reader reader;
    enum stage stage;
    bool only_sends;
    size_t backlog_bytes;
    bool is_held;
    bool is_at_end; /* nothing more will come from the client */
    bool has_hung_up;
};

static struct evbuffer *input_of(struct connection *connection) {
    return bufferevent_get_input(connection->stream);
}

static size_t unsent(struct connection *connection) {
    return evbuffer_get_length(bufferevent_get_output(connection->stream));
}

static void ask_for_turn(struct connection *connection) {
    event_active(connection->turn, EV_TIMEOUT, 0);
}

static void drop_input(struct connection *connection) {
    evbuffer_drain(input_of(connection), evbuffer_get_length(input_of(connection)));
}

static bool is_ready_for_line(struct connection *connection) {
    return connection->stage == OPEN && !connection->only_sends && !connection->is_held &&
           unsent(connection) <= PATIENCE_BYTES;
}

/* Returns false when there is no whole line. */
static bool take_line(struct connection *connection) {
    struct evbuffer *input = input_of(connection);
    enum srcp_line_kind kind = SRCP_LINE_NONE;
    while (kind == SRCP_LINE_NONE && evbuffer_get_length(input) > 0) {
        size_t length = evbuffer_get_contiguous_space(input);
        const char *bytes = (const char *)evbuffer_pullup(input, (ev_ssize_t)length);
        struct srcp_text chunk = {bytes, length};
        struct srcp_text line = {NULL, 0};
        kind = srcp_line_next(&connection->reader, &chunk, &line);
        if (kind != SRCP_LINE_NONE) {
            connection->owner.line(connection->owner.context, kind, line);
        }
        evbuffer_drain(input, length - chunk.length);
    }
    return kind != SRCP_LINE_NONE;
}

static void hang_up(struct connection *connection) {
    if (!connection->has_hung_up) {
        connection->has_hung_up = true;
        connection->owner.hung_up(connection->owner.context);
    }
}

/* libevent calls again and again for input above its high mark that nobody takes, unless reading is
 * switched off. After the end it must stay off, or the end would be told again and again. */
static void read_on_or_not(struct connection *connection) {
    if (evbuffer_get_length(input_of(connection)) >= INPUT_MAX) {
        bufferevent_disable(connection->stream, EV_READ);
    } else if (!connection->is_at_end) {
        bufferevent_enable(connection->stream, EV_READ);
    }
}

static void work(struct connection *connection) {
    for (unsigned lines = 0; is_ready_for_line(connection); lines++) {
        if (lines == LINES_A_TURN) {
            ask_for_turn(connection);
            break;
        }
        if (!take_line(connection)) {
            break;
        }
    }
    if (connection->stage != OPEN || connection->only_sends) {
        drop_input(connection);
    }
    read_on_or_not(connection);
    bool is_heard_out = connection->is_held || evbuffer_get_length(input_of(connection)) == 0;
    if (connection->stage == OPEN && connection->is_at_end && is_heard_out) {
        hang_up(connection);
    }
}

static void shut(struct connection *connection) {
    shutdown(bufferevent_getfd(connection->stream), SHUT_WR);
    connection->stage = LINGERING;
    if (connection->is_at_end) {
        connection_break(connection);
    }
}

static void turn_came(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct connection *connection = context;
    switch (connection->stage) {
    case OPEN:
    case LINGERING:
        work(connection);
        break;
    case FLUSHING:
        work(connection);
        if (unsent(connection) == 0) {
            shut(connection);
        }
        break;
    case GONE:
        connection->owner.gone(connection->owner.context);
        break;
    }
}

static void bytes_came(struct bufferevent *stream, void *context) {
    (void)stream;
    work(context);
}

static void all_sent(struct bufferevent *stream, void *context) {
    (void)stream;
    ask_for_turn(context);
}

static void client_left(struct connection *connection) {
    connection->is_at_end = true;
    if (connection->stage == LINGERING) {
        connection_break(connection);
    } else {
        ask_for_turn(connection);
    }
}

static void stream_ended(struct bufferevent *stream, short what, void *context) {
    (void)stream;
    if (what & BEV_EVENT_ERROR) {
        connection_break(context);
    } else if (what & BEV_EVENT_EOF) {
        client_left(context);
    }
}

static void hangup_seen(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    client_left(context);
}

static void limit_reached(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct connection *connection = context;
    if (connection->stage == OPEN) {
        connection_close(connection);
    } else {
        connection_break(connection);
    }
}

static void tune(int fd) {
    static const struct {
        int level, option, value;
    } options[] = {
        {SOL_SOCKET, SO_SNDBUF, KERNEL_BUFFER},
        {SOL_SOCKET, SO_KEEPALIVE, 1},
        {IPPROTO_TCP, TCP_NODELAY, 1},
        {IPPROTO_TCP, TCP_KEEPIDLE, KEEPALIVE_IDLE_S},
        {IPPROTO_TCP, TCP_KEEPINTVL, KEEPALIVE_INTERVAL_S},
        {IPPROTO_TCP, TCP_KEEPCNT, KEEPALIVE_PROBES},
    };
    for (size_t i = 0; i < sizeof options / sizeof options[0]; i++) {
        setsockopt(fd, options[i].level, options[i].option, &options[i].value, sizeof(int));
    }
}

static bool make_events(struct connection *connection, struct event_base *base, int fd) {
    connection->turn = event_new(base, -1, 0, turn_came, connection);
    connection->hangup = event_new(base, fd, EV_CLOSED, hangup_seen, connection);
    connection->limit = evtimer_new(base, limit_reached, connection);
    return connection->turn != NULL && connection->hangup != NULL && connection->limit != NULL;
}

struct connection *connection_new(struct event_base *base, int fd,
                                  const struct connection_owner *owner) {
    struct connection *connection = calloc(1, sizeof *connection);
    struct bufferevent *stream = bufferevent_socket_new(base, fd, BEV_OPT_CLOSE_ON_FREE);
    if (connection == NULL || stream == NULL) {
        free(connection);
        if (stream != NULL) {
            bufferevent_free(stream);
        } else {
            evutil_closesocket(fd);
        }
        return NULL;
    }
    connection->owner = *owner;
    connection->stream = stream;
    if (!make_events(connection, base, fd)) {
        connection_free(connection);
        return NULL;
    }
    tune(fd);
    bufferevent_setcb(stream, bytes_came, all_sent, stream_ended, connection);
    bufferevent_setwatermark(stream, EV_READ, 0, INPUT_MAX);
    bufferevent_enable(stream, EV_READ | EV_WRITE);
    return connection;
}

static void free_event(struct event *event) {
    if (event != NULL) {
        event_free(event);
    }
}

void connection_free(struct connection *connection) {
    free_event(connection->turn);
    free_event(connection->hangup);
    free_event(connection->limit);
    bufferevent_free(connection->stream);
    free(connection);
}

void connection_only_send(struct connection *connection, size_t backlog_bytes) {
    connection->only_sends = true;
    connection->backlog_bytes = unsent(connection) + backlog_bytes;
    ask_for_turn(connection);
}

/* A held connection reads no more than INPUT_MAX, so the end of the stream may not come into sight:
 * the event watches for it without reading. */
void connection_hold(struct connection *connection) {
    connection->is_held = true;
    event_add(connection->hangup, NULL);
}

void connection_go_on(struct connection *connection) {
    connection->is_held = false;
    event_del(connection->hangup);
    ask_for_turn(connection);
}

void connection_send(struct connection *connection, const char *bytes, size_t length) {
    if (connection->stage != OPEN) {
        return;
    }
    bool is_taken = bufferevent_write(connection->stream, bytes, length) == 0;
    bool is_slow = connection->only_sends && unsent(connection) > connection->backlog_bytes;
    if (!is_taken || is_slow) {
        connection_break(connection);
    }
}

void connection_close(struct connection *connection) {
    if (connection->stage == OPEN) {
        connection->stage = FLUSHING;
        connection_limit(connection, LINGER_US);
        ask_for_turn(connection);
    }
}

void connection_break(struct connection *connection) {
    connection->stage = GONE;
    ask_for_turn(connection);
}

void connection_limit(struct connection *connection, uint32_t limit_us) {
    if (limit_us == 0) {
        evtimer_del(connection->limit);
        return;
    }
    struct timeval delay = {.tv_sec = (time_t)(limit_us / 1000000),
                            .tv_usec = (suseconds_t)(limit_us % 1000000)};
    evtimer_add(connection->limit, &delay);
}
