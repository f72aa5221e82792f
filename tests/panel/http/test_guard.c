/* Who may ask what: every request that must not be served, and that each answer has its headers. */
#include "panel/http/guard.h"
#include "support/check.h"
#include "support/panel/panel_stage.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct panel_stage stage;

static int set_stage(void **state) {
    (void)state;
    panel_stage_init(&stage);
    return 0;
}

static int close_stage(void **state) {
    (void)state;
    panel_stage_close(&stage);
    return 0;
}

#define GET(path) "GET " path " HTTP/1.1\r\n"
#define HOST "Host: localhost\r\n"
#define POST_JSON "POST /ask HTTP/1.1\r\nContent-Type: application/json\r\nContent-Length: 24\r\n"
#define STOP "\r\n{\"bus\":1, \"ask\":\"stop\"} "

static void hosts_are_addresses_or_names_that_were_given(void **state) {
    (void)state;
    static const struct {
        const char *host;
        bool is_taken;
    } cases[] = {
        {"127.0.0.1", true},
        {"127.0.0.1:4380", true},
        {"192.168.7.12:80", true},
        {"localhost", true},
        {"LocalHost:4380", true},
        {"[::1]", true},
        {"[::1]:4380", true},
        {"tablet.local:4380", true},
        {"bridge-house", true},
        {"rebound.example", false},
        {"tablet.local.rebound.example", false},
        {"tablet", false},
        {"", false},
        {":4380", false},
        {"localhost:", false},
        {"localhost:43a", false},
        {"localhost:123456", false},
        {"localhost rebound.example", false},
        {"127.0.0.1.rebound.example", false},
        {"[::1", false},
        {"[rebound.example]", false},
        {"[::1]rebound.example", false},
        {"localhost@rebound.example", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        if (guard_is_host(cases[i].host, "tablet.local bridge-house") != cases[i].is_taken) {
            fail_msg("\"%s\"", cases[i].host);
        }
    }
}

static void what_must_not_be_served_is_refused(void **state) {
    (void)state;
    static const struct {
        const char *request;
        int code;
        const char *words;
    } cases[] = {
        {GET("/bridges") HOST "\r\n", 200, "Kettle Narrows"},
        {GET("/bridges") "\r\n", 400, "Host"},
        {GET("/bridges") HOST HOST "\r\n", 400, "Host"},
        {GET("/bridges") "Host: rebound.example\r\n\r\n", 421, "does not have that name"},
        {GET("/") "Host: rebound.example\r\n\r\n", 421, "does not have that name"},
        {GET("/live") "Host: rebound.example\r\n\r\n", 421, "does not have that name"},
        {GET("http://localhost/bridges") HOST "\r\n", 400, "path"},
        {GET("/bridges") HOST "Sec-Fetch-Site: cross-site\r\n\r\n", 403, "other sites"},
        {GET("/live") HOST "Sec-Fetch-Site: same-site\r\n\r\n", 403, "other sites"},
        {GET("/bridges") HOST "Sec-Fetch-Site: same-origin\r\n\r\n", 200, "bridges"},
        {GET("/") HOST "Sec-Fetch-Site: cross-site\r\n\r\n", 200, "<"}, /* a link leads to it */
        {GET("/nothing") HOST "\r\n", 404, "not found"},
        {GET("/bridges/") HOST "\r\n", 404, "not found"},
        {GET("/ask") HOST "\r\n", 405, "method"},
        {"POST /bridges HTTP/1.1\r\n" HOST "Content-Length: 0\r\n\r\n", 405, "method"},
        {"PUT /bridges HTTP/1.1\r\n" HOST "Content-Length: 0\r\n\r\n", 405, "method"},
        {"DELETE / HTTP/1.1\r\n" HOST "\r\n", 405, "method"},
        {"TRACE / HTTP/1.1\r\n" HOST "\r\n", 405, "method"},
        {"OPTIONS /bridges HTTP/1.1\r\n" HOST "\r\n", 405, "method"},
        {"BREW / HTTP/1.1\r\n" HOST "\r\n", 405, "method"},
        {POST_JSON HOST "Origin: http://localhost\r\n" STOP, 200, "granted"},
        {POST_JSON HOST "Origin: http://LOCALHOST\r\n" STOP, 200, "granted"},
        {POST_JSON HOST STOP, 403, "Origin"},
        {POST_JSON HOST "Origin: null\r\n" STOP, 403, "Origin"},
        {POST_JSON HOST "Origin: http://rebound.example\r\n" STOP, 403, "Origin"},
        {POST_JSON HOST "Origin: http://localhost:81\r\n" STOP, 403, "Origin"},
        {POST_JSON HOST "Origin: http://localhost.rebound.example\r\n" STOP, 403, "Origin"},
        {POST_JSON HOST "Origin: https://localhost\r\n" STOP, 403, "Origin"},
        {POST_JSON HOST "Origin: http://localhost\r\nOrigin: http://localhost\r\n" STOP, 403,
         "Origin"},
        {POST_JSON HOST "Origin: http://localhost\r\nSec-Fetch-Site: cross-site\r\n" STOP, 403,
         "other sites"},
        {"POST /ask HTTP/1.1\r\n" HOST "Origin: http://localhost\r\nContent-Type: "
         "text/plain\r\nContent-Length: 24\r\n" STOP,
         415, "application/json"},
        {"POST /ask HTTP/1.1\r\n" HOST "Origin: http://localhost\r\nContent-Length: 24\r\n" STOP,
         415, "application/json"},
        {"POST /ask HTTP/1.1\r\n" HOST "Origin: http://localhost\r\nContent-Type: "
         "application/jsonp\r\nContent-Length: 24\r\n" STOP,
         415, "application/json"},
        {"POST /enter HTTP/1.1\r\n" HOST "Content-Type: application/json\r\nContent-Length: "
         "24\r\n" STOP,
         403, "Origin"},
    };
    panel_stage_open(&stage);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        unsigned before = stage.requests;
        const struct browser *browser = browse(&stage, cases[i].request);
        if (browser->code != cases[i].code || strstr(browser->body, cases[i].words) == NULL) {
            fail_msg("%s: %d %s", cases[i].request, browser->code, browser->body);
        }
        bool is_asked = cases[i].code == 200 && strncmp(cases[i].request, "POST", 4) == 0;
        assert_int_equal(stage.requests, before + is_asked);
    }
}

