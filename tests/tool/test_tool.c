/* What every run of the tool has in common. */
#include "support/check.h"
#include "support/tool/tool_run.h"
#include "tools/drawtender/run.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[] = "/tmp/test_tool_XXXXXX";
static char timetable[64], linked[64];

static int set_up(void **state) {
    (void)state;
    assert_non_null(mkdtemp(folder));
    snprintf(timetable, sizeof timetable, "%s/day.csv", folder);
    snprintf(linked, sizeof linked, "%s/other.csv", folder);
    FILE *file = fopen(timetable, "w");
    assert_non_null(file);
    fputs("what,name,at,takes\nopening,,,60s\nclosing,,,60s\napproach,,,9s\n", file);
    assert_int_equal(fclose(file), 0);
    return symlink(timetable, linked);
}

static int tear_down(void **state) {
    (void)state;
    unlink(linked);
    unlink(timetable);
    return rmdir(folder);
}

static void nothing_is_written_over_what_is_read(void **state) {
    (void)state;
    static const struct {
        const char *verb, *option;
    } cases[] = {{"plan", "--script"}, {"plan", "--diagram"}, {"replay", "--keep"}};
    const char *const names[] = {timetable, linked};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        for (size_t n = 0; n < 2; n++) {
            char words[256];
            snprintf(words, sizeof words, "%s %s %s %s", cases[i].verb, timetable, cases[i].option,
                     names[n]);
            struct tool_run run = {.port = 1};
            tool_run_words(&run, words);
            tool_run_says(run.err, "would overwrite");
            tool_run_ends(run, OUTCOME_USAGE, "", cases[i].option);
        }
    }
    char words[256];
    snprintf(words, sizeof words, "plan %s --script %s/new --diagram %s/new", timetable, folder,
             folder);
    struct tool_run run = {.port = 1};
    tool_run_words(&run, words);
    tool_run_ends(run, OUTCOME_USAGE, "", "name the same file");
    struct tool_run whole = {.port = 1};
    snprintf(words, sizeof words, "plan %s", timetable);
    tool_run_words(&whole, words);
    tool_run_ends(whole, OUTCOME_DONE, "0 boats", "");
}

/* Writing to /dev/full fails as on a full disk (full(4)). */
static void a_report_that_is_not_all_written_is_an_error(void **state) {
    (void)state;
    static const char *const options[] = {"--quiet", NULL, "--json"};
    for (size_t i = 0; i < sizeof options / sizeof options[0]; i++) {
        char *words[] = {"plan", timetable, (char *)options[i]};
        struct tool_options parsed;
        struct error error;
        assert_true(options_parse(options[i] != NULL ? 3 : 2, words, &parsed, &error));
        char said[256] = "";
        struct tool_streams streams = {.out = fopen("/dev/full", "w"),
                                       .err = fmemopen(said, sizeof said, "w")};
        assert_non_null(streams.out);
        enum outcome outcome = run_verb(&parsed, &streams);
        fclose(streams.out);
        fclose(streams.err);
        bool is_quiet = i == 0; /* then there is nothing to write */
        assert_int_equal(outcome, is_quiet ? OUTCOME_DONE : OUTCOME_UNWRITTEN);
        assert_true(is_quiet || strstr(said, "could be written") != NULL);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_written_over_what_is_read),
        cmocka_unit_test(a_report_that_is_not_all_written_is_an_error),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
