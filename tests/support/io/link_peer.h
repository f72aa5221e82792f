/* link_peer.h: a scripted server for a link to talk to, in an event loop of the test. Unless told
 * otherwise it is honest: it does what it is asked, tells it to INFO, answers GET by it. Its
 * devices, all on bus 1: home signals GA 11 and 12 (port 0 stop, 1 proceed; they show proceed when
 * it starts), a horn GA 3, POWER (on when it starts), detectors FB 101 to 105 (1: occupied). */
#ifndef SUPPORT_LINK_PEER_H
#define SUPPORT_LINK_PEER_H

#include "protocol/line.h"

#include <stdbool.h>
#include <stdint.h>

struct bufferevent;
struct event_base;
struct evconnlistener;

enum { PEER_SESSIONS = 8, PEER_VALUES = 11, PEER_HEARD = 1 << 16 };

struct link_peer;

struct peer_session {
    struct link_peer *peer;
    struct bufferevent *buffer; /* NULL: not in use */
    struct srcp_line_reader reader;
    bool is_info, is_open;
    int id;
};

struct link_peer {
    struct event_base *base;
    struct evconnlistener *listener; /* NULL: connections are refused */
    uint16_t port;
    struct peer_session session[PEER_SESSIONS];
    int ids;                /* given so far */
    int value[PEER_VALUES]; /* what the devices really do */
    int asked[PEER_VALUES]; /* what was last asked of them */
    unsigned connections;
    unsigned lines;         /* received */
    char heard[PEER_HEARD]; /* the lines of command sessions, "|" between them; the first of them */

    /* Bad manners. */
    const char *greeting;  /* in the place of its welcome; NULL: a good one */
    const char *go;        /* in the place of its reply to GO; NULL: a good one */
    bool refuses_mode;     /* of the session */
    bool answers_another;  /* GET: of another device */
    bool is_mute;          /* answers nothing */
    bool ignores_sets;     /* says OK and does nothing */
    bool hides_changes;    /* tells INFO nothing */
    bool answers_as_asked; /* GET: what was asked, not what is */
    const char *refuses;   /* lines that begin so are answered by 414 */
    const char *disobeys;  /* lines that begin so are answered by 200, and nothing is done */
    bool is_florid;        /* CR LF, longer time stamps, words behind OK: all of it allowed */
    int breaks_off_after;  /* > 0: the next reply is cut after so many bytes, and all is closed */
};

void peer_start(struct link_peer *peer, struct event_base *base);
void peer_stop(struct link_peer *peer);

/* Closes all sessions, or those of INFO. */
void peer_hang_up(struct link_peer *peer);
void peer_hang_up_info(struct link_peer *peer);

/* Refuses connections from now on, or takes them again, at the same port. */
void peer_close_door(struct link_peer *peer);
void peer_open_door(struct link_peer *peer);

/* "GA 11 1", "POWER", "FB 101": what a device really shows. */
int peer_shows(const struct link_peer *peer, const char *device);

/* Changes a device there, as its own operator would, and tells INFO unless it hides changes. */
void peer_change(struct link_peer *peer, const char *device, int value);

/* Sends this text as it is to all INFO, or all COMMAND, sessions. */
void peer_say_info(struct link_peer *peer, const char *text);
void peer_say_command(struct link_peer *peer, const char *text);

#endif