static void methods_that_are_taken_are_said(void **state) {
    (void)state;
    char value[16];
    panel_stage_open(&stage);
    assert_true(browser_header(browse_get(&stage, "/ask", ""), "Allow", value, sizeof value));
    assert_string_equal(value, "POST");
    struct browser *browser = browse_post(&stage, "/history", "", "{}");
    assert_true(browser_header(browser, "Allow", value, sizeof value));
    assert_string_equal(value, "GET");
}

static void one_who_may_only_observe_can_move_nothing(void **state) {
    (void)state;
    stage.config->panel.listener[0].right = PANEL_OBSERVE;
    panel_stage_open(&stage);
    assert_int_equal(browse_post(&stage, "/ask", "", "{\"bus\":1,\"ask\":\"stop\"}")->code, 403);
    assert_int_equal(stage.requests, 0);
    const struct browser *browser = browse_get(&stage, "/bridges", "");
    assert_non_null(strstr(browser->body, "\"may\":\"observe\""));
}

static void names_of_the_configuration_are_taken(void **state) {
    (void)state;
    snprintf(stage.config->panel.listener[0].names, PANEL_NAMES_SIZE, "tablet.local");
    panel_stage_open(&stage);
    assert_int_equal(browse(&stage, GET("/bridges") "Host: tablet.local:4380\r\n\r\n")->code, 200);
    assert_int_equal(browse(&stage, GET("/bridges") "Host: other.local\r\n\r\n")->code, 421);
}

static void behind_a_tls_proxy_only_its_own_https_pages_act(void **state) {
    (void)state;
    stage.config->panel.listener[0].is_behind_tls = true;
    panel_stage_open(&stage);
    assert_int_equal(browse(&stage, POST_JSON HOST "Origin: https://localhost\r\n" STOP)->code,
                     200);
    assert_int_equal(browse(&stage, POST_JSON HOST "Origin: http://localhost\r\n" STOP)->code, 403);
    assert_int_equal(browse(&stage, POST_JSON HOST "Origin: https://other\r\n" STOP)->code, 403);
    assert_int_equal(stage.requests, 1);
}

