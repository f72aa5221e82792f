/* Two real daemons: Kettle Narrows, whose lift and span lock are accessories of a yard's daemon,
 * and that yard, in real time. The accessories are four home signals of two tracks without trains;
 * the leaf itself is simulated beside them. What the link cannot do is tested as well: see
 * config/README.md, "What a link cannot do". */
#include "support/check.h"
#include "support/daemon_config.h"
#include "support/daemon_pair.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RAISE "14"
#define LOWER "15"
#define DRIVE "16"
#define WITHDRAW "17"

struct stage {
    struct daemon_pair pair;
    char yard_config[DAEMON_CONFIG_PATH];
};

#define SIDE(name)                                                                                 \
    "{\"name\":\"" name "\",\"approach length\":\"1 m\",\"stop length\":\"1 m\","                  \
    "\"approach lock\":\"1 s\"}"
#define TRACK(name, end0, end1)                                                                    \
    "{\"name\":\"" name "\",\"span length\":\"1 m\",\"ends\":[" SIDE(end0) "," SIDE(end1) "]}"
#define OUTPUT(output, when, address)                                                              \
    "{\"output\":\"" output "\",\"when\":\"" when "\",\"link\":\"yard\",\"group\":\"GA\","         \
    "\"address\":" address ",\"port\":1,\"off port\":0}"

static void write_yard(struct stage *stage) {
    cJSON *tree = daemon_config_read("yard.json");
    cJSON *bridge = daemon_config_bridge(tree);
    daemon_config_append(bridge, "tracks", TRACK("motor", "up", "down"));
    daemon_config_append(bridge, "tracks", TRACK("bar", "in", "out"));
    daemon_config_write(tree, "lift-yard", stage->yard_config);
}

/* The yard's power is not the bridge's here: its accessories need it. */
static void drop_power(cJSON *bridge) {
    cJSON *lines = cJSON_GetObjectItem(bridge, "lines");
    for (int i = cJSON_GetArraySize(lines) - 1; i >= 0; i--) {
        const cJSON *group = cJSON_GetObjectItem(cJSON_GetArrayItem(lines, i), "group");
        if (strcmp(cJSON_GetStringValue(group), "POWER") == 0) {
            cJSON_DeleteItemFromArray(lines, i);
        }
    }
}

static void start_bridge(struct stage *stage) {
    cJSON *tree = daemon_config_read("linked-bridge.json");
    cJSON *bridge = daemon_config_bridge(tree);
    drop_power(bridge);
    daemon_config_append(bridge, "lines", OUTPUT("lift", "raise", RAISE));
    daemon_config_append(bridge, "lines", OUTPUT("lift", "lower", LOWER));
    daemon_config_append(bridge, "lines", OUTPUT("lock", "driven", DRIVE));
    daemon_config_append(bridge, "lines", OUTPUT("lock", "withdrawn", WITHDRAW));
    daemon_pair_start_bridge(&stage->pair, tree);
}

static void start_yard(struct stage *stage, uint16_t port) {
    struct daemon_session *command = &stage->pair.yard_command;
    daemon_pair_start_yard(&stage->pair, stage->yard_config, port);
    daemon_expect(command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_expect(command, "SET 1 POWER ON", "200 OK");
}

static int set_up(void **state) {
    struct stage *stage = calloc(1, sizeof *stage);
    write_yard(stage);
    start_yard(stage, 0);
    start_bridge(stage);
    *state = stage;
    return 0;
}

static int tear_down(void **state) {
    struct stage *stage = *state;
    daemon_pair_end_bridge(&stage->pair, SIGTERM);
    daemon_pair_end_yard(&stage->pair, SIGTERM);
    remove(stage->yard_config);
    free(stage);
    return 0;
}

/* ---- what the yard's accessories show */

static void expect_on(struct stage *stage, const char *address, int is_on) {
    char line[64];
    char reply[64];
    snprintf(line, sizeof line, "GET 1 GA %s 1", address);
    snprintf(reply, sizeof reply, "100 INFO 1 GA %s 1 %d", address, is_on);
    daemon_expect(&stage->pair.yard_command, line, reply);
}

static void wait_on(struct stage *stage, const char *address, int is_on) {
    char line[64];
    snprintf(line, sizeof line, "WAIT 1 GA %s 1 %d 300", address, is_on);
    daemon_expect(&stage->pair.yard_command, line, "100 INFO 1 GA ");
}

static void expect_all_off(struct stage *stage) {
    static const char *const all[] = {RAISE, LOWER, DRIVE, WITHDRAW};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        expect_on(stage, all[i], 0);
    }
}

