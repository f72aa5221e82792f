/* The record and the drawings, over HTTP: read by a thread of its own, told when it cannot be. */
#include "panel/history/history.h"
#include "support/check.h"
#include "support/panel/panel_stage.h"
#include "support/records/records_feed.h"

#include <cjson/cJSON.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static struct panel_stage stage;
static char path[RECORD_FILE_SIZE];

static int set_stage(void **state) {
    (void)state;
    panel_stage_init(&stage);
    records_feed_file(path);
    snprintf(stage.config->record.file, RECORD_FILE_SIZE, "%s", path);
    return 0;
}

static int close_stage(void **state) {
    (void)state;
    panel_stage_close(&stage);
    records_feed_forget(path);
    return 0;
}

/* Two openings, asked for by a panel. */
static void record_openings(void) {
    static struct records_feed feed;
    memset(&feed, 0, sizeof feed);
    const struct record_setup setup = records_feed_setup(path);
    records_feed_start(&feed, &setup);
    feed.who = -1;
    recorder_session(feed.recorder, RECORDS_FEED_BEGIN_US, -1, true,
                     "panel, may operate, at 192.168.7.12");
    for (unsigned i = 0; i < 2; i++) {
        assert_true(records_feed_run_to(&feed, PHASE_LINED, 120000000));
        assert_int_equal(records_feed_ask(&feed, REQUEST_RAISE), ANSWER_GRANTED);
        assert_true(records_feed_run_to(&feed, PHASE_OPEN, 600000000));
        assert_int_equal(records_feed_ask(&feed, REQUEST_LOWER), ANSWER_GRANTED);
        assert_true(records_feed_run_to(&feed, PHASE_LINED, 600000000));
    }
    records_feed_ask(&feed, REQUEST_EMERGENCY_STOP);
    records_feed_end(&feed);
}

static void write_nonsense(void) {
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    for (unsigned i = 0; i < 500; i++) {
        fputs("this is no database at all\n", file);
    }
    fclose(file);
}

static void without_a_record_it_says_so(void **state) {
    (void)state;
    stage.config->record.file[0] = '\0';
    panel_stage_open(&stage);
    const struct browser *browser = browse_get(&stage, "/history?bus=1", "");
    assert_int_equal(browser->code, 200);
    assert_string_equal(browser->body, "{\"is_recorded\":false}");
    assert_int_equal(browse_get(&stage, "/plots/1/trend.svg", "")->code, 404);
    assert_int_equal(browse_get(&stage, "/plots/1/opening-1.svg", "")->code, 404);
}

static void a_record_that_is_missing_or_broken_is_told_and_nothing_else_ends(void **state) {
    (void)state;
    panel_stage_open(&stage);
    const struct browser *browser = browse_get(&stage, "/history?bus=1", "");
    assert_int_equal(browser->code, 503);
    assert_non_null(strstr(browser->body, "unable to open"));
    write_nonsense();
    browser = browse_get(&stage, "/history?bus=1", "");
    assert_int_equal(browser->code, 503);
    assert_non_null(strstr(browser->body, "not a database"));
    assert_int_equal(browse_get(&stage, "/plots/1/trend.svg", "")->code, 503);
    assert_int_equal(browse_get(&stage, "/bridges", "")->code, 200);
    remove(path);
    record_openings(); /* mended: the next who asks gets it */
    assert_int_equal(browse_get(&stage, "/history?bus=1", "")->code, 200);
}

