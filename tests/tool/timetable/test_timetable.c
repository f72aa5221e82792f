#include "plots/svg.h"
#include "support/check.h"
#include "support/tool/tool_run.h"
#include "tools/drawtender/base/csv.h"
#include "tools/drawtender/session/script.h"
#include "tools/drawtender/timetable/timetable.h"
#include "tools/drawtender/timetable/timetable_json.h"
#include "tools/drawtender/timetable/timetable_words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define HEAD                                                                                       \
    "what,name,at,takes,track,from,until,boats\nopening,,,60s\nclosing,,,50s\napproach,,,10s\n"

static struct timetable timetable;

static void read_good(const char *text, uint32_t seed) {
    struct error error = {{0}, {0}};
    if (!timetable_read(&timetable, text, seed, NULL, &error)) {
        fail_msg("%s: %s", error.where, error.what);
    }
    assert_true(timetable_plan(&timetable, &error));
}

static void quotes_commas_and_blanks_are_read(void **state) {
    (void)state;
    struct csv csv = {.next = "# none\r\n\r\na, \"b, \"\"c\"\"\" ,,d e \r\n"};
    struct error error;
    assert_int_equal(csv_next(&csv, &error), CSV_RECORD);
    assert_int_equal(csv.line, 3);
    assert_int_equal(csv.fields, 4);
    assert_string_equal(csv.field[1], "b, \"c\"");
    assert_string_equal(csv.field[2], "");
    assert_string_equal(csv.field[3], "d e");
    assert_int_equal(csv_next(&csv, &error), CSV_END);
}

static void the_longest_record_fits_and_no_longer_one(void **state) {
    (void)state;
    char text[CSV_LINE_MAX + 2];
    memset(text, 'x', sizeof text);
    for (int i = 0; i < CSV_FIELDS_MAX - 1; i++) {
        text[2 * i] = ',';
    }
    text[CSV_LINE_MAX] = '\0';
    struct error error;
    struct csv csv = {.next = text};
    assert_int_equal(csv_next(&csv, &error), CSV_RECORD);
    assert_int_equal(csv.fields, CSV_FIELDS_MAX);
    text[CSV_LINE_MAX] = 'x';
    text[CSV_LINE_MAX + 1] = '\0';
    csv = (struct csv){.next = text};
    assert_int_equal(csv_next(&csv, &error), CSV_BAD);
}