static void line(struct stage *stage) {
    daemon_expect(&stage->pair.command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    wait_on(stage, "11", 1);
    wait_on(stage, "12", 1);
}

static void start_raising(struct stage *stage) {
    daemon_expect(&stage->pair.command, "SET 1 GA 1 1 1 -1", "200 OK");
    wait_on(stage, RAISE, 1);
    daemon_expect(&stage->pair.command, "WAIT 1 FB 4 1 300", "100 INFO 1 FB 4 1");
}

static void expect_lost(struct stage *stage) {
    daemon_read_until(&stage->pair.info, "100 INFO 0 GM 0 0 FAULT 1 device-lost", NULL);
    daemon_expect(&stage->pair.command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    daemon_expect(&stage->pair.command, "SET 1 GA 1 1 1 -1", "413 ");
}

/* ---- */

/* The yard's own news, in their order: signals at stop, bar out, motor up and off again; then motor
 * down and off, bar in, and only then a signal clears. */
static void s3_s4_opening_by_accessories_keeps_its_order(void **state) {
    struct stage *stage = *state;
    static const struct {
        const char *first, *then;
    } order[] = {
        {"100 INFO 1 GA 11 1 0", "100 INFO 1 GA " WITHDRAW " 1 1"},
        {"100 INFO 1 GA " WITHDRAW " 1 1", "100 INFO 1 GA " RAISE " 1 1"},
        {"100 INFO 1 GA " RAISE " 1 1", "100 INFO 1 GA " RAISE " 1 0"},
        {"100 INFO 1 GA " LOWER " 1 1", "100 INFO 1 GA " LOWER " 1 0"},
        {"100 INFO 1 GA " LOWER " 1 0", "100 INFO 1 GA " DRIVE " 1 1"},
        {"100 INFO 1 GA " DRIVE " 1 1", "100 INFO 1 GA 11 1 1"},
    };
    line(stage);
    expect_on(stage, RAISE, 0);
    expect_on(stage, LOWER, 0);
    daemon_read_until(&stage->pair.yard_info, "100 INFO 1 GA 12 1 1", NULL);
    start_raising(stage);
    daemon_expect(&stage->pair.yard_command, "SET 1 GA " RAISE " 0 1 -1",
                  "414 "); /* it is locked */
    expect_on(stage, LOWER, 0);
    daemon_expect(&stage->pair.command, "WAIT 1 FB 3 1 300", "100 INFO 1 FB 3 1");
    wait_on(stage, RAISE, 0);
    daemon_expect(&stage->pair.command, "SET 1 GA 1 0 1 -1", "200 OK");
    line(stage);
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        daemon_read_until(&stage->pair.yard_info, order[i].first, order[i].then);
        if (i + 1 < sizeof order / sizeof order[0] &&
            strcmp(order[i].then, order[i + 1].first) == 0) {
            continue;
        }
        daemon_read_until(&stage->pair.yard_info, order[i].then, NULL);
    }
}

static void s7_orderly_end_stops_the_motor_there(void **state) {
    struct stage *stage = *state;
    line(stage);
    start_raising(stage);
    daemon_pair_end_bridge(&stage->pair, SIGTERM);
    expect_all_off(stage);
    expect_on(stage, "11", 0);
    expect_on(stage, "12", 0);
}

static void s7_yard_that_dies_is_a_lift_at_rest(void **state) {
    struct stage *stage = *state;
    uint16_t port = stage->pair.yard.port;
    line(stage);
    start_raising(stage);
    daemon_pair_end_yard(&stage->pair, SIGKILL);
    expect_lost(stage);
    start_yard(stage, port);
    expect_all_off(stage);
    daemon_expect(&stage->pair.command, "WAIT 1 FB 4 1 2",
                  "417 "); /* nor does it go on by itself */
}

/* The link's session for INFO, as the yard counts; 1 and 2 are the test's own. */
static int informed_session(struct stage *stage) {
    int found = 0;
    for (int id = 3; id <= 4; id++) {
        char line[48];
        char reply[48];
        snprintf(line, sizeof line, "GET 0 SESSION %d", id);
        snprintf(reply, sizeof reply, "100 INFO 0 SESSION %d INFO", id);
        found = strcmp(daemon_ask(&stage->pair.yard_command, line), reply) == 0 ? id : found;
    }
    assert_true(found > 0);
    return found;
}

/* Told nothing any more, the link still has its other session to stop the motor by, and does so
 * before it comes anew. */
static void s7_link_that_is_told_no_more_stops_the_motor_as_it_leaves(void **state) {
    struct stage *stage = *state;
    char words[48];
    line(stage);
    start_raising(stage);
    int informed = informed_session(stage);
    snprintf(words, sizeof words, "TERM 0 SESSION %d", informed);
    daemon_expect(&stage->pair.yard_command, words, "200 OK");
    snprintf(words, sizeof words, "102 INFO 0 SESSION %d", informed);
    daemon_read_until(&stage->pair.yard_info, words, NULL);
    daemon_read_until(&stage->pair.yard_info, "100 INFO 1 GA " RAISE " 1 0", "101 INFO 0 SESSION");
    expect_lost(stage);
    expect_all_off(stage);
}

/* Cut off, the motor there runs on: a watchdog of the yard's own has to stop it. The first that the
 * yard hears afterwards, once it goes on, is to stop. */
static void s7_motor_of_a_yard_that_hung_is_stopped_first_of_all(void **state) {
    struct stage *stage = *state;
    line(stage);
    start_raising(stage);
    assert_int_equal(kill(stage->pair.yard.pid, SIGSTOP), 0);
    expect_lost(stage);
    assert_int_equal(kill(stage->pair.yard.pid, SIGCONT), 0);
    wait_on(stage, RAISE, 0);
    daemon_expect(&stage->pair.command, "GET 1 FB 4", "100 INFO 1 FB 4 0");
    expect_on(stage, LOWER, 0);
    expect_on(stage, "11", 0);
    expect_on(stage, "12", 0);
}

/* What the documentation says a link cannot do; a daemon that comes back stops it. */
static void killed_daemon_leaves_the_motor_on_until_it_is_back(void **state) {
    struct stage *stage = *state;
    line(stage);
    start_raising(stage);
    daemon_pair_end_bridge(&stage->pair, SIGKILL);
    expect_on(stage, RAISE, 1);
    expect_on(stage, LOWER, 0);
    expect_on(stage, "11", 0);
    start_bridge(stage);
    wait_on(stage, RAISE, 0);
    expect_on(stage, LOWER, 0);
}

int main(void) {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        STAGED(s3_s4_opening_by_accessories_keeps_its_order),
        STAGED(s7_orderly_end_stops_the_motor_there),
        STAGED(s7_yard_that_dies_is_a_lift_at_rest),
        STAGED(s7_link_that_is_told_no_more_stops_the_motor_as_it_leaves),
        STAGED(s7_motor_of_a_yard_that_hung_is_stopped_first_of_all),
        STAGED(killed_daemon_leaves_the_motor_on_until_it_is_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
