#include "panel/live/live.h"

#include "base/invariant.h"
#include "panel/context.h"
#include "panel/http/answer.h"
#include "panel/http/http_listener.h"
#include "panel/live/freshness.h"
#include "panel/live/state_json.h"

#include <event2/buffer.h>
#include <event2/bufferevent.h>
#include <event2/event.h>
#include <event2/http.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A subscriber that has taken nothing for so long has gone. */
enum { WRITE_S = 10 };

static const struct timeval at_once = {0};
static const struct timeval second = {.tv_sec = LIVE_ALIVE_S};

struct live_client {
    TAILQ_ENTRY(live_client) link;
    struct live *live;
    struct http_listener *listener;
    struct evhttp_request *request;
    uint64_t next_news;
    uint64_t version[NET_BRIDGES_MAX]; /* of the state it has */
    bool is_alive_due;
    bool is_sending; /* what it was given last has not all gone */
};

/* --- turns */

static void ask_for_turn(struct live *live) {
    live->is_round_due = true;
    if (!evtimer_pending(live->turn, NULL)) {
        evtimer_add(live->turn, &at_once);
    }
}

static bool has_newer(const struct live_client *client, unsigned b) {
    const struct live_bridge *bridge = &client->live->bridge[b];
    return bridge->state != NULL && client->version[b] < bridge->version;
}

static bool is_due(const struct live_client *client) {
    const struct live *live = client->live;
    bool is_due = client->is_alive_due || client->next_news <= live->news.count;
    for (unsigned b = 0; b < live->context->config->net.bridges; b++) {
        is_due = is_due || has_newer(client, b);
    }
    return is_due && !client->is_sending;
}

/* --- what a client is given */

static void add_alive(struct live_client *client, struct evbuffer *to) {
    struct live *live = client->live;
    char id[NEWS_ID_SIZE];
    char moment[FRESHNESS_SIZE];
    news_id(&live->news, client->next_news, id);
    freshness_write(live->news.start, context_clock_us(), moment);
    evbuffer_add_printf(to,
                        "id: %s\nevent: alive\ndata: {\"at_ms\":%" PRIu64 ",\"moment\":\"%s\"}\n\n",
                        id, context_now_ms(live->context), moment);
    client->is_alive_due = false;
}

static void add_news(struct live_client *client, struct evbuffer *to) {
    const struct news *news = &client->live->news;
    if (client->next_news < news_oldest(news)) {
        client->next_news = news_oldest(news);
    }
    for (unsigned i = 0; i < LIVE_NEWS_AT_ONCE && client->next_news <= news->count; i++) {
        struct shared *one = news_get(news, client->next_news++);
        if (one != NULL) {
            shared_add(one, to);
        }
    }
}

static void add_states(struct live_client *client, struct evbuffer *to) {
    for (unsigned b = 0; b < client->live->context->config->net.bridges; b++) {
        const struct live_bridge *bridge = &client->live->bridge[b];
        if (has_newer(client, b)) {
            shared_add(bridge->state, to);
            client->version[b] = bridge->version;
        }
    }
}

static void sent(struct evhttp_connection *connection, void *context) {
    (void)connection;
    struct live_client *client = context;
    client->is_sending = false;
    if (is_due(client)) {
        ask_for_turn(client->live);
    }
}

/* The news first: an id says that all before it is there. */
static void serve(struct live_client *client) {
    struct evbuffer *batch = evbuffer_new();
    if (batch == NULL) {
        return; /* another second */
    }
    add_news(client, batch);
    add_states(client, batch);
    if (client->is_alive_due) {
        add_alive(client, batch);
    }
    client->is_sending = evbuffer_get_length(batch) > 0;
    evhttp_send_reply_chunk_with_cb(client->request, batch, sent, client);
    evbuffer_free(batch);
    if (is_due(client)) { /* there was no memory for what was in its place */
        ask_for_turn(client->live);
    }
}

static void turn_came(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct live *live = context;
    if (live->next == NULL && live->is_round_due) {
        live->is_round_due = false;
        live->next = TAILQ_FIRST(&live->clients);
    }
    for (unsigned served = 0; served < LIVE_SUBSCRIBERS_A_TURN && live->next != NULL;) {
        struct live_client *client = live->next;
        live->next = TAILQ_NEXT(client, link);
        if (is_due(client)) {
            serve(client);
            served++;
        }
    }
    if (live->next != NULL || live->is_round_due) {
        evtimer_add(live->turn, &at_once);
    }
}

/* --- the state of a bridge */

/* Two texts tell the same but for the time, which comes last. */
static bool is_news(const struct shared *old, const char *text) {
    static const char time[] = ",\"" STATE_JSON_TIME "\":";
    const char *end = strstr(text, time);
    size_t length = end != NULL ? (size_t)(end - text) : strlen(text);
    return old == NULL || strncmp(old->bytes, text, length) != 0 ||
           strncmp(old->bytes + length, time, strlen(time)) != 0;
}

static void make(struct live_bridge *bridge) {
    cJSON *json = state_json(bridge->live->context, bridge->index);
    char *data = cJSON_PrintUnformatted(json);
    cJSON_Delete(json);
    size_t size = data != NULL ? strlen(data) + 32 : 0;
    char *text = data != NULL ? malloc(size) : NULL;
    bridge->made_us = context_clock_us();
    bridge->is_stale = false;
    if (text != NULL) {
        int length = snprintf(text, size, "event: state\ndata: %s\n\n", data);
        if (is_news(bridge->state, text)) {
            shared_release(bridge->state);
            bridge->state = shared_new(text, (size_t)length);
            bridge->version++;
            ask_for_turn(bridge->live);
        }
    }
    free(text);
    cJSON_free(data);
}