static void files_are_found_by_their_names_alone(void **state) {
    (void)state;
    static const char *const paths[] = {
        "/page/../guard.c",
        "/page/%2e%2e/guard.c",
        "/page/..%2fguard.c",
        "/page//etc/passwd",
        "/page/",
        "/page/./index.html",
        "/page/index.html/",
        "/page/README.md",
        "/page/index.html%00",
        "/page/../../etc/passwd",
        "/../etc/passwd",
        "//etc/passwd",
        "/page/index.htm",
        "/page/INDEX.HTML",
        "/pageindex.html",
        "/plots/../bridges",
        "/plots/1/../leaf.svg",
        "/plots/1/leaf.svgz",
        "/plots/1/opening-1.svg/",
        "/plots/1/opening-.svg",
        "/plots/1/other.svg",
        "/plots/9/leaf.svg",
        "/plots/x/leaf.svg",
        "/plots/1/",
    };
    panel_stage_open(&stage);
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        const struct browser *browser = browse_get(&stage, paths[i], "");
        if (browser->code != 404) {
            fail_msg("%s: %d", paths[i], browser->code);
        }
    }
    assert_int_equal(browse_get(&stage, "/page/index.html", "")->code, 200);
    assert_int_equal(browse_get(&stage, "/page/index.html?v=2", "")->code, 200);
}

static void what_is_no_http_ends_the_connection_and_asks_nothing(void **state) {
    (void)state;
    static const char *const bytes[] = {
        "SET 1 GA 1 1 1 -1\r\n\r\n",
        "\r\n\r\n",
        "GET / HTTP/9.9\r\n\r\n",
        "GET /bridges HTTP/1.1\r\nno header\r\n\r\n",
        "POST /ask HTTP/1.1\r\nContent-Length: -1\r\n\r\n",
        "POST /ask HTTP/1.1\r\nContent-Length: 99999999999999999999\r\n\r\n",
        "POST /ask HTTP/1.1\r\n" HOST "Content-Length: 65536\r\n\r\n{\"bus\":1",
    };
    panel_stage_open(&stage);
    for (size_t i = 0; i < sizeof bytes / sizeof bytes[0]; i++) {
        struct browser *browser = browse(&stage, bytes[i]);
        if (browser->code != 0 && (browser->code < 400 || browser->code > 413)) {
            fail_msg("%s: %d", bytes[i], browser->code);
        }
        browser_leave(browser);
    }
    assert_int_equal(stage.requests, 0);
    assert_int_equal(browse_get(&stage, "/bridges", "")->code, 200);
}

/* Else the next answer of its connection would begin with it. */
static void after_head_no_body_comes(void **state) {
    (void)state;
    panel_stage_open(&stage);
    const struct browser *browser =
        browse(&stage, "HEAD / HTTP/1.1\r\n" HOST "Connection: close\r\n\r\n");
    assert_int_equal(browser->code, 405);
    while (!browser->is_at_end) {
        panel_stage_turn(&stage);
    }
    assert_null(memchr(browser->bytes, '{', browser->length));
}

static void a_head_without_end_is_refused(void **state) {
    (void)state;
    static char head[40000] = "GET /bridges HTTP/1.1\r\nHost: localhost\r\nX: ";
    panel_stage_open(&stage);
    memset(head + strlen(head), 'x', sizeof head - 1 - strlen(head));
    const struct browser *browser = browse(&stage, head);
    assert_int_not_equal(browser->code, 200);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hosts_are_addresses_or_names_that_were_given),
        cmocka_unit_test_setup_teardown(what_must_not_be_served_is_refused, set_stage, close_stage),
        cmocka_unit_test_setup_teardown(methods_that_are_taken_are_said, set_stage, close_stage),
        cmocka_unit_test_setup_teardown(one_who_may_only_observe_can_move_nothing, set_stage,
                                        close_stage),
        cmocka_unit_test_setup_teardown(names_of_the_configuration_are_taken, set_stage,
                                        close_stage),
        cmocka_unit_test_setup_teardown(behind_a_tls_proxy_only_its_own_https_pages_act, set_stage,
                                        close_stage),
        cmocka_unit_test_setup_teardown(files_are_found_by_their_names_alone, set_stage,
                                        close_stage),
        cmocka_unit_test_setup_teardown(what_is_no_http_ends_the_connection_and_asks_nothing,
                                        set_stage, close_stage),
        cmocka_unit_test_setup_teardown(after_head_no_body_comes, set_stage, close_stage),
        cmocka_unit_test_setup_teardown(a_head_without_end_is_refused, set_stage, close_stage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
