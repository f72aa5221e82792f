#include "support/net/net_stage.h"

#include "net/clock/layout_timer.h"
#include "support/check.h"
#include "support/net/loopback.h"

#include <arpa/inet.h>
#include <errno.h>
#include <event2/event.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

enum { PIECE = 64 * 1024, LAYOUT_TIMERS_MAX = 64 };

void stage_init(struct net_stage *stage, unsigned bridges) {
    memset(stage, 0, sizeof *stage);
    turning_begin(&stage->turning);
    stage->base = stage->turning.base;
    fake_host_init(&stage->host);
    fake_setup(&stage->setup, bridges);
}

void stage_open(struct net_stage *stage) {
    struct error error = {.what = ""};
    struct net_host host = fake_host_interface(&stage->host);
    stage->server = net_server_new(stage->base, &stage->setup, &host, &error);
    if (stage->server == NULL) {
        fail_msg("%s: %s", error.where, error.what);
    }
    stage->host.server = stage->server;
}

void stage_close(struct net_stage *stage) {
    net_server_free(stage->server);
    for (unsigned i = 0; i < stage->clients; i++) {
        client_leave(&stage->client[i], false);
        free(stage->client[i].bytes);
    }
    turning_end(&stage->turning);
}

void stage_turn(struct net_stage *stage) {
    turning_once(&stage->turning);
}

void stage_settle(struct net_stage *stage) {
    turning_settle(&stage->turning);
}

/* Layout time */

struct layout_timers {
    event_callback_fn ring; /* the callback of all of them */
    unsigned running;
    struct event *event[LAYOUT_TIMERS_MAX];
};

static void ring_nothing(void *context) {
    (void)context;
}

static event_callback_fn ring_of_layout_timers(struct net_stage *stage) {
    struct net_host host = fake_host_interface(&stage->host);
    struct layout_timer sample;
    assert_true(layout_timer_init(&sample, stage->base, &host, ring_nothing, NULL));
    event_callback_fn ring = event_get_callback(sample.event);
    layout_timer_free(&sample);
    return ring;
}

static int find_layout_timer(const struct event_base *base, const struct event *event,
                             void *context) {
    (void)base;
    struct layout_timers *timers = context;
    if (event_get_callback(event) == timers->ring && event_pending(event, EV_TIMEOUT, NULL)) {
        assert_true(timers->running < LAYOUT_TIMERS_MAX);
        timers->event[timers->running++] = (struct event *)(uintptr_t)event;
    }
    return 0;
}

static void ring_layout_timers(struct net_stage *stage) {
    struct layout_timers timers = {.ring = ring_of_layout_timers(stage)};
    event_base_foreach_event(stage->base, find_layout_timer, &timers);
    for (unsigned i = 0; i < timers.running; i++) {
        event_active(timers.event[i], EV_TIMEOUT, 0);
    }
}

void stage_pass_us(struct net_stage *stage, uint64_t us) {
    stage_settle(stage); /* what was sent belongs to the time before */
    stage->host.now_us += us;
    ring_layout_timers(stage);
    stage_settle(stage);
}

void stage_pass_s(struct net_stage *stage, uint64_t seconds) {
    stage_pass_us(stage, seconds * 1000000);
}

/* Clients */

static void bytes_came(evutil_socket_t fd, short what, void *context) {
    (void)what;
    struct net_client *client = context;
    if (client->taken == client->length) {
        client->taken = client->length = 0;
    }
    if (client->size - client->length < PIECE) {
        client->size = client->length + 2 * PIECE;
        client->bytes = realloc(client->bytes, client->size);
        assert_non_null(client->bytes);
    }
    ssize_t count = recv(fd, client->bytes + client->length, PIECE, 0);
    if (count > 0) {
        client->length += (size_t)count;
    } else if (count == 0 || (errno != EAGAIN && errno != EINTR)) {
        client->is_at_end = true;
        event_del(client->readable);
    }
}

