#include "support/check.h"
#include "support/config/config_text.h"
#include "tools/drawtender/base/duration.h"
#include "tools/drawtender/options.h"
#include "tools/drawtender/verbs/help.h"
#include "tools/drawtender/verbs/verbs.h"

#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static bool parse(char *const words[], struct tool_options *options, struct error *error) {
    int count = 0;
    while (words[count] != NULL) {
        count++;
    }
    return options_parse(count, words, options, error);
}

static void nothing_given_means_the_defaults(void **state) {
    (void)state;
    struct tool_options options;
    char *const words[] = {NULL};
    assert_true(parse(words, &options, NULL));
    assert_string_equal(options.host, "127.0.0.1");
    assert_int_equal(options.port, 4303); /* IANA's registry, service name srcp */
    assert_int_equal(options.bus, 1);
    assert_null(options.verb);
    assert_true(options.has_limit);
    assert_false(options.has_limit_option);
}

static void options_stand_anywhere(void **state) {
    (void)state;
    struct tool_options options;
    char *const words[] = {"--json", "raise",     "--port=5000", "--limit", "90s", "--bus",
                           "3",      "--no-wait", "--quiet",     "--host",  "::1", NULL};
    assert_true(parse(words, &options, NULL));
    assert_string_equal(options.verb, "raise");
    assert_int_equal(options.words, 0);
    assert_string_equal(options.host, "::1");
    assert_int_equal(options.port, 5000);
    assert_int_equal(options.bus, 3);
    assert_int_equal(options.limit_ms, 90000);
    assert_true(options.is_json && options.is_quiet && options.is_no_wait);
}

static void a_negative_number_is_a_word(void **state) {
    (void)state;
    struct tool_options options;
    char *const words[] = {"send", "SET", "1", "GA", "1", "0", "1", "-1", "--", "--json", NULL};
    assert_true(parse(words, &options, NULL));
    assert_int_equal(options.words, 8);
    assert_string_equal(options.word[6], "-1");
    assert_string_equal(options.word[7], "--json");
    assert_false(options.is_json);
}

