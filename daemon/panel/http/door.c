#include "panel/http/door.h"

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
enum { CLIENTS_A_TURN = DOOR_SPARE, IDLE_S = 20, UNANSWERED_MS = 10000, QUEUE = 4096 };
enum { SWEEP_S = 2, SWEEP_FULL_US = 100000 };
enum { IN_THE_WAY_US = 1000000 }; /* so long one that is being answered keeps its place at least */
enum { READ_AT_ONCE = 4096, READ_MOST = 32768, WRITE_AT_ONCE = 16384 };
enum { KERNEL_UNSENT = 65536, KERNEL_UNREAD = 16384 };
enum { OF_ONE_ADDRESS_LEAST = 8 }; /* a browser has six */

struct door_client {
    TAILQ_ENTRY(door_client) link;
    struct place place;
    struct door *door;
    struct bufferevent *bytes; /* a reference of our own */
    bool is_looked_at;         /* its address */
    bool is_listening;
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

/* Listeners stay: a quarter of the places is for those who ask. */
static unsigned most_listeners(unsigned places) {
    return three_quarters(places);
}

/* And a quarter is for other addresses; where there are few places one may have them all. */
static unsigned most_of_one_address(const struct panel_listener_setup *setup) {
    unsigned most = three_quarters(setup->clients_max);
    most = most > OF_ONE_ADDRESS_LEAST ? most : OF_ONE_ADDRESS_LEAST;
    return most < setup->clients_max ? most : setup->clients_max + DOOR_SPARE;
}

/* --- those who have come */

/* evhttp takes its callbacks away when it lets go; it tells nobody. */
static bool has_gone(const struct door_client *client) {
    bufferevent_event_cb on_event = NULL;
    bufferevent_getcb(client->bytes, NULL, NULL, &on_event, NULL);
    return on_event == NULL;
}

static void forget(struct door_client *client) {
    struct door *door = client->door;
    TAILQ_REMOVE(&door->clients, client, link);
    place_leave(&door->places, &client->place);
    INVARIANT(door->count > 0 && door->listening >= client->is_listening);
    door->count--;
    door->listening -= client->is_listening;
    bufferevent_decref(client->bytes); /* the last reference closes the socket */
    free(client);
}

/* evhttp lets go of a client that has failed, and of no other at our word. Returns whether it did.
 */
static bool end(struct door_client *client) {
    bufferevent_trigger_event(client->bytes, BEV_EVENT_READING | BEV_EVENT_ERROR, 0);
    bool is_gone = has_gone(client);
    if (is_gone) {
        forget(client);
    }
    return is_gone;
}

static void say_refused(struct door *door) {
    door->refused++;
    if ((door->refused & (door->refused - 1)) == 0) { /* the 1st, 2nd, 4th, 8th ... */
        log_line(LOG_WARNING,
                 "panel on %s port %u: %u clients turned away: not from a network that may come",
                 door->setup->address, door_port(door), door->refused);
    }
}

static struct door_client *client_of(struct place *place) {
    return (struct door_client *)(void *)((char *)place - offsetof(struct door_client, place));
}

static bool is_in_the_way(const struct door_client *client) {
    return client->is_looked_at && !client->is_listening && !client->place.is_unfinished &&
           context_clock_us() - client->asked_us > IN_THE_WAY_US;
}

/* Who leaves where places are short: somebody may stand outside and want to stop a span. An
 * unfinished request leaves at once, for it may never be finished; an answer is given a second. */
static struct door_client *first_to_leave(const struct door *door) {
    const struct door_client *newest = TAILQ_LAST(&door->clients, door_clients);
    struct place *place = places_first_to_leave(&door->places, &newest->place);
    if (place != NULL) {
        return client_of(place);
    }
    struct door_client *client;
    TAILQ_FOREACH(client, &door->clients, link) {
        if (is_in_the_way(client)) {
            return client;
        }
    }
    return NULL;
}

/* The same among those of the newcomer's address; itself, if all others are being served. */
static struct door_client *first_neighbour_to_leave(const struct door *door,
                                                    struct door_client *newest) {
    struct place *place = places_first_neighbour_to_leave(&door->places, &newest->place);
    if (place != NULL) {
        return client_of(place);
    }
    struct door_client *client;
    TAILQ_FOREACH(client, &door->clients, link) {
        if (place_is_neighbour(&client->place, &newest->place) && is_in_the_way(client)) {
            return client;
        }
    }
    return newest;
}

static bool is_stranger(const struct door_client *client, const struct sockaddr *from) {
    const struct panel_listener_setup *setup = client->door->setup;
    return !network_may_come(setup->network, setup->networks, from);
}

/* Returns false if it has left, or there is no memory. */
static bool take_place(struct door_client *client, struct sockaddr_storage *from) {
    unsigned char address[16];
    socklen_t length = sizeof *from;
    return getpeername(bufferevent_getfd(client->bytes), (struct sockaddr *)from, &length) == 0 &&
           network_address((const struct sockaddr *)from, address) &&
           (place_count(&client->place) > 0 ||
            place_take(&client->door->places, &client->place, address));
}

/* Nobody but a client that may come gets as far as a request: guard.c looks once more. */
static void look_at(struct door_client *client) {
    struct door *door = client->door;
    struct sockaddr_storage from;
    client->is_looked_at = true;
    if (!take_place(client, &from)) {
        end(client);
    } else if (is_stranger(client, (const struct sockaddr *)&from)) {
        say_refused(door);
        end(client);
    } else if (place_count(&client->place) > most_of_one_address(door->setup)) {
        end(first_neighbour_to_leave(door, client));
    }
}

static void look_at_all(struct door *door) {
    struct door_client *next;
    for (struct door_client *client = TAILQ_FIRST(&door->clients); client != NULL; client = next) {
        next = TAILQ_NEXT(client, link);
        if (has_gone(client)) {
            forget(client);
        } else if (!client->is_looked_at) {
            look_at(client);
        }
    }
}

static bool is_full(const struct door *door) {
    return door->count > door->setup->clients_max;
}

static void make_room(struct door *door) {
    while (is_full(door)) {
        struct door_client *client = first_to_leave(door);
        if (client == NULL || !end(client)) {
            return; /* all are served: the newest too, and further ones wait */
        }
    }
}

static void swept(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct door *door = context;
    look_at_all(door);
    make_room(door);
    if (door->count > 0) {
        evtimer_add(door->sweep, is_full(door) ? &sweep_time_full : &sweep_time);
    }
    door->came = 0;
    if (is_full(door)) {
        evconnlistener_disable(door->listener);
    } else {
        evconnlistener_enable(door->listener);
    }
}

void door_look(struct door *door) {
    evtimer_add(door->sweep, &at_once);
}

/* --- those who ask */

static struct door_client *find(struct door *door, struct evhttp_request *request) {
    const struct bufferevent *bytes =
        evhttp_connection_get_bufferevent(evhttp_request_get_connection(request));
    struct door_client *client;
    TAILQ_FOREACH(client, &door->clients, link) {
        if (client->bytes == bytes) {
            return client;
        }
    }
    return NULL;
}

static void answered(struct evhttp_request *request, void *context) {
    (void)request;
    struct door_client *client = context;
    place_begin(&client->door->places, &client->place);
}

void door_serve(struct door *door, struct evhttp_request *request) {
    struct door_client *client = find(door, request);
    struct sockaddr_storage from;
    if (client != NULL && take_place(client, &from)) { /* it may come before the look at it */
        client->asked_us = context_clock_us();
        place_finish(&door->places, &client->place);
        evhttp_request_set_on_complete_cb(request, answered, client);
    }
}

static unsigned listening_neighbours(const struct door *door, const struct door_client *client) {
    unsigned count = 0;
    const struct door_client *other;
    TAILQ_FOREACH(other, &door->clients, link) {
        count += other->is_listening && place_is_neighbour(&other->place, &client->place);
    }
    return count;
}

bool door_may_listen(struct door *door, struct evhttp_request *request) {
    struct door_client *client = find(door, request);
    if (client == NULL || door->listening >= most_listeners(door->setup->clients_max) ||
        listening_neighbours(door, client) >= most_listeners(most_of_one_address(door->setup))) {
        return false;
    }
    client->is_listening = true;
    door->listening++;
    return true;
}

/* --- those who come */

/* evhttp asks for the bytes of each new client here, from within the loop that accepts: whoever
 * disables the listener ends that loop. NULL: evhttp makes its own, which we know nothing of, so
 * there is no room for more than these. */
static struct bufferevent *client_came(struct event_base *base, void *context) {
    struct door *door = context;
    struct door_client *client = calloc(1, sizeof *client);
    struct bufferevent *bytes = bufferevent_socket_new(base, -1, BEV_OPT_CLOSE_ON_FREE);
    if (client == NULL || bytes == NULL) {
        free(client);
        return bytes;
    }
    bufferevent_set_max_single_read(bytes, READ_AT_ONCE);
    bufferevent_set_max_single_write(bytes, WRITE_AT_ONCE);
    bufferevent_setwatermark(bytes, EV_READ, 0, READ_MOST);
    bufferevent_incref(bytes);
    client->door = door;
    client->bytes = bytes;
    TAILQ_INSERT_TAIL(&door->clients, client, link);
    door->count++;
    door->came++;
    if (evtimer_add(door->sweep, &at_once) == 0 && door->came >= CLIENTS_A_TURN) {
        evconnlistener_disable(door->listener); /* until the sweep, if it finds room */
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

bool door_open(struct door *door, struct event_base *base, const struct panel_listener_setup *setup,
               void (*serve)(struct evhttp_request *request, void *door), void *context,
               struct error *error) {
    *door = (struct door){.context = context, .setup = setup};
    TAILQ_INIT(&door->clients);
    places_init(&door->places);
    if (setup->token_file[0] != '\0' && !token_read(&door->token, setup->token_file, error)) {
        return false;
    }
    door->sweep = evtimer_new(base, swept, door);
    door->http = evhttp_new(base);
    door->listener = listen_at(base, setup, error);
    if (door->listener == NULL || door->http == NULL || door->sweep == NULL ||
        evhttp_bind_listener(door->http, door->listener) == NULL) {
        if (door->listener != NULL) {
            evconnlistener_free(door->listener);
            error_set(error, "panel", "out of memory");
        }
        door_close(door);
        return false;
    }
    evhttp_set_bevcb(door->http, client_came, door);
    evhttp_set_gencb(door->http, serve, door);
    evhttp_set_allowed_methods(door->http, UINT16_MAX); /* what we do not take, we say ourselves */
    evhttp_set_max_headers_size(door->http, DOOR_HEAD_MAX);
    evhttp_set_max_body_size(door->http, DOOR_BODY_MAX);
    evhttp_set_timeout(door->http, IDLE_S);
    return true;
}

void door_close(struct door *door) {
    if (door->http != NULL) {
        evhttp_free(door->http);
    }
    while (!TAILQ_EMPTY(&door->clients)) {
        forget(TAILQ_FIRST(&door->clients));
    }
    if (door->sweep != NULL) {
        event_free(door->sweep);
    }
}

uint16_t door_port(const struct door *door) {
    struct sockaddr_storage address;
    socklen_t length = sizeof address;
    if (getsockname(evconnlistener_get_fd(door->listener), (struct sockaddr *)&address, &length) !=
        0) {
        return 0;
    }
    return ntohs(address.ss_family == AF_INET6 ? ((struct sockaddr_in6 *)&address)->sin6_port
                                               : ((struct sockaddr_in *)&address)->sin_port);
}
