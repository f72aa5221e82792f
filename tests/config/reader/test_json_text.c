/* JSON text: limits, and complaints with line and column. */
#include "config/reader/json_text.h"
#include "support/check.h"

#include <stdlib.h>
#include <string.h>

static const struct {
    const char *text;
    const char *where;
    const char *words;
} refused[] = {
    {"", "line 1, column 1", "empty"},
    {"  \n ", "line 2, column 2", "ends too early"},
    {"{\n  \"a\": 1,\n  \"b\": [1, 2\n", "line 4, column 1", "ends too early"},
    {"{\n  \"a\": 1,\n}", "line 3, column 1", "extra comma"},
    {"{\n  \"a\": 1\n  \"b\": 2\n}", "line 3, column 3", "comma missing"},
    {"{\"a\": 12 deg}", "line 1, column 10", "not JSON from here: 'd'"},
    {"{\"a\": deg}", "line 1, column 7", "not JSON from here: 'd'"},
    {"{'a': 1}", "line 1, column 2", "double quotes"},
    {"{\n a: 1}", "line 2, column 2", "not JSON from here: 'a'"},
    {"{\"a\": 1, b: 2}", "line 1, column 10", "not JSON from here: 'b'"},
    {"[12deg]", "line 1, column 4", "not JSON from here: 'd'"},
    {"{\"a\": 1} {", "line 1, column 10", "more text after the end"},
    {"{\"a\": \"\xc2\xb0\", \"b\": x}", "line 1, column 17", "not JSON from here: 'x'"},
    {"{\"a\": 075}", "line 1, column 7", "leading zero"},
    {"{\"a\": 7.}", "line 1, column 8", "without decimals"},
    {"{\"a\": .5}", "line 1, column 7", "not JSON from here"},
    {"{\"a\": NaN}", "line 1, column 7", "not JSON from here"},
    {"{ // why\n}", "line 1, column 3", "comment"},
    {"{ # why\n}", "line 1, column 3", "comment"},
    {"{\"a\": \"x\ny\"}", "line 1, column 9", "closing quote"},
    {"{\"a\": \"\\u0000\"}", "line 1, column 8", "NUL"},
    {"{\"a\": \"\\q\"}", "line 1, column 8", "not JSON from here"},
    {"{\x01}", "line 1, column 2", "control character"},
    {"{\"a\": \"\xff\"}", "line 1, column 8", "not UTF-8"},
    {"{\"a\": \"\xc0\xaf\"}", "line 1, column 8", "not UTF-8"},         /* overlong, RFC 3629 */
    {"{\"a\": \"\xed\xa0\x80\"}", "line 1, column 8", "not UTF-8"},     /* a surrogate */
    {"{\"a\": \"\xf4\x90\x80\x80\"}", "line 1, column 8", "not UTF-8"}, /* beyond U+10FFFF */
    {"{\"a\": \"\xe2\x82", "line 1, column 8", "not UTF-8"},
};

static void what_is_no_json_is_refused_with_line_and_column(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        struct error error = {"", ""};
        /* A copy of its very size, so that a look beyond the end is seen. */
        size_t length = strlen(refused[i].text);
        char *exact = malloc(length > 0 ? length : 1);
        memcpy(exact, refused[i].text, length);
        cJSON *tree = json_text_parse(exact, length, &error);
        free(exact);
        if (tree != NULL || strcmp(error.where, refused[i].where) != 0 ||
            strstr(error.what, refused[i].words) == NULL) {
            fail_msg("%lu: %s: %s", (unsigned long)i, error.where, error.what);
        }
    }
}

static void nul_byte_is_refused(void **state) {
    (void)state;
    struct error error;
    assert_null(json_text_parse("{\0}", 3, &error));
    assert_string_equal(error.where, "line 1, column 2");
}

static void good_text_is_taken(void **state) {
    (void)state;
    static const char text[] =
        "\n{ \"a\": [0, -0.5, 1e3, 10], \"b\": \"\xc2\xb0 \\u00b0 \\\"/\\\\\" }\n\n";
    struct error error;
    cJSON *tree = json_text_parse(text, sizeof text - 1, &error);
    assert_non_null(tree);
    assert_string_equal(cJSON_GetObjectItem(tree, "b")->valuestring, "\xc2\xb0 \xc2\xb0 \"/\\");
    cJSON_Delete(tree);
}

static cJSON *parse_nested(unsigned depth, struct error *error) {
    char *text = malloc(2 * depth);
    assert_non_null(text);
    memset(text, '[', depth);
    memset(text + depth, ']', depth);
    cJSON *tree = json_text_parse(text, 2 * depth, error);
    free(text);
    return tree;
}

static void nesting_has_a_limit(void **state) {
    (void)state;
    struct error error;
    cJSON *tree = parse_nested(JSON_DEPTH_MAX, &error);
    assert_non_null(tree);
    cJSON_Delete(tree);
    assert_null(parse_nested(JSON_DEPTH_MAX + 1, &error));
    assert_non_null(strstr(error.what, "nested too deeply"));
    assert_string_equal(error.where, "line 1, column 17");
    assert_null(parse_nested(400000, &error));
}

static void length_has_a_limit(void **state) {
    (void)state;
    struct error error;
    char *text = malloc(JSON_TEXT_MAX + 1);
    assert_non_null(text);
    memset(text, ' ', JSON_TEXT_MAX + 1);
    memcpy(text, "{}", 2);
    cJSON *tree = json_text_parse(text, JSON_TEXT_MAX, &error);
    assert_non_null(tree);
    cJSON_Delete(tree);
    assert_null(json_text_parse(text, JSON_TEXT_MAX + 1, &error));
    assert_non_null(strstr(error.what, "1 MiB"));
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_no_json_is_refused_with_line_and_column),
        cmocka_unit_test(nul_byte_is_refused),
        cmocka_unit_test(good_text_is_taken),
        cmocka_unit_test(nesting_has_a_limit),
        cmocka_unit_test(length_has_a_limit),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
