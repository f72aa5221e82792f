/* live.h: the stream of events to those who subscribe (server-sent events, HTML standard, 9.2). The
 * state of a bridge is made into text once a change, not once a subscriber, and at most every
 * LIVE_PACE_US; a subscriber that cannot keep up gets the newest state when there is room again.
 * Nothing is made, and no timer runs, while nobody has. */
#ifndef PANEL_LIVE_H
#define PANEL_LIVE_H

#include "config/config.h"
#include "panel/live/news.h"
#include "panel/live/shared.h"

#include <stdbool.h>
#include <stdint.h>
#include <sys/queue.h>

struct http_listener;
struct event;
struct evhttp_request;
struct panel_context;

/* Each subscriber served costs some ten microseconds; a turn is bounded. */
enum {
    LIVE_PACE_US = 80000,
    LIVE_SUBSCRIBERS_A_TURN = 4,
    LIVE_NEWS_AT_ONCE = 32,
    LIVE_ALIVE_S = 1
};

TAILQ_HEAD(live_clients, live_client);

struct live_bridge {
    struct live *live;
    unsigned index;
    struct shared *state; /* the event, as last made; NULL: never */
    uint64_t version;     /* of it; 0: never made */
    uint64_t made_us;     /* by context_clock_us() */
    bool is_stale;        /* the bridge has gone on since */
    struct event *due;
};

struct live {
    const struct panel_context *context;
    struct live_clients clients;
    unsigned count;
    struct news news;
    struct live_bridge bridge[NET_BRIDGES_MAX];
    struct event *turn;       /* serves a few */
    struct event *alive;      /* once a second while anybody has subscribed */
    struct live_client *next; /* to be served in this round */
    bool is_round_due;
};

/* `context` outlives it. Returns false: no memory. */
bool live_init(struct live *live, const struct panel_context *context);

/* Before the listeners close: what they hold for the subscribers goes with them. */
void live_free(struct live *live);

/* Takes the request over. */
void live_begin(struct live *live, struct http_listener *listener, struct evhttp_request *request);

/* The bridge has gone on, in what way ever. */
void live_changed(struct live *live, unsigned bridge);

/* Sends an event `news` to all subscribers. */
void live_news(struct live *live, unsigned bridge, const char *kind, const char *words);

#endif
