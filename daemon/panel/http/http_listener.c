#include "panel/http/http_listener.h"

#include "base/invariant.h"
#include "base/log.h"
#include "panel/context.h"

#include <errno.h>
#include <event2/bufferevent.h>
#include <event2/event.h>
#include <event2/http.h>
#include <event2/listener.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

/* Each client of a turn costs some ten microseconds. A reader that takes nothing for IDLE_S is
 * gone, and so is a client that sends nothing as long between two requests. */
enum { CLIENTS_A_TURN = HTTP_LISTENER_SPARE, IDLE_S = 20, UNANSWERED_MS = 10000, QUEUE = 4096 };
enum { SWEEP_S = 2, SWEEP_FULL_US = 100000 };
enum { IN_THE_WAY_US = 1000000 }; /* so long one that is being answered keeps its place at least */
enum { READ_AT_ONCE = 4096, READ_MOST = 32768, WRITE_AT_ONCE = 16384 };
enum { KERNEL_UNSENT = 65536, KERNEL_UNREAD = 16384 };
enum { OF_ONE_ADDRESS_LEAST = 8 }; /* a browser has six */

struct http_client {
    TAILQ_ENTRY(http_client) link;
    struct place place;
    struct http_listener *listener;
    struct bufferevent *bytes; /* a reference of our own */
    bool is_looked_at;         /* its address */
    bool is_subscribed;
    uint64_t asked_us; /* its last request */
};

static const struct timeval at_once = {0};
static const struct timeval sweep_time = {.tv_sec = SWEEP_S};
static const struct timeval sweep_time_full = {.tv_usec = SWEEP_FULL_US};

/* --- how many there may be */

static unsigned three_quarters(unsigned places) {
    unsigned most = places - (places + 3) / 4;
    return most > 0 ? most : 1;
}

/* Subscribers stay: a quarter of the places is for those who ask. */
static unsigned most_subscribers(unsigned places) {
    return three_quarters(places);
}

/* And a quarter is for other addresses; where there are few places one may have them all. */
static unsigned most_of_one_address(const struct panel_listener_setup *setup) {
    unsigned most = three_quarters(setup->clients_max);
    most = most > OF_ONE_ADDRESS_LEAST ? most : OF_ONE_ADDRESS_LEAST;
    return most < setup->clients_max ? most : setup->clients_max + HTTP_LISTENER_SPARE;
}

/* --- those who have come */

/* evhttp takes its callbacks away when it lets go; it tells nobody. */
static bool has_gone(const struct http_client *client) {
    bufferevent_event_cb on_event = NULL;
    bufferevent_getcb(client->bytes, NULL, NULL, &on_event, NULL);
    return on_event == NULL;
}

static void forget(struct http_client *client) {
    struct http_listener *listener = client->listener;
    TAILQ_REMOVE(&listener->clients, client, link);
    place_leave(&listener->places, &client->place);
    INVARIANT(listener->count > 0 && listener->subscribers >= client->is_subscribed);
    listener->count--;
    listener->subscribers -= client->is_subscribed;
    bufferevent_decref(client->bytes); /* the last reference closes the socket */
    free(client);
}

/* evhttp lets go of a client that has failed, and of no other at our word. Returns whether it did.
 */
static bool end(struct http_client *client) {
    bufferevent_trigger_event(client->bytes, BEV_EVENT_READING | BEV_EVENT_ERROR, 0);
    bool is_gone = has_gone(client);
    if (is_gone) {
        forget(client);
    }
    return is_gone;
}

static void say_refused(struct http_listener *listener) {
    listener->refused++;
    if ((listener->refused & (listener->refused - 1)) == 0) { /* the 1st, 2nd, 4th, 8th ... */
        log_line(LOG_WARNING,
                 "panel on %s port %u: %u clients refused: not from a permitted network",
                 listener->setup->address, http_listener_port(listener), listener->refused);
    }
}

