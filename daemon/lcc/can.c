#include "lcc/can.h"

#include "base/log.h"
#include "lcc/can_socket.h"
#include "sockets/timer.h"

#include <errno.h>
#include <event2/event.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

enum { FRAMES_A_TURN = 64 };

static const uint64_t second_us = 1000000;

/* Said once, not every half minute. */
static void try_again(struct can *can, const char *why) {
    if (!can->is_told) {
        log_line(LOG_WARNING, "LCC: %s: %s; trying again", can->setup->interface, why);
    }
    can->is_told = true;
    timer_set(can->again, retry_after_s(&can->retry) * second_us);
}

static void shut(struct can *can) {
    bus_leave(&can->link);
    sockets_watch(&can->bus->sockets, &can->socket, 0);
    close(can->socket.fd);
    can->is_up = false;
    can->count = 0;
}

/* It may be in the middle of being given frames: ends in a turn of its own. */
static void lose(struct can *can) {
    if (!can->is_lost) {
        can->is_lost = true;
        event_active(can->again, EV_TIMEOUT, 0);
    }
}

static void watch(struct can *can, short what) {
    if (!sockets_watch(&can->bus->sockets, &can->socket, what)) {
        lose(can);
    }
}

/* Returns false if the rest has to wait. */
static bool write_one(struct can *can) {
    if (can_socket_write(can->socket.fd, &can->queue[can->first])) {
        can->first = (can->first + 1) % CAN_QUEUE;
        can->count--;
        return true;
    }
    if (errno == ENOBUFS) { /* the socket would be called writable all the same */
        timer_set(can->again, CAN_PAUSE_MS * second_us / 1000);
        watch(can, EV_READ);
    } else if (errno == EAGAIN || errno == EINTR) {
        watch(can, EV_READ | EV_WRITE);
    } else {
        lose(can);
    }
    return false;
}

static void flush(struct lcc_link *link) {
    struct can *can = (struct can *)link;
    bool has_gone = false;
    while (can->count > 0 && !can->is_lost && write_one(can)) {
        has_gone = true;
    }
    if (can->count == 0 && !can->is_lost) {
        watch(can, EV_READ);
    }
    if (has_gone && can->is_stuck) {
        can->is_stuck = false;
        log_line(LOG_NOTICE, "LCC: %s accepts frames again", can->setup->interface);
        bus_renew(can->bus);
    }
}

static void send_frame(struct lcc_link *link, const struct lcc_frame *frame) {
    struct can *can = (struct can *)link;
    if (can->is_lost) {
        return;
    }
    if (can->count == CAN_QUEUE) {
        if (!can->is_stuck) {
            log_line(
                LOG_WARNING,
                "LCC: %s accepts no frames: is another node on the bus, and is the bus terminated?",
                can->setup->interface);
        }
        can->is_stuck = true;
        can->count = 0;
    }
    can->queue[(can->first + can->count++) % CAN_QUEUE] = *frame;
}

static void crash_send(const struct lcc_link *link, const struct lcc_frame *frame) {
    const struct can *can = (const struct can *)link;
    if (can->is_up && !can->is_lost) {
        can_socket_write(can->socket.fd, frame);
    }
}

static void came(void *context, short what) {
    struct can *can = context;
    int got = 1;
    for (unsigned i = 0; (what & EV_READ) && i < FRAMES_A_TURN && got >= 0 && !can->is_lost; i++) {
        struct lcc_frame frame;
        got = can_socket_read(can->socket.fd, &frame);
        if (got > 0) {
            bus_take(&can->link, &frame);
        }
    }
    if (got < 0 && errno != EAGAIN && errno != EINTR) {
        lose(can);
    }
    bus_work(can->bus);
}

static void open_now(struct can *can) {
    int fd = can_socket_open(can->setup->interface);
    if (fd < 0) {
        try_again(can, strerror(errno));
        return;
    }
    can->socket = (struct socket_watch){.fd = fd, .came = came, .context = can};
    if (!sockets_watch(&can->bus->sockets, &can->socket, EV_READ)) {
        close(fd);
        try_again(can, "out of memory");
        return;
    }
    can->is_up = true;
    can->is_told = false;
    can->is_stuck = false;
    can->retry = (struct retry){0};
    bus_join(can->bus, &can->link, true);
}

static void again_came(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct can *can = context;
    if (can->is_up && can->is_lost) {
        can->is_lost = false;
        shut(can);
        try_again(can, "the bus is gone");
    } else if (can->is_up) {
        flush(&can->link);
    } else {
        open_now(can);
    }
}

bool can_open(struct can *can, struct bus *bus, const struct lcc_can_setup *setup) {
    can->setup = setup;
    can->bus = bus;
    can->link = (struct lcc_link){
        .right = setup->right, .send = send_frame, .crash_send = crash_send, .flush = flush};
    snprintf(can->link.name, sizeof can->link.name, "CAN bus %s", setup->interface);
    can->again = evtimer_new(bus->base, again_came, can);
    if (can->again == NULL) {
        return false;
    }
    open_now(can);
    return true;
}

void can_close(struct can *can) {
    if (can->is_up) {
        shut(can);
    }
    if (can->again != NULL) {
        event_free(can->again);
        can->again = NULL;
    }
}
