/* http_listener.h: one place where browsers come in: a listening socket, libevent's HTTP behind it,
 * and the limits that this one does not know: how many clients there are, how many come in a turn,
 * from where, and who leaves for the next. Answers of libevent itself to what is no HTTP at all
 * carry no headers of ours; their text is fixed. */
#ifndef PANEL_HTTP_LISTENER_H
#define PANEL_HTTP_LISTENER_H

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

TAILQ_HEAD(http_clients, http_client);

struct http_listener {
    void *context;                            /* of `serve` */
    const struct panel_listener_setup *setup; /* of the configuration, which outlives it */
    struct token token;
    struct evhttp *http;
    struct evconnlistener *acceptor; /* owned by `http` */
    struct event *sweep;             /* looks who has come and gone, while anybody is there */
    struct http_clients clients;     /* the newest last */
    struct places places;            /* of those whose address has been looked at */
    unsigned count;                  /* of the clients */
    unsigned came;                   /* since the last look */
    unsigned subscribers;            /* of the stream of events: they stay */
    unsigned refused;                /* turned away by their address, since the start */
};

/* What evhttp takes of a request before it answers by itself. */
enum { HTTP_LISTENER_HEAD_MAX = 8192, HTTP_LISTENER_BODY_MAX = 16384 };

/* Beyond `clients_max`: whoever comes is taken first, and room is made then. */
enum { HTTP_LISTENER_SPARE = 2 };

/* `serve` gets every request that is one, and finds `context` in the listener. Returns false and
 * fills `error` where it cannot listen. */
bool http_listener_open(struct http_listener *listener, struct event_base *base,
                        const struct panel_listener_setup *setup,
                        void (*serve)(struct evhttp_request *request, void *listener),
                        void *context, struct error *error);

/* Ends all its connections. */
void http_listener_close(struct http_listener *listener);

uint16_t http_listener_port(const struct http_listener *listener);

/* A request has come whole: its client keeps its place while it is being answered. */
void http_listener_serve(struct http_listener *listener, struct evhttp_request *request);

/* Returns whether one more may subscribe to events: subscribers stay, and some places are for those
 * who ask. */
bool http_listener_may_subscribe(struct http_listener *listener, struct evhttp_request *request);

/* Looks for clients that have gone, in a turn of its own. */
void http_listener_look(struct http_listener *listener);

#endif
