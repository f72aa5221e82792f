#include "net/session/connection.h"

#include "net/session/connections.h"
#include "sockets/bytes.h"
#include "sockets/rate.h"
#include "sockets/sockets.h"
#include "sockets/timer.h"

#include <errno.h>
#include <event2/event.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <unistd.h>

enum {
    PATIENCE_BYTES = 16 * 1024, /* unread answers at which a patient connection takes no line */
    LINES_A_TURN = 32,          /* then the others have theirs */
    KERNEL_BUFFER = 64 * 1024,  /* what the kernel may hold unsent is bounded too */
    LINGER_US = 2000000,
    KEEPALIVE_IDLE_S = 30, /* a client whose machine died is noticed in about a minute */
    KEEPALIVE_INTERVAL_S = 10,
    KEEPALIVE_PROBES = 3,
};

enum connection_stage { OPEN = 0, FLUSHING, LINGERING, GONE };

struct connection {
    struct connection_link link; /* first: see connections.h */
    struct connections *all;
    struct connection_owner owner;
    struct socket_watch socket;
    struct event *limit;
    struct event *pause; /* NULL: it needs none */
    struct srcp_line_reader reader;
    struct bytes ahead; /* read, and not yet told */
    struct bytes unsent;
    size_t backlog_bytes;
    struct rate lines;
    enum connection_stage stage;
    const char *fault; /* see connection_fault() */
    bool is_due;
    bool is_working; /* what it sends now goes out when that is done */
    bool only_sends;
    bool is_listening; /* in the list of those */
    bool is_held;
    bool is_pausing;
    bool is_blocked; /* the kernel takes no more for now */
    bool is_ending;  /* the client has left; what it sent before is to be read yet */
    bool has_more;   /* there may be more to read, and nothing will tell */
    bool is_at_end;  /* nothing more will come from the client */
    bool has_hung_up;
};

static const char unread[] = "the client does not read what it is sent (backlog limit reached)";
static const char no_memory[] = "out of memory for its messages";

static void ask_for_turn(struct connection *connection) {
    if (!connection->is_due) {
        connection->is_due = true;
        TAILQ_INSERT_TAIL(&connection->all->due, &connection->link, due);
        sockets_ask_for_turn(&connection->all->sockets);
    }
}

static void leave_due(struct connection *connection) {
    if (connection->is_due) {
        connection->is_due = false;
        TAILQ_REMOVE(&connection->all->due, &connection->link, due);
    }
}

static void give_up(struct connection *connection, const char *fault) {
    connection->fault = fault;
    connection_break(connection);
}

const char *connection_fault(const struct connection *connection) {
    return connection->fault;
}

/* The news */

static size_t unheard(const struct connection *connection) {
    return connection->is_listening
               ? (size_t)(connections_news(connection->all) - connection->link.news)
               : 0;
}

static const char *unheard_begin(const struct connection *connection) {
    const struct connections *all = connection->all;
    return bytes_begin(&all->news) + (connection->link.news - all->news_from);
}

/* What is for this one alone comes after the news there were before: they become its own. */
static bool catch_up(struct connection *connection) {
    size_t length = unheard(connection);
    if (length > 0 && !bytes_add(&connection->unsent, unheard_begin(connection), length)) {
        return false;
    }
    connection->link.news = connections_news(connection->all);
    return true;
}

static void listen_to_news(struct connection *connection) {
    connection->is_listening = true;
    connection->link.news = connections_news(connection->all);
    TAILQ_INSERT_TAIL(&connection->all->listeners, &connection->link, listening);
}

static void leave_news(struct connection *connection) {
    struct connections *all = connection->all;
    if (!connection->is_listening) {
        return;
    }
    if (all->next_listener == &connection->link) {
        all->next_listener = TAILQ_NEXT(&connection->link, listening);
    }
    connection->is_listening = false;
    TAILQ_REMOVE(&all->listeners, &connection->link, listening);
}

/* Output */

static size_t unsent(const struct connection *connection) {
    return connection->unsent.length + unheard(connection);
}

/* Returns how much of it was taken. */
static size_t try_send(struct connection *connection, const char *bytes, size_t length) {
    ssize_t sent = send(connection->socket.fd, bytes, length, MSG_NOSIGNAL | MSG_DONTWAIT);
    if (sent < 0 && errno != EAGAIN && errno != EINTR && errno != ENOBUFS) {
        connection_break(connection);
    }
    size_t taken = sent > 0 ? (size_t)sent : 0;
    connection->is_blocked = connection->stage != GONE && taken < length;
    return taken;
}

/* One call, or one for its own and one for the news: what they do not take waits for a turn. */
static void flush(struct connection *connection) {
    bool may_send = connection->stage == OPEN || connection->stage == FLUSHING;
    connection->is_blocked = false;
    if (may_send && connection->unsent.length > 0) {
        size_t sent =
            try_send(connection, bytes_begin(&connection->unsent), connection->unsent.length);
        bytes_drop(&connection->unsent, sent);
    }
    if (may_send && connection->unsent.length == 0 && unheard(connection) > 0) {
        connection->link.news +=
            try_send(connection, unheard_begin(connection), unheard(connection));
    }
}

