#include "net/session/pending.h"

#include "net/devices/lines.h"
#include "net/registry.h"
#include "net/session/connection.h"
#include "net/session/session.h"

#include <stdlib.h>

static const uint64_t second_us = 1000000;

static void look(void *context);

bool pending_new(struct session *session) {
    struct pending *pending = calloc(1, sizeof *pending);
    struct net_server *server = session->server;
    if (pending == NULL) {
        return false;
    }
    pending->session = session;
    session->pending = pending;
    if (!layout_timer_init(&pending->timer, server->base, &server->host, look, pending)) {
        pending_free(session);
        return false;
    }
    return true;
}

void pending_free(struct session *session) {
    struct pending *pending = session->pending;
    if (pending->kind != PENDING_NOTHING) {
        TAILQ_REMOVE(&session->server->waiting, pending, link);
    }
    layout_timer_free(&pending->timer);
    free(pending);
    session->pending = NULL;
}

static void begin(struct pending *pending, enum pending_kind kind) {
    pending->kind = kind;
    TAILQ_INSERT_TAIL(&pending->session->server->waiting, pending, link);
    connection_hold(pending->session->connection);
}

static void end(struct pending *pending) {
    pending->kind = PENDING_NOTHING;
    TAILQ_REMOVE(&pending->session->server->waiting, pending, link);
    layout_timer_cancel(&pending->timer);
    connection_go_on(pending->session->connection);
}

static void fail(struct pending *pending, enum srcp_code code) {
    end(pending);
    session_reply(pending->session, code);
}

static bool is_value_there(const struct pending *pending, const struct bridge_view *view) {
    const struct net_device *device = pending->device;
    return device_value(&device->device, pending->port, &device->bridge->setup->setup, view) ==
           pending->value;
}

static void answer_value(struct pending *pending, const struct bridge_view *view) {
    end(pending);
    char line[SRCP_REPLY_SIZE];
    session_send(pending->session, line, line_port(line, pending->device, pending->port, view));
}

/* Answers, or sets the timer to when the clock should be there. */
static void look_at_clock(struct pending *pending) {
    struct net_server *server = pending->session->server;
    uint64_t now_us = server_now_us(server);
    if (!server->clock.is_running) {
        fail(pending, SRCP_NO_DATA);
    } else if (model_clock_is_past(&server->clock, now_us, &pending->time)) {
        end(pending);
        char line[SRCP_REPLY_SIZE];
        session_send(pending->session, line, line_time(line, server));
    } else {
        layout_timer_set(&pending->timer, model_clock_when(&server->clock, &pending->time));
    }
}

/* The timer rang. */
static void look(void *context) {
    struct pending *pending = context;
    switch (pending->kind) {
    case PENDING_NOTHING:
        break;
    case PENDING_VALUE:
        fail(pending, SRCP_TIMEOUT);
        break;
    case PENDING_TIME:
        look_at_clock(pending);
        break;
    }
}

static void see_bridge(struct pending *pending, unsigned bridge, const struct bridge_view *view) {
    if (pending->kind == PENDING_VALUE && pending->device->bridge->index == bridge &&
        is_value_there(pending, view)) {
        answer_value(pending, view);
    }
}

void pending_value(struct pending *pending, const struct net_device *device, unsigned port,
                   int value, int32_t timeout_s) {
    pending->device = device;
    pending->port = port;
    pending->value = value;
    begin(pending, PENDING_VALUE);
    uint64_t now_us = server_now_us(pending->session->server);
    layout_timer_set(&pending->timer, now_us + (uint64_t)timeout_s * second_us);
    see_bridge(pending, device->bridge->index, bridge_now(device->bridge));
}

void pending_time(struct pending *pending, const struct model_time *time) {
    pending->time = *time;
    begin(pending, PENDING_TIME);
    look_at_clock(pending);
}

/* An answered one leaves the list. */
void pending_see_bridge(struct net_server *server, unsigned bridge,
                        const struct bridge_view *view) {
    struct pending *next;
    for (struct pending *one = TAILQ_FIRST(&server->waiting); one != NULL; one = next) {
        next = TAILQ_NEXT(one, link);
        see_bridge(one, bridge, view);
    }
}

void pending_see_clock(struct net_server *server) {
    struct pending *next;
    for (struct pending *one = TAILQ_FIRST(&server->waiting); one != NULL; one = next) {
        next = TAILQ_NEXT(one, link);
        if (one->kind == PENDING_TIME) {
            look_at_clock(one);
        }
    }
}