static void openings_and_faults_come_newest_first(void **state) {
    (void)state;
    record_openings();
    panel_stage_open(&stage);
    const struct browser *browser = browse_get(&stage, "/history?bus=1", "");
    assert_int_equal(browser->code, 200);
    cJSON *json = cJSON_Parse(browser->body);
    const cJSON *openings = cJSON_GetObjectItemCaseSensitive(json, "openings");
    assert_int_equal(cJSON_GetArraySize(openings), 2);
    double asked[2];
    for (int i = 0; i < 2; i++) {
        const cJSON *row = cJSON_GetArrayItem(openings, i);
        asked[i] = cJSON_GetObjectItem(row, "asked_ms")->valuedouble;
        assert_true(cJSON_GetObjectItem(row, "open_ms")->valuedouble > asked[i]);
        assert_int_equal(cJSON_GetObjectItem(row, "number")->valueint, 2 - i);
        assert_true(cJSON_GetObjectItem(row, "ended_ms")->valuedouble > asked[i]);
        assert_string_equal(cJSON_GetObjectItem(row, "outcome")->valuestring, "whole");
        assert_string_equal(cJSON_GetObjectItem(row, "who")->valuestring,
                            "panel, may operate, at 192.168.7.12");
    }
    assert_true(asked[0] > asked[1]);
    assert_true(asked[1] >= RECORDS_FEED_BEGIN_US / 1e3);
    const cJSON *faults = cJSON_GetObjectItemCaseSensitive(json, "faults");
    assert_int_equal(cJSON_GetArraySize(faults), 1);
    assert_string_equal(cJSON_GetObjectItem(cJSON_GetArrayItem(faults, 0), "name")->valuestring,
                        "emergency-stop");
    const cJSON *run = cJSON_GetObjectItemCaseSensitive(json, "run");
    assert_int_equal(cJSON_GetObjectItem(run, "openings")->valueint, 2);
    const cJSON *service = cJSON_GetObjectItemCaseSensitive(json, "service");
    assert_int_equal(cJSON_GetObjectItem(service, "openings")->valueint, 2);
    cJSON_Delete(json);
}

/* Its last event is not its end, and what it took so far says nothing. */
static void an_opening_under_way_has_no_end(void **state) {
    (void)state;
    struct store store;
    struct error error = {.what = ""};
    record_openings();
    assert_true(store_open(&store, path, &error));
    assert_true(store_do(&store, &error,
                         "DELETE FROM event WHERE id >="
                         " (SELECT max(id) FROM event WHERE what = 'open')",
                         ""));
    store_close(&store);
    panel_stage_open(&stage);
    const struct browser *browser = browse_get(&stage, "/history?bus=1", "");
    cJSON *json = cJSON_Parse(browser->body);
    const cJSON *row = cJSON_GetArrayItem(cJSON_GetObjectItemCaseSensitive(json, "openings"), 0);
    assert_string_equal(cJSON_GetObjectItem(row, "outcome")->valuestring, "under-way");
    assert_true(cJSON_IsNull(cJSON_GetObjectItem(row, "ended_ms")));
    assert_true(cJSON_IsNull(cJSON_GetObjectItem(row, "most_a")));
    assert_true(cJSON_IsNull(cJSON_GetObjectItem(row, "mean_a")));
    cJSON_Delete(json);
}

static void drawings_of_the_record_are_drawn(void **state) {
    (void)state;
    char type[32];
    char name[64];
    record_openings();
    panel_stage_open(&stage);
    const struct browser *browser = browse_get(&stage, "/history?bus=1", "");
    cJSON *json = cJSON_Parse(browser->body);
    const cJSON *openings = cJSON_GetObjectItemCaseSensitive(json, "openings");
    int number = cJSON_GetObjectItem(cJSON_GetArrayItem(openings, 0), "number")->valueint;
    cJSON_Delete(json);
    browser = browse_get(&stage, "/plots/1/trend.svg", "");
    assert_int_equal(browser->code, 200);
    assert_true(browser_header(browser, "Content-Type", type, sizeof type));
    assert_string_equal(type, "image/svg+xml");
    assert_non_null(strstr(browser->body, "</svg>"));
    snprintf(name, sizeof name, "/plots/1/opening-%d.svg", number);
    browser = browse_get(&stage, name, "");
    assert_int_equal(browser->code, 200);
    assert_non_null(strstr(browser->body, "position"));
    snprintf(name, sizeof name, "/plots/1/opening-%d.svg", number + 1);
    assert_int_equal(browse_get(&stage, name, "")->code, 404);
}

static void drawings_of_the_sizing_need_no_record(void **state) {
    (void)state;
    static const char *const names[] = {"leaf", "torque", "current", "speed"};
    stage.config->record.file[0] = '\0';
    panel_stage_open(&stage);
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        char name[64];
        snprintf(name, sizeof name, "/plots/1/%s.svg", names[i]);
        const struct browser *browser = browse_get(&stage, name, "");
        assert_int_equal(browser->code, 200);
        assert_non_null(strstr(browser->body, "</svg>"));
    }
}

static void a_span_moved_by_hand_has_no_drawings(void **state) {
    (void)state;
    stage.config->bridge[0].sizing.is_hand = true;
    panel_stage_open(&stage);
    assert_int_equal(browse_get(&stage, "/plots/1/leaf.svg", "")->code, 404);
}

