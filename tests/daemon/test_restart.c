/* S6: nothing is remembered as proof. The daemon is killed with the span up; the next one finds it
 * there. */
#include "support/check.h"
#include "support/daemon/daemon.h"
#include "support/daemon/daemon_config.h"

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

static const char lowered_bridge[] = SOURCE_DIR "/tests/daemon/quiet-bridge.json";
static const char raised_bridge[] = SOURCE_DIR "/tests/daemon/raised-bridge.json";
static const char stranded_bridge[] = SOURCE_DIR "/tests/daemon/stranded-bridge.json";

static void assert_safe(struct daemon_session *command) {
    daemon_expect(command, "GET 1 GA 11 1", "100 INFO 1 GA 11 1 0");
    daemon_expect(command, "GET 1 GA 12 1", "100 INFO 1 GA 12 1 0");
    daemon_expect(command, "GET 1 POWER", "100 INFO 1 POWER OFF");
    daemon_expect(command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    daemon_expect(command, "GET 1 FB 5", "100 INFO 1 FB 5 0");
}

static void lower_from(const char *config) {
    struct daemon_run run;
    struct daemon_session command;
    daemon_start(&run, config, "50");
    daemon_connect(&run, &command, "COMMAND");
    assert_safe(&command);
    daemon_expect(&command, "SET 1 POWER ON", "413 ");
    daemon_expect(&command, "WAIT 1 FB 4 1 60", "417 "); /* nothing moves by itself */
    assert_safe(&command);
    daemon_expect(&command, "SET 1 GA 1 0 1 -1", "200 OK");
    daemon_expect(&command, "WAIT 1 FB 5 1 600", "100 INFO 1 FB 5 1");
    daemon_expect(&command, "WAIT 1 GA 11 1 1 300", "100 INFO 1 GA 11 1 1");
    daemon_disconnect(&command);
    int status = daemon_end(&run, SIGTERM);
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
}

static void s6_killed_with_the_span_rising(void **state) {
    (void)state;
    struct daemon_run run;
    struct daemon_session command;
    daemon_start(&run, lowered_bridge, "50");
    daemon_connect(&run, &command, "COMMAND");
    daemon_expect(&command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_expect(&command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(&command, "WAIT 1 FB 4 1 300", "100 INFO 1 FB 4 1");
    int status = daemon_end(&run, SIGKILL);
    assert_true(WIFSIGNALED(status));
    daemon_disconnect(&command);
    lower_from(stranded_bridge); /* where a worm-driven leaf stays without power */
}

static void s6_span_found_open_can_be_lowered(void **state) {
    (void)state;
    lower_from(raised_bridge);
}

static void orderly_stop_with_the_span_moving_ends_with_status_0(void **state) {
    (void)state;
    static const int signals[] = {SIGTERM, SIGINT};
    for (size_t i = 0; i < 2; i++) {
        struct daemon_run run;
        struct daemon_session command;
        daemon_start(&run, lowered_bridge, "50");
        daemon_connect(&run, &command, "COMMAND");
        daemon_expect(&command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
        daemon_expect(&command, "SET 1 GA 1 1 1 -1", "200 OK");
        daemon_expect(&command, "WAIT 1 FB 4 1 300", "100 INFO 1 FB 4 1");
        int status = daemon_end(&run, signals[i]);
        assert_true(WIFEXITED(status));
        assert_int_equal(WEXITSTATUS(status), 0);
        daemon_disconnect(&command);
    }
}

static void expect_dead_and_lined(struct daemon_session *command) {
    daemon_expect(command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_expect(command, "WAIT 1 GA 11 1 1 60", "417 "); /* its signal is automatic */
    daemon_expect(command, "GET 1 POWER", "100 INFO 1 POWER OFF");
}

static void track_power_waits_after_every_start_where_that_is_said(void **state) {
    (void)state;
    char path[DAEMON_CONFIG_PATH];
    struct daemon_run run;
    struct daemon_session command;
    cJSON *tree = daemon_config_read("quiet-bridge.json");
    assert_true(cJSON_AddTrueToObject(daemon_config_bridge(tree), "waits for power") != NULL);
    daemon_config_write(tree, "waits", path);
    daemon_start(&run, path, "50");
    daemon_connect(&run, &command, "COMMAND");
    expect_dead_and_lined(&command);
    daemon_expect(&command, "SET 1 POWER ON", "200 OK");
    daemon_expect(&command, "WAIT 1 GA 11 1 1 60", "100 INFO 1 GA 11 1 1");
    daemon_expect(&command, "SET 1 GA 1 3 1 -1", "200 OK"); /* emergency stop */
    daemon_end(&run, SIGKILL);
    daemon_disconnect(&command);
    daemon_start(&run, path, "50");
    daemon_connect(&run, &command, "COMMAND");
    expect_dead_and_lined(&command);
    daemon_end(&run, SIGTERM);
    daemon_disconnect(&command);
    unlink(path);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(s6_killed_with_the_span_rising),
        cmocka_unit_test(s6_span_found_open_can_be_lowered),
        cmocka_unit_test(orderly_stop_with_the_span_moving_ends_with_status_0),
        cmocka_unit_test(track_power_waits_after_every_start_where_that_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