/* Input */

static bool is_ready_for_line(const struct connection *connection) {
    return connection->stage == OPEN && !connection->only_sends && !connection->is_held &&
           !connection->is_pausing && connection->unsent.length <= PATIENCE_BYTES;
}

/* false: the next line has to wait for its time. */
static bool is_in_time(struct connection *connection) {
    uint64_t wait_us = rate_wait_us(&connection->lines);
    if (wait_us == 0) {
        return true;
    }
    connection->is_pausing = true;
    timer_set(connection->pause, wait_us);
    return false;
}

/* Takes lines off the front of `chunk`, as many as a turn may. */
static void tell_lines(struct connection *connection, struct srcp_text *chunk) {
    for (unsigned lines = 0; chunk->length > 0 && lines < LINES_A_TURN; lines++) {
        if (!is_ready_for_line(connection) || !is_in_time(connection)) {
            return;
        }
        struct srcp_text line = {NULL, 0};
        enum srcp_line_kind kind = srcp_line_next(&connection->reader, chunk, &line);
        if (kind != SRCP_LINE_NONE) {
            rate_count(&connection->lines);
            connection->owner.line(connection->owner.context, kind, line);
        }
    }
}

static void tell_ahead(struct connection *connection) {
    struct srcp_text chunk = {bytes_begin(&connection->ahead), connection->ahead.length};
    tell_lines(connection, &chunk);
    bytes_drop(&connection->ahead, connection->ahead.length - chunk.length);
}

static void client_left(struct connection *connection) {
    connection->is_at_end = true;
    if (connection->stage == LINGERING) {
        connection_break(connection);
    }
}

static void read_on(struct connection *connection) {
    char *input = connection->all->input;
    ssize_t length = recv(connection->socket.fd, input, CONNECTIONS_READ_SIZE, MSG_DONTWAIT);
    bool is_interrupted = length < 0 && errno == EINTR;
    connection->has_more =
        length == CONNECTIONS_READ_SIZE || is_interrupted || (length > 0 && connection->is_ending);
    if (length > 0) {
        struct srcp_text chunk = {input, (size_t)length};
        tell_lines(connection, &chunk);
        bool is_wanted = connection->stage == OPEN && !connection->only_sends;
        if (is_wanted && !bytes_add(&connection->ahead, chunk.at, chunk.length)) {
            give_up(connection, no_memory);
        }
    } else if (length == 0) {
        client_left(connection);
    } else if (errno != EAGAIN && errno != EINTR) {
        connection_break(connection);
    }
}

/* What to wait for */

/* All at its edge: each look for a bridge's events would else find again whatever client is still
 * to be served, and a held client would wake the loop with what lies unread. Its leaving must be
 * seen all the same. EV_WRITE brings it errors, which have no event of their own. */
static short what_to_watch(const struct connection *connection) {
    bool drops = connection->stage != OPEN || connection->only_sends;
    bool takes = is_ready_for_line(connection) && connection->ahead.length == 0;
    short what = connection->is_blocked ? EV_WRITE | EV_ET : 0;
    if (connection->stage == GONE) {
        return 0;
    }
    if (!connection->is_at_end && (drops || takes)) {
        what |= EV_READ | EV_CLOSED | EV_ET;
    } else if (!connection->is_at_end && connection->is_held) {
        what |= EV_CLOSED | EV_WRITE | EV_ET;
    }
    return what;
}

static void watch(struct connection *connection) {
    if (!sockets_watch(&connection->all->sockets, &connection->socket, what_to_watch(connection))) {
        connection_break(connection);
    }
}

static void shut(struct connection *connection) {
    shutdown(connection->socket.fd, SHUT_WR);
    connection->stage = LINGERING;
    if (connection->is_at_end) {
        connection_break(connection);
    }
}

static void hang_up_if_heard_out(struct connection *connection) {
    bool is_heard_out = connection->is_held || connection->ahead.length == 0;
    if (connection->stage == OPEN && connection->is_at_end && is_heard_out &&
        !connection->has_hung_up) {
        connection->has_hung_up = true;
        connection->owner.hung_up(connection->owner.context);
    }
}

static bool is_read(const struct connection *connection) {
    return (connection->socket.what & EV_READ) != 0;
}

static void settle(struct connection *connection) {
    if (connection->stage != OPEN || connection->only_sends) {
        bytes_drop(&connection->ahead, connection->ahead.length);
    }
    hang_up_if_heard_out(connection);
    flush(connection);
    if (connection->stage == FLUSHING && unsent(connection) == 0) {
        shut(connection);
    }
    watch(connection);
    bool may_read = connection->has_more && is_read(connection);
    if (may_read || (connection->ahead.length > 0 && is_ready_for_line(connection))) {
        ask_for_turn(connection);
    }
    connection->is_working = false;
}

