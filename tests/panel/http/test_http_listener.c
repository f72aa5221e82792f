/* Where browsers come in: how many, from where, and what becomes of those who go. */
#include "panel/http/http_listener.h"
#include "panel/parts.h"
#include "support/check.h"
#include "support/panel/panel_stage.h"

#include <arpa/inet.h>
#include <event2/event.h>
#include <event2/http.h>
#include <event2/listener.h>
#include <stdio.h>
#include <string.h>
#include <sys/socket.h>

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

static const char half_a_head[] = "POST /ask HTTP/1.1\r\nHost: loc";
static const char ask[] = "GET /bridges HTTP/1.1\r\nHost: localhost\r\n\r\n";

/* From another address of loopback than 127.0.0.1. */
static struct browser *come_from(const char *address) {
    panel_stage_from(&stage, address);
    struct browser *browser = browser_come(&stage, false);
    panel_stage_from(&stage, NULL);
    return browser;
}

static struct browser *hold_from(const char *address) {
    struct browser *browser = come_from(address);
    browser_send(&stage, browser, half_a_head, strlen(half_a_head));
    panel_stage_settle(&stage);
    return browser;
}

/* Before any second has passed: no `alive` comes but the first. */
static void where_all_places_are_taken_the_oldest_unfinished_head_leaves_at_once(void **state) {
    (void)state;
    enum { ROOM = 5, LISTENING = 3 };
    stage.config->panel.listener[0].clients_max = ROOM;
    panel_stage_open(&stage);
    struct browser *in[ROOM];
    for (unsigned i = 0; i < ROOM; i++) {
        in[i] = i < LISTENING ? browser_listen(&stage, "") : hold_from("127.0.0.1");
    }
    struct browser *late = browser_come(&stage, false);
    browser_send(&stage, late, ask, strlen(ask));
    panel_stage_settle(&stage);
    assert_int_equal(browser_answer(&stage, late), 200);
    for (unsigned i = 0; i < ROOM; i++) {
        assert_int_equal(in[i]->is_at_end, i == LISTENING);
    }
}

/* Its place is the newest, however often the others send a byte. */
static void four_thousand_held_heads_do_not_keep_a_stop_out(void **state) {
    (void)state;
    enum { HEADS = 4000, ROOM = 32, HELD = BROWSERS_MAX - 8 };
    stage.config->panel.listener[0].clients_max = ROOM;
    panel_stage_open(&stage);
    struct browser *held[HELD];
    for (unsigned i = 0; i < HEADS; i++) {
        if (i >= HELD) {
            browser_leave(held[i % HELD]); /* ended by the panel long ago */
        }
        held[i % HELD] = come_from("127.0.0.1");
        browser_send(&stage, held[i % HELD], half_a_head, strlen(half_a_head));
        if (i % 8 == 0) {
            panel_stage_settle(&stage);
        }
    }
    assert_int_equal(
        browse_post(&stage, "/ask", "", "{\"bus\":1,\"ask\":\"emergency stop\"}")->code, 200);
    assert_int_equal(stage.request.kind, REQUEST_EMERGENCY_STOP);
}

static void one_address_has_three_quarters_of_the_places(void **state) {
    (void)state;
    enum { ROOM = 16, MOST = 12 };
    stage.config->panel.listener[0].clients_max = ROOM;
    panel_stage_open(&stage);
    struct browser *in[MOST];
    for (unsigned i = 0; i < MOST; i++) {
        in[i] = hold_from("127.0.0.2");
    }
    struct browser *other = hold_from("127.0.0.3");
    assert_false(in[0]->is_at_end);
    hold_from("127.0.0.2");
    for (unsigned i = 0; i < MOST; i++) {
        assert_int_equal(in[i]->is_at_end, i == 0);
    }
    assert_false(other->is_at_end);
    assert_int_equal(stage.panel->listener[0].count, MOST + 1);
}

static void a_browser_has_eight_where_three_quarters_are_less(void **state) {
    (void)state;
    enum { ROOM = 10, LEAST = 8 };
    stage.config->panel.listener[0].clients_max = ROOM;
    panel_stage_open(&stage);
    struct browser *first = hold_from("127.0.0.2");
    for (unsigned i = 1; i < LEAST; i++) {
        hold_from("127.0.0.2");
    }
    assert_false(first->is_at_end);
    hold_from("127.0.0.2");
    assert_true(first->is_at_end);
}

/* Nine are three quarters of its twelve; of the whole panel's sixteen there are twelve. */
static void one_address_does_not_have_all_places_for_listeners(void **state) {
    (void)state;
    enum { ROOM = 16, LISTENING = 9 };
    stage.config->panel.listener[0].clients_max = ROOM;
    panel_stage_open(&stage);
    for (unsigned i = 0; i < LISTENING; i++) {
        browser_listen(&stage, "");
    }
    assert_int_equal(browse_get(&stage, "/live", "")->code, 503);
    struct browser *other = come_from("127.0.0.2");
    static const char listen[] = "GET /live HTTP/1.1\r\nHost: localhost\r\n\r\n";
    browser_send(&stage, other, listen, strlen(listen));
    assert_int_equal(browser_answer(&stage, other), 200);
}

/* Of an address with few unfinished ones nobody leaves for those with many. */
static void who_comes_alone_keeps_its_place(void **state) {
    (void)state;
    enum { ROOM = 16, EACH = 7, MORE = 20 };
    stage.config->panel.listener[0].clients_max = ROOM;
    panel_stage_open(&stage);
    struct browser *alone = hold_from("127.0.0.9"); /* the oldest of all */
    for (unsigned i = 0; i < 2 * EACH + MORE; i++) {
        hold_from(i % 2 == 0 ? "127.0.0.2" : "127.0.0.3");
    }
    assert_true(stage.panel->listener[0].count >= ROOM);
    assert_false(alone->is_at_end);
    static const char rest[] = "alhost\r\nOrigin: http://localhost\r\nContent-Type: "
                               "application/json\r\nContent-Length: 32\r\n\r\n"
                               "{\"bus\":1,\"ask\":\"emergency stop\"}";
    browser_send(&stage, alone, rest, strlen(rest));
    assert_int_equal(browser_answer(&stage, alone), 200);
}

