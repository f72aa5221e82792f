/* Clients that are wrong, slow or hostile: an error each, and the others notice nothing. */
#include "support/check.h"
#include "support/daemon/daemon.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char bridge[] = SOURCE_DIR "/tests/daemon/quiet-bridge.json";

struct stage {
    struct daemon_run run;
    struct daemon_session good; /* asks in between: it must always be answered */
    struct daemon_session bad;
};

static int set_up(void **state) {
    struct stage *stage = calloc(1, sizeof *stage);
    daemon_start(&stage->run, bridge, "20");
    daemon_connect(&stage->run, &stage->good, "COMMAND");
    daemon_connect(&stage->run, &stage->bad, "COMMAND");
    daemon_expect(&stage->good, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    *state = stage;
    return 0;
}

static int tear_down(void **state) {
    struct stage *stage = *state;
    daemon_expect(&stage->good, "GET 1 FB 5", "100 INFO 1 FB 5 1");
    daemon_disconnect(&stage->good);
    daemon_disconnect(&stage->bad);
    daemon_end(&stage->run, SIGTERM);
    free(stage);
    return 0;
}

static void wrong_lines_get_the_error_that_fits(void **state) {
    struct stage *stage = *state;
    static const char *const cases[][2] = {
        {"FOO 1 GA 1", "410 ERROR unknown command"},
        {"get 1 FB 1", "410 ERROR unknown command"},
        {"GET 9 FB 1", "412 ERROR wrong value"},
        {"GET 1 XX 1", "422 ERROR unsupported device group"},
        {"GET 1 GL 3", "422 ERROR unsupported device group"},
        {"WAIT 1 POWER ON 1", "423 ERROR unsupported operation"},
        {"SET 1 GA 1 1", "419 ERROR list too short"},
        {"SET 1 GA 1 1 1 -1 9", "418 ERROR list too long"},
        {"SET 1 GA 99 0 1 -1", "421 ERROR unsupported device"},
        {"SET 1 GA 1 1 7 -1", "412 ERROR wrong value"},
        {"SET 1 GA 1 1 1 -2", "412 ERROR wrong value"},
        {"SET 1 GA 1 1 99999999999999999999 -1", "412 ERROR wrong value"},
        {"SET 1 GA 1 x 1 -1", "412 ERROR wrong value"},
        {"SET 1 GA 2 0 1 -1", "415 ERROR forbidden"},
        {"INIT 1 GA 1 N", "420 ERROR unsupported device protocol"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        daemon_expect(&stage->bad, cases[i][0], cases[i][1]);
    }
}

static void line_of_10000_bytes_gets_one_error_and_the_session_lives_on(void **state) {
    struct stage *stage = *state;
    char longer[10001];
    memset(longer, 'A', sizeof longer - 1);
    longer[sizeof longer - 1] = '\0';
    daemon_expect(&stage->bad, longer, "418 ERROR list too long");
    daemon_expect(&stage->bad, "GET 1 FB 1", "100 INFO 1 FB 1 1");
}

static void nul_and_other_bytes_get_an_error(void **state) {
    struct stage *stage = *state;
    static const char bytes[] = "GET 1 FB\0 1\nGET 1 \x80 FB 1\n";
    daemon_send(&stage->bad, bytes, sizeof bytes - 1);
    for (int i = 0; i < 2; i++) {
        assert_true(daemon_read(&stage->bad));
        assert_string_equal(stage->bad.line, "410 ERROR unknown command");
    }
    daemon_expect(&stage->bad, "GET 1 FB 1", "100 INFO 1 FB 1 1");
}

static void cut_line_harms_nobody(void **state) {
    struct stage *stage = *state;
    daemon_send(&stage->bad, "SET 1 GA 1 1 1", 14);
    daemon_expect(&stage->good, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    daemon_disconnect(&stage->bad);
    daemon_expect(&stage->good, "WAIT 1 FB 5 0 5", "417 "); /* the half of a request was none */
    daemon_connect(&stage->run, &stage->bad, "COMMAND");
}

/* An INFO session that never reads, while a talkative one makes news: it is ended, the talker is
 * not held up. */
static void client_that_never_reads_holds_up_nobody(void **state) {
    struct stage *stage = *state;
    struct daemon_session deaf;
    daemon_connect(&stage->run, &deaf, "INFO");
    char line[256];
    for (int i = 0; i < 30000; i++) {
        snprintf(line, sizeof line, "SET 0 GM 0 0 NOTE %0200d", i);
        daemon_expect(&stage->good, line, "200 OK");
    }
    daemon_expect(&stage->good, "GET 1 FB 1", "100 INFO 1 FB 1 1");
    daemon_disconnect(&deaf);
}

int main(void) {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        STAGED(wrong_lines_get_the_error_that_fits),
        STAGED(line_of_10000_bytes_gets_one_error_and_the_session_lives_on),
        STAGED(nul_and_other_bytes_get_an_error),
        STAGED(cut_line_harms_nobody),
        STAGED(client_that_never_reads_holds_up_nobody),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
