#include "net/session/session.h"

#include "base/invariant.h"
#include "base/log.h"
#include "net/session/connection.h"

#include <event2/util.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>

void session_send(struct session *session, const char *line, size_t length) {
    connection_send(session->connection, line, length);
}

void session_reply(struct session *session, enum srcp_code code) {
    char line[SRCP_REPLY_SIZE];
    session_send(session, line, srcp_reply(line, server_now_us(session->server), code));
}

struct session *session_find(struct net_server *server, int32_t id) {
    struct session *session;
    TAILQ_FOREACH(session, &server->sessions, link) {
        if (session->is_running && session->id == id) {
            return session;
        }
    }
    return NULL;
}

/* Of what a listener's setup says; 0 there is no limit of its own. */
static bool is_within(unsigned count, unsigned most) {
    return most == 0 || count < most;
}

static bool is_room(const struct session *session) {
    const struct net_server *server = session->server;
    const struct listener *listener = session->listener;
    return server->running < server->setup.sessions_max && server->last_id < INT32_MAX &&
           is_within(listener->running, listener->setup->sessions_max);
}

static void tell_host(const struct session *session, bool begins) {
    static const char *const rights[] = {"observe", "operate", "administer"};
    const struct net_host *host = &session->server->host;
    if (host->session == NULL) {
        return;
    }
    char words[NET_ADDRESS_SIZE + 48];
    snprintf(words, sizeof words, "%s, may %s, by %s",
             session->handshake.mode == SRCP_INFO_MODE ? "informed" : "commands",
             rights[session->right], session->listener->setup->address);
    host->session(host->context, session->id, begins, words);
}

static void go(struct session *session) {
    struct net_server *server = session->server;
    if (!is_room(session)) {
        session_reply(session, SRCP_OUT_OF_RESOURCES);
        return;
    }
    uint64_t now_us = server_now_us(server);
    enum srcp_mode mode = session->handshake.mode;
    session->id = ++server->last_id;
    session->begun_us = now_us;
    char line[SRCP_REPLY_SIZE];
    server_broadcast(server, line, srcp_info_session_begun(line, now_us, session->id, mode));
    session->is_running = true;
    place_leave(&session->listener->shaking, &session->place);
    server->running++;
    session->listener->running++;
    tell_host(session, true);
    connection_limit(session->connection, 0);
    session_send(session, line, srcp_reply_go(line, now_us, session->id));
    if (mode == SRCP_INFO_MODE) {
        server->listening++;
        server->handler->listens(session);
        connection_only_send(session->connection, server->setup.backlog_bytes);
    }
}

static void shake(struct session *session, struct srcp_text line) {
    enum srcp_code code;
    switch (srcp_handshake_step(&session->handshake, line, &code)) {
    case SRCP_HANDSHAKE_STAYS:
        session_reply(session, code);
        break;
    case SRCP_HANDSHAKE_GOES:
        go(session);
        break;
    case SRCP_HANDSHAKE_ENDS:
        session_reply(session, code);
        session_end(session);
        break;
    }
}

static void line_came(void *context, enum srcp_line_kind kind, struct srcp_text line) {
    struct session *session = context;
    switch (kind) {
    case SRCP_LINE_NONE:
        break;
    case SRCP_LINE_BAD:
        session_reply(session, SRCP_UNKNOWN_COMMAND);
        break;
    case SRCP_LINE_TOO_LONG:
        session_reply(session, SRCP_LIST_TOO_LONG);
        break;
    case SRCP_LINE_TEXT:
        if (session->is_running) {
            session->server->handler->line(session, line);
        } else {
            shake(session, line);
        }
        break;
    }
}

/* All but the connection: the others learn of it now, and locks go now. */
static void retire(struct session *session) {
    if (!session->is_running) {
        return;
    }
    struct net_server *server = session->server;
    session->is_running = false;
    tell_host(session, false);
    server->running--;
    session->listener->running--;
    if (session->handshake.mode == SRCP_INFO_MODE) {
        server->listening--;
    }
    server->handler->ended(session);
    char line[SRCP_REPLY_SIZE];
    server_broadcast(server, line,
                     srcp_info_session_ended(line, server_now_us(server), session->id));
}

/* It is no longer a client, but a connection that still sends its last words. */
static void leave(struct session *session) {
    if (!session->is_ended) {
        session->is_ended = true;
        place_leave(&session->listener->shaking, &session->place);
        session->listener->connections--;
        session->server->leaving++;
        TAILQ_INSERT_TAIL(&session->server->ended, session, leaving);
    }
}

