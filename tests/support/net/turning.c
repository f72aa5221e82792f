#include "support/net/turning.h"

#include "support/check.h"

#include <arpa/inet.h>
#include <event2/event.h>
#include <netinet/in.h>
#include <poll.h>
#include <stdbool.h>
#include <sys/socket.h>
#include <unistd.h>

/* Longer than any test takes: reaching it is a failure, never a measurement. */
enum { GUARD_S = 300 };

/* A socket whose datagrams come to itself. */
static int make_probe(void) {
    struct sockaddr_in own = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
    socklen_t size = sizeof own;
    int probe = socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0);
    assert_true(probe >= 0);
    assert_int_equal(bind(probe, (const struct sockaddr *)&own, size), 0);
    assert_int_equal(getsockname(probe, (struct sockaddr *)&own, &size), 0);
    assert_int_equal(connect(probe, (const struct sockaddr *)&own, size), 0);
    return probe;
}

void turning_begin(struct turning *turning) {
    /* With the coarse clock a timer of a microsecond could be milliseconds late. */
    struct event_config *config = event_config_new();
    event_config_set_flag(config, EVENT_BASE_FLAG_PRECISE_TIMER);
    turning->base = event_base_new_with_config(config);
    event_config_free(config);
    assert_non_null(turning->base);
    turning->probe = make_probe();
}

void turning_end(struct turning *turning) {
    close(turning->probe);
    event_base_free(turning->base);
}

struct guard {
    struct event_base *base;
    bool has_rung;
};

static void guard_rang(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    struct guard *guard = context;
    guard->has_rung = true;
    event_base_loopbreak(guard->base);
}

/* Returns whether it ended by itself. */
static bool turn(struct event_base *base, int flags) {
    struct timeval limit = {.tv_sec = GUARD_S};
    struct guard guard = {.base = base};
    struct event *timer = evtimer_new(base, guard_rang, &guard);
    evtimer_add(timer, &limit);
    event_base_loop(base, flags);
    event_free(timer);
    return !guard.has_rung;
}

void turning_once(const struct turning *turning) {
    if (!turn(turning->base, EVLOOP_ONCE)) {
        fail_msg("nothing happens any more");
    }
}

static void await_probe(int probe) {
    char byte = 0;
    struct pollfd one = {.fd = probe, .events = POLLIN};
    assert_int_equal(send(probe, &byte, 1, 0), 1);
    if (recv(probe, &byte, 1, MSG_DONTWAIT) != 1) {
        assert_int_equal(poll(&one, 1, GUARD_S * 1000), 1);
        assert_int_equal(recv(probe, &byte, 1, 0), 1);
    }
}

/* The second time for what was sent the first time. */
void turning_settle(const struct turning *turning) {
    for (unsigned i = 0; i < 2; i++) {
        await_probe(turning->probe);
        if (!turn(turning->base, EVLOOP_NONBLOCK)) {
            fail_msg("it never comes to rest");
        }
    }
}