static struct http_client *client_of(struct place *place) {
    return (struct http_client *)(void *)((char *)place - offsetof(struct http_client, place));
}

static bool is_in_the_way(const struct http_client *client) {
    return client->is_looked_at && !client->is_subscribed && !client->place.is_unfinished &&
           context_clock_us() - client->asked_us > IN_THE_WAY_US;
}

/* Who leaves where places are short: somebody may stand outside and want to stop a span. An
 * unfinished request leaves at once, for it may never be finished; an answer is given a second. */
static struct http_client *first_to_leave(const struct http_listener *listener) {
    const struct http_client *newest = TAILQ_LAST(&listener->clients, http_clients);
    struct place *place = places_first_to_leave(&listener->places, &newest->place);
    if (place != NULL) {
        return client_of(place);
    }
    struct http_client *client;
    TAILQ_FOREACH(client, &listener->clients, link) {
        if (is_in_the_way(client)) {
            return client;
        }
    }
    return NULL;
}

/* The same among those of the newcomer's address; itself, if all others are being served. */
static struct http_client *first_neighbour_to_leave(const struct http_listener *listener,
                                                    struct http_client *newest) {
    struct place *place = places_first_neighbour_to_leave(&listener->places, &newest->place);
    if (place != NULL) {
        return client_of(place);
    }
    struct http_client *client;
    TAILQ_FOREACH(client, &listener->clients, link) {
        if (place_is_neighbour(&client->place, &newest->place) && is_in_the_way(client)) {
            return client;
        }
    }
    return newest;
}

static bool is_stranger(const struct http_client *client, const struct sockaddr *from) {
    const struct panel_listener_setup *setup = client->listener->setup;
    return !network_may_come(setup->network, setup->networks, from);
}

/* Returns false if it has left, or there is no memory. */
static bool take_place(struct http_client *client, struct sockaddr_storage *from) {
    unsigned char address[16];
    socklen_t length = sizeof *from;
    return getpeername(bufferevent_getfd(client->bytes), (struct sockaddr *)from, &length) == 0 &&
           network_address((const struct sockaddr *)from, address) &&
           (place_count(&client->place) > 0 ||
            place_take(&client->listener->places, &client->place, address));
}

/* Nobody but a client that may come gets as far as a request: guard.c looks once more. */
static void look_at(struct http_client *client) {
    struct http_listener *listener = client->listener;
    struct sockaddr_storage from;
    client->is_looked_at = true;
    if (!take_place(client, &from)) {
        end(client);
    } else if (is_stranger(client, (const struct sockaddr *)&from)) {
        say_refused(listener);
        end(client);
    } else if (place_count(&client->place) > most_of_one_address(listener->setup)) {
        end(first_neighbour_to_leave(listener, client));
    }
}

static void look_at_all(struct http_listener *listener) {
    struct http_client *next;
    for (struct http_client *client = TAILQ_FIRST(&listener->clients); client != NULL;
         client = next) {
        next = TAILQ_NEXT(client, link);
        if (has_gone(client)) {
            forget(client);
        } else if (!client->is_looked_at) {
            look_at(client);
        }
    }
}

static bool is_full(const struct http_listener *listener) {
    return listener->count > listener->setup->clients_max;
}

static void make_room(struct http_listener *listener) {
    while (is_full(listener)) {
        struct http_client *client = first_to_leave(listener);
        if (client == NULL || !end(client)) {
            return; /* all are served: the newest too, and further ones wait */
        }
    }
}

static void swept(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct http_listener *listener = context;
    /* Those who have gone may be room enough; only then does somebody have to go. */
    look_at_all(listener);
    make_room(listener);
    if (listener->count > 0) {
        evtimer_add(listener->sweep, is_full(listener) ? &sweep_time_full : &sweep_time);
    }
    listener->came = 0;
    if (is_full(listener)) {
        evconnlistener_disable(listener->acceptor);
    } else {
        evconnlistener_enable(listener->acceptor);
    }
}