/* What one has asked counts no more: between two requests it is as unfinished as any. */
static void who_was_answered_and_asks_no_more_makes_room(void **state) {
    (void)state;
    enum { ROOM = 2 };
    stage.config->panel.listener[0].clients_max = ROOM;
    panel_stage_open(&stage);
    struct browser *first = browser_come(&stage, false);
    browser_send(&stage, first, ask, strlen(ask));
    assert_int_equal(browser_answer(&stage, first), 200);
    struct browser *second = hold_from("127.0.0.1");
    hold_from("127.0.0.1");
    assert_true(first->is_at_end);
    assert_false(second->is_at_end);
}

enum { UNANSWERED_MOST = 8 };

static struct evhttp_request *unanswered[UNANSWERED_MOST];
static unsigned unanswered_count;

static void never_answer(struct evhttp_request *request, void *listener) {
    assert_true(unanswered_count < UNANSWERED_MOST);
    http_listener_serve(listener, request);
    unanswered[unanswered_count++] = request;
}

/* As routes that answer later free theirs. */
static void free_unanswered(void) {
    while (unanswered_count > 0) {
        struct evhttp_request *request = unanswered[--unanswered_count];
        if (evhttp_request_get_connection(request) == NULL) {
            evhttp_request_free(request);
        }
    }
}

/* An answer has a second, and no more where somebody waits. */
static void who_is_answered_for_long_makes_room_in_the_end(void **state) {
    (void)state;
    enum { ROOM = 2, TURNS_MOST = 300 };
    struct error error = {.what = ""};
    stage.config->panel.listener[0].clients_max = ROOM;
    panel_stage_open(&stage);
    struct http_listener *listener = &stage.panel->listener[0];
    http_listener_close(listener);
    assert_true(http_listener_open(listener, stage.panel->context.base,
                                   &stage.config->panel.listener[0], never_answer, NULL, &error));
    struct browser *in[ROOM + HTTP_LISTENER_SPARE];
    for (unsigned i = 0; i < ROOM + HTTP_LISTENER_SPARE; i++) {
        in[i] = browser_come(&stage, false);
        browser_send(&stage, in[i], ask, strlen(ask));
        panel_stage_settle(&stage);
    }
    unsigned before = unanswered_count;
    assert_in_range(before, ROOM,
                    ROOM + HTTP_LISTENER_SPARE - 1); /* all served, and one waits outside */
    for (unsigned turns = 0; unanswered_count == before; turns++) {
        assert_true(turns < TURNS_MOST); /* a look every tenth of a second is one */
        panel_stage_turn(&stage);
    }
    panel_stage_settle(&stage);
    assert_true(in[0]->is_at_end);
    free_unanswered();
}

/* The kernel takes no more from a client that is not read than it is told to. */
static void what_lies_unread_is_bounded(void **state) {
    (void)state;
    int bytes = 0;
    socklen_t length = sizeof bytes;
    panel_stage_open(&stage);
    evutil_socket_t fd = evconnlistener_get_fd(stage.panel->listener[0].acceptor);
    assert_int_equal(getsockopt(fd, SOL_SOCKET, SO_RCVBUF, &bytes, &length), 0);
    assert_true(bytes <= 2 * 16384); /* Linux doubles it: socket(7) */
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
    static const char page[] = "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n";
    struct browser *tablet[TABLETS];
    panel_stage_open(&stage);
    for (unsigned i = 0; i < TABLETS; i++) {
        tablet[i] = browser_come(&stage, false);
        browser_send(&stage, tablet[i], page, strlen(page));
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
        assert_true(stage.panel->listener[0].count <= before + A_TURN);
        before = stage.panel->listener[0].count;
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
    struct http_listener listener;
    stage.config->panel.listener[0].port = panel_port(stage.panel, 0);
    assert_false(http_listener_open(&listener, stage.panel->context.base,
                                    &stage.config->panel.listener[0], NULL, NULL, &error));
    assert_non_null(strstr(error.what, "cannot listen on 127.0.0.1:"));
}

int main(void) {
    static const struct CMUnitTest tests[] = {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_stage, close_stage)
        STAGED(strangers_are_turned_away_without_a_word),
        STAGED(a_strangers_request_is_not_served),
        STAGED(those_of_the_network_may_come),
        STAGED(where_all_places_are_taken_the_oldest_unfinished_head_leaves_at_once),
        STAGED(four_thousand_held_heads_do_not_keep_a_stop_out),
        STAGED(one_address_has_three_quarters_of_the_places),
        STAGED(a_browser_has_eight_where_three_quarters_are_less),
        STAGED(one_address_does_not_have_all_places_for_listeners),
        STAGED(who_comes_alone_keeps_its_place),
        STAGED(who_was_answered_and_asks_no_more_makes_room),
        STAGED(who_is_answered_for_long_makes_room_in_the_end),
        STAGED(what_lies_unread_is_bounded),
        STAGED(some_places_are_not_for_listeners),
        STAGED(where_many_are_in_connections_are_short),
        STAGED(fifty_come_at_once_and_all_are_served),
        STAGED(few_are_taken_in_one_turn),
        STAGED(nothing_is_left_of_those_who_have_gone),
        STAGED(a_port_that_is_taken_is_an_error_that_says_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
