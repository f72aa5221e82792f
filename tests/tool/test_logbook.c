/* Reports and replays, the whole way from a record to what is printed and plotted. */
#include "base/text/utf8.h"
#include "support/check.h"
#include "support/records/records_feed.h"
#include "support/tool/tool_run.h"
#include "tools/drawtender/base/table.h"

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char record[RECORD_FILE_SIZE];
static char folder[RECORD_FILE_SIZE];

static void record_openings(void) {
    struct records_feed feed;
    struct record_setup setup = records_feed_setup(record);
    records_feed_start(&feed, &setup);
    feed.who = 7;
    assert_true(records_feed_run_to(&feed, PHASE_LINED, 60000000));
    records_feed_ask(&feed, REQUEST_RAISE);
    assert_true(records_feed_run_to(&feed, PHASE_OPEN, 300000000));
    feed.who = -3; /* a panel */
    records_feed_ask(&feed, REQUEST_POWER_ON);
    feed.who = 7;
    recorder_news(feed.recorder, RECORDS_FEED_BEGIN_US, 0, "says \"a, b\" \x1b[2J");
    records_feed_ask(&feed, REQUEST_LOWER);
    assert_true(records_feed_run_to(&feed, PHASE_LINED, 300000000));
    records_feed_ask(&feed, REQUEST_EMERGENCY_STOP);
    records_feed_run_for(&feed, 2000000);
    records_feed_end(&feed);
}

static int set_up(void **state) {
    (void)state;
    setenv("TZ", "UTC", 1);
    records_feed_file(record);
    snprintf(folder, sizeof folder, "%s", record);
    *strrchr(folder, '/') = '\0';
    record_openings();
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    records_feed_forget(record);
    return 0;
}

static struct tool_run run(const char *format, const char *rest) {
    struct tool_run run = {.port = 1};
    char words[4 * RECORD_FILE_SIZE];
    snprintf(words, sizeof words, "%s %s %s", format, record, rest);
    tool_run_words(&run, words);
    return run;
}

static int64_t number_of(const char *sql) {
    struct store store;
    struct error error = {.what = ""};
    assert_true(store_open_to_read(&store, record, &error));
    int64_t number = records_feed_number(&store, sql);
    store_close(&store);
    return number;
}

static void the_summary_tells_what_is_asked_first(void **state) {
    (void)state;
    static const char *const wanted[] = {"Kettle Narrows, bus 1",
                                         "openings                    ",
                                         "mean delay to boats, if each requested on arrival",
                                         "mean delay to trains",
                                         "peak current, last openings",
                                         "service due in openings",
                                         "99",
                                         "none recorded"};
    struct tool_run summary = run("logbook", "");
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        tool_run_says(summary.out, wanted[i]);
    }
    tool_run_ends(summary, OUTCOME_DONE, "", "");
}

static void every_table_comes_in_three_forms(void **state) {
    (void)state;
    static const char *const tables[][2] = {
        {"openings", "whole"},        {"movements", "raise"},  {"sessions", "2026-03-01"},
        {"faults", "emergency-stop"}, {"refusals", "panel 3"}, {"stops", "emergency-stop"},
        {"clients", "number"},        {"events", "phase"},
    };
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        char words[64];
        tool_run_ends(run("logbook", tables[i][0]), OUTCOME_DONE, tables[i][1], "");
        snprintf(words, sizeof words, "%s --csv", tables[i][0]);
        struct tool_run csv = run("logbook", words);
        assert_non_null(strstr(csv.out, "\r\n"));
        tool_run_says(csv.out, strcmp(tables[i][0], "clients") == 0 ? "number," : tables[i][1]);
        tool_run_free(&csv);
        snprintf(words, sizeof words, "%s --json", tables[i][0]);
        struct tool_run json = run("logbook", words);
        cJSON *object = cJSON_Parse(json.out);
        const cJSON *rows = cJSON_GetObjectItem(object, tables[i][0]);
        assert_true(cJSON_IsArray(rows));
        assert_true(cJSON_GetArraySize(rows) > 0 || strcmp(tables[i][0], "clients") == 0);
        cJSON_Delete(object);
        tool_run_free(&json);
    }
}

