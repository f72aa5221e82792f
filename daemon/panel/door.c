#include "panel/door.h"

#include "base/log.h"
#include "panel/parts.h"

#include <errno.h>
#include <event2/bufferevent.h>
#include <event2/event.h>
#include <event2/http.h>
#include <event2/listener.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

/* Each client of a turn costs some ten microseconds. A reader that takes nothing for IDLE_S is
 * gone, and so is a client that sends nothing as long between two requests. */
enum { CLIENTS_A_TURN = 2, IDLE_S = 20, SWEEP_S = 2, UNANSWERED_MS = 10000, QUEUE = 64 };
enum { IN_THE_WAY_US = 1000000 }; /* so long one that asks or is silent keeps its place at least */
enum { READ_AT_ONCE = 4096, READ_MOST = 32768, WRITE_AT_ONCE = 16384, KERNEL_BUFFER = 65536 };

struct door_client {
    TAILQ_ENTRY(door_client) link;
    struct bufferevent *bytes; /* a reference of our own */
    bool is_looked_at;         /* its address */
    bool is_listening;
    bool is_ended; /* it was in the way */
    uint64_t came_us;
};

static const struct timeval at_once = {0};
static const struct timeval sweep_time = {.tv_sec = SWEEP_S};

/* --- those who have come */

/* evhttp takes its callbacks away when it lets go; it tells nobody. */
static bool has_gone(const struct door_client *client) {
    bufferevent_event_cb on_event = NULL;
    bufferevent_getcb(client->bytes, NULL, NULL, &on_event, NULL);
    return on_event == NULL;
}

static void forget(struct door *door, struct door_client *client) {
    TAILQ_REMOVE(&door->clients, client, link);
    door->count--;
    door->listening -= client->is_listening;
    bufferevent_decref(client->bytes); /* the last reference closes the socket */
    free(client);
}

static void say_refused(struct door *door) {
    door->refused++;
    if ((door->refused & (door->refused - 1)) == 0) { /* the 1st, 2nd, 4th, 8th ... */
        log_line(LOG_WARNING,
                 "panel on %s port %u: %u clients turned away: not from a network that may come",
                 door->setup->address, door_port(door), door->refused);
    }
}

/* Nobody but a client that may come gets as far as a request: routes.c looks once more. */
static void look_at(struct door *door, struct door_client *client) {
    struct sockaddr_storage from;
    socklen_t length = sizeof from;
    evutil_socket_t fd = bufferevent_getfd(client->bytes);
    client->is_looked_at = true;
    if (getpeername(fd, (struct sockaddr *)&from, &length) == 0 &&
        !network_may_come(door->setup->network, door->setup->networks,
                          (const struct sockaddr *)&from)) {
        say_refused(door);
        shutdown(fd, SHUT_RDWR);
    }
}

/* Where every place is taken somebody may stand outside and want to stop a span. */
static void make_room(struct door_client *client) {
    if (!client->is_listening && panel_clock_us() - client->came_us > IN_THE_WAY_US) {
        client->is_ended = true;
        shutdown(bufferevent_getfd(client->bytes), SHUT_RDWR);
    }
}

bool door_may_listen(struct door *door, struct evhttp_request *request) {
    struct bufferevent *bytes =
        evhttp_connection_get_bufferevent(evhttp_request_get_connection(request));
    unsigned most = door->setup->clients_max - (door->setup->clients_max + 3) / 4;
    struct door_client *client;
    TAILQ_FOREACH(client, &door->clients, link) {
        if (client->bytes == bytes && door->listening < (most > 0 ? most : 1)) {
            client->is_listening = true;
            door->listening++;
            return true;
        }
    }
    return false;
}

static void swept(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct door *door = context;
    struct door_client *next;
    bool is_full = door->count >= door->setup->clients_max;
    for (struct door_client *client = TAILQ_FIRST(&door->clients); client != NULL; client = next) {
        next = TAILQ_NEXT(client, link);
        if (has_gone(client)) {
            forget(door, client);
        } else if (!client->is_looked_at) {
            look_at(door, client);
        } else if (is_full && !client->is_ended) {
            make_room(client);
        }
    }
    if (door->count > 0) {
        evtimer_add(door->sweep, &sweep_time);
    }
    if (door->count < door->setup->clients_max) {
        evconnlistener_enable(door->listener);
    }
}

void door_look(struct door *door) {
    evtimer_add(door->sweep, &at_once);
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
    client->bytes = bytes;
    client->came_us = panel_clock_us();
    TAILQ_INSERT_TAIL(&door->clients, client, link);
    door->count++;
    bool is_enough = door->count >= door->setup->clients_max || door->count % CLIENTS_A_TURN == 0;
    if (evtimer_add(door->sweep, &at_once) == 0 && is_enough) {
        evconnlistener_disable(door->listener); /* until the sweep, if it finds room */
    }
    return bytes;
}

/* --- opening and closing */

/* What the kernel holds for a client is bounded, and one that has vanished is noticed. Sockets that
 * are accepted have it from the one that listens. */
static void bound(evutil_socket_t fd) {
    int yes = 1;
    int buffer = KERNEL_BUFFER;
    unsigned unanswered_ms = UNANSWERED_MS;
    setsockopt(fd, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
    setsockopt(fd, SOL_SOCKET, SO_SNDBUF, &buffer, sizeof buffer);
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

bool door_open(struct door *door, struct panel *panel, const struct panel_listener_setup *setup,
               void (*serve)(struct evhttp_request *request, void *door), struct error *error) {
    *door = (struct door){.panel = panel, .setup = setup};
    TAILQ_INIT(&door->clients);
    if (setup->token_file[0] != '\0' && !token_read(&door->token, setup->token_file, error)) {
        return false;
    }
    door->sweep = evtimer_new(panel->base, swept, door);
    door->http = evhttp_new(panel->base);
    door->listener = listen_at(panel->base, setup, error);
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
        forget(door, TAILQ_FIRST(&door->clients));
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
