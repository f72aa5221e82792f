/* Listeners: where clients may come from, how many, how fast; and no descriptor left for them. */
#include "base/network.h"
#include "net/registry.h"
#include "support/check.h"
#include "support/net/net_stage.h"

#include <arpa/inet.h>
#include <event2/event.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <time.h>
#include <unistd.h>

static struct net_stage stage;
static char folder[64];
static char path[NET_ADDRESS_SIZE];

static int set_stage(void **state) {
    (void)state;
    stage_init(&stage, 1);
    snprintf(folder, sizeof folder, "/tmp/drawtender-test-XXXXXX");
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/socket", folder);
    return 0;
}

static int close_stage(void **state) {
    (void)state;
    stage_close(&stage);
    unlink(path);
    rmdir(folder);
    return 0;
}

static struct net_listener_setup *setup_of(enum stage_listener listener) {
    return &stage.setup.listener[listener];
}

static void set_address(enum stage_listener listener, const char *address) {
    snprintf(setup_of(listener)->address, NET_ADDRESS_SIZE, "%s", address);
}

/* --- networks */

static void add_network(struct net_listener_setup *listener, const char *address, unsigned bits) {
    struct network *network = &listener->network[listener->networks++];
    network->bits = bits;
    if (inet_pton(AF_INET6, address, network->address) != 1) {
        memset(network->address, 0, 10);
        memset(network->address + 10, 0xff, 2);
        assert_int_equal(inet_pton(AF_INET, address, network->address + 12), 1);
        network->bits += 96;
    }
}

static bool may_come(const struct net_listener_setup *listener, const char *from) {
    struct sockaddr_in v4 = {.sin_family = AF_INET};
    struct sockaddr_in6 v6 = {.sin6_family = AF_INET6};
    if (inet_pton(AF_INET, from, &v4.sin_addr) == 1) {
        return network_may_come(listener->network, listener->networks,
                                (const struct sockaddr *)&v4);
    }
    assert_int_equal(inet_pton(AF_INET6, from, &v6.sin6_addr), 1);
    return network_may_come(listener->network, listener->networks, (const struct sockaddr *)&v6);
}

