/* A timetable the whole way: planned from the configuration, performed on the daemon, and planned
 * again from the record that this left. */
#include "support/check.h"
#include "support/daemon/daemon.h"
#include "support/records/record_config.h"
#include "support/records/records_feed.h"
#include "support/tool/tool_run.h"
#include "tools/drawtender/base/file_text.h"

#include <inttypes.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { OPENINGS = 2, CLOCK = 2, SECOND_US = 1000000 };

/* Model seconds. What the plan said; then when it came, by the server's own time stamps. */
struct times {
    int32_t begins, open, closes, lined;
};

/* The first boat is to wait for the first train, and the second train parts the openings. */
static const char timetable[] = "what,name,at,takes\nclock,,,2\n"
                                "train,Mail,10:02,1 min\ntrain,Goods,10:09,30s\n"
                                "boat,Tug,10:03,1 min\nboat,Barge,10:12,1 min\n";

static char record[RECORD_FILE_SIZE];
static char config[RECORD_FILE_SIZE + 8];
static char table[RECORD_FILE_SIZE + 8];
static char script[RECORD_FILE_SIZE + 8];
static struct daemon_run daemon_of_test;

static int set_up(void **state) {
    (void)state;
    records_feed_file(record);
    snprintf(config, sizeof config, "%s.json", record);
    snprintf(table, sizeof table, "%s.csv", record);
    snprintf(script, sizeof script, "%s.scr", record);
    record_config_write(config, record, "");
    FILE *out = fopen(table, "w");
    assert_non_null(out);
    fputs(timetable, out);
    fclose(out);
    daemon_start(&daemon_of_test, config, "40");
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    if (daemon_of_test.pid > 0) {
        daemon_end(&daemon_of_test, SIGTERM);
    }
    unlink(config);
    unlink(table);
    unlink(script);
    records_feed_forget(record);
    return 0;
}

static struct tool_run run(const char *format, const char *file, const char *rest) {
    struct tool_run made = {.port = daemon_of_test.port};
    char words[8 * RECORD_FILE_SIZE];
    snprintf(words, sizeof words, "%s %s %s", format, file, rest);
    tool_run_words(&made, words);
    return made;
}

static int32_t clock_of(const char *text) {
    int hour = 0;
    int minute = 0;
    int second = 0;
    assert_int_equal(sscanf(text, "%d:%d:%d", &hour, &minute, &second), 3);
    return hour * 3600 + minute * 60 + second;
}

static double layout_s(const char *printed, const char *what) {
    const char *line = strstr(printed, what);
    assert_non_null(line);
    return strtod(line + strlen(what), NULL);
}

/* Reads the openings out of what plan printed. */
static void read_plan(const char *printed, double closing_s, struct times plan[OPENINGS]) {
    const char *line = strstr(printed, "     begins");
    assert_non_null(line);
    for (int i = 0; i < OPENINGS; i++) {
        line = strchr(line, '\n') + 1;
        char clock[3][16];
        assert_int_equal(sscanf(line, "%*d %15s %15s %15s", clock[0], clock[1], clock[2]), 3);
        plan[i].begins = clock_of(clock[0]);
        plan[i].open = clock_of(clock[1]);
        plan[i].lined = clock_of(clock[2]);
        plan[i].closes = plan[i].lined - (int32_t)(closing_s * CLOCK + 0.999);
    }
}

/* --- what came, out of an information session */

/* The moment at which the script set the model clock. Later times that the server tells are told
 * when it comes to it. */
struct clock_set {
    uint64_t stamp_us;
    int32_t clock_s;
};

static void wait_for_clock(struct clock_set *clock, struct daemon_session *info) {
    int hour = 0;
    int minute = 0;
    int second = 0;
    daemon_read_until(info, "100 INFO 0 TIME 1 ", NULL);
    assert_int_equal(sscanf(info->line, "100 INFO 0 TIME 1 %d %d %d", &hour, &minute, &second), 3);
    clock->clock_s = hour * 3600 + minute * 60 + second;
    clock->stamp_us = info->stamp_us;
}

