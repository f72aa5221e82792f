#include "net/session/wait.h"

#include "net/devices/lines.h"
#include "net/registry.h"
#include "net/session/connection.h"
#include "net/session/session.h"

#include <stdlib.h>

static const uint64_t second_us = 1000000;

static void look(void *context);

bool wait_new(struct session *session) {
    struct wait *wait = calloc(1, sizeof *wait);
    struct net_server *server = session->server;
    if (wait == NULL) {
        return false;
    }
    wait->session = session;
    session->wait = wait;
    if (!layout_timer_init(&wait->timer, server->base, &server->host, look, wait)) {
        wait_free(session);
        return false;
    }
    return true;
}

void wait_free(struct session *session) {
    struct wait *wait = session->wait;
    if (wait->kind != WAIT_NOTHING) {
        TAILQ_REMOVE(&session->server->waiting, wait, link);
    }
    layout_timer_free(&wait->timer);
    free(wait);
    session->wait = NULL;
}

static void begin(struct wait *wait, enum wait_kind kind) {
    wait->kind = kind;
    TAILQ_INSERT_TAIL(&wait->session->server->waiting, wait, link);
    connection_hold(wait->session->connection);
}

static void end(struct wait *wait) {
    wait->kind = WAIT_NOTHING;
    TAILQ_REMOVE(&wait->session->server->waiting, wait, link);
    layout_timer_cancel(&wait->timer);
    connection_go_on(wait->session->connection);
}

static void fail(struct wait *wait, enum srcp_code code) {
    end(wait);
    session_reply(wait->session, code);
}

static bool is_value_there(const struct wait *wait, const struct bridge_view *view) {
    const struct net_device *device = wait->device;
    return device_value(&device->device, wait->port, &device->bridge->setup->setup, view) ==
           wait->value;
}

static void answer_value(struct wait *wait, const struct bridge_view *view) {
    end(wait);
    char line[SRCP_REPLY_SIZE];
    session_send(wait->session, line, line_port(line, wait->device, wait->port, view));
}

/* Answers, or sets the timer to when the clock should be there. */
static void look_at_clock(struct wait *wait) {
    struct net_server *server = wait->session->server;
    uint64_t now_us = server_now_us(server);
    if (!server->clock.is_running) {
        fail(wait, SRCP_NO_DATA);
    } else if (model_clock_is_past(&server->clock, now_us, &wait->time)) {
        end(wait);
        char line[SRCP_REPLY_SIZE];
        session_send(wait->session, line, line_time(line, server));
    } else {
        layout_timer_set(&wait->timer, model_clock_when(&server->clock, &wait->time));
    }
}

/* The timer rang. */
static void look(void *context) {
    struct wait *wait = context;
    switch (wait->kind) {
    case WAIT_NOTHING:
        break;
    case WAIT_VALUE:
        fail(wait, SRCP_TIMEOUT);
        break;
    case WAIT_TIME:
        look_at_clock(wait);
        break;
    }
}

static void see_bridge(struct wait *wait, unsigned bridge, const struct bridge_view *view) {
    if (wait->kind == WAIT_VALUE && wait->device->bridge->index == bridge &&
        is_value_there(wait, view)) {
        answer_value(wait, view);
    }
}

void wait_for_value(struct wait *wait, const struct net_device *device, unsigned port, int value,
                    int32_t timeout_s) {
    wait->device = device;
    wait->port = port;
    wait->value = value;
    begin(wait, WAIT_VALUE);
    uint64_t now_us = server_now_us(wait->session->server);
    layout_timer_set(&wait->timer, now_us + (uint64_t)timeout_s * second_us);
    see_bridge(wait, device->bridge->index, bridge_now(device->bridge));
}

void wait_for_time(struct wait *wait, const struct model_time *time) {
    wait->time = *time;
    begin(wait, WAIT_TIME);
    look_at_clock(wait);
}

/* An answered one leaves the list. */
void wait_see_bridge(struct net_server *server, unsigned bridge, const struct bridge_view *view) {
    struct wait *next;
    for (struct wait *one = TAILQ_FIRST(&server->waiting); one != NULL; one = next) {
        next = TAILQ_NEXT(one, link);
        see_bridge(one, bridge, view);
    }
}

void wait_see_clock(struct net_server *server) {
    struct wait *next;
    for (struct wait *one = TAILQ_FIRST(&server->waiting); one != NULL; one = next) {
        next = TAILQ_NEXT(one, link);
        if (one->kind == WAIT_TIME) {
            look_at_clock(one);
        }
    }
}