/* RFC 4180: quotes around what has a comma, and twice within. */
static void csv_cells_are_quoted_where_needed(void **state) {
    (void)state;
    struct tool_run csv = run("logbook", "events --csv");
    tool_run_says(csv.out, ",\"says \"\"a, b\"\" ?[2J\"\r\n");
    tool_run_free(&csv);
    struct tool_run openings = run("logbook", "openings --csv");
    tool_run_says(openings.out, "number,asked,\"open after, s\",\"lined after, s\",outcome,");
    tool_run_says(openings.out, ",first event\r\n1,2026-03-01T12:00:0");
    char end[32];
    int64_t event = number_of("SELECT min(id) FROM event WHERE what = 'clearing'");
    snprintf(end, sizeof end, ",session 7,%ld\r\n", (long)event);
    tool_run_says(openings.out, end);
    tool_run_free(&openings);
}

static void json_numbers_are_numbers_and_nothing_is_null(void **state) {
    (void)state;
    struct tool_run json = run("logbook", "openings --json");
    cJSON *object = cJSON_Parse(json.out);
    const cJSON *row = cJSON_GetArrayItem(cJSON_GetObjectItem(object, "openings"), 0);
    assert_true(cJSON_IsNumber(cJSON_GetObjectItem(row, "open_after_s")));
    assert_true(cJSON_IsString(cJSON_GetObjectItem(row, "asked_by")));
    cJSON_Delete(object);
    tool_run_free(&json);
    struct tool_run movements = run("logbook", "events --json");
    tool_run_says(movements.out, "\"place\":null"); /* of the news */
    tool_run_free(&movements);
}

static void change_record(const char *sql) {
    struct store store;
    struct error error = {.what = ""};
    assert_true(store_open(&store, record, &error));
    assert_int_equal(sqlite3_exec(store.database, sql, NULL, NULL, NULL), SQLITE_OK);
    store_close(&store);
}

static void assert_utf8(const char *text) {
    size_t left = strlen(text);
    for (size_t size; left > 0; text += size, left -= size) {
        size = utf8_length(text, left);
        assert_true(size > 0);
    }
}

static void whatever_was_recorded_json_is_utf8(void **state) {
    (void)state;
    static const struct {
        const char *sql, *name;
    } cases[] = {{"UPDATE bridge SET name = CAST(x'526f73e9' AS TEXT)", "Ros?"}, /* ISO 8859-1 */
                 {"UPDATE bridge SET name = 'Ros\xc3\xa9'", "Ros\xc3\xa9"},
                 {"UPDATE bridge SET name = 'Ros' || char(27)", "Ros?"},
                 {"UPDATE bridge SET name = 'Kettle Narrows'", "Kettle Narrows"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        change_record(cases[i].sql);
        struct tool_run json = run("logbook", "events --json");
        assert_utf8(json.out);
        cJSON *object = cJSON_Parse(json.out);
        const cJSON *name = cJSON_GetObjectItem(object, "bridge");
        assert_string_equal(cJSON_GetStringValue(name), cases[i].name);
        cJSON_Delete(object);
        tool_run_free(&json);
        struct tool_run text = run("logbook", "openings");
        tool_run_says(text.out, cases[i].name);
        tool_run_free(&text);
    }
    struct tool_run missing = {.port = 1};
    tool_run_words(&missing, "logbook /nowhere/caf\xe9.db --json");
    assert_utf8(missing.out);
    tool_run_says(missing.out, "caf?.db");
    tool_run_free(&missing);
}

/* A seat a little below the sensor's zero, a current that is the sensor's noise. */
static void zero_has_no_sign(void **state) {
    (void)state;
    static const char *const tables[] = {"events", "movements", "events --csv", "events --json"};
    change_record("UPDATE event SET position_frac = -0.0004");
    for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
        struct tool_run told = run("logbook", tables[i]);
        tool_run_says(told.out, "0.0");
        assert_null(strstr(told.out, "-0.0"));
        tool_run_free(&told);
    }
}