static void mistakes_are_told_with_their_line(void **state) {
    (void)state;
    static const struct {
        const char *text, *where, *what;
    } cases[] = {
        {"", "", "empty"},
        {HEAD "boat-wait,,,2 min\nboat-wait,,,3 min\n", "line 6", "is already given in line 5"},
        {"what,when\n", "line 1", "no column 'when'"},
        {"what;name;at\n", "line 1", "separated by semicolons: wanted commas"},
        {"what,takes,what\n", "line 1", "twice"},
        {"what,name\n", "line 1", "wanted columns"},
        {HEAD "ferry,x,1:00,1s\n", "line 5", "'ferry' is not one of"},
        {HEAD "train,x,24:00,1s\n", "line 5", "at '24:00' is not a time"},
        {HEAD "train,x,12:60,1s\n", "line 5", "not a"},
        {HEAD "train,x,12,1s\n", "line 5", "not a"},
        {HEAD "train,x,12:00:,1s\n", "line 5", "not a"},
        {HEAD "train,x,12:00,1\n", "line 5", "takes: '1' has no unit"},
        {HEAD "train,\"x,12:00,1s\n", "line 5", "unclosed quote"},
        {HEAD "train,\"x\"y,12:00,1s\n", "line 5", "after a closing quote"},
        {HEAD "train,x\"y,12:00,1s\n", "line 5", "a quote in an unquoted"},
        {HEAD "boat,x\x01,12:00,1s\n", "line 5", "printable"},
        {HEAD "clock,,,2001\n", "line 5", "from 1 to 2000"},
        {HEAD "traffic,x,12:00,1s,,,11:00,3\n", "line 5", "until is not later"},
        {HEAD "traffic,x,12:00,1s,,,13:00,0\n", "line 5", "from 1 to 500"},
        {HEAD "traffic,x,12:00,1s,,,13:00,501\n", "line 5", "from 1 to 500"},
        {HEAD "train,a,1:00,1s,,west\ntrain,b,2:00,1s,,east\ntrain,c,3:00,1s,,north\n", "line 7",
         "2 ends"},
        {"what,takes\nopening,1s\nclosing,1s\n", "", "no line 'approach', and no --config to"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct error error;
        assert_false(timetable_read(&timetable, cases[i].text, 1, NULL, &error));
        assert_string_equal(error.where, cases[i].where);
        tool_run_says(error.what, cases[i].what);
    }
}

static void trains_that_meet_on_one_track_are_named(void **state) {
    (void)state;
    struct error error;
    const char *text = HEAD "train,Late,12:01,2 min,main\ntrain,Early,12:00,2 min,main\n";
    assert_true(timetable_read(&timetable, text, 1, NULL, &error));
    assert_false(timetable_plan(&timetable, &error));
    assert_string_equal(error.where, "line 5");
    tool_run_says(error.what, "Late comes while");
}

static void the_layouts_times_are_scaled_by_the_clock(void **state) {
    (void)state;
    read_good(HEAD "clock,,,6\nboat,Tug,0:30,90s\n", 1);
    assert_int_equal(timetable.plan.opening_s, 360);
    assert_int_equal(timetable.plan.closing_s, 300);
    assert_int_equal(timetable.plan.approach_s, 60);
    assert_int_equal(timetable.plan.opening[0].start, 1800 - 360);
    assert_int_equal(timetable.plan.opening[0].lined, 1800 + 90 + 300);
}

static void the_same_seed_brings_the_same_boats(void **state) {
    (void)state;
    const char *text = HEAD "traffic,sail,10:00,1 min,,,11:00,20\n";
    int32_t first[20];
    read_good(text, 5);
    for (int i = 0; i < 20; i++) {
        first[i] = timetable.boat_call[i].at;
        assert_in_range(first[i], 36000, 39599);
    }
    read_good(text, 5);
    for (int i = 0; i < 20; i++) {
        assert_int_equal(timetable.boat_call[i].at, first[i]);
    }
    read_good(text, 6);
    int different = 0;
    for (int i = 0; i < 20; i++) {
        different += timetable.boat_call[i].at != first[i];
    }
    assert_true(different > 10);
}

/* Whole numbers alone: these are the boats on every machine. */
static void the_boats_of_a_seed_are_known(void **state) {
    (void)state;
    static const char *const wanted[] = {"10:35:07", "13:48:08", "14:42:25", "14:43:20"};
    read_good(HEAD "traffic,sail,10:00,1 min,,,18:00,4\n", 1);
    for (int i = 0; i < 4; i++) {
        char at[16];
        timetable_clock(timetable.boat_call[i].at, at);
        assert_string_equal(at, wanted[i]);
    }
}

enum { TENTHS = 10 };

/* How many of 500 are in each tenth of the time: 50 and some. The greatest distance from 50 of ten
 * fair counts is below 24 in all but one of a thousand (3.6 standard deviations of 6.7). */
static void assert_even(const unsigned count[TENTHS]) {
    for (int i = 0; i < TENTHS; i++) {
        assert_in_range(count[i], 50 - 24, 50 + 24);
    }
}

static void boats_come_evenly_over_their_time(void **state) {
    (void)state;
    unsigned count[TENTHS] = {0};
    read_good(HEAD "train-delay,,,1 h\ntraffic,sail,10:00,1s,,,20:00,500\n", 1);
    for (int i = 0; i < 500; i++) {
        count[(timetable.boat_call[i].at - 36000) / 3600]++;
    }
    assert_even(count);
}

static void seeds_beside_one_another_have_nothing_in_common(void **state) {
    (void)state;
    unsigned count[TENTHS] = {0};
    for (uint32_t seed = 1; seed <= 500; seed++) {
        read_good(HEAD "traffic,sail,10:00,1s,,,20:00,1\n", seed);
        count[(timetable.boat_call[0].at - 36000) / 3600]++;
    }
    assert_even(count);
}

/* The text of one of the writers, to be freed. */
static char *written(void (*write)(FILE *out)) {
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);
    write(out);
    fclose(out);
    return text;
}