static bool is_broken(const struct connection *connection) {
    int fault = 0;
    socklen_t length = sizeof fault;
    return getsockopt(connection->socket.fd, SOL_SOCKET, SO_ERROR, &fault, &length) != 0 ||
           fault != 0;
}

static void socket_came(void *context, short what) {
    struct connection *connection = context;
    connection->is_working = true;
    if (is_read(connection)) {
        connection->is_ending = connection->is_ending || (what & EV_CLOSED) != 0;
        if (what & (EV_READ | EV_CLOSED)) {
            read_on(connection);
        }
    } else if (what & EV_CLOSED) {
        client_left(connection);
    } else if (is_broken(connection)) {
        connection_break(connection);
    }
    settle(connection);
}

static void take_turn(struct connection_link *link) {
    struct connection *connection = (struct connection *)link;
    leave_due(connection);
    if (connection->stage == GONE) {
        connection->owner.gone(connection->owner.context);
        return;
    }
    connection->is_working = true;
    if (connection->ahead.length > 0) {
        tell_ahead(connection);
    } else if (connection->has_more && is_read(connection)) {
        read_on(connection);
    }
    settle(connection);
}

static uint64_t hear_news(struct connection_link *link) {
    struct connection *connection = (struct connection *)link;
    if (!connection->is_blocked) {
        flush(connection);
        watch(connection);
    }
    if (unsent(connection) > connection->backlog_bytes) {
        give_up(connection, unread);
    }
    return connection->link.news;
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

static void pause_over(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct connection *connection = context;
    connection->is_pausing = false;
    ask_for_turn(connection);
}

/* Those of TCP fail for a Unix socket, which has no need of them. */
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

static void lose(struct connection_link *link) {
    connection_break((struct connection *)link);
}

static bool make_events(struct connection *connection) {
    struct event_base *base = connection->all->base;
    connection->limit = evtimer_new(base, limit_reached, connection);
    if (connection->lines.most > 0) {
        connection->pause = evtimer_new(base, pause_over, connection);
    }
    return connection->limit != NULL &&
           (connection->lines.most == 0 || connection->pause != NULL) &&
           sockets_watch(&connection->all->sockets, &connection->socket,
                         EV_READ | EV_CLOSED | EV_ET);
}

struct connection *connection_new(struct connections *all, int fd,
                                  const struct connection_owner *owner, unsigned lines_a_second) {
    struct connection *connection = calloc(1, sizeof *connection);
    if (connection == NULL) {
        close(fd);
        return NULL;
    }
    connection->link.turn = take_turn;
    connection->link.hear_news = hear_news;
    connection->link.lose = lose;
    connection->all = all;
    connection->socket =
        (struct socket_watch){.fd = fd, .came = socket_came, .context = connection};
    connection->owner = *owner;
    connection->lines.most = lines_a_second;
    if (!make_events(connection)) {
        connection_free(connection);
        return NULL;
    }
    tune(fd);
    return connection;
}

static void free_event(struct event *event) {
    if (event != NULL) {
        event_free(event);
    }
}

void connection_free(struct connection *connection) {
    leave_due(connection);
    leave_news(connection);
    sockets_watch(&connection->all->sockets, &connection->socket, 0);
    free_event(connection->limit);
    free_event(connection->pause);
    bytes_drop(&connection->ahead, connection->ahead.length);
    bytes_drop(&connection->unsent, connection->unsent.length);
    close(connection->socket.fd);
    free(connection);
}

void connection_only_send(struct connection *connection, size_t backlog_bytes) {
    connection->only_sends = true;
    connection->backlog_bytes = connection->unsent.length + backlog_bytes;
    listen_to_news(connection);
    ask_for_turn(connection);
}

void connection_hold(struct connection *connection) {
    connection->is_held = true;
    ask_for_turn(connection);
}

void connection_go_on(struct connection *connection) {
    connection->is_held = false;
    ask_for_turn(connection);
}

void connection_send(struct connection *connection, const char *bytes, size_t length) {
    if (connection->stage != OPEN) {
        return;
    }
    bool is_taken = catch_up(connection) && bytes_add(&connection->unsent, bytes, length);
    bool is_slow = connection->only_sends && unsent(connection) > connection->backlog_bytes;
    if (!is_taken || is_slow) {
        give_up(connection, is_slow ? unread : no_memory);
    } else if (!connection->is_working && !connection->is_blocked) {
        ask_for_turn(connection);
    }
}

void connection_close(struct connection *connection) {
    if (connection->stage != OPEN) {
        return;
    }
    if (!catch_up(connection)) {
        give_up(connection, no_memory);
        return;
    }
    leave_news(connection);
    connection->stage = FLUSHING;
    connection_limit(connection, LINGER_US);
    ask_for_turn(connection);
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
    timer_set(connection->limit, limit_us);
}
