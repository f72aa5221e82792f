/* A hub that the daemon connects to: lost, found again, refused; and what then becomes of the node.
 */
#include "support/check.h"
#include "support/lcc/lcc_stage.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

static struct lcc_stage stage;
static int listening;

static int listen_on_any(uint16_t *port) {
    struct sockaddr_in own = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    socklen_t size = sizeof own;
    int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    assert_int_equal(bind(fd, (const struct sockaddr *)&own, size), 0);
    assert_int_equal(getsockname(fd, (struct sockaddr *)&own, &size), 0);
    assert_int_equal(listen(fd, 4), 0);
    *port = ntohs(own.sin_port);
    return fd;
}

/* A bridge that only has a hub to connect to, which may `right`. */
static void begin(enum net_right right, unsigned listeners) {
    lcc_stage_init(&stage, 1);
    stage.config.lcc.listeners = listeners;
    stage.config.lcc.hubs = 1;
    struct lcc_hub_setup *hub = &stage.config.lcc.hub[0];
    strcpy(hub->address, "127.0.0.1");
    hub->right = right;
    listening = listen_on_any(&hub->port);
    lcc_stage_open(&stage);
}

static void end(void) {
    lcc_stage_close(&stage);
    if (listening >= 0) {
        close(listening);
    }
}

static struct lcc_peer *accept_one(void) {
    int fd;
    while ((fd = accept(listening, NULL, NULL)) < 0) {
        turning_once(&stage.turning);
    }
    return lcc_stage_peer(&stage, fd);
}

/* As after power on. */
static void expect_start(struct lcc_peer *hub) {
    static const char *const frames[] = {":X170A44F7N;",
                                         ":X164524F7N;",
                                         ":X150004F7N;",
                                         ":X140014F7N;",
                                         ":X107004F7N;",
                                         ":X107014F7N0A4452000001;",
                                         ":X191004F7N0A4452000001;"};
    for (size_t i = 0; i < sizeof frames / sizeof frames[0]; i++) {
        lcc_peer_expect(&stage, hub, frames[i]);
    }
    lcc_peer_await(&stage, hub, ":X194C74F7N010000000000FFFF;");
}

static void a_bridge_goes_to_its_hub(void **state) {
    (void)state;
    begin(NET_OPERATE, 0);
    struct lcc_peer *hub = accept_one();
    expect_start(hub);
    lcc_peer_send(&stage, hub, ":X195B434CN0A44520000011000;");
    assert_int_equal(stage.asked, REQUEST_RAISE);
    assert_non_null(strstr(stage.visitor, "LCC, may operate, by hub 127.0.0.1 port"));
    end();
}

static void a_hub_that_observes_asks_nothing(void **state) {
    (void)state;
    begin(NET_OBSERVE, 0);
    struct lcc_peer *hub = accept_one();
    expect_start(hub);
    lcc_peer_send(&stage, hub, ":X195B434CN0A44520000011000;");
    assert_int_equal(stage.asks, 0);
    end();
}

static void a_hub_that_was_lost_is_found_again_and_told_anew(void **state) {
    (void)state;
    begin(NET_OPERATE, 0);
    struct lcc_peer *hub = accept_one();
    expect_start(hub);
    lcc_peer_send(&stage, hub, ":X195B434CN0A44520000011000;");
    lcc_peer_leave(&stage, hub);
    assert_int_equal(stage.visitors, 0);
    stage.view[0].state.phase = PHASE_FAULT; /* meanwhile: nobody is there to be told */
    lcc_stage_tell(&stage, 0);
    hub = accept_one();
    expect_start(hub);
    lcc_peer_send(&stage, hub, ":X1991434CN0A44520000010006;");
    lcc_peer_expect(&stage, hub, ":X195444F7N0A44520000010006;"); /* fault, valid */
    end();
}

/* The place is taken, but nobody listens: refused. */
static void a_hub_that_is_not_there_is_tried_again(void **state) {
    (void)state;
    struct sockaddr_in own = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    socklen_t size = sizeof own;
    lcc_stage_init(&stage, 1);
    stage.config.lcc.listeners = 0;
    stage.config.lcc.hubs = 1;
    struct lcc_hub_setup *hub_setup = &stage.config.lcc.hub[0];
    strcpy(hub_setup->address, "127.0.0.1");
    listening = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    assert_int_equal(bind(listening, (const struct sockaddr *)&own, size), 0);
    assert_int_equal(getsockname(listening, (struct sockaddr *)&own, &size), 0);
    hub_setup->port = ntohs(own.sin_port);
    lcc_stage_open(&stage);
    lcc_stage_settle(&stage);
    assert_int_equal(listen(listening, 4), 0);
    struct lcc_peer *hub = accept_one();
    expect_start(hub);
    end();
}

/* All links are one bus. */
static void what_comes_from_the_hub_goes_to_clients_and_back(void **state) {
    (void)state;
    begin(NET_OBSERVE, 1);
    struct lcc_peer *hub = accept_one();
    expect_start(hub);
    struct lcc_peer *client = lcc_stage_member(&stage, LCC_STAGE_OPERATES);
    lcc_peer_await(&stage, hub, ":X194C74F7N010000000000FFFF;");
    lcc_peer_send(&stage, hub, ":X195B4111N0102030405060708;");
    lcc_peer_expect(&stage, client, ":X195B4111N0102030405060708;");
    lcc_peer_send(&stage, client, ":X195B4222N0102030405060708;");
    lcc_peer_expect(&stage, hub, ":X195B4222N0102030405060708;");
    lcc_peer_expect_nothing(&stage, hub);
    end();
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_bridge_goes_to_its_hub),
        cmocka_unit_test(a_hub_that_observes_asks_nothing),
        cmocka_unit_test(a_hub_that_was_lost_is_found_again_and_told_anew),
        cmocka_unit_test(a_hub_that_is_not_there_is_tried_again),
        cmocka_unit_test(what_comes_from_the_hub_goes_to_clients_and_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
