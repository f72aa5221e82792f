/* The daemon keeps a record, also when it is killed; and runs as well where it cannot. */
#include "records/read/replay.h"
#include "support/check.h"
#include "support/daemon/daemon.h"
#include "support/records/record_config.h"
#include "support/records/records_feed.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static char record[RECORD_FILE_SIZE];
static char config[RECORD_FILE_SIZE + 8];

static void write_config(const char *file) {
    record_config_write(config, file, ", \"service openings\": 3");
}

/* What is not urgent is written when the test would have been ended for hanging. */
static void write_config_of_a_sleeper(void) {
    record_config_write(config, record, ", \"write every\": \"1 h\"");
}

static int set_up(void **state) {
    (void)state;
    records_feed_file(record);
    snprintf(config, sizeof config, "%s.json", record);
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    unlink(config);
    records_feed_forget(record);
    return 0;
}

static void open_and_lower(struct daemon_session *command) {
    daemon_expect(command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_expect(command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(command, "WAIT 1 FB 3 1 600", "100 INFO 1 FB 3 1");
    daemon_expect(command, "SET 1 POWER ON", "413 ");
    daemon_expect(command, "SET 1 GA 1 0 1 -1", "200 OK");
    daemon_expect(command, "WAIT 1 FB 5 1 600", "100 INFO 1 FB 5 1");
}

static void assert_recorded(bool is_ended) {
    struct store store;
    struct error error = {.what = ""};
    if (!store_open(&store, record, &error)) {
        fail_msg("%s", error.what);
    }
    static const char *const ones[] = {
        "SELECT count(*) FROM bridge WHERE name = 'Kettle Narrows' AND service_openings = 3",
        "SELECT count(*) FROM event WHERE kind = 'asked' AND what = 'raise' AND who = 1",
        "SELECT count(*) FROM event WHERE kind = 'refused' AND what = 'power-on' AND who = 1",
        "SELECT count(*) FROM event WHERE kind = 'session-began' AND who = 1 AND words LIKE"
        " 'commands, may administer, by 127.0.0.1'",
        "SELECT count(*) FROM event WHERE kind = 'moved' AND what = 'up' AND words = 'raise'",
    };
    for (size_t i = 0; i < sizeof ones / sizeof ones[0]; i++) {
        if (records_feed_number(&store, ones[i]) != 1) {
            fail_msg("not one: %s", ones[i]);
        }
    }
    assert_int_equal(
        records_feed_number(&store, "SELECT count(*) FROM run WHERE ended_us IS NOT NULL"),
        is_ended);
    struct replay_result result;
    const struct replay_span everything = {.to_us = INT64_MAX};
    assert_true(replay_run(&store, &everything, NULL, &result, &error));
    assert_string_equal(result.difference.what, "");
    assert_true(result.steps > 500);
    store_close(&store);
}

static void an_opening_is_kept_and_replays(void **state) {
    (void)state;
    struct daemon_run run;
    struct daemon_session command;
    write_config(record);
    daemon_start(&run, config, "20");
    daemon_connect(&run, &command, "COMMAND");
    open_and_lower(&command);
    daemon_disconnect(&command);
    int status = daemon_end(&run, SIGTERM);
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
    assert_recorded(true);
}

/* Waits until the writer has come so far: so many events that are these. */
static void wait_for_events(int64_t wanted, const char *those) {
    struct store store;
    struct error error = {.what = ""};
    char sql[160];
    int64_t count = 0;
    snprintf(sql, sizeof sql, "SELECT count(*) FROM event WHERE %s", those);
    while (count < wanted) {
        if (store_open_to_read(&store, record, &error)) {
            count = records_feed_number(&store, sql);
            store_close(&store);
        }
        usleep(1000);
    }
    assert_int_equal(count, wanted);
}

static void a_daemon_that_is_killed_leaves_a_whole_record(void **state) {
    (void)state;
    struct daemon_run run;
    struct daemon_session command;
    write_config(record);
    daemon_start(&run, config, "20");
    daemon_connect(&run, &command, "COMMAND");
    open_and_lower(&command);
    wait_for_events(2, "kind = 'phase' AND what = 'lined'"); /* at its start, and again */
    int status = daemon_end(&run, SIGKILL);
    assert_true(WIFSIGNALED(status));
    daemon_disconnect(&command);
    assert_recorded(false);
}

/* The writer is woken for each, and nothing else wakes it. */
static void a_refusal_and_an_emergency_stop_outlive_the_daemon(void **state) {
    (void)state;
    struct daemon_run run;
    struct daemon_session command;
    write_config_of_a_sleeper();
    daemon_start(&run, config, "20");
    daemon_connect(&run, &command, "COMMAND");
    daemon_expect(&command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_expect(&command, "SET 1 GA 1 5 1 -1", "413 "); /* no jog of a span that is lined */
    wait_for_events(1, "kind = 'refused' AND what = 'jog-up'");
    daemon_expect(&command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_expect(&command, "SET 1 GA 1 3 1 -1", "200 OK");
    wait_for_events(1, "kind = 'fault' AND what = 'emergency-stop'");
    int status = daemon_end(&run, SIGKILL);
    assert_true(WIFSIGNALED(status));
    daemon_disconnect(&command);
    wait_for_events(1, "kind = 'asked' AND what = 'raise'"); /* what came before it, too */
    wait_for_events(1, "kind = 'stopped' AND what = 'emergency-stop' AND who = 1");
}

static void a_second_daemon_on_the_same_record_ends_and_says_why(void **state) {
    (void)state;
    struct daemon_run run;
    struct daemon_session command;
    write_config(record);
    daemon_start(&run, config, "20");
    daemon_connect(&run, &command, "COMMAND");
    const char *const second[] = {"--config", config, "--port", "0", "--panel-port", "0", NULL};
    char err[8192];
    char why[64];
    assert_int_equal(daemon_run_once(second, NULL, err, sizeof err), 69); /* EX_UNAVAILABLE */
    snprintf(why, sizeof why, "record.db: process %d is writing this record", (int)run.pid);
    assert_non_null(strstr(err, why));
    open_and_lower(&command); /* the first goes on */
    daemon_disconnect(&command);
    daemon_end(&run, SIGTERM);
    assert_recorded(true);
    daemon_start(&run, config, "20"); /* the lock went with the first */
    daemon_end(&run, SIGKILL);
    daemon_start(&run, config, "20");
    daemon_end(&run, SIGTERM);
}

static void a_record_that_cannot_be_kept_stops_nothing(void **state) {
    (void)state;
    struct daemon_run run;
    struct daemon_session command;
    write_config("/proc/nowhere/record.db");
    daemon_start(&run, config, "50");
    daemon_connect(&run, &command, "COMMAND");
    open_and_lower(&command);
    daemon_disconnect(&command);
    int status = daemon_end(&run, SIGTERM);
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(an_opening_is_kept_and_replays, set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_daemon_that_is_killed_leaves_a_whole_record, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(a_refusal_and_an_emergency_stop_outlive_the_daemon, set_up,
                                        tear_down),
        cmocka_unit_test_setup_teardown(a_second_daemon_on_the_same_record_ends_and_says_why,
                                        set_up, tear_down),
        cmocka_unit_test_setup_teardown(a_record_that_cannot_be_kept_stops_nothing, set_up,
                                        tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
