/* session.h: one client's session: handshake, then commands or information.
 *
 *   shaking ──GO──► running ──TERM, hang-up, break──► ended ──connection gone──► freed
 *      └──── TERM 0 SESSION, time limit, hang-up ───────┘
 */
#ifndef NET_SESSION_H
#define NET_SESSION_H

#include "net/registry.h"
#include "protocol/handshake.h"

struct connection;

/* Clients that may be in their handshake while all sessions are taken; and so many that have ended
 * and are still being told so may be there besides. Where there would be more the oldest leave. */
enum { SESSION_SPARE_CLIENTS = 16 };

struct session {
    TAILQ_ENTRY(session) link;
    TAILQ_ENTRY(session) leaving; /* once it has ended */
    struct net_server *server;
    struct connection *connection;
    struct listener *listener; /* it came by */
    enum net_right right;
    struct srcp_handshake handshake; /* and the mode chosen in it */
    struct place place;              /* until GO */
    bool is_running;                 /* from GO to the end */
    bool is_ended;
    int32_t id; /* 0 before GO */
    uint64_t begun_us;
    struct wait *wait; /* the WAIT that holds it up; wait.c's */
};

/* Takes the socket over and says welcome; somebody else may have to leave for it. */
void session_begin(struct net_server *server, int fd, struct listener *listener,
                   const unsigned char address[16]);

void session_send(struct session *session, const char *line, size_t length);
void session_reply(struct session *session, enum srcp_code code);

/* Ends the session; what was sent still reaches the client. */
void session_end(struct session *session);

/* Frees it at once, with its connection. */
void session_free(struct session *session);

/* The running session of this id, or NULL. */
struct session *session_find(struct net_server *server, int32_t id);

#endif
