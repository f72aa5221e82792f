/* The files of the page: part of the program, packed where that is wanted, sent once. */
#include "panel/http/page.h"
#include "support/check.h"
#include "support/panel/panel_stage.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct panel_stage stage;

static int set_stage(void **state) {
    (void)state;
    panel_stage_init(&stage);
    panel_stage_open(&stage);
    return 0;
}

static int close_stage(void **state) {
    (void)state;
    panel_stage_close(&stage);
    return 0;
}

/* The first load: all that there is. */
static void all_of_it_packed_is_below_150_kilobytes(void **state) {
    (void)state;
    size_t packed = 0;
    for (const struct page_file *file = page_files; file->name != NULL; file++) {
        packed += file->packed_length;
    }
    assert_true(packed < 150 * 1024);
}

static void the_index_is_the_file_as_it_was_when_this_was_built(void **state) {
    (void)state;
    char type[64];
    FILE *file = fopen(SOURCE_DIR "/daemon/panel/page/index.html", "rb");
    assert_non_null(file);
    char *text = calloc(1, 1 << 20);
    size_t length = fread(text, 1, 1 << 20, file);
    fclose(file);
    const struct browser *browser = browse_get(&stage, "/", "");
    assert_int_equal(browser->code, 200);
    assert_int_equal(browser->body_length, length);
    assert_memory_equal(browser->body, text, length);
    assert_true(browser_header(browser, "Content-Type", type, sizeof type));
    assert_string_equal(type, "text/html; charset=utf-8");
    free(text);
}

static bool is_packed(const char *headers) {
    char value[32];
    const struct browser *browser = browse_get(&stage, "/", headers);
    assert_int_equal(browser->code, 200);
    bool says_so = browser_header(browser, "Content-Encoding", value, sizeof value);
    /* RFC 1952, 2.3.1: ID1, ID2 */
    bool is_gzip = browser->body_length > 2 && memcmp(browser->body, "\x1f\x8b", 2) == 0;
    assert_int_equal(says_so, is_gzip);
    return is_gzip;
}

static void it_is_packed_for_whoever_takes_that(void **state) {
    (void)state;
    assert_false(is_packed(""));
    assert_true(is_packed("Accept-Encoding: gzip\r\n"));
    assert_true(is_packed("Accept-Encoding: br, gzip, deflate\r\n"));
    assert_true(is_packed("Accept-Encoding: gzip;q=0.5\r\n"));
    assert_false(is_packed("Accept-Encoding: gzip;q=0, br\r\n"));
    assert_false(is_packed("Accept-Encoding: gzip; q=0.0\r\n"));
    assert_false(is_packed("Accept-Encoding: br\r\n"));
}

static void what_a_browser_has_is_not_sent_again(void **state) {
    (void)state;
    char tag[64];
    char headers[128];
    const struct browser *browser = browse_get(&stage, "/", "");
    assert_true(browser_header(browser, "ETag", tag, sizeof tag));
    snprintf(headers, sizeof headers, "If-None-Match: \"other\", %s\r\n", tag);
    browser = browse_get(&stage, "/", headers);
    assert_int_equal(browser->code, 304);
    assert_int_equal(browse_get(&stage, "/", "If-None-Match: \"other\"\r\n")->code, 200);
}

static void types_go_by_the_ending(void **state) {
    (void)state;
    assert_string_equal(page_type("index.html"), "text/html; charset=utf-8");
    assert_string_equal(page_type("style.css"), "text/css; charset=utf-8");
    assert_string_equal(page_type("live.js"), "text/javascript; charset=utf-8");
    assert_string_equal(page_type("icon.svg"), "image/svg+xml");
    assert_string_equal(page_type("html"), "application/octet-stream");
}

int main(void) {
    static const struct CMUnitTest tests[] = {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_stage, close_stage)
        cmocka_unit_test(all_of_it_packed_is_below_150_kilobytes),
        STAGED(the_index_is_the_file_as_it_was_when_this_was_built),
        STAGED(it_is_packed_for_whoever_takes_that),
        STAGED(what_a_browser_has_is_not_sent_again),
        cmocka_unit_test(types_go_by_the_ending),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
