/* The real daemon short of descriptors, and in a storm of connections: those who can be served are,
 * the others wait or are sent away, and afterwards all is as it was. */
#include "support/check.h"
#include "support/daemon/daemon.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

static const char bridge[] = SOURCE_DIR "/tests/daemon/quiet-bridge.json";

enum { FEW = 32, CROWD = 24, STORM = 5000 };

struct stage {
    struct daemon_run run;
    struct daemon_session good; /* asks in between: it must always be answered */
    struct daemon_session crowd[CROWD];
};

static struct stage *start(unsigned descriptors) {
    struct stage *stage = calloc(1, sizeof *stage);
    assert_non_null(stage);
    daemon_limit_descriptors(descriptors);
    daemon_start(&stage->run, bridge, "20");
    daemon_limit_descriptors(0);
    daemon_connect(&stage->run, &stage->good, "COMMAND");
    daemon_expect(&stage->good, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    return stage;
}

/* In order, to the end, and with these words in the log. */
static void end(struct stage *stage, const char *logged) {
    daemon_disconnect(&stage->good);
    int status = daemon_end(&stage->run, SIGTERM);
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    assert_non_null(strstr(stage->run.tail, "outputs safe, exiting"));
    if (logged != NULL && strstr(stage->run.tail, logged) == NULL) {
        fail_msg("\"%s\" is not in the log:\n%s", logged, stage->run.tail);
    }
    free(stage);
}

/* A whole opening: the bridge itself goes short of nothing. */
static void open_and_close(struct stage *stage) {
    daemon_expect(&stage->good, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(&stage->good, "WAIT 1 FB 3 1 600", "100 INFO 1 FB 3 1");
    daemon_expect(&stage->good, "SET 1 GA 1 0 1 -1", "200 OK");
    daemon_expect(&stage->good, "WAIT 1 FB 5 1 600", "100 INFO 1 FB 5 1");
}

static void wait_for_descriptors(struct stage *stage, unsigned wanted) {
    /* Nothing is asserted of how long it takes, but that it ends. */
    for (int tries = 0; daemon_descriptors(&stage->run) != wanted; tries++) {
        if (tries == 600) {
            fail_msg("%u descriptors, wanted: %u", daemon_descriptors(&stage->run), wanted);
        }
        daemon_expect(&stage->good, "WAIT 1 FB 5 0 2", "417 ");
    }
}

/* The kernel takes their connections; the daemon does when it can. */
static void without_descriptors_clients_wait_and_the_bridge_works(void **state) {
    (void)state;
    struct stage *stage = start(FEW);
    unsigned before = daemon_descriptors(&stage->run);
    assert_true(before < FEW && FEW - before < CROWD);
    for (unsigned i = 0; i < CROWD; i++) {
        daemon_knock(&stage->run, &stage->crowd[i]);
    }
    wait_for_descriptors(stage, FEW);
    open_and_close(stage);
    /* Who was taken is served, and makes room for another when it leaves. */
    for (unsigned i = 0; i < CROWD; i++) {
        assert_true(daemon_enter(&stage->crowd[i], "COMMAND"));
        daemon_expect(&stage->crowd[i], "GET 1 FB 1", "100 INFO 1 FB 1 1");
        daemon_disconnect(&stage->crowd[i]);
    }
    wait_for_descriptors(stage, before);
    end(stage, "clients must wait: Too many open files");
}

/* One after the other, some without a word, some with one, some with a reset. */
static void knock_and_run(struct stage *stage, unsigned number) {
    static const struct linger reset = {.l_onoff = 1, .l_linger = 0};
    struct daemon_session *session = &stage->crowd[0];
    daemon_knock(&stage->run, session);
    if (number % 3 == 1) {
        daemon_send(session, "GO\nGET 1 FB 1\nSET 1 GA", 22);
    }
    if (number % 3 == 2) {
        assert_int_equal(setsockopt(session->fd, SOL_SOCKET, SO_LINGER, &reset, sizeof reset), 0);
    }
    daemon_disconnect(session);
}

static void storm_of_connections_leaves_nothing(void **state) {
    (void)state;
    struct stage *stage = start(0);
    unsigned before = daemon_descriptors(&stage->run);
    for (unsigned i = 0; i < STORM; i++) {
        knock_and_run(stage, i);
        if (i % 500 == 0) {
            daemon_expect(&stage->good, "GET 1 FB 5", "100 INFO 1 FB 5 1");
        }
    }
    wait_for_descriptors(stage, before);
    daemon_connect(&stage->run, &stage->crowd[0], "INFO");
    daemon_read_until(&stage->crowd[0], "100 INFO 0 GM 0 0 PHASE 1 lined", NULL);
    daemon_disconnect(&stage->crowd[0]);
    open_and_close(stage);
    end(stage, NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_descriptors_clients_wait_and_the_bridge_works),
        cmocka_unit_test(storm_of_connections_leaves_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
