/* door.h: one place where browsers come in: a listening socket, libevent's HTTP behind it, and the
 * limits that this one does not know: how many clients there are, how many come in a turn, from
 * where, and who leaves for the next. Answers of libevent itself to what is no HTTP at all carry no
 * headers of ours; their text is fixed. */
#ifndef PANEL_DOOR_H
#define PANEL_DOOR_H

#include "base/error.h"
#include "base/places.h"
#include "panel/http/token.h"
#include "panel/setup.h"

#include <stdbool.h>
#include <stdint.h>
#include <sys/queue.h>

struct event;
struct event_base;
struct evconnlistener;
struct evhttp;
struct evhttp_request;

TAILQ_HEAD(door_clients, door_client);

struct door {
    void *context; /* of `serve` */
    const struct panel_listener_setup *setup;
    struct token token;
    struct evhttp *http;
    struct evconnlistener *listener; /* owned by `http` */
    struct event *sweep;             /* looks who has come and gone, while anybody is there */
    struct door_clients clients;     /* the newest last */
    struct places places;            /* of those whose address has been looked at */
    unsigned count;                  /* of the clients */
    unsigned came;                   /* since the last look */
    unsigned listening;
    unsigned refused;
};

/* What evhttp takes of a request before it answers by itself. */
enum { DOOR_HEAD_MAX = 8192, DOOR_BODY_MAX = 16384 };

/* Beyond `clients_max`: whoever comes is taken first, and room is made then. */
enum { DOOR_SPARE = 2 };

/* `serve` gets every request that is one, and finds `context` in the door. Returns false and fills
 * `error` where it cannot listen. */
bool door_open(struct door *door, struct event_base *base, const struct panel_listener_setup *setup,
               void (*serve)(struct evhttp_request *request, void *door), void *context,
               struct error *error);

/* Ends all its connections. */
void door_close(struct door *door);

uint16_t door_port(const struct door *door);

/* A request has come whole: its client keeps its place while it is being answered. */
void door_serve(struct door *door, struct evhttp_request *request);

/* Returns whether one more may listen: some places are for those who ask, for listeners stay. */
bool door_may_listen(struct door *door, struct evhttp_request *request);

/* Looks for clients that have gone, in a turn of its own. */
void door_look(struct door *door);

#endif