static void number_that_rounds_to_zero_has_no_sign(void **state) {
    (void)state;
    static const struct {
        double number;
        int decimals;
        const char *text;
    } cases[] = {{-0.0004, 3, "0.000"}, {-0.0005001, 3, "-0.001"},
                 {-0.04, 1, "0.0"},     {-0.06, 1, "-0.1"},
                 {-0.0, 0, "0"},        {-0.4, 0, "0"},
                 {-0.6, 0, "-1"},       {0.04, 1, "0.0"},
                 {12.345, 2, "12.35"}};
    static const char *const columns[] = {"what", NULL};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct table table;
        table_begin(&table, columns);
        table_number(&table, cases[i].number, cases[i].decimals);
        assert_string_equal(table.cell[0].text, cases[i].text);
        table_free(&table);
    }
}

static void a_span_of_time_leaves_out_the_rest(void **state) {
    (void)state;
    struct tool_run none = run("logbook", "events --from 2026-03-02 --csv");
    assert_string_equal(none.out, "number,at,kind,what,place,who,words\r\n");
    tool_run_free(&none);
    struct tool_run first =
        run("logbook", "events --to 2026-03-01T12:00:05 --from 2026-03-01T12:00 --csv");
    assert_null(strstr(first.out, "emergency"));
    tool_run_says(first.out, "clearing");
    tool_run_free(&first);
}

static void assert_plot(const char *name, const char *title) {
    char path[2 * RECORD_FILE_SIZE];
    static char text[200000];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    size_t length = fread(text, 1, sizeof text - 1, file);
    text[length] = '\0';
    fclose(file);
    unlink(path);
    assert_non_null(strstr(text, "<svg"));
    assert_non_null(strstr(text, title));
    assert_non_null(strstr(text, "current, A"));
    assert_non_null(strstr(text, "</svg>"));
    assert_true(length > 3000); /* curves, not axes alone */
}

static void one_opening_is_told_and_plotted(void **state) {
    (void)state;
    int64_t number = 1; /* the first opening, whatever else was recorded before it */
    char words[2 * RECORD_FILE_SIZE];
    snprintf(words, sizeof words, "%ld --plots %s", (long)number, folder);
    tool_run_ends(run("opening", words), OUTCOME_DONE, "raising", "");
    snprintf(words, sizeof words, "kettle-narrows-opening-%ld.svg", (long)number);
    assert_plot(words, "Kettle Narrows: opening");
    snprintf(words, sizeof words, "--plots %s --quiet", folder);
    tool_run_ends(run("logbook", words), OUTCOME_DONE, "", "");
    assert_plot("kettle-narrows-openings.svg", "Kettle Narrows: openings");
    tool_run_ends(run("opening", "77777"), OUTCOME_UNREAD, "", "no opening '77777'");
    snprintf(words, sizeof words, "%ld --plots /proc/nowhere", (long)number);
    tool_run_ends(run("opening", words), OUTCOME_UNWRITTEN, "", "/proc/nowhere");
}

static void what_cannot_be_read_is_named(void **state) {
    (void)state;
    tool_run_ends(run("logbook", "nonsense"), OUTCOME_USAGE, "", "there are openings|");
    tool_run_ends(run("logbook", "--bus 4"), OUTCOME_UNREAD, "", "no bridge on bus 4");
    static const char *const verbs[] = {"logbook /nowhere.db", "opening /nowhere.db 1",
                                        "serviced /nowhere.db", "replay /nowhere.db",
                                        "logbook /dev/null"};
    for (size_t i = 0; i < sizeof verbs / sizeof verbs[0]; i++) {
        struct tool_run other = {.port = 1};
        tool_run_words(&other, verbs[i]);
        tool_run_ends(other, OUTCOME_UNREAD, "",
                      strstr(verbs[i], ".db") == NULL ? "/dev/null: " : "/nowhere.db: ");
    }
    assert_int_not_equal(access("/nowhere.db", F_OK), 0); /* nor made */
}

static void service_is_noted(void **state) {
    (void)state;
    tool_run_ends(run("serviced", ""), OUTCOME_DONE, "noted", "");
    struct tool_run summary = run("logbook", "");
    assert_null(strstr(summary.out, "none recorded"));
    tool_run_says(summary.out, "100"); /* all openings are left again */
    tool_run_free(&summary);
}

static void set_core_of_another(void) {
    struct store store;
    struct error error = {.what = ""};
    assert_true(store_open(&store, record, &error));
    assert_true(store_do(&store, &error, "UPDATE bridge SET shapes = 1", ""));
    assert_true(store_do(&store, &error, "UPDATE run SET version = '0.0.7'", ""));
    store_close(&store);
}