static void write_script(FILE *out) {
    const struct timetable_bridge bridge = {.bus = 3, .span = 1, .open = 3, .lined = 5};
    timetable_script(out, &timetable, &bridge);
}

static void write_diagram(FILE *out) {
    timetable_diagram(out, &timetable);
}

static char *give_script(void *context, const char *path, struct error *error) {
    (void)context;
    (void)path;
    (void)error;
    return written(write_script);
}

static void the_script_opens_and_closes_at_the_planned_times(void **state) {
    (void)state;
    read_good(
        HEAD
        "clock,,,2\ntrain,Mail,13:00,1 min\nboat,Tug,12:00,90s\nboat,\"Barge, long\",14:00,5 min\n",
        1);
    struct script script;
    struct error error;
    assert_true(script_read(&script, "planned", give_script, NULL, &error));
    static const char *const wanted[] = {
        "",
        "INIT 0 TIME 2 1",
        "SET 0 TIME 1 11 57 0",
        "WAIT 3 FB 5 1 120",
        "WAIT 0 TIME 1 11 58 0",
        "Opening 1 of 2: for Tug",
        "SET 3 GA 1 1 1 -1",
        "WAIT 3 FB 3 1 180",
        "WAIT 0 TIME 1 12 1 30",
        "SET 3 GA 1 0 1 -1",
        "WAIT 3 FB 5 1 160",
        "WAIT 0 TIME 1 13 58 0",
        "Opening 2 of 2: for Barge, long",
    };
    assert_int_equal(script.steps, 18);
    for (size_t i = 0; i < sizeof wanted / sizeof wanted[0]; i++) {
        assert_string_equal(script.step[i].text, wanted[i]);
    }
    script_free(&script);
}

/* Every element that opens also closes, in order, and nothing but elements uses '<' and '&'. */
static void assert_is_well_formed(const char *svg) {
    char open[16][32];
    size_t depth = 0;
    for (const char *at = strchr(svg, '<'); at != NULL; at = strchr(at + 1, '<')) {
        size_t length = strcspn(at, ">");
        assert_int_equal(at[length], '>');
        if (at[1] == '?' || at[length - 1] == '/') {
            continue;
        }
        char name[32];
        size_t from = at[1] == '/' ? 2 : 1;
        snprintf(name, sizeof name, "%.*s", (int)strcspn(at + from, " />"), at + from);
        if (from == 1) {
            assert_true(depth < 16);
            memcpy(open[depth++], name, sizeof name);
        } else {
            assert_true(depth > 0);
            assert_string_equal(open[--depth], name);
        }
    }
    assert_int_equal(depth, 0);
}

static size_t count_of(const char *text, const char *words) {
    size_t count = 0;
    while ((text = strstr(text, words)) != NULL) {
        count++;
        text += strlen(words);
    }
    return count;
}

static void the_diagram_is_well_formed_and_shows_each_opening(void **state) {
    (void)state;
    read_good(HEAD "train,\"A <&> \"\"B\",12:00,2 min,main,west\ntrain,C,13:00,2 min,main,east\n"
                   "boat,Tug,12:30,90s\nboat,Barge,17:00,5 min\n",
              1);
    char *svg = written(write_diagram);
    assert_is_well_formed(svg);
    assert_int_equal(count_of(svg, "fill=\"#e4e4e4\""), 2);
    assert_int_equal(count_of(svg, ">Tug</text>"), 1);
    assert_int_equal(count_of(svg, ">bridge</text>"), 2); /* rows of four hours */
    assert_non_null(strstr(svg, "A &lt;&amp;&gt;"));
    assert_null(strstr(svg, "nan"));
    free(svg);
}

/* Where `key` stands before `name`, so many times back. */
static const char *before(const char *svg, const char *name, const char *key, int times) {
    const char *at = strstr(svg, name);
    assert_non_null(at);
    while (times > 0) {
        assert_true(--at > svg);
        times -= strncmp(at, key, strlen(key)) == 0;
    }
    return at;
}

/* The number behind it. */
static double number_before(const char *svg, const char *name, const char *key) {
    return strtod(before(svg, name, key, 1) + strlen(key), NULL);
}

