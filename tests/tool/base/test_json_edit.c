/* Changing single values of a configuration: text, difference, file. */
#include "config/config.h"
#include "support/check.h"
#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/base/json_edit.h"
#include "tools/drawtender/base/text_diff.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static void one_value_changes_and_nothing_else(void **state) {
    (void)state;
    static const struct {
        const char *text, *pointer, *value, *want; /* NULL: an error */
    } cases[] = {
        {"{\"a\": 1, \"b\": 2}", "/b", "3", "{\"a\": 1, \"b\": 3}"},
        {"{ \"a\":\t[1 ,{\"b\":\"x\"}] }", "/a/1/b", "\"y\"", "{ \"a\":\t[1 ,{\"b\":\"y\"}] }"},
        {"{\"a\": {\"b\": [1, {\"c\": 2}]}, \"c\": 5}\n", "/c", "6",
         "{\"a\": {\"b\": [1, {\"c\": 2}]}, \"c\": 6}\n"},
        {"{\"x}\": \"{\\\"\", \"b\": true}", "/b", "false", "{\"x}\": \"{\\\"\", \"b\": false}"},
        {"{\n  \"a\": 1\n}\n", "/b", "2", "{\n  \"b\": 2,\n  \"a\": 1\n}\n"},
        {"{\"a\": {}}", "/a/b", "2", "{\"a\": { \"b\": 2 }}"},
        {"{\"z\": 1}", "/a/b c", "2", "{\"a\": { \"b c\": 2 },\"z\": 1}"},
        {"{\"a\": [1]}", "/a/1", "2", NULL},
        {"{\"a\": [1]}", "/a/x", "2", NULL},
        {"{\"a\": 1}", "/a/b", "2", NULL},
        {"{\"a\": {\"b\": 1}, \"b\": 7}", "/a", "null", "{\"a\": null, \"b\": 7}"},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct error error = {.what = ""};
        char *made = json_edit_set(cases[i].text, cases[i].pointer, cases[i].value, &error);
        if (cases[i].want == NULL) {
            assert_null(made);
            assert_true(error.what[0] != '\0');
        } else {
            assert_string_equal(made, cases[i].want);
        }
        free(made);
    }
}

/* The example of the built-in demo, with values that were not written in it. */
static void a_real_configuration_takes_the_new_value(void **state) {
    (void)state;
    struct error error;
    char *text = file_text_read(SOURCE_DIR "/config/kettle-narrows.json", &error);
    char *made = json_edit_set(text, "/bridges/0/motion/travel limit", "\"77 s\"", &error);
    struct config *config = calloc(1, sizeof *config);
    struct config_report *report = calloc(1, sizeof *report);
    assert_true(config_read_text(made, strlen(made), config, report));
    assert_int_equal(config->net.bridge[0].setup.motion.travel_limit_us, 77000000);
    free(config);
    free(report);
    free(text);
    free(made);
}

static void difference_names_lines_gone_and_new(void **state) {
    (void)state;
    static const struct {
        const char *before, *after, *want;
        size_t count;
    } cases[] = {
        {"a\nb\nc\n", "a\nb\nc\n", "", 0},      {"a\nb\nc\n", "a\nB\nc\n", "- 2: b\n+ 2: B\n", 2},
        {"a\nc\n", "a\nb\nc\n", "+ 2: b\n", 1}, {"a\nb\nc", "a\nc", "- 2: b\n", 1},
        {"a\n", "a\nb\n", "+ 2: b\n", 1},       {"a\nb\n", "a\n", "- 2: b\n", 1},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        char *said = NULL;
        size_t size;
        FILE *out = open_memstream(&said, &size);
        assert_int_equal(text_diff_print(out, cases[i].before, cases[i].after), cases[i].count);
        fclose(out);
        assert_string_equal(said, cases[i].want);
        free(said);
    }
}

static void file_is_replaced_whole_and_keeps_its_mode(void **state) {
    (void)state;
    char folder[] = "/tmp/drawtender-edit-XXXXXX";
    assert_non_null(mkdtemp(folder));
    char path[64], link[64];
    snprintf(path, sizeof path, "%s/bridge.json", folder);
    snprintf(link, sizeof link, "%s/link.json", folder);
    struct error error;
    assert_true(file_text_replace(path, "one\n", &error));
    assert_int_equal(chmod(path, 0640), 0);
    assert_int_equal(symlink(path, link), 0);
    assert_true(file_text_replace(link, "two\n", &error));
    char *text = file_text_read(path, &error);
    assert_string_equal(text, "two\n");
    free(text);
    struct stat stat_of;
    assert_int_equal(lstat(path, &stat_of), 0);
    assert_true(S_ISREG(stat_of.st_mode));
    assert_int_equal(stat_of.st_mode & 07777, 0640);
    assert_int_equal(lstat(link, &stat_of), 0);
    assert_true(S_ISLNK(stat_of.st_mode));
    char nowhere[80];
    snprintf(nowhere, sizeof nowhere, "%s/no/such.json", folder);
    assert_false(file_text_replace(nowhere, "x", &error));
    assert_null(file_text_read(nowhere, &error));
    unlink(link);
    unlink(path);
    assert_int_equal(rmdir(folder), 0); /* nothing is left beside it */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_value_changes_and_nothing_else),
        cmocka_unit_test(a_real_configuration_takes_the_new_value),
        cmocka_unit_test(difference_names_lines_gone_and_new),
        cmocka_unit_test(file_is_replaced_whole_and_keeps_its_mode),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
