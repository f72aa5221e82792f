/* door.h: one place where browsers come in: a listening socket, libevent's HTTP behind it, and the
 * limits that this one does not know: how many clients there are, how many come in a turn, from
 * where. Answers of libevent itself to what is no HTTP at all carry no headers of ours; their text
 * is fixed. */
#ifndef PANEL_DOOR_H
#define PANEL_DOOR_H

#include "base/error.h"
#include "panel/setup.h"
#include "panel/token.h"

#include <stdbool.h>
#include <stdint.h>
#include <sys/queue.h>

struct event;
struct event_base;
struct evconnlistener;
struct evhttp;
struct evhttp_request;
struct panel;

TAILQ_HEAD(door_clients, door_client);

struct door {
    struct panel *panel;
    const struct panel_listener_setup *setup;
    struct token token;
    struct evhttp *http;
    struct evconnlistener *listener; /* owned by `http` */
    struct event *sweep;             /* looks who has come and gone, while anybody is there */
    struct door_clients clients;
    unsigned count; /* of them */
    unsigned listening;
    unsigned refused;
};

/* What evhttp takes of a request before it answers by itself. */
enum { DOOR_HEAD_MAX = 8192, DOOR_BODY_MAX = 16384 };

/* `serve` gets every request that is one. False, and `error` filled. */
bool door_open(struct door *door, struct panel *panel, const struct panel_listener_setup *setup,
               void (*serve)(struct evhttp_request *request, void *door), struct error *error);

/* Ends all its connections. */
void door_close(struct door *door);

uint16_t door_port(const struct door *door);

/* Whether one more may listen: some places are for those who ask, for listeners stay. If so, it
 * keeps its place; others leave theirs, a second old, where all are taken. */
bool door_may_listen(struct door *door, struct evhttp_request *request);

/* Looks for clients that have gone, in a turn of its own. */
void door_look(struct door *door);

#endif