static void due(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct live_bridge *bridge = context;
    if (bridge->live->count > 0 && bridge->is_stale) {
        make(bridge);
    }
}

static void make_soon(struct live_bridge *bridge) {
    uint64_t passed_us = context_clock_us() - bridge->made_us;
    uint64_t left_us = passed_us < LIVE_PACE_US ? LIVE_PACE_US - passed_us : 0;
    struct timeval wait = {.tv_usec = (suseconds_t)left_us};
    if (!evtimer_pending(bridge->due, NULL)) {
        evtimer_add(bridge->due, &wait);
    }
}

void live_changed(struct live *live, unsigned bridge) {
    live->bridge[bridge].is_stale = true;
    if (live->count > 0) {
        make_soon(&live->bridge[bridge]);
    }
}

void live_news(struct live *live, unsigned bridge, const char *kind, const char *words) {
    cJSON *json = cJSON_CreateObject();
    cJSON_AddNumberToObject(json, "bus", live->context->config->net.bridge[bridge].bus);
    cJSON_AddNumberToObject(json, "at_ms", (double)context_now_ms(live->context));
    cJSON_AddStringToObject(json, "kind", kind);
    cJSON_AddStringToObject(json, "words", words);
    news_add(&live->news, json);
    if (live->count > 0) {
        ask_for_turn(live);
    }
}

/* --- subscribers */

static void remove_client(struct live_client *client) {
    struct live *live = client->live;
    if (live->next == client) {
        live->next = TAILQ_NEXT(client, link);
    }
    INVARIANT(live->count > 0);
    TAILQ_REMOVE(&live->clients, client, link);
    live->count--;
    if (live->count == 0) {
        evtimer_del(live->alive);
    }
    free(client);
}

/* A request that its connection has let go is ours to free; else it goes with it. */
static void closed(struct evhttp_connection *connection, void *context) {
    (void)connection;
    struct live_client *client = context;
    struct evhttp_request *request = client->request;
    http_listener_look(client->listener);
    remove_client(client);
    if (evhttp_request_get_connection(request) == NULL) {
        evhttp_request_free(request);
    }
}

static void seconds_passed(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct live *live = context;
    struct live_client *client;
    TAILQ_FOREACH(client, &live->clients, link) {
        client->is_alive_due = true;
    }
    ask_for_turn(live);
}

static const char *last_id(struct evhttp_request *request) {
    return evhttp_find_header(evhttp_request_get_input_headers(request), "Last-Event-ID");
}

/* What a subscriber does not take away is bounded by the kernel's buffer and one batch. */
static void set_limits(struct evhttp_connection *connection) {
    static const struct timeval longest = {.tv_sec = WRITE_S};
    bufferevent_set_timeouts(evhttp_connection_get_bufferevent(connection), NULL, &longest);
}

/* The first subscriber: what was last made may be as old as the last one. */
static void wake(struct live *live) {
    evtimer_add(live->alive, &second);
    for (unsigned b = 0; b < live->context->config->net.bridges; b++) {
        if (live->bridge[b].is_stale) {
            shared_release(live->bridge[b].state);
            live->bridge[b].state = NULL;
            make_soon(&live->bridge[b]);
        }
    }
}

void live_begin(struct live *live, struct http_listener *listener, struct evhttp_request *request) {
    struct evhttp_connection *connection = evhttp_request_get_connection(request);
    struct live_client *client =
        http_listener_may_subscribe(listener, request) ? calloc(1, sizeof *client) : NULL;
    if (client == NULL) {
        answer_error(request, ANSWER_UNAVAILABLE, "too many subscribers");
        return;
    }
    *client = (struct live_client){.live = live,
                                   .listener = listener,
                                   .request = request,
                                   .next_news = news_after(&live->news, last_id(request)),
                                   .is_alive_due = true};
    if (live->count++ == 0) {
        wake(live);
    }
    TAILQ_INSERT_TAIL(&live->clients, client, link);
    evhttp_connection_set_closecb(connection, closed, client);
    set_limits(connection);
    answer_head(request, "text/event-stream", "no-store");
    evhttp_send_reply_start(request, ANSWER_OK, NULL);
    ask_for_turn(live);
}

/* --- all of it */

bool live_init(struct live *live, const struct panel_context *context) {
    *live = (struct live){.context = context, .news = {.start = context_now_ms(context)}};
    TAILQ_INIT(&live->clients);
    live->turn = evtimer_new(context->base, turn_came, live);
    live->alive = event_new(context->base, -1, EV_PERSIST, seconds_passed, live);
    bool is_made = live->turn != NULL && live->alive != NULL;
    for (unsigned b = 0; b < context->config->net.bridges; b++) {
        struct live_bridge *bridge = &live->bridge[b];
        *bridge = (struct live_bridge){.live = live, .index = b, .is_stale = true};
        bridge->due = evtimer_new(context->base, due, bridge);
        is_made = is_made && bridge->due != NULL;
    }
    return is_made;
}

static void free_event(struct event *event) {
    if (event != NULL) {
        event_free(event);
    }
}

void live_free(struct live *live) {
    while (!TAILQ_EMPTY(&live->clients)) {
        struct live_client *client = TAILQ_FIRST(&live->clients);
        evhttp_connection_set_closecb(evhttp_request_get_connection(client->request), NULL, NULL);
        remove_client(client);
    }
    for (unsigned b = 0; b < NET_BRIDGES_MAX; b++) {
        free_event(live->bridge[b].due);
        shared_release(live->bridge[b].state);
    }
    free_event(live->turn);
    free_event(live->alive);
    news_clear(&live->news);
}