static double height_of(const char *svg, const char *name) {
    return number_before(svg, name, " y=\"");
}

/* The run to the bridge, from and to: the first of the four strokes before the name. */
static void run_of(const char *svg, const char *name, struct svg_at run[2]) {
    const char *at = before(svg, name, "<path", 4);
    assert_int_equal(
        sscanf(at, "<path d=\"M%lf %lfL%lf %lf", &run[0].x, &run[0].y, &run[1].x, &run[1].y), 4);
}

static void assert_beside_its_run(const char *svg, const char *name) {
    double x = number_before(svg, name, " x=\"");
    double foot = height_of(svg, name);
    struct svg_at run[2];
    run_of(svg, name, run);
    for (int letters = 0; letters <= 7; letters += 7) { /* foot and head of it */
        double part = (foot - letters - run[0].y) / (run[1].y - run[0].y);
        assert_true(x > run[0].x + fmin(fmax(part, 0), 1) * (run[1].x - run[0].x));
    }
}

static void a_name_stands_beside_the_line_and_not_across_it(void **state) {
    (void)state;
    static const char *const calls[] = {
        HEAD "train,Nan,12:30,2 min,,west\n", HEAD "boat,Nan,12:30,2 min\n",
        HEAD "train,Ed,11:00,1 s,,west\ntrain,Nan,12:30,2 min,,east\n"};
    for (size_t i = 0; i < sizeof calls / sizeof calls[0]; i++) {
        read_good(calls[i], 1);
        char *svg = written(write_diagram);
        assert_beside_its_run(svg, ">Nan<");
        free(svg);
    }
}

static void names_of_boats_in_company_can_be_read(void **state) {
    (void)state;
    read_good(HEAD "boat,Tug,12:30,90s\nboat,Barge,12:30,5 min\nboat,Gig,12:30,1 min\n", 1);
    char *svg = written(write_diagram);
    double tug = height_of(svg, ">Tug<");
    double barge = height_of(svg, ">Barge<");
    double gig = height_of(svg, ">Gig<");
    assert_true(barge - tug >= 7 && gig - barge >= 7); /* their letters are 7 high */
    free(svg);
}

static void boats_that_wait_too_long_are_conflicts(void **state) {
    (void)state;
    read_good(HEAD "train-delay,,,5s\nboat-wait,,,2 min\n"
                   "train,A,12:00,4 min\ntrain,B,12:05,4 min\nboat,Tug,12:01,90s\n",
              1);
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);
    size_t conflicts = timetable_conflicts(out, &timetable);
    fclose(out);
    assert_int_equal(conflicts, 1);
    assert_string_equal(text, "conflict: Tug comes at 12:01:00 and cannot pass before 12:10:00; "
                              "trains in that time: A, B\n");
    free(text);
    timetable.boat_wait_s = 9 * 60;
    out = open_memstream(&text, &size);
    assert_int_equal(timetable_conflicts(out, &timetable), 0);
    fclose(out);
    free(text);
}

static void a_conflict_names_some_trains_and_counts_the_others(void **state) {
    (void)state;
    read_good(HEAD "boat-wait,,,2 min\nboat,Tug,12:01,90s\n"
                   "train,A,12:00,2 min\ntrain,B,12:02,2 min\ntrain,C,12:04,2 min\n"
                   "train,D,12:06,2 min\ntrain,E,12:08,2 min\ntrain,F,12:10,2 min\n"
                   "train,G,12:12,2 min\ntrain,H,12:14,2 min\n",
              1);
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);
    assert_int_equal(timetable_conflicts(out, &timetable), 1);
    fclose(out);
    assert_non_null(strstr(text, "trains in that time: A, B, C, D, E, F and 2 more\n"));
    free(text);
}

static void a_spreadsheets_mark_is_passed_over(void **state) {
    (void)state;
    read_good("\xef\xbb\xbf" HEAD "boat,Tug,12:01,90s\n", 1);
    assert_int_equal(timetable.plan.boats, 1);
}

static const cJSON *row(const cJSON *object, const char *list, int index) {
    const cJSON *found = cJSON_GetArrayItem(cJSON_GetObjectItem(object, list), index);
    assert_non_null(found);
    return found;
}