void http_listener_look(struct http_listener *listener) {
    evtimer_add(listener->sweep, &at_once);
}

/* --- those who ask */

static struct http_client *find(struct http_listener *listener, struct evhttp_request *request) {
    const struct bufferevent *bytes =
        evhttp_connection_get_bufferevent(evhttp_request_get_connection(request));
    struct http_client *client;
    TAILQ_FOREACH(client, &listener->clients, link) {
        if (client->bytes == bytes) {
            return client;
        }
    }
    return NULL;
}

static void answered(struct evhttp_request *request, void *context) {
    (void)request;
    struct http_client *client = context;
    place_begin(&client->listener->places, &client->place);
}

void http_listener_serve(struct http_listener *listener, struct evhttp_request *request) {
    struct http_client *client = find(listener, request);
    struct sockaddr_storage from;
    if (client != NULL && take_place(client, &from)) { /* it may come before the look at it */
        client->asked_us = context_clock_us();
        place_finish(&listener->places, &client->place);
        evhttp_request_set_on_complete_cb(request, answered, client);
    }
}

static unsigned listening_neighbours(const struct http_listener *listener,
                                     const struct http_client *client) {
    unsigned count = 0;
    const struct http_client *other;
    TAILQ_FOREACH(other, &listener->clients, link) {
        count += other->is_subscribed && place_is_neighbour(&other->place, &client->place);
    }
    return count;
}

bool http_listener_may_subscribe(struct http_listener *listener, struct evhttp_request *request) {
    struct http_client *client = find(listener, request);
    if (client == NULL || listener->subscribers >= most_subscribers(listener->setup->clients_max) ||
        listening_neighbours(listener, client) >=
            most_subscribers(most_of_one_address(listener->setup))) {
        return false;
    }
    client->is_subscribed = true;
    listener->subscribers++;
    return true;
}

/* --- those who come */

/* evhttp asks for the bytes of each new client here, from within the loop that accepts: whoever
 * disables the listener ends that loop. NULL: evhttp makes its own, which we know nothing of, so
 * there is no room for more than these. */
static struct bufferevent *client_came(struct event_base *base, void *context) {
    struct http_listener *listener = context;
    struct http_client *client = calloc(1, sizeof *client);
    struct bufferevent *bytes = bufferevent_socket_new(base, -1, BEV_OPT_CLOSE_ON_FREE);
    if (client == NULL || bytes == NULL) {
        free(client);
        return bytes;
    }
    bufferevent_set_max_single_read(bytes, READ_AT_ONCE);
    bufferevent_set_max_single_write(bytes, WRITE_AT_ONCE);
    bufferevent_setwatermark(bytes, EV_READ, 0, READ_MOST);
    bufferevent_incref(bytes);
    client->listener = listener;
    client->bytes = bytes;
    TAILQ_INSERT_TAIL(&listener->clients, client, link);
    listener->count++;
    listener->came++;
    if (evtimer_add(listener->sweep, &at_once) == 0 && listener->came >= CLIENTS_A_TURN) {
        evconnlistener_disable(listener->acceptor); /* until the sweep, if it finds room */
    }
    return bytes;
}

/* --- opening and closing */

/* What the kernel holds for a client, unsent and unread, is bounded, and one that has vanished is
 * noticed. Sockets that are accepted have it from the one that listens. */
