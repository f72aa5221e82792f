#include "config/changes.h"
#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void write_file(const char *text, char *path, size_t size, const char *name) {
    snprintf(path, size, BINARY_DIR "/changes-%d-%s.json", (int)getpid(), name);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fputs(text, file);
    fclose(file);
}

/* Returns what is printed of the two texts, to be freed, and how many differences there are. */
static char *changes(const char *before, const char *after, size_t *count) {
    char *text = NULL;
    size_t size;
    char one[512];
    char other[512];
    struct error error;
    write_file(before, one, sizeof one, "before");
    write_file(after, other, sizeof other, "after");
    FILE *out = open_memstream(&text, &size);
    assert_true(changes_print(out, one, other, count, &error));
    fclose(out);
    remove(one);
    remove(other);
    return text;
}

static void each_difference_is_told_with_its_place(void **state) {
    (void)state;
    static const struct {
        const char *before, *after, *told;
        size_t count;
    } cases[] = {
        {"{\"a\": 1, \"b\": [2]}", "{ \"b\":[2],\n\"a\":1 }", "", 0},
        {"{\"a\": {\"b c\": \"1 m\"}}", "{\"a\": {\"b c\": \"2 m\"}}",
         "/a/b c: \"1 m\" becomes \"2 m\"\n", 1},
        {"{\"a\": 1}", "{\"b\": 1}", "/a: removed: 1\n/b: added: 1\n", 2},
        {"{\"a\": [1, 2]}", "{\"a\": [1, 3, 4]}", "/a/1: 2 becomes 3\n/a/2: added: 4\n", 2},
        {"{\"a\": [1, 2]}", "{\"a\": [1]}", "/a/1: removed: 2\n", 1},
        {"{\"a\": [1]}", "{\"a\": {\"0\": 1}}", "/a: [1] becomes {\"0\":1}\n", 1},
        {"[]", "{}", "the whole file: [] becomes {}\n", 1},
        {"{\"a\": false}", "{\"a\": null}", "/a: false becomes null\n", 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        size_t count = 99;
        char *text = changes(cases[i].before, cases[i].after, &count);
        assert_string_equal(text, cases[i].told);
        assert_int_equal(count, cases[i].count);
        free(text);
    }
}

static void a_long_value_is_cut(void **state) {
    (void)state;
    size_t count;
    char *text = changes("{}",
                         "{\"a\": \"0123456789012345678901234567890123456789"
                         "01234567890123456789012345678901234567890123456789\"}",
                         &count);
    assert_non_null(strstr(text, "...\n"));
    assert_true(strlen(text) < 80);
    free(text);
}

static void what_cannot_be_read_is_told(void **state) {
    (void)state;
    size_t count;
    struct error error;
    assert_false(changes_print(stdout, "/nowhere.json", "/nowhere.json", &count, &error));
    assert_string_equal(error.where, "/nowhere.json");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_difference_is_told_with_its_place),
        cmocka_unit_test(a_long_value_is_cut),
        cmocka_unit_test(what_cannot_be_read_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
