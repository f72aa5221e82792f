#include "support/check.h"
#include "support/config/config_text.h"
#include "tools/drawtender/session/script.h"
#include "tools/drawtender/session/script_line.h"
#include "tools/drawtender/session/script_words.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Files of a test: name, text; NULL at the end. */
static char *read_fake(void *context, const char *path, struct error *error) {
    const char *const *files = context;
    for (; files[0] != NULL; files += 2) {
        if (strcmp(files[0], path) == 0) {
            return strdup(files[1]);
        }
    }
    error_set(error, "", "not there");
    return NULL;
}

static void refused(const char *const *files, const char *where, const char *what) {
    struct script script;
    struct error error;
    assert_false(script_read(&script, files[0], read_fake, (void *)files, &error));
    assert_string_equal(error.where, where);
    if (strstr(error.what, what) == NULL) {
        fail_msg("'%s' is not in '%s'", what, error.what);
    }
}

static void an_editors_mark_is_passed_over(void **state) {
    (void)state;
    const char *files[] = {"a", "\xef\xbb\xbf# first\ninclude b\n", "b", "\xef\xbb\xbfsay hello\n",
                           NULL};
    struct script script;
    struct error error;
    assert_true(script_read(&script, files[0], read_fake, files, &error));
    assert_int_equal(script.steps, 1);
    assert_string_equal(script.step[0].text, "hello");
    script_free(&script);
}

static void lines_become_steps_with_their_places(void **state) {
    (void)state;
    const char *files[] = {"s/a.script",
                           "# first\n\n  SET 1 GA 1 1 1 -1\r\n"
                           "expect 1500 ms 1 FB 3 1 the span is open\n"
                           "expect 2min 1 GA 4 1 1 green for the river\n"
                           "pause 90s\nsay a boat\non failure go on",
                           NULL};
    struct script script;
    struct error error;
    /* No blank within the time of an expectation: the bus follows. */
    refused(files, "s/a.script:4", "'1500' has no unit");
    files[1] =
        "# first\n\n  SET 1 GA 1 1 1 -1\r\nexpect 1500ms 1 FB 3 1 the span is open\n"
        "expect 2min 1 GA 4 1 1 green for the river\npause 90s\nsay a boat\non failure go on";
    assert_true(script_read(&script, files[0], read_fake, files, &error));
    assert_int_equal(script.steps, 6);
    const struct script_step *step = script.step;
    assert_string_equal(step[0].text, "SET 1 GA 1 1 1 -1");
    assert_int_equal(step[0].number, 3);
    assert_int_equal(step[0].bus, 1);
    assert_string_equal(step[1].text, "WAIT 1 FB 3 1 2");
    assert_string_equal(step[1].label, "the span is open");
    assert_string_equal(step[2].text, "WAIT 1 GA 4 1 1 120");
    assert_string_equal(step[2].label, "green for the river");
    assert_int_equal(step[3].time_ms, 90000);
    assert_string_equal(step[4].text, "a boat");
    assert_int_equal(step[5].failure, SCRIPT_GO_ON);
    assert_int_equal(step[5].number, 8);
    script_free(&script);
}

static void repeats_and_includes_are_written_out(void **state) {
    (void)state;
    const char *files[] = {"s/a", "repeat 2\nsay one\nrepeat 3\ninclude b\nend\nend\n", "s/b",
                           "say two\n", NULL};
    struct script script;
    struct error error;
    assert_true(script_read(&script, "s/a", read_fake, files, &error));
    assert_int_equal(script.steps, 8);
    assert_string_equal(script.step[4].text, "one");
    assert_string_equal(script.step[7].file, "s/b");
    assert_false(script.step[1].is_again);
    assert_true(script.step[7].is_again);
    script_free(&script);
}

