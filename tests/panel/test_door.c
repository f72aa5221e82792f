/* Where browsers come in: how many, from where, and what becomes of those who go. */
#include "panel/door.h"
#include "panel/parts.h"
#include "support/check.h"
#include "support/panel_stage.h"

#include <arpa/inet.h>
#include <event2/event.h>
#include <stdio.h>
#include <string.h>

/* It comes, it is looked at, it is gone. */
enum { TURNS_TO_TURN_AWAY = 6 };

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

static void set_network(const char *address, unsigned bits) {
    struct panel_listener_setup *setup = &stage.config->panel.listener[0];
    struct network *network = &setup->network[setup->networks++];
    memset(network->address + 10, 0xff, 2);
    assert_int_equal(inet_pton(AF_INET, address, network->address + 12), 1);
    network->bits = 96 + bits;
}

static void strangers_are_turned_away_without_a_word(void **state) {
    (void)state;
    set_network("192.0.2.0", 24);
    panel_stage_open(&stage);
    struct browser *browser = browser_come(&stage, false);
    for (unsigned turns = 0; !browser->is_at_end; turns++) {
        assert_true(turns < TURNS_TO_TURN_AWAY); /* not when it has been idle for long */
        panel_stage_turn(&stage);
    }
    assert_int_equal(browser->received, 0);
}

/* Where the request is there before the address has been looked at. */
static void a_strangers_request_is_not_served(void **state) {
    (void)state;
    set_network("192.0.2.0", 24);
    panel_stage_open(&stage);
    const struct browser *browser = browse_post(&stage, "/ask", "", "{\"bus\":1,\"ask\":\"stop\"}");
    assert_true(browser->code == 0 || browser->code == 403);
    assert_int_equal(stage.requests, 0);
}

static void those_of_the_network_may_come(void **state) {
    (void)state;
    set_network("192.0.2.0", 24);
    set_network("127.0.0.0", 8);
    panel_stage_open(&stage);
    assert_int_equal(browse_get(&stage, "/bridges", "")->code, 200);
}

/* However slowly it sends: it is never idle. */
static void where_all_places_are_taken_who_only_sits_there_makes_room(void **state) {
    (void)state;
    enum { ROOM = 5, LISTENING = 3, SECONDS_MOST = 8 };
    static const char ask[] = "GET /bridges HTTP/1.1\r\nHost: localhost\r\n\r\n";
    stage.config->panel.listener[0].clients_max = ROOM;
    panel_stage_open(&stage);
    struct browser *in[ROOM];
    for (unsigned i = 0; i < ROOM; i++) {
        in[i] = i < LISTENING ? browser_listen(&stage, "") : browser_come(&stage, false);
    }
    panel_stage_settle(&stage);
    struct browser *waiting = browser_come(&stage, false);
    browser_send(&stage, waiting, ask, strlen(ask));
    panel_stage_settle(&stage);
    assert_int_equal(waiting->received, 0);
    for (unsigned seconds = 0; waiting->received == 0; seconds++) {
        assert_true(seconds < SECONDS_MOST);
        browser_await(&stage, in[0], "alive");
        for (unsigned i = LISTENING; i < ROOM; i++) {
            if (!in[i]->is_at_end) {
                browser_send(&stage, in[i], "G", 1);
            }
        }
    }
    assert_int_equal(browser_answer(&stage, waiting), 200);
    for (unsigned i = 0; i < LISTENING; i++) {
        assert_false(in[i]->is_at_end);
    }
}

static void some_places_are_not_for_listeners(void **state) {
    (void)state;
    enum { ROOM = 8, LISTENING = 6 };
    stage.config->panel.listener[0].clients_max = ROOM;
    panel_stage_open(&stage);
    struct browser *in[LISTENING];
    for (unsigned i = 0; i < LISTENING; i++) {
        in[i] = browser_listen(&stage, "");
    }
    assert_int_equal(browse_get(&stage, "/live", "")->code, 503);
    assert_int_equal(
        browse_post(&stage, "/ask", "", "{\"bus\":1,\"ask\":\"emergency stop\"}")->code, 200);
    browser_leave(in[2]);
    panel_stage_settle(&stage);
    browser_await(&stage, browser_listen(&stage, ""), "alive");
}