static void a_bus_without_a_bridge_has_no_history(void **state) {
    (void)state;
    static const char *const paths[] = {"/history?bus=2", "/history?bus=", "/history?bus=1x",
                                        "/history?b=1", "/history?bus=-1"};
    panel_stage_open(&stage);
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        assert_int_equal(browse_get(&stage, paths[i], "")->code, 404);
    }
    assert_int_equal(browse_get(&stage, "/history", "")->code, 400);
}

static struct browser *come_and_ask(const char *what) {
    char request[128];
    struct browser *browser = browser_come(&stage, false);
    snprintf(request, sizeof request, "GET %s HTTP/1.1\r\nHost: localhost\r\n\r\n", what);
    browser_send(&stage, browser, request, strlen(request));
    return browser;
}

static void many_who_ask_the_same_are_all_answered(void **state) {
    (void)state;
    enum { TABLETS = 40 };
    struct browser *tablet[TABLETS];
    record_openings();
    panel_stage_open(&stage);
    for (unsigned i = 0; i < TABLETS; i++) {
        tablet[i] = come_and_ask("/history?bus=1");
    }
    for (unsigned i = 0; i < TABLETS; i++) {
        assert_int_equal(browser_answer(&stage, tablet[i]), 200);
    }
}

/* A record that nobody can open until somebody writes it: the thread waits at its first job. */
static void stop_the_thread(void) {
    assert_int_equal(mkfifo(path, 0600), 0);
}

static void let_it_go_on(void) {
    int fd = open(path, O_WRONLY | O_NONBLOCK); /* fails while it does not wait there */
    if (fd >= 0) {
        close(fd);
    }
}

static void too_much_at_once_is_told_to_come_again(void **state) {
    (void)state;
    enum { ASKED = 2 * HISTORY_JOBS_MAX };
    struct browser *browser[ASKED];
    stop_the_thread();
    panel_stage_open(&stage);
    for (unsigned i = 0; i < ASKED; i++) {
        char what[64];
        snprintf(what, sizeof what, "/plots/1/opening-%u.svg", i);
        browser[i] = come_and_ask(what);
        panel_stage_settle(&stage);
    }
    for (unsigned i = HISTORY_JOBS_MAX; i < ASKED; i++) {
        assert_int_equal(browser_answer(&stage, browser[i]), 503);
        assert_non_null(strstr(browser[i]->body, "try again"));
    }
    for (unsigned i = 0; i < HISTORY_JOBS_MAX; i++) {
        assert_int_equal(browser[i]->received, 0);
    }
    for (unsigned i = 0; i < HISTORY_JOBS_MAX; i++) {
        while (browser[i]->received == 0) {
            let_it_go_on();
            panel_stage_settle(&stage);
        }
        assert_int_equal(browser_answer(&stage, browser[i]), 503);
        assert_null(strstr(browser[i]->body, "try again"));
    }
}

static void whoever_goes_before_the_answer_leaves_nothing(void **state) {
    (void)state;
    record_openings();
    panel_stage_open(&stage);
    for (unsigned i = 0; i < 10; i++) {
        struct browser *browser = come_and_ask("/history?bus=1");
        panel_stage_turn(&stage);
        browser_leave(browser);
    }
    assert_int_equal(browse_get(&stage, "/history?bus=1", "")->code, 200);
}

static void the_end_may_come_while_somebody_waits(void **state) {
    (void)state;
    record_openings();
    panel_stage_open(&stage);
    for (unsigned i = 0; i < 5; i++) {
        come_and_ask("/history?bus=1");
        come_and_ask("/plots/1/trend.svg");
        panel_stage_turn(&stage);
    }
}

int main(void) {
    static const struct CMUnitTest tests[] = {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_stage, close_stage)
        STAGED(without_a_record_it_says_so),
        STAGED(a_record_that_is_missing_or_broken_is_told_and_nothing_else_ends),
        STAGED(openings_and_faults_come_newest_first),
        STAGED(an_opening_under_way_has_no_end),
        STAGED(drawings_of_the_record_are_drawn),
        STAGED(drawings_of_the_sizing_need_no_record),
        STAGED(a_span_moved_by_hand_has_no_drawings),
        STAGED(a_bus_without_a_bridge_has_no_history),
        STAGED(many_who_ask_the_same_are_all_answered),
        STAGED(too_much_at_once_is_told_to_come_again),
        STAGED(whoever_goes_before_the_answer_leaves_nothing),
        STAGED(the_end_may_come_while_somebody_waits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