static void mistakes_are_told_with_file_and_line(void **state) {
    (void)state;
    static const struct {
        const char *text, *where, *what;
    } cases[] = {
        {"say x\nSET 1 GA 1 1 1\n", "a:2", "419 ERROR list too short"},
        {"SETT 1 GA 1\n", "a:1", "410 ERROR unknown command"},
        {"SET 1 GA 1 1 1 nine\n", "a:1", "412 ERROR wrong value"},
        {"SET 0 GA 1 1 1 -1\n", "a:1", "422"},
        {"WAIT 0 TIME 1 25 0 0\n", "a:1", "412"},
        {"expect 9s 1 FB 3 1\n", "a:1", "wanted: expect"},
        {"expect 9s 1 POWER ON x y\n", "a:1", "423"},
        {"expect 25h 1 FB 3 1 x\n", "a:1", "a day"},
        {"pause 5\n", "a:1", "no unit"},
        {"on failure explode\n", "a:1", "wanted: on failure"},
        {"on success stop\n", "a:1", "wanted: on failure"},
        {"repeat 0\nend\n", "a:1", "from 1 to 1000"},
        {"repeat 1001\nend\n", "a:1", "from 1 to 1000"},
        {"say x\nend\n", "a:2", "end without a repeat"},
        {"\nrepeat 2\nsay x\n", "a:2", "repeat without an end"},
        {"include gone\n", "a:1", "cannot read 'gone': not there"},
        {"include b\n", "b:2", "410"},
        {"say \x07\n", "a:1", "printable ASCII"},
        {"include a\n", "a:1", "nested more than 8 deep"},
        {"repeat 1000\nrepeat 21\nsay x\nend\nend\n", "a:5", "20000 steps"},
        {"include c\n", "d:8", "64 files"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *files[] = {"a",
                               cases[i].text,
                               "b",
                               "say x\nwrong\n",
                               "c",
                               "include d\ninclude d\ninclude d\ninclude d\ninclude d\n"
                               "include d\ninclude d\ninclude d\n",
                               "d",
                               "include e\ninclude e\ninclude e\ninclude e\n"
                               "include e\ninclude e\ninclude e\ninclude e\n",
                               "e",
                               "say x\n",
                               NULL};
        refused(files, cases[i].where, cases[i].what);
    }
}

static void a_line_has_at_most_999_characters(void **state) {
    (void)state;
    char text[SCRIPT_LINE_MAX + 8] = "say ";
    memset(text + 4, 'x', SCRIPT_LINE_MAX - 1 - 4);
    const char *files[] = {"a", text, NULL};
    struct script script;
    struct error error;
    assert_true(script_read(&script, "a", read_fake, files, &error));
    script_free(&script);
    text[SCRIPT_LINE_MAX - 1] = 'x';
    refused(files, "a:1", "longer than 999");
}

static void trials_change_nothing(void **state) {
    (void)state;
    static const char *const cases[][2] = {
        {"SET 1 GA 1 1 1 -1", "CHECK 1 GA 1 1 1 -1"},
        {"SET 1 POWER ON", "CHECK 1 POWER ON"},
        {"WAIT 1 FB 3 1 60", "GET 1 FB 3"},
        {"WAIT 1 GA 11 1 1 60", "GET 1 GA 11 1"},
        {"GET 1 POWER", "GET 1 POWER"},
        {"INIT 1 GA 99 P", "GET 1 DESCRIPTION GA 99"},
        {"TERM 1 FB 3", "GET 1 DESCRIPTION FB 3"},
        {"INIT 7 POWER", "GET 7 POWER"},
        {"TERM 1 LOCK GA 97", "GET 1 LOCK GA 97"},
        {"WAIT 0 TIME 1 2 3 4", "GET 0 TIME"},
        {"INIT 0 TIME 6 1", ""},
        {"TERM 0 SERVER", ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char trial[SCRIPT_LINE_MAX];
        script_line_trial(cases[i][0], trial);
        assert_string_equal(trial, cases[i][1]);
    }
}

/* Writes the form with a sample for each of its placeholders. */
static void fill_in(const char *form, char *line, size_t size) {
    static const char *const samples[][2] = {
        {"TIME", "9s"},  {"BUS", "1"},    {"ADDRESS", "3"}, {"PORT", "1"}, {"VALUE", "1"},
        {"LABEL", "so"}, {"WORDS", "so"}, {"FILE", "b"},    {"N", "2"},
    };
    size_t used = 0;
    for (; form[0] != '\0'; form += strspn(form, " ")) {
        size_t length = strcspn(form, " ");
        const char *word = NULL;
        for (size_t i = 0; i < sizeof samples / sizeof samples[0]; i++) {
            bool is_this =
                strlen(samples[i][0]) == length && strncmp(form, samples[i][0], length) == 0;
            word = is_this ? samples[i][1] : word;
        }
        used += (size_t)snprintf(line + used, size - used, "%.*s ",
                                 word != NULL ? (int)strlen(word) : (int)length,
                                 word != NULL ? word : form);
        form += length;
    }
}

static void every_line_of_the_table_is_taken(void **state) {
    (void)state;
    for (size_t i = 0; i < SCRIPT_WORDS; i++) {
        char line[128];
        char text[256];
        fill_in(script_words[i].form, line, sizeof line);
        snprintf(text, sizeof text, "%s%s\nsay x\n%s", i == SCRIPT_WORD_END ? "repeat 2\n" : "",
                 line, i == SCRIPT_WORD_REPEAT ? "end\n" : "");
        const char *files[] = {"a", text, "b", "say y\n", NULL};
        struct script script;
        struct error error;
        if (!script_read(&script, "a", read_fake, files, &error)) {
            fail_msg("%s: %s", script_words[i].form, error.what);
        }
        script_free(&script);
    }
}

static void the_table_of_the_page_is_current(void **state) {
    (void)state;
    char *table = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&table, &size);
    script_words_print_markdown(out);
    fclose(out);
    char *page = config_text_of_file(SOURCE_DIR "/tools/sessions.md");
    bool is_current = strstr(page, table) != NULL;
    free(page);
    if (!is_current) {
        fail_msg("the table of tools/sessions.md is not current; it should be:\n%s", table);
    }
    free(table);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_editors_mark_is_passed_over),
        cmocka_unit_test(lines_become_steps_with_their_places),
        cmocka_unit_test(repeats_and_includes_are_written_out),
        cmocka_unit_test(mistakes_are_told_with_file_and_line),
        cmocka_unit_test(a_line_has_at_most_999_characters),
        cmocka_unit_test(trials_change_nothing),
        cmocka_unit_test(every_line_of_the_table_is_taken),
        cmocka_unit_test(the_table_of_the_page_is_current),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
