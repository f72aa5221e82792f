/* The word that is asked for first, and the pass that it buys. */
#include "panel/http/token.h"
#include "support/check.h"
#include "support/panel/panel_stage.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char word[] = "marsh and harbor 1907";
static struct panel_stage stage;
static char path[64];

static void write_token(const char *bytes, size_t length) {
    snprintf(path, sizeof path, "/tmp/drawtender-test-XXXXXX");
    int fd = mkstemp(path);
    assert_true(fd >= 0);
    assert_int_equal(write(fd, bytes, length), (ssize_t)length);
    close(fd);
}

static int set_stage(void **state) {
    (void)state;
    write_token(word, strlen(word));
    panel_stage_init(&stage);
    snprintf(stage.config->panel.listener[0].token_file, PANEL_PATH_SIZE, "%s", path);
    panel_stage_open(&stage);
    return 0;
}

static int close_stage(void **state) {
    (void)state;
    panel_stage_close(&stage);
    unlink(path);
    return 0;
}

/* --- files */

static void tokens_are_trimmed_and_must_be_long_enough(void **state) {
    (void)state;
    static const struct {
        const char *bytes;
        size_t length;
        const char *word; /* NULL: refused */
    } cases[] = {
        {"0123456789abcdef", 16, "0123456789abcdef"},
        {"  0123456789abcdef \r\n\n", 21, "0123456789abcdef"},
        {"a word with blanks", 18, "a word with blanks"},
        {"0123456789abcde", 15, NULL},
        {"               \n\n\n", 18, NULL},
        {"", 0, NULL},
        {"0123456789abcdef\0ghijklmnop", 27, NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct token token;
        struct error error = {.what = ""};
        write_token(cases[i].bytes, cases[i].length);
        bool is_read = token_read(&token, path, &error);
        unlink(path);
        assert_int_equal(is_read, cases[i].word != NULL);
        if (is_read) {
            assert_string_equal(token.word, cases[i].word);
            assert_int_equal(strlen(token.pass), TOKEN_PASS_SIZE - 1);
        } else {
            assert_non_null(strstr(error.what, "wanted"));
        }
    }
}

static void a_token_beyond_the_limit_or_out_of_reach_is_an_error(void **state) {
    (void)state;
    struct token token;
    struct error error;
    char much[TOKEN_SIZE];
    memset(much, 'x', sizeof much);
    write_token(much, sizeof much);
    assert_false(token_read(&token, path, &error));
    unlink(path);
    assert_false(token_read(&token, path, &error));
    assert_non_null(strstr(error.what, "cannot be read"));
}

static void every_start_has_a_pass_of_its_own(void **state) {
    (void)state;
    struct token one;
    struct token other;
    struct error error;
    write_token(word, strlen(word));
    assert_true(token_read(&one, path, &error));
    assert_true(token_read(&other, path, &error));
    unlink(path);
    assert_string_not_equal(one.pass, other.pass);
}

/* --- tries */

static void ten_wrong_ones_close_the_door_for_a_minute(void **state) {
    (void)state;
    struct token token = {.is_needed = true, .word = "0123456789abcdef"};
    const uint64_t start = 5000000;
    for (unsigned i = 0; i < TOKEN_TRIES; i++) {
        assert_int_equal(token_try(&token, "0123456789abcdeX", start + i), TOKEN_WRONG);
    }
    assert_int_equal(token_try(&token, "0123456789abcdef", start + TOKEN_TRIES), TOKEN_WAIT);
    assert_int_equal(token_try(&token, "0123456789abcdef", start + TOKEN_WINDOW_US - 1),
                     TOKEN_WAIT);
    assert_int_equal(token_try(&token, "0123456789abcdef", start + TOKEN_WINDOW_US), TOKEN_RIGHT);
    assert_int_equal(token_try(&token, "0123456789abcdef0", start + TOKEN_WINDOW_US), TOKEN_WRONG);
    assert_int_equal(token_try(&token, "", start + TOKEN_WINDOW_US), TOKEN_WRONG);
}

static void a_pass_is_found_among_cookies(void **state) {
    (void)state;
    const struct token token = {.is_needed = true, .pass = "00112233445566778899aabbccddeeff"};
    static const struct {
        const char *cookies;
        bool has;
    } cases[] = {
        {"drawtender_4380=00112233445566778899aabbccddeeff", true},
        {"a=b; drawtender_4380=00112233445566778899aabbccddeeff", true},
        {"drawtender_4380=old; drawtender_4380=00112233445566778899aabbccddeeff; c=d", true},
        {"drawtender_4381=00112233445566778899aabbccddeeff", false},
        {"xdrawtender_4380=00112233445566778899aabbccddeeff", false},
        {"drawtender_4380=00112233445566778899aabbccddeefe", false},
        {"drawtender_4380=00112233445566778899aabbccddeeff0", false},
        {"drawtender_4380=00112233445566778899aabbccddeef", false},
        {"drawtender_4380=", false},
        {"drawtender_4380x00112233445566778899aabbccddeeff; a=b", false},
        {"drawtender_4380", false},
        {";;; ", false},
        {"", false},
        {NULL, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        if (token_has_pass(&token, cases[i].cookies, "drawtender_4380") != cases[i].has) {
            fail_msg("%s", cases[i].cookies);
        }
    }
}

/* --- over HTTP */

static void nothing_is_shown_before_the_token_but_the_page(void **state) {
    (void)state;
    static const char *const paths[] = {"/bridges", "/live", "/history?bus=1", "/plots/1/leaf.svg"};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        assert_int_equal(browse_get(&stage, paths[i], "")->code, 401);
        assert_int_equal(browse_get(&stage, paths[i], "Cookie: drawtender_4380=0\r\n")->code, 401);
    }
    assert_int_equal(browse_post(&stage, "/ask", "", "{\"bus\":1,\"ask\":\"stop\"}")->code, 401);
    assert_int_equal(stage.requests, 0);
    assert_int_equal(browse_get(&stage, "/", "")->code, 200);
}

static void the_token_buys_a_pass_that_no_script_sees(void **state) {
    (void)state;
    char cookie[256];
    char headers[300];
    char body[64];
    snprintf(body, sizeof body, "{\"token\":\"%s\"}", word);
    const struct browser *browser = browse_post(&stage, "/enter", "", body);
    assert_int_equal(browser->code, 204);
    assert_true(browser_header(browser, "Set-Cookie", cookie, sizeof cookie));
    assert_non_null(strstr(cookie, "; HttpOnly"));
    assert_non_null(strstr(cookie, "; SameSite=Strict"));
    assert_null(strstr(cookie, word));
    cookie[strcspn(cookie, ";")] = '\0';
    snprintf(headers, sizeof headers, "Cookie: %s\r\n", cookie);
    assert_int_equal(browse_get(&stage, "/bridges", headers)->code, 200);
    assert_int_equal(browse_post(&stage, "/ask", headers, "{\"bus\":1,\"ask\":\"stop\"}")->code,
                     200);
    /* A pass is no leave to skip the Origin. */
    char request[600];
    snprintf(request, sizeof request,
             "POST /ask HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
             "%sContent-Length: 22\r\n\r\n{\"bus\":1,\"ask\":\"stop\"}",
             headers);
    assert_int_equal(browse(&stage, request)->code, 403);
}

static void wrong_tokens_are_refused_and_then_not_even_heard(void **state) {
    (void)state;
    for (unsigned i = 0; i < TOKEN_TRIES; i++) {
        const struct browser *browser =
            browse_post(&stage, "/enter", "", "{\"token\":\"marsh and harbor 1908\"}");
        char cookie[8];
        assert_int_equal(browser->code, 403);
        assert_false(browser_header(browser, "Set-Cookie", cookie, sizeof cookie));
    }
    char body[64];
    snprintf(body, sizeof body, "{\"token\":\"%s\"}", word);
    assert_int_equal(browse_post(&stage, "/enter", "", body)->code, 429);
    assert_int_equal(browse_post(&stage, "/enter", "", "{\"token\":7}")->code, 400);
    assert_int_equal(browse_post(&stage, "/enter", "", "token")->code, 400);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tokens_are_trimmed_and_must_be_long_enough),
        cmocka_unit_test(a_token_beyond_the_limit_or_out_of_reach_is_an_error),
        cmocka_unit_test(every_start_has_a_pass_of_its_own),
        cmocka_unit_test(ten_wrong_ones_close_the_door_for_a_minute),
        cmocka_unit_test(a_pass_is_found_among_cookies),
        cmocka_unit_test_setup_teardown(nothing_is_shown_before_the_token_but_the_page, set_stage,
                                        close_stage),
        cmocka_unit_test_setup_teardown(the_token_buys_a_pass_that_no_script_sees, set_stage,
                                        close_stage),
        cmocka_unit_test_setup_teardown(wrong_tokens_are_refused_and_then_not_even_heard, set_stage,
                                        close_stage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