static void where_many_are_in_connections_are_short(void **state) {
    (void)state;
    static const char ask[] = "GET /bridges HTTP/1.1\r\nHost: localhost\r\n\r\n";
    char value[16];
    stage.config->panel.listener[0].clients_max = 4;
    panel_stage_open(&stage);
    struct browser *browser = browser_come(&stage, false);
    browser_send(&stage, browser, ask, strlen(ask));
    assert_int_equal(browser_answer(&stage, browser), 200);
    browser_send(&stage, browser, ask, strlen(ask)); /* on the same connection */
    assert_int_equal(browser_answer(&stage, browser), 200);
    assert_false(browser_header(browser, "Connection", value, sizeof value));
    browser_come(&stage, false);
    browser_come(&stage, false);
    panel_stage_settle(&stage);
    browser_send(&stage, browser, ask, strlen(ask));
    assert_int_equal(browser_answer(&stage, browser), 200);
    assert_true(browser_header(browser, "Connection", value, sizeof value));
    assert_string_equal(value, "close");
}

static void fifty_come_at_once_and_all_are_served(void **state) {
    (void)state;
    enum { TABLETS = 50 };
    static const char ask[] = "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n";
    struct browser *tablet[TABLETS];
    panel_stage_open(&stage);
    for (unsigned i = 0; i < TABLETS; i++) {
        tablet[i] = browser_come(&stage, false);
        browser_send(&stage, tablet[i], ask, strlen(ask));
    }
    for (unsigned i = 0; i < TABLETS; i++) {
        assert_int_equal(browser_answer(&stage, tablet[i]), 200);
    }
}

static void few_are_taken_in_one_turn(void **state) {
    (void)state;
    enum { KNOCKING = 10, A_TURN = 2 };
    panel_stage_open(&stage);
    for (unsigned i = 0; i < KNOCKING; i++) {
        browser_come(&stage, false);
    }
    unsigned before = 0;
    while (before < KNOCKING) {
        event_base_loop(stage.base, EVLOOP_ONCE);
        assert_true(stage.panel->door[0].count <= before + A_TURN);
        before = stage.panel->door[0].count;
    }
}

static void nothing_is_left_of_those_who_have_gone(void **state) {
    (void)state;
    panel_stage_open(&stage);
    int at_rest = event_base_get_num_events(stage.base, EVENT_BASE_COUNT_ADDED);
    for (unsigned i = 0; i < 30; i++) {
        struct browser *silent = browser_come(&stage, false);
        struct browser *listener = browser_listen(&stage, "");
        browser_leave(silent);
        browser_leave(listener);
    }
    while (event_base_get_num_events(stage.base, EVENT_BASE_COUNT_ADDED) != at_rest) {
        panel_stage_turn(&stage);
    }
}

static void a_port_that_is_taken_is_an_error_that_says_so(void **state) {
    (void)state;
    panel_stage_open(&stage);
    struct error error = {.what = ""};
    struct door door;
    stage.config->panel.listener[0].port = panel_port(stage.panel, 0);
    assert_false(door_open(&door, stage.panel, &stage.config->panel.listener[0], NULL, &error));
    assert_non_null(strstr(error.what, "cannot listen on 127.0.0.1:"));
}

int main(void) {
    static const struct CMUnitTest tests[] = {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_stage, close_stage)
        STAGED(strangers_are_turned_away_without_a_word),
        STAGED(a_strangers_request_is_not_served),
        STAGED(those_of_the_network_may_come),
        STAGED(where_all_places_are_taken_who_only_sits_there_makes_room),
        STAGED(some_places_are_not_for_listeners),
        STAGED(where_many_are_in_connections_are_short),
        STAGED(fifty_come_at_once_and_all_are_served),
        STAGED(few_are_taken_in_one_turn),
        STAGED(nothing_is_left_of_those_who_have_gone),
        STAGED(a_port_that_is_taken_is_an_error_that_says_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