static void what_another_core_recorded_is_read_and_not_replayed(void **state) {
    (void)state;
    char words[2 * RECORD_FILE_SIZE];
    set_core_of_another();
    tool_run_ends(run("replay", ""), OUTCOME_UNREAD, "",
                  "cannot be replayed here: drawtenderd 0.0.7, run of 2026-03-01T12:00:00");
    tool_run_ends(run("logbook", "openings"), OUTCOME_DONE, "whole", "");
    record_openings(); /* one more run, of this core */
    tool_run_ends(run("replay", ""), OUTCOME_DONE,
                  "the same again; left out 1 run: drawtenderd 0.0.7, run of 2026-03-01", "");
    snprintf(words, sizeof words, "999999 --keep %s.steps", record);
    tool_run_ends(run("replay", words), OUTCOME_UNREAD, "", "no event");
    snprintf(words, sizeof words, "%s.steps", record);
    assert_int_not_equal(access(words, F_OK), 0); /* nothing to keep: no file */
}

static void a_replay_tells_the_same_or_the_step(void **state) {
    (void)state;
    tool_run_ends(run("replay", ""), OUTCOME_DONE, "steps in 1 stretch: the same again", "");
    tool_run_ends(run("replay", "--from 2030-01-01"), OUTCOME_UNREAD, "", "no steps of that time");
    tool_run_ends(run("replay", "99999"), OUTCOME_UNREAD, "", "no event '99999'");
    struct store store;
    struct error error = {.what = ""};
    assert_true(store_open(&store, record, &error));
    assert_true(store_do(&store, &error, /* the last piece of all ends one byte early */
                         "UPDATE steps SET data = substr(data, 1, length(data) - 1)"
                         " WHERE id = (SELECT max(id) FROM steps)",
                         ""));
    int64_t last = records_feed_number(&store, "SELECT max(first + count - 1) FROM steps");
    store_close(&store);
    char words[64];
    snprintf(words, sizeof words, "step %ld at 2026-03-01T12:0", (long)last);
    tool_run_ends(run("replay", ""), OUTCOME_REFUSED, "", words);
}

static void the_steps_around_an_event_are_kept(void **state) {
    (void)state;
    int64_t fault = number_of("SELECT id FROM event WHERE kind = 'fault'");
    char words[2 * RECORD_FILE_SIZE];
    char path[RECORD_FILE_SIZE + 16];
    snprintf(path, sizeof path, "%s/fault.steps", folder);
    snprintf(words, sizeof words, "%ld --keep %s", (long)fault, path);
    tool_run_ends(run("replay", words), OUTCOME_DONE, "the same again", "");
    FILE *file = fopen(path, "r");
    char line[256];
    assert_non_null(file);
    assert_non_null(fgets(line, sizeof line, file));
    assert_string_equal(line, "drawtender steps 1\n");
    fclose(file);
    unlink(path);
    snprintf(words, sizeof words, "%ld --keep /proc/nowhere", (long)fault);
    tool_run_ends(run("replay", words), OUTCOME_UNWRITTEN, "", "/proc/nowhere");
}

#define WITH_RECORD(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        WITH_RECORD(whatever_was_recorded_json_is_utf8),
        WITH_RECORD(the_summary_tells_what_is_asked_first),
        WITH_RECORD(every_table_comes_in_three_forms),
        WITH_RECORD(csv_cells_are_quoted_where_needed),
        WITH_RECORD(json_numbers_are_numbers_and_nothing_is_null),
        WITH_RECORD(zero_has_no_sign),
        cmocka_unit_test(number_that_rounds_to_zero_has_no_sign),
        WITH_RECORD(a_span_of_time_leaves_out_the_rest),
        WITH_RECORD(one_opening_is_told_and_plotted),
        WITH_RECORD(what_cannot_be_read_is_named),
        WITH_RECORD(service_is_noted),
        WITH_RECORD(a_replay_tells_the_same_or_the_step),
        WITH_RECORD(what_another_core_recorded_is_read_and_not_replayed),
        WITH_RECORD(the_steps_around_an_event_are_kept),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