void session_end(struct session *session) {
    connection_close(session->connection); /* first: it is not told of its own end */
    retire(session);
    leave(session);
}

static void client_hung_up(void *context) {
    session_end(context);
}

static void log_fault(const struct session *session) {
    const char *fault = connection_fault(session->connection);
    if (fault != NULL) {
        log_line(LOG_WARNING, "session %d, by %s: ended: %s", session->id,
                 session->listener->setup->address, fault);
    }
}

static void connection_gone(void *context) {
    struct session *session = context;
    struct net_server *server = session->server;
    log_fault(session);
    retire(session);
    session_free(session);
    if (server->state == SRCP_TERMINATING && TAILQ_EMPTY(&server->sessions)) {
        server->host.stop(server->host.context);
    }
}

void session_free(struct session *session) {
    struct net_server *server = session->server;
    leave(session);
    TAILQ_REMOVE(&server->ended, session, leaving);
    TAILQ_REMOVE(&server->sessions, session, link);
    INVARIANT(server->leaving > 0 && server->clients > 0);
    server->leaving--;
    server->clients--;
    server->handler->freed(session);
    connection_free(session->connection);
    free(session);
}

static bool connect_to(struct session *session, int fd) {
    const struct connection_owner owner = {
        .context = session, .line = line_came, .hung_up = client_hung_up, .gone = connection_gone};
    session->connection = connection_new(&session->server->connections, fd, &owner,
                                         session->listener->setup->lines_a_second);
    if (session->connection != NULL && !session->server->handler->made(session)) {
        connection_free(session->connection);
        session->connection = NULL;
    }
    return session->connection != NULL;
}

static struct session *session_new(struct net_server *server, int fd, struct listener *listener,
                                   const unsigned char address[16]) {
    struct session *session = calloc(1, sizeof *session);
    if (session == NULL || !place_take(&listener->shaking, &session->place, address)) {
        evutil_closesocket(fd);
        free(session);
        return NULL;
    }
    session->server = server;
    session->listener = listener;
    session->right = listener->setup->right;
    if (!connect_to(session, fd)) {
        place_leave(&listener->shaking, &session->place);
        free(session);
        return NULL;
    }
    TAILQ_INSERT_TAIL(&server->sessions, session, link);
    server->clients++;
    listener->connections++;
    return session;
}

/* The listener that has most clients in their handshake. */
static struct listener *busiest(struct net_server *server) {
    struct listener *most = &server->listener[0];
    for (unsigned i = 1; i < server->setup.listeners; i++) {
        struct listener *listener = &server->listener[i];
        if (listener->connections - listener->running > most->connections - most->running) {
            most = listener;
        }
    }
    return most;
}

static void send_away(const struct listener *listener) {
    struct place *place = places_first_to_leave(&listener->shaking, NULL);
    if (place != NULL) {
        struct session *session =
            (struct session *)(void *)((char *)place - offsetof(struct session, place));
        if (session->server->leaving < SESSION_SPARE_CLIENTS) {
            session_reply(session, SRCP_OUT_OF_RESOURCES);
            session_end(session);
        } else {
            session_free(session); /* telling all that come in a storm would feed it */
        }
    }
}

/* A new client may want to stop a span: it never waits for those that do not finish their
 * handshake. There are always some where a place is needed: sessions alone are fewer. */
static void make_room(struct net_server *server, struct listener *listener) {
    unsigned room = server->setup.sessions_max + SESSION_SPARE_CLIENTS;
    unsigned of_listener = listener->setup->sessions_max;
    if (of_listener > 0 && listener->connections >= of_listener + SESSION_SPARE_CLIENTS) {
        send_away(listener);
    } else if (server->clients - server->leaving >= room) {
        send_away(busiest(server));
    }
    if (server->clients >= room + SESSION_SPARE_CLIENTS && !TAILQ_EMPTY(&server->ended)) {
        session_free(TAILQ_FIRST(&server->ended)); /* many have ended at once */
    }
}

void session_begin(struct net_server *server, int fd, struct listener *listener,
                   const unsigned char address[16]) {
    make_room(server, listener);
    struct session *session = session_new(server, fd, listener, address);
    if (session == NULL) {
        log_line(LOG_WARNING, "out of memory for another client");
        return;
    }
    char line[SRCP_REPLY_SIZE];
    session_send(session, line, srcp_welcome(line, server->host.version));
    connection_limit(session->connection, server->setup.handshake_us);
}
