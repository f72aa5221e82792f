/* RESET and TERM of the server. */
#include "net/server_state.h"

#include "net/clock/fast_clock.h"
#include "net/devices/device_lock.h"
#include "net/session/session.h"

static void set_state(struct net_server *server, enum srcp_server_state state) {
    server->state = state;
    server->state_since_us = server_now_us(server);
    char line[SRCP_REPLY_SIZE];
    server_broadcast(server, line, srcp_info_server(line, server->state_since_us, state));
}

void server_state_reset(struct net_server *server) {
    set_state(server, SRCP_RESETTING);
    device_lock_release_all(server, 0);
    if (!server->setup.follows_clock) {
        fast_clock_stop(server);
    }
    set_state(server, SRCP_RUNNING);
}

void server_state_terminate(struct net_server *server) {
    set_state(server, SRCP_TERMINATING);
    for (unsigned i = 0; i < server->setup.listeners; i++) {
        listener_close(&server->listener[i]);
    }
    struct session *session;
    TAILQ_FOREACH(session, &server->sessions, link) {
        session_end(session);
    }
}