void client_start_reading(struct net_stage *stage, struct net_client *client) {
    client->readable = event_new(stage->base, client->fd, EV_READ | EV_PERSIST, bytes_came, client);
    event_add(client->readable, NULL);
}

void stage_from(struct net_stage *stage, const char *address) {
    stage->from = address;
}

/* The kernel answers for a listening socket: this does not wait for the loop. */
static void connect_client(const struct net_stage *stage, enum stage_listener listener, int fd) {
    const char *to = stage->setup.listener[listener].address;
    uint16_t port = htons(net_server_port(stage->server, listener));
    struct sockaddr_in v4 = {.sin_family = AF_INET, .sin_port = port};
    struct sockaddr_in6 v6 = {.sin6_family = AF_INET6, .sin6_port = port};
    struct sockaddr_un un = {.sun_family = AF_UNIX};
    if (to[0] == '/') {
        snprintf(un.sun_path, sizeof un.sun_path, "%s", to);
        assert_int_equal(connect(fd, (struct sockaddr *)&un, sizeof un), 0);
    } else if (inet_pton(AF_INET6, to, &v6.sin6_addr) == 1) {
        assert_int_equal(connect(fd, (struct sockaddr *)&v6, sizeof v6), 0);
    } else {
        assert_int_equal(inet_pton(AF_INET, to, &v4.sin_addr), 1);
        loopback_bind(fd, stage->from);
        assert_int_equal(connect(fd, (struct sockaddr *)&v4, sizeof v4), 0);
    }
}

static int family_of(const char *address) {
    if (address[0] == '/') {
        return AF_UNIX;
    }
    return strchr(address, ':') != NULL ? AF_INET6 : AF_INET;
}

static struct net_client *new_client(struct net_stage *stage, enum stage_listener listener,
                                     int buffer) {
    assert_true(stage->clients < STAGE_CLIENTS_MAX);
    struct net_client *client = &stage->client[stage->clients++];
    int family = family_of(stage->setup.listener[listener].address);
    client->fd = socket(family, SOCK_STREAM | SOCK_CLOEXEC, 0);
    assert_true(client->fd >= 0);
    int at_once = 1; /* or small pieces would lie with the kernel until acknowledged */
    setsockopt(client->fd, IPPROTO_TCP, TCP_NODELAY, &at_once, sizeof at_once);
    if (buffer > 0) {
        setsockopt(client->fd, SOL_SOCKET, SO_RCVBUF, &buffer, sizeof buffer);
        setsockopt(client->fd, SOL_SOCKET, SO_SNDBUF, &buffer, sizeof buffer);
    }
    connect_client(stage, listener, client->fd);
    evutil_make_socket_nonblocking(client->fd);
    return client;
}

struct net_client *stage_connect(struct net_stage *stage, enum stage_listener listener) {
    struct net_client *client = new_client(stage, listener, 0);
    client_start_reading(stage, client);
    return client;
}

struct net_client *stage_connect_slow(struct net_stage *stage, enum stage_listener listener) {
    return new_client(stage, listener, 4096);
}

static struct net_client *greeted(struct net_stage *stage, enum stage_listener listener) {
    struct net_client *client = stage_connect(stage, listener);
    client_expect_whole(stage, client, "drawtender 0.0; SRCP 0.8.4; SRCPOTHER 0.8.3");
    return client;
}

struct net_client *stage_commander(struct net_stage *stage, enum stage_listener listener) {
    struct net_client *client = greeted(stage, listener);
    client_send(stage, client, "GO\n");
    const char *line = client_line(stage, client);
    assert_non_null(strstr(line, " 200 OK GO "));
    return client;
}

struct net_client *stage_listener(struct net_stage *stage) {
    struct net_client *client = greeted(stage, OBSERVES);
    client_ask(stage, client, "SET CONNECTIONMODE SRCP INFO", "202 OK CONNECTIONMODE");
    client_send(stage, client, "GO\n");
    unsigned phases = 0;
    while (phases < stage->setup.bridges) {
        phases += strstr(client_line(stage, client), " GM 0 0 PHASE ") != NULL;
    }
    return client;
}

