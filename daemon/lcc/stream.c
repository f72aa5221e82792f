#include "lcc/stream.h"

#include "base/log.h"

#include <errno.h>
#include <event2/event.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum {
    READ_SIZE = 4096,
    KEEPALIVE_IDLE_S = 10, /* nothing else tells that a machine is gone: noticed in 25 s */
    KEEPALIVE_INTERVAL_S = 5,
    KEEPALIVE_PROBES = 3,
    UNACKNOWLEDGED_MS = 25000
};

static const char left[] = "closed by the other side";
static const char unread[] = "the other side does not read what it is sent";
static const char no_memory[] = "out of memory";

static void tune(int fd) {
    static const struct {
        int level, option, value;
    } options[] = {
        {SOL_SOCKET, SO_KEEPALIVE, 1},
        {IPPROTO_TCP, TCP_NODELAY, 1},
        {IPPROTO_TCP, TCP_KEEPIDLE, KEEPALIVE_IDLE_S},
        {IPPROTO_TCP, TCP_KEEPINTVL, KEEPALIVE_INTERVAL_S},
        {IPPROTO_TCP, TCP_KEEPCNT, KEEPALIVE_PROBES},
        {IPPROTO_TCP, TCP_USER_TIMEOUT, UNACKNOWLEDGED_MS},
    };
    for (size_t i = 0; i < sizeof options / sizeof options[0]; i++) {
        setsockopt(fd, options[i].level, options[i].option, &options[i].value, sizeof(int));
    }
}

void stream_close(struct stream *stream) {
    bus_leave(&stream->link);
    sockets_watch(&stream->bus->sockets, &stream->socket, 0);
    event_free(stream->end);
    bytes_drop(&stream->unsent, stream->unsent.length);
    close(stream->socket.fd);
}

static void finish(struct stream *stream, const char *why) {
    stream_close(stream);
    stream->ended(stream, why);
}

static void end_came(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct stream *stream = context;
    finish(stream, stream->unsent.length > STREAM_BACKLOG ? unread : left);
}

/* It may be in the middle of being given frames. */
static void lose(struct stream *stream) {
    if (!stream->is_lost) {
        stream->is_lost = true;
        event_active(stream->end, EV_TIMEOUT, 0);
    }
}

static void watch(struct stream *stream) {
    short what = stream->unsent.length > 0 ? EV_READ | EV_WRITE : EV_READ;
    if (!sockets_watch(&stream->bus->sockets, &stream->socket, what)) {
        lose(stream);
    }
}

static void flush(struct lcc_link *link) {
    struct stream *stream = (struct stream *)link;
    if (stream->is_lost) {
        return;
    }
    if (stream->unsent.length > 0) {
        ssize_t sent = send(stream->socket.fd, bytes_begin(&stream->unsent), stream->unsent.length,
                            MSG_NOSIGNAL | MSG_DONTWAIT);
        if (sent < 0 && errno != EAGAIN && errno != EINTR && errno != ENOBUFS) {
            lose(stream);
            return;
        }
        bytes_drop(&stream->unsent, sent > 0 ? (size_t)sent : 0);
    }
    watch(stream);
}

static void send_frame(struct lcc_link *link, const struct lcc_frame *frame) {
    struct stream *stream = (struct stream *)link;
    char text[LCC_GRID_WRITTEN];
    unsigned length = lcc_grid_write(frame, text);
    if (stream->is_lost) {
        return;
    }
    if (!bytes_add(&stream->unsent, text, length) || stream->unsent.length > STREAM_BACKLOG) {
        lose(stream);
    }
}

/* A frame may be half sent: whoever reads it begins anew at the next colon. */
static void crash_send(const struct lcc_link *link, const struct lcc_frame *frame) {
    const struct stream *stream = (const struct stream *)link;
    char text[LCC_GRID_WRITTEN];
    unsigned length = lcc_grid_write(frame, text);
    if (!stream->is_lost) {
        ssize_t sent = send(stream->socket.fd, text, length, MSG_NOSIGNAL | MSG_DONTWAIT);
        (void)sent;
    }
}

/* Returns false when it has ended. */
static bool read_on(struct stream *stream) {
    char input[READ_SIZE];
    ssize_t got = recv(stream->socket.fd, input, sizeof input, MSG_DONTWAIT);
    if (got < 0 && (errno == EAGAIN || errno == EINTR)) {
        return true;
    }
    if (got <= 0) {
        finish(stream, got == 0 ? left : strerror(errno));
        return false;
    }
    const char *at = input;
    size_t length = (size_t)got;
    struct lcc_frame frame;
    while (lcc_grid_next(&stream->reader, &at, &length, &frame)) {
        bus_take(&stream->link, &frame);
    }
    bus_work(stream->bus);
    return true;
}

static void came(void *context, short what) {
    struct stream *stream = context;
    if (stream->is_lost || ((what & EV_READ) && !read_on(stream))) {
        return;
    }
    if (what & EV_WRITE) {
        flush(&stream->link);
    }
}

bool stream_open(struct stream *stream, struct bus *bus, int fd, const char *name,
                 enum net_right right, bool is_new_bus,
                 void (*ended)(struct stream *stream, const char *why)) {
    *stream = (struct stream){
        .link = {.right = right, .send = send_frame, .crash_send = crash_send, .flush = flush},
        .bus = bus,
        .socket = {.fd = fd, .came = came, .context = stream},
        .ended = ended,
    };
    snprintf(stream->link.name, sizeof stream->link.name, "%s", name);
    stream->end = evtimer_new(bus->base, end_came, stream);
    if (stream->end == NULL || !sockets_watch(&bus->sockets, &stream->socket, EV_READ)) {
        if (stream->end != NULL) {
            event_free(stream->end);
        }
        close(fd);
        log_line(LOG_ERROR, "LCC: %s: %s", name, no_memory);
        return false;
    }
    tune(fd);
    bus_join(bus, &stream->link, is_new_bus);
    return true;
}