static void networks_say_where_clients_may_come_from(void **state) {
    (void)state;
    /* Addresses for documentation: RFC 5737, RFC 3849 (from memory). */
    static const struct {
        const char *network;
        unsigned bits;
        const char *from;
        bool may;
    } cases[] = {
        {"192.0.2.0", 24, "192.0.2.0", true},
        {"192.0.2.0", 24, "192.0.2.255", true},
        {"192.0.2.0", 24, "192.0.3.0", false},
        {"192.0.2.0", 24, "192.0.1.255", false},
        {"192.0.2.128", 25, "192.0.2.127", false},
        {"192.0.2.128", 25, "192.0.2.128", true},
        {"192.0.2.7", 32, "192.0.2.7", true},
        {"192.0.2.7", 32, "192.0.2.6", false},
        {"0.0.0.0", 0, "203.0.113.9", true},
        {"0.0.0.0", 0, "2001:db8::1", false},
        {"192.0.2.0", 24, "::ffff:192.0.2.9", true},
        {"2001:db8::", 32, "2001:db8:ffff::1", true},
        {"2001:db8::", 32, "2001:db9::1", false},
        {"2001:db8:8000::", 33, "2001:db8:7fff::1", false},
        {"2001:db8::1", 128, "2001:db8::1", true},
        {"2001:db8::1", 128, "2001:db8::2", false},
        {"::", 0, "192.0.2.9", true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct net_listener_setup listener = {.networks = 0};
        assert_true(may_come(&listener, cases[i].from)); /* no list: from everywhere */
        add_network(&listener, cases[i].network, cases[i].bits);
        if (may_come(&listener, cases[i].from) != cases[i].may) {
            fail_msg("%s/%u: %s", cases[i].network, cases[i].bits, cases[i].from);
        }
    }
    struct net_listener_setup listener = {.networks = 0};
    add_network(&listener, "192.0.2.0", 24);
    add_network(&listener, "198.51.100.0", 24);
    assert_true(may_come(&listener, "198.51.100.3")); /* any of them will do */
    struct sockaddr_un un = {.sun_family = AF_UNIX};
    assert_true(
        network_may_come(listener.network, listener.networks, (const struct sockaddr *)&un));
}

static void stranger_is_turned_away_without_a_word(void **state) {
    (void)state;
    add_network(setup_of(OPERATES), "192.0.2.0", 24);
    add_network(setup_of(ADMINISTERS), "127.0.0.0", 8);
    stage_open(&stage);
    client_expect_end(&stage, stage_connect(&stage, OPERATES));
    client_ask(&stage, stage_commander(&stage, ADMINISTERS), "GET 1 FB 1", "100 INFO 1 FB 1 1");
}

/* --- kinds of addresses */

static bool has_ipv6(void) {
    struct sockaddr_in6 loopback = {.sin6_family = AF_INET6, .sin6_addr = IN6ADDR_LOOPBACK_INIT};
    int fd = socket(AF_INET6, SOCK_STREAM | SOCK_CLOEXEC, 0);
    bool has = fd >= 0 && bind(fd, (const struct sockaddr *)&loopback, sizeof loopback) == 0;
    if (fd >= 0) {
        close(fd);
    }
    return has;
}

static void clients_come_over_ipv6(void **state) {
    (void)state;
    if (!has_ipv6()) {
        stage_open(&stage); /* to be closed */
        skip();
    }
    set_address(OPERATES, "::1");
    add_network(setup_of(OPERATES), "::1", 128);
    stage_open(&stage);
    client_ask(&stage, stage_commander(&stage, OPERATES), "GET 1 FB 1", "100 INFO 1 FB 1 1");
}

static void unix_socket_serves_its_owner_and_group(void **state) {
    (void)state;
    set_address(OBSERVES, path);
    stage_open(&stage);
    assert_int_equal(net_server_port(stage.server, OBSERVES), 0);
    struct stat file;
    assert_int_equal(lstat(path, &file), 0);
    assert_int_equal(file.st_mode & 0777, 0660);
    struct net_client *client = stage_commander(&stage, OBSERVES);
    client_ask(&stage, client, "GET 1 FB 1", "100 INFO 1 FB 1 1");
    client_ask(&stage, client, "SET 1 GA 1 1 1 -1", "415 ERROR forbidden");
    net_server_free(stage.server);
    stage.server = NULL;
    assert_int_not_equal(lstat(path, &file), 0);
}

static int socket_at(const char *address, bool listens) {
    struct sockaddr_un un = {.sun_family = AF_UNIX};
    snprintf(un.sun_path, sizeof un.sun_path, "%s", address);
    int fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    assert_int_equal(bind(fd, (const struct sockaddr *)&un, sizeof un), 0);
    assert_true(!listens || listen(fd, 1) == 0);
    return fd;
}

static bool opens(struct error *error) {
    struct net_host host = fake_host_interface(&stage.host);
    struct net_server *server = net_server_new(stage.base, &stage.setup, &host, error);
    net_server_free(server);
    return server != NULL;
}

static void dead_unix_socket_is_replaced_and_a_live_one_is_not(void **state) {
    (void)state;
    struct error error = {.what = ""};
    set_address(OBSERVES, path);
    close(socket_at(path, true)); /* as a daemon leaves it that was killed */
    assert_true(opens(&error));

    int other = socket_at(path, true);
    assert_false(opens(&error));
    assert_string_equal(error.where, path);
    assert_non_null(strstr(error.what, "Address already in use"));
    assert_int_equal(access(path, F_OK), 0);
    int knocking[8]; /* more than its queue takes: one that is busy is not dead */
    for (unsigned i = 0; i < 8; i++) {
        struct sockaddr_un un = {.sun_family = AF_UNIX};
        snprintf(un.sun_path, sizeof un.sun_path, "%s", path);
        knocking[i] = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
        connect(knocking[i], (const struct sockaddr *)&un, sizeof un);
    }
    assert_false(opens(&error));
    assert_int_equal(access(path, F_OK), 0);
    for (unsigned i = 0; i < 8; i++) {
        close(knocking[i]);
    }
    close(other);
    unlink(path);

    FILE *file = fopen(path, "w"); /* something of somebody's */
    assert_non_null(file);
    fclose(file);
    assert_false(opens(&error));
    assert_int_equal(access(path, F_OK), 0);
}

/* --- limits */

static void listener_has_sessions_of_its_own(void **state) {
    (void)state;
    setup_of(OPERATES)->sessions_max = 2;
    stage_open(&stage);
    struct net_client *first = stage_commander(&stage, OPERATES);
    stage_commander(&stage, OPERATES);
    struct net_client *third = stage_connect(&stage, OPERATES);
    client_line(&stage, third);
    client_ask(&stage, third, "GO", "500 ERROR out of resources");
    stage_commander(&stage, ADMINISTERS); /* whose listener is not full */
    client_leave(first, false);
    stage_settle(&stage);
    client_send(&stage, third, "GO\n");
    assert_non_null(strstr(client_line(&stage, third), " 200 OK GO "));
}

/* Of a listener's own clients the oldest leave for the next, and nobody of another's. */
static void listener_bounds_those_who_only_connect(void **state) {
    (void)state;
    enum { CLIENTS = 40, MOST = 1 + 16, TOLD = 16 };
    setup_of(OPERATES)->sessions_max = 1;
    stage_open(&stage);
    struct net_client *other = stage_connect(&stage, ADMINISTERS);
    client_line(&stage, other);
    struct net_client *clients[CLIENTS];
    for (unsigned i = 0; i < CLIENTS; i++) {
        clients[i] = stage_connect(&stage, OPERATES);
        assert_non_null(client_line(&stage, clients[i]));
    }
    for (unsigned i = 0; i < CLIENTS - MOST; i++) {
        if (i < TOLD) { /* the others are just ended */
            client_expect(&stage, clients[i], "500 ERROR out of resources");
        }
        client_expect_end(&stage, clients[i]);
    }
    client_ask(&stage, clients[CLIENTS - MOST], "GO", "200 OK GO 1");
    client_ask(&stage, other, "GO", "200 OK GO 2");
}

/* Where the server itself is full those leave that came by the listener with most of them. */
static void listener_with_most_who_only_connect_gives_way(void **state) {
    (void)state;
    enum { MOST = 3 + 16 - 1 };
    stage.setup.sessions_max = 3;
    stage_open(&stage);
    struct net_client *first = stage_connect(&stage, ADMINISTERS);
    client_line(&stage, first);
    struct net_client *clients[MOST];
    for (unsigned i = 0; i < MOST; i++) {
        clients[i] = stage_connect(&stage, OPERATES);
        assert_non_null(client_line(&stage, clients[i]));
    }
    struct net_client *late = stage_commander(&stage, ADMINISTERS);
    client_expect(&stage, clients[0], "500 ERROR out of resources");
    client_ask(&stage, first, "GO", "200 OK GO 2");
    client_ask(&stage, late, "SET 1 GA 1 3 1 -1", "200 OK");
}

static unsigned greeted_of(struct net_client *clients[], unsigned count) {
    unsigned greeted = 0;
    for (unsigned i = 0; i < count; i++) {
        greeted += clients[i]->length > 0;
    }
    return greeted;
}

static uint64_t clock_us(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (uint64_t)now.tv_sec * 1000000 + (uint64_t)now.tv_nsec / 1000;
}

/* How many may have come by now, who began then: however slow this machine is, no more. */
static unsigned most_since(uint64_t began_us, unsigned a_second) {
    return a_second * (unsigned)(1 + (clock_us() - began_us) / 1000000);
}

/* The timer is the wall's, but nothing is said of how long it takes. */
static void too_many_arrivals_wait_for_their_time(void **state) {
    (void)state;
    enum { CLIENTS = 5, A_SECOND = 3 };
    struct net_client *clients[CLIENTS];
    setup_of(OPERATES)->arrivals_a_second = A_SECOND;
    stage_open(&stage);
    uint64_t began_us = clock_us();
    for (unsigned i = 0; i < CLIENTS; i++) {
        clients[i] = stage_connect(&stage, OPERATES);
    }
    while (greeted_of(clients, CLIENTS) < A_SECOND) {
        stage_turn(&stage);
    }
    stage_commander(&stage, ADMINISTERS); /* another listener is not held up */
    for (unsigned i = 0; i < CLIENTS; i++) {
        assert_non_null(client_line(&stage, clients[i]));
        assert_true(greeted_of(clients, CLIENTS) <= most_since(began_us, A_SECOND));
    }
}

static void too_many_lines_wait_for_their_time(void **state) {
    (void)state;
    enum { LINES = 9, A_SECOND = 4 };
    setup_of(OPERATES)->lines_a_second = A_SECOND;
    stage_open(&stage);
    struct net_client *client = stage_connect(&stage, OPERATES);
    client_line(&stage, client);
    uint64_t began_us = clock_us();
    client_send(&stage, client, "GO\n"); /* counts too */
    for (unsigned i = 1; i < LINES; i++) {
        client_send(&stage, client, "GET 1 FB 1\n");
    }
    struct net_client *other = stage_commander(&stage, ADMINISTERS);
    client_ask(&stage, other, "GET 1 FB 1", "100 INFO 1 FB 1 1");
    client_line(&stage, client);
    unsigned turns = 0;
    for (unsigned answers = 1; answers < LINES; answers++) {
        assert_true(answers <= most_since(began_us, A_SECOND));
        while (client->length == client->taken) {
            stage_turn(&stage);
            turns++;
        }
        client_expect(&stage, client, "100 INFO 1 FB 1 1");
    }
    assert_true(turns < 100); /* it slept meanwhile */
}

/* --- descriptors */

static unsigned accepting(void) {
    unsigned count = 0;
    for (unsigned i = 0; i < stage.setup.listeners; i++) {
        count += stage.server->listener[i].coming.what != 0;
    }
    return count;
}

/* A listener that asked again and again would burn the time that the bridge needs. */
static void without_descriptors_clients_wait_and_nothing_spins(void **state) {
    (void)state;
    stage_open(&stage);
    struct net_client *early = stage_commander(&stage, OPERATES);
    struct net_client *late = stage_connect(&stage, OPERATES); /* not taken yet */
    struct rlimit before;
    struct rlimit none;
    assert_int_equal(getrlimit(RLIMIT_NOFILE, &before), 0);
    none = before;
    int next = dup(late->fd);
    close(next);
    none.rlim_cur = (rlim_t)next;
    assert_int_equal(setrlimit(RLIMIT_NOFILE, &none), 0);
    assert_int_equal(accepting(), 3);
    while (accepting() != 2) {
        stage_turn(&stage);
    }
    client_ask(&stage, early, "GET 1 FB 1", "100 INFO 1 FB 1 1");
    assert_int_equal(late->length, 0);
    assert_int_equal(setrlimit(RLIMIT_NOFILE, &before), 0);
    assert_non_null(client_line(&stage, late));
    assert_int_equal(accepting(), 3);
}

#define ON_STAGE(test) cmocka_unit_test_setup_teardown(test, set_stage, close_stage)

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(networks_say_where_clients_may_come_from),
        ON_STAGE(stranger_is_turned_away_without_a_word),
        ON_STAGE(clients_come_over_ipv6),
        ON_STAGE(unix_socket_serves_its_owner_and_group),
        ON_STAGE(dead_unix_socket_is_replaced_and_a_live_one_is_not),
        ON_STAGE(listener_has_sessions_of_its_own),
        ON_STAGE(listener_bounds_those_who_only_connect),
        ON_STAGE(listener_with_most_who_only_connect_gives_way),
        ON_STAGE(too_many_arrivals_wait_for_their_time),
        ON_STAGE(too_many_lines_wait_for_their_time),
        ON_STAGE(without_descriptors_clients_wait_and_nothing_spins),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