void client_send_bytes(struct net_stage *stage, struct net_client *client, const char *bytes,
                       size_t length) {
    for (size_t sent = 0; sent < length;) {
        ssize_t count = send(client->fd, bytes + sent, length - sent, MSG_NOSIGNAL);
        if (count > 0) {
            sent += (size_t)count;
        } else if (errno == EAGAIN) {
            stage_turn(stage);
        } else {
            return; /* the server has closed: for the test to find */
        }
    }
}

size_t client_try_send(struct net_client *client, const char *bytes, size_t length) {
    ssize_t count = send(client->fd, bytes, length, MSG_NOSIGNAL);
    return count > 0 ? (size_t)count : 0;
}

void client_send(struct net_stage *stage, struct net_client *client, const char *bytes) {
    client_send_bytes(stage, client, bytes, strlen(bytes));
}

void client_send_end(struct net_client *client) {
    shutdown(client->fd, SHUT_WR);
}

void client_leave(struct net_client *client, bool is_abrupt) {
    if (client->readable != NULL) {
        event_free(client->readable);
        client->readable = NULL;
    }
    if (client->fd >= 0) {
        struct linger at_once = {.l_onoff = is_abrupt};
        setsockopt(client->fd, SOL_SOCKET, SO_LINGER, &at_once, sizeof at_once);
        close(client->fd);
        client->fd = -1;
    }
}

static size_t untaken(const struct net_client *client) {
    return client->length - client->taken;
}

static bool take_line(struct net_client *client) {
    const char *begin = client->bytes + client->taken;
    const char *end = untaken(client) == 0 ? NULL : memchr(begin, '\n', untaken(client));
    if (end == NULL) {
        return false;
    }
    size_t length = (size_t)(end - begin);
    assert_true(length < sizeof client->line);
    memcpy(client->line, begin, length);
    client->line[length] = '\0';
    client->taken += length + 1;
    return true;
}

const char *client_line(struct net_stage *stage, struct net_client *client) {
    while (!take_line(client)) {
        if (client->is_at_end) {
            return NULL;
        }
        stage_turn(stage);
    }
    return client->line;
}

void client_expect_whole(struct net_stage *stage, struct net_client *client, const char *line) {
    const char *got = client_line(stage, client);
    if (got == NULL) {
        fail_msg("the server closed instead of: %s", line);
    }
    assert_string_equal(got, line);
}

void client_expect(struct net_stage *stage, struct net_client *client, const char *words) {
    const char *got = client_line(stage, client);
    if (got == NULL) {
        fail_msg("the server closed instead of: %s", words);
        return;
    }
    const char *blank = strchr(got, ' ');
    assert_non_null(blank);
    assert_string_equal(blank + 1, words);
}

void client_expect_end(struct net_stage *stage, struct net_client *client) {
    const char *line = client_line(stage, client);
    if (line != NULL) {
        fail_msg("expected the end, not: %s", line);
    }
}

void client_expect_nothing(struct net_stage *stage, struct net_client *client) {
    stage_settle(stage);
    assert_false(client->is_at_end);
    if (untaken(client) > 0) {
        fail_msg("expected nothing, not: %.*s", (int)untaken(client),
                 client->bytes + client->taken);
    }
}

void client_ask(struct net_stage *stage, struct net_client *client, const char *line,
                const char *answer) {
    char bytes[2000];
    int length = snprintf(bytes, sizeof bytes, "%s\n", line);
    client_send_bytes(stage, client, bytes, (size_t)length);
    const char *got = client_line(stage, client);
    const char *blank = got == NULL ? NULL : strchr(got, ' ');
    if (blank == NULL || strcmp(blank + 1, answer) != 0) {
        fail_msg("%s\n  answered: %s\n  expected: %s", line, got == NULL ? "(closed)" : got,
                 answer);
    }
}