/* The model time, to the nearest second, at which this line comes. */
static int32_t time_of(const struct clock_set *clock, struct daemon_session *info,
                       const char *wanted) {
    do {
        assert_true(daemon_read(info));
    } while (strcmp(info->line, wanted) != 0);
    uint64_t layout_us = info->stamp_us - clock->stamp_us;
    return clock->clock_s + (int32_t)((layout_us * CLOCK + SECOND_US / 2) / SECOND_US);
}

static void watch_openings(struct daemon_session *info, struct times came[OPENINGS]) {
    struct clock_set clock;
    wait_for_clock(&clock, info);
    for (int i = 0; i < OPENINGS; i++) {
        came[i].begins = time_of(&clock, info, "100 INFO 1 FB 5 0");
        came[i].open = time_of(&clock, info, "100 INFO 1 FB 3 1");
        came[i].closes = time_of(&clock, info, "100 INFO 1 FB 3 0");
        came[i].lined = time_of(&clock, info, "100 INFO 1 FB 5 1");
    }
}

/* Never before the plan. How long after it is the machine's: what it does between the server's
 * answer and the next line of the script. Once asked the span takes no longer than reckoned. */
static void assert_as_planned(const struct times *plan, const struct times *came, double opening_s,
                              double closing_s) {
    assert_true(came->begins >= plan->begins);
    assert_true(came->closes >= plan->closes); /* not in the face of the boat */
    assert_in_range(came->open - came->begins, 0, (uintmax_t)(opening_s * CLOCK + 1));
    assert_in_range(came->lined - came->closes, 0, (uintmax_t)(closing_s * CLOCK + 1));
}

/* The script waits until then, and no longer. */
static void assert_waits_for(const char *text, int32_t clock_s) {
    char line[64];
    snprintf(line, sizeof line, "\nWAIT 0 TIME 1 %d %d %d\n", clock_s / 3600, clock_s / 60 % 60,
             clock_s % 60);
    if (strstr(text, line) == NULL) {
        fail_msg("the script has no%s", line);
    }
}

static void assert_script_keeps_the_plan(const struct times plan[OPENINGS]) {
    struct error error;
    char *text = file_text_read(script, &error);
    assert_non_null(text);
    for (int i = 0; i < OPENINGS; i++) {
        assert_waits_for(text, plan[i].begins);
        assert_waits_for(text, plan[i].closes);
    }
    free(text);
}

static void the_openings_come_at_the_planned_model_times(void **state) {
    (void)state;
    char options[4 * RECORD_FILE_SIZE];
    struct times plan[OPENINGS];
    struct times came[OPENINGS];
    snprintf(options, sizeof options, "--config %s --script %s", config, script);
    struct tool_run planned = run("plan", table, options);
    double opening_s = layout_s(planned.out, "opening");
    double closing_s = layout_s(planned.out, "closing");
    read_plan(planned.out, closing_s, plan);
    tool_run_ends(planned, OUTCOME_DONE, "Tug (10:03:00) waits", "");
    assert_int_equal(plan[0].begins, clock_of("10:03:00")); /* behind the train */
    assert_script_keeps_the_plan(plan);

    struct daemon_session info;
    tool_run_ends(run("perform", script, "--dry-run"), OUTCOME_DONE, "nothing was sent", "");
    daemon_connect(&daemon_of_test, &info, "INFO");
    tool_run_ends(run("perform", script, ""), OUTCOME_DONE, "Opening 2 of 2: for Barge", "");
    watch_openings(&info, came);
    daemon_disconnect(&info);
    for (int i = 0; i < OPENINGS; i++) {
        assert_as_planned(&plan[i], &came[i], opening_s, closing_s);
    }

    daemon_end(&daemon_of_test, SIGTERM);
    daemon_of_test.pid = 0;
    snprintf(options, sizeof options, "--config %s --record %s", config, record);
    struct tool_run again = run("plan", table, options);
    double measured_s = layout_s(again.out, "opening");
    assert_true(measured_s > opening_s / 2 && measured_s <= opening_s);
    measured_s = layout_s(again.out, "closing");
    assert_true(measured_s > closing_s / 2 && measured_s <= closing_s);
    tool_run_ends(again, OUTCOME_DONE, "90 % of 2 recorded openings", "");
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test_setup_teardown(
        the_openings_come_at_the_planned_model_times, set_up, tear_down)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