static void wrong_options_name_what_was_found(void **state) {
    (void)state;
    static const struct {
        char *const words[4];
        const char *where, *what;
    } cases[] = {
        {{"--colour", NULL}, "", "'--colour'"},
        {{"--port", NULL}, "--port", "needs a value: --port NUMBER"},
        {{"--no-wiat", NULL}, "", "did you mean '--no-wait'?"},
        {{"--port", "0", NULL}, "--port", "'0'"},
        {{"--port", "65536", NULL}, "--port", "65535"},
        {{"--port", "+1", NULL}, "--port", "'+1'"},
        {{"--port", "1x", NULL}, "--port", "'1x'"},
        {{"--port", "99999999999999999999999", NULL}, "--port", "65535"},
        {{"--bus=0", NULL}, "--bus", "'0'"},
        {{"--bus=-1", NULL}, "--bus", "'-1'"},
        {{"--host=", NULL}, "--host", "address"},
        {{"--plots=", NULL}, "--plots", "folder"},
        {{"--json=yes", NULL}, "--json", "takes no value"},
        {{"--limit", "60", NULL}, "--limit", "has no unit"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct tool_options options;
        struct error error;
        assert_false(parse(cases[i].words, &options, &error));
        assert_string_equal(error.where, cases[i].where);
        assert_non_null(strstr(error.what, cases[i].what));
    }
}

static void an_option_that_the_verb_would_pass_over_is_refused(void **state) {
    (void)state;
    static const struct {
        char *const words[5];
        const char *where, *what;
    } cases[] = {
        {{"raise", "--dry-run", NULL},
         "--dry-run",
         "'raise' does not take this option; it is for perform"},
        {{"--dry-run", "emergency-stop", NULL}, "--dry-run", "for perform"},
        {{"state", "--csv", NULL}, "--csv", "for events, logbook, opening"},
        {{"logbook", "record.db", "--keep", "a.steps", NULL}, "--keep", "for replay"},
    };
    struct tool_options options;
    struct error error;
    for (size_t i = 0; i < COUNT(cases); i++) {
        assert_false(parse(cases[i].words, &options, &error));
        assert_string_equal(error.where, cases[i].where);
        assert_non_null(strstr(error.what, cases[i].what));
    }
    char *const fine[][5] = {{"perform", "a.script", "--dry-run", NULL},
                             {"opening", "record.db", "3", "--csv", NULL},
                             {"stop", "--no-wait", "--limit=5s", NULL},
                             {"raise", "--dry-run", "--help", NULL}};
    for (size_t i = 0; i < COUNT(fine); i++) {
        assert_true(parse(fine[i], &options, &error));
    }
}

static void a_time_that_ends_before_it_begins_is_refused(void **state) {
    (void)state;
    struct tool_options options;
    struct error error;
    char *const turned[] = {"logbook", "r.db", "--to", "2026-02-01", "--from", "2026-03-01", NULL};
    assert_false(parse(turned, &options, &error));
    assert_string_equal(error.where, "--to");
    assert_non_null(strstr(error.what, "later than --from"));
    char *const day[] = {"replay", "r.db", "--from", "2026-03-01", "--to", "2026-03-01", NULL};
    assert_false(parse(day, &options, &error));
    assert_non_null(strstr(error.what, "a date alone"));
    char *const fine[] = {"plan", "t.csv", "--from", "2026-03-01", "--to", "2026-03-02", NULL};
    assert_true(parse(fine, &options, &error));
}

static bool parse_lcc(char *value, struct tool_options *options) {
    struct error error;
    char *const words[] = {"follow", "--lcc", value, "bridge.json", NULL};
    return parse(words, options, &error);
}

static void a_listener_of_lcc_is_a_port_with_or_without_a_host(void **state) {
    (void)state;
    static const struct {
        char *value;
        const char *host;
    } good[] = {{"12021", ""},
                {"192.168.7.20:12021", "192.168.7.20"},
                {"hub:12021", "hub"},
                {"[fe80::7]:12021", "fe80::7"},
                {"::1:12021", "::1"}};
    struct tool_options options;
    for (size_t i = 0; i < COUNT(good); i++) {
        assert_true(parse_lcc(good[i].value, &options));
        assert_string_equal(options.lcc.host, good[i].host);
        assert_int_equal(options.lcc.port, 12021);
    }
    char *const bad[] = {"", "hub", ":12021", "hub:", "hub:0", "hub:65536", "[::1]"};
    for (size_t i = 0; i < COUNT(bad); i++) {
        assert_false(parse_lcc(bad[i], &options));
    }
    char longest[OPTIONS_HOST_SIZE + 4];
    memset(longest, 'h', sizeof longest);
    memcpy(longest + OPTIONS_HOST_SIZE - 1, ":99", sizeof ":99");
    assert_true(parse_lcc(longest, &options));
    assert_int_equal(strlen(options.lcc.host), OPTIONS_HOST_SIZE - 1);
    memcpy(longest + OPTIONS_HOST_SIZE - 1, "h:9", sizeof "h:9");
    assert_false(parse_lcc(longest, &options));
}

static void a_file_without_a_listener_is_refused(void **state) {
    (void)state;
    struct tool_options options;
    struct error error;
    char *const words[] = {"follow", "bridge.json", NULL};
    assert_false(parse(words, &options, &error));
    assert_non_null(strstr(error.what, "only with --lcc"));
}

static void too_many_words_are_an_error(void **state) {
    (void)state;
    char *words[OPTIONS_WORDS_MAX + 3];
    for (size_t i = 0; i < OPTIONS_WORDS_MAX + 2; i++) {
        words[i] = "x";
    }
    words[OPTIONS_WORDS_MAX + 2] = NULL;
    struct tool_options options;
    struct error error;
    assert_false(parse(words, &options, &error));
    words[OPTIONS_WORDS_MAX + 1] = NULL;
    assert_true(parse(words, &options, &error));
}

static void times_are_read_as_people_write_them(void **state) {
    (void)state;
    static const struct {
        const char *text;
        uint32_t ms;
    } cases[] = {{"60s", 60000},  {"1.5 min", 90000},   {"500 ms", 500}, {"1ms", 1},
                 {"2h", 7200000}, {"168 h", 604800000}, {"0.001s", 1}};
    for (size_t i = 0; i < COUNT(cases); i++) {
        uint32_t ms = 0;
        assert_true(duration_parse(cases[i].text, &ms, NULL));
        assert_int_equal(ms, cases[i].ms);
    }
}

static void wrong_times_change_nothing(void **state) {
    (void)state;
    static const char *const texts[] = {
        "",     "s",     "60",    "60 m", "-1s",  "1..5s", "0s",
        "169h", "inf s", "0x10s", " 5s",  "5 s ", ".s",    "11111111111111111111111111111111s"};
    for (size_t i = 0; i < COUNT(texts); i++) {
        uint32_t ms = 42;
        struct error error;
        assert_false(duration_parse(texts[i], &ms, &error));
        assert_int_equal(ms, 42);
        assert_true(error.what[0] != '\0');
    }
}

/* A verb is a line in verb_id.h, a row in verbs.c and a function, which the linker misses. */
static void every_verb_has_a_whole_row(void **state) {
    (void)state;
    for (unsigned i = 0; i < VERBS; i++) {
        const struct verb *verb = &verbs[i];
        if (verb->form[0].what == NULL) {
            fail_msg("%s has no whole row in tools/drawtender/verbs/verbs.c", verb_names[i]);
        }
        assert_int_equal(verb_id_find(verb_names[i]), i);
        assert_true(verb->words_min <= verb->words_max);
        for (unsigned k = 0; k < VERB_EXAMPLES && verb->example[k] != NULL; k++) {
            assert_memory_equal(verb->example[k], verb_names[i], strlen(verb_names[i]));
        }
    }
}

static void every_option_has_a_whole_row(void **state) {
    (void)state;
    for (size_t i = 0; i < tool_options_table.rows; i++) {
        const struct option_row *row = &tool_options_table.row[i];
        assert_true(option_table_is_option(row->name));
        assert_true(row->what != NULL && row->what[0] != '\0');
        if ((row->argument != NULL) != (row->set != NULL)) {
            fail_msg("%s: tools/drawtender/options.c: a value and a setter go together", row->name);
        }
    }
}

static void the_tables_of_the_readme_are_current(void **state) {
    (void)state;
    static const char made[] = BINARY_DIR "/tools-tables.md";
    FILE *file = fopen(made, "w");
    assert_non_null(file);
    help_print_markdown(file);
    fclose(file);
    char *tables = config_text_of_file(made);
    char *readme = config_text_of_file(SOURCE_DIR "/tools/README.md");
    bool is_current = strstr(readme, tables) != NULL;
    free(tables);
    free(readme);
    if (!is_current) {
        fail_msg("the tables of tools/README.md are not current: put in %s", made);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_verb_has_a_whole_row), /* the others rely on it */
        cmocka_unit_test(nothing_given_means_the_defaults),
        cmocka_unit_test(options_stand_anywhere),
        cmocka_unit_test(a_negative_number_is_a_word),
        cmocka_unit_test(wrong_options_name_what_was_found),
        cmocka_unit_test(an_option_that_the_verb_would_pass_over_is_refused),
        cmocka_unit_test(a_time_that_ends_before_it_begins_is_refused),
        cmocka_unit_test(a_listener_of_lcc_is_a_port_with_or_without_a_host),
        cmocka_unit_test(a_file_without_a_listener_is_refused),
        cmocka_unit_test(too_many_words_are_an_error),
        cmocka_unit_test(times_are_read_as_people_write_them),
        cmocka_unit_test(wrong_times_change_nothing),
        cmocka_unit_test(every_option_has_a_whole_row),
        cmocka_unit_test(the_tables_of_the_readme_are_current),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