static void bound(evutil_socket_t fd) {
    int yes = 1;
    int unsent = KERNEL_UNSENT;
    int unread = KERNEL_UNREAD;
    unsigned unanswered_ms = UNANSWERED_MS;
    setsockopt(fd, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
    setsockopt(fd, SOL_SOCKET, SO_SNDBUF, &unsent, sizeof unsent);
    setsockopt(fd, SOL_SOCKET, SO_RCVBUF, &unread, sizeof unread);
    setsockopt(fd, IPPROTO_TCP, TCP_USER_TIMEOUT, &unanswered_ms, sizeof unanswered_ms);
}

static struct evconnlistener *
listen_at(struct event_base *base, const struct panel_listener_setup *setup, struct error *error) {
    struct sockaddr_storage address;
    int length = sizeof address;
    char text[PANEL_ADDRESS_SIZE + 16];
    bool is_v6 = strchr(setup->address, ':') != NULL;
    snprintf(text, sizeof text, is_v6 ? "[%s]:%u" : "%s:%u", setup->address, setup->port);
    if (setup->port == 0) { /* which the function below takes for no port */
        snprintf(text, sizeof text, "%s", setup->address);
    }
    memset(&address, 0, sizeof address);
    struct evconnlistener *listener = NULL;
    errno = EINVAL;
    if (evutil_parse_sockaddr_port(text, (struct sockaddr *)&address, &length) == 0) {
        unsigned flags = LEV_OPT_CLOSE_ON_FREE | LEV_OPT_CLOSE_ON_EXEC | LEV_OPT_REUSEABLE |
                         (is_v6 ? LEV_OPT_BIND_IPV6ONLY : 0);
        listener = evconnlistener_new_bind(base, NULL, NULL, flags, QUEUE,
                                           (const struct sockaddr *)&address, length);
    }
    if (listener == NULL) {
        error_set(error, "panel", "cannot listen on %s: %s", text, strerror(errno));
    } else {
        bound(evconnlistener_get_fd(listener));
    }
    return listener;
}

bool http_listener_open(struct http_listener *listener, struct event_base *base,
                        const struct panel_listener_setup *setup,
                        void (*serve)(struct evhttp_request *request, void *listener),
                        void *context, struct error *error) {
    *listener = (struct http_listener){.context = context, .setup = setup};
    TAILQ_INIT(&listener->clients);
    places_init(&listener->places);
    if (setup->token_file[0] != '\0' && !token_read(&listener->token, setup->token_file, error)) {
        return false;
    }
    listener->sweep = evtimer_new(base, swept, listener);
    listener->http = evhttp_new(base);
    listener->acceptor = listen_at(base, setup, error);
    if (listener->acceptor == NULL || listener->http == NULL || listener->sweep == NULL ||
        evhttp_bind_listener(listener->http, listener->acceptor) == NULL) {
        if (listener->acceptor != NULL) {
            evconnlistener_free(listener->acceptor);
            error_set(error, "panel", "out of memory");
        }
        http_listener_close(listener);
        return false;
    }
    evhttp_set_bevcb(listener->http, client_came, listener);
    evhttp_set_gencb(listener->http, serve, listener);
    evhttp_set_allowed_methods(listener->http,
                               UINT16_MAX); /* what we do not take, we say ourselves */
    evhttp_set_max_headers_size(listener->http, HTTP_LISTENER_HEAD_MAX);
    evhttp_set_max_body_size(listener->http, HTTP_LISTENER_BODY_MAX);
    evhttp_set_timeout(listener->http, IDLE_S);
    return true;
}

void http_listener_close(struct http_listener *listener) {
    if (listener->http != NULL) {
        evhttp_free(listener->http);
    }
    while (!TAILQ_EMPTY(&listener->clients)) {
        forget(TAILQ_FIRST(&listener->clients));
    }
    if (listener->sweep != NULL) {
        event_free(listener->sweep);
    }
}

uint16_t http_listener_port(const struct http_listener *listener) {
    struct sockaddr_storage address;
    socklen_t length = sizeof address;
    if (getsockname(evconnlistener_get_fd(listener->acceptor), (struct sockaddr *)&address,
                    &length) != 0) {
        return 0;
    }
    return ntohs(address.ss_family == AF_INET6 ? ((struct sockaddr_in6 *)&address)->sin6_port
                                               : ((struct sockaddr_in *)&address)->sin_port);
}