static double number_of(const cJSON *object, const char *name) {
    return cJSON_GetNumberValue(cJSON_GetObjectItem(object, name));
}

static const char *text_of(const cJSON *object, const char *name) {
    const char *text = cJSON_GetStringValue(cJSON_GetObjectItem(object, name));
    assert_non_null(text);
    return text;
}

static void programs_get_the_plan_as_json(void **state) {
    (void)state;
    read_good(HEAD "clock,,,2\ntrain-delay,,,2 min\nboat-wait,,,30s\n"
                   "train,A,12:00,4 min\ntrain,B,12:05,4 min\nboat,Tug,12:01,90s\n",
              1);
    cJSON *object = timetable_json(&timetable);
    const cJSON *opening = cJSON_GetObjectItem(cJSON_GetObjectItem(object, "times"), "opening");
    assert_true(number_of(opening, "layout_s") == 60);
    assert_true(number_of(opening, "model_s") == 120);
    assert_string_equal(text_of(opening, "source"), "line 2 of the timetable");
    assert_string_equal(text_of(row(object, "openings", 0), "begins"), "12:09:00");
    assert_string_equal(text_of(row(object, "openings", 0), "open"), "12:11:00");
    assert_string_equal(text_of(row(object, "openings", 0), "lined"), "12:14:10");
    assert_string_equal(text_of(row(object, "trains", 1), "name"), "B");
    assert_true(number_of(row(object, "trains", 1), "delay_s") == 0);
    const cJSON *tug = row(object, "boats", 0);
    assert_string_equal(text_of(tug, "at"), "12:01:00");
    assert_true(number_of(tug, "wait_s") == 600);
    assert_true(number_of(tug, "opening") == 1);
    assert_true(cJSON_IsTrue(cJSON_GetObjectItem(tug, "is_conflict")));
    cJSON_Delete(object);

    struct tool_run made = {0};
    tool_run_words(&made, "plan " SOURCE_DIR "/config/evening-timetable.csv --json");
    object = cJSON_ParseWithOpts(made.out, NULL, true); /* one, and nothing behind it */
    assert_non_null(object);
    assert_string_equal(text_of(object, "outcome"), "done");
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItem(object, "boats")), 6);
    cJSON_Delete(object);
    tool_run_ends(made, OUTCOME_DONE, "", "");
}

static void the_example_is_planned(void **state) {
    (void)state;
    struct tool_run made = {0};
    tool_run_words(&made, "plan " SOURCE_DIR "/config/evening-timetable.csv --seed 2");
    tool_run_says(made.out, "Dredger, Ketch Adele");
    tool_run_ends(made, OUTCOME_DONE, "4 trains, 6 boats, ", "");
    made = (struct tool_run){0};
    tool_run_words(&made, "plan " SOURCE_DIR "/config/nowhere.csv");
    tool_run_ends(made, OUTCOME_CONFIGURATION, "", "nowhere.csv: No such file");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quotes_commas_and_blanks_are_read),
        cmocka_unit_test(the_longest_record_fits_and_no_longer_one),
        cmocka_unit_test(mistakes_are_told_with_their_line),
        cmocka_unit_test(trains_that_meet_on_one_track_are_named),
        cmocka_unit_test(the_layouts_times_are_scaled_by_the_clock),
        cmocka_unit_test(the_same_seed_brings_the_same_boats),
        cmocka_unit_test(the_boats_of_a_seed_are_known),
        cmocka_unit_test(boats_come_evenly_over_their_time),
        cmocka_unit_test(seeds_beside_one_another_have_nothing_in_common),
        cmocka_unit_test(the_script_opens_and_closes_at_the_planned_times),
        cmocka_unit_test(the_diagram_is_well_formed_and_shows_each_opening),
        cmocka_unit_test(a_name_stands_beside_the_line_and_not_across_it),
        cmocka_unit_test(names_of_boats_in_company_can_be_read),
        cmocka_unit_test(boats_that_wait_too_long_are_conflicts),
        cmocka_unit_test(a_conflict_names_some_trains_and_counts_the_others),
        cmocka_unit_test(a_spreadsheets_mark_is_passed_over),
        cmocka_unit_test(programs_get_the_plan_as_json),
        cmocka_unit_test(the_example_is_planned),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
