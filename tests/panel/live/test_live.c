#define _GNU_SOURCE /* memmem() */
/* The stream: what a listener is told, when, and what it costs while nobody listens. */
#include "panel/live/live.h"
#include "panel/parts.h"
#include "support/check.h"
#include "support/net/net_host.h"
#include "support/panel/panel_stage.h"

#include <cjson/cJSON.h>
#include <event2/bufferevent.h>
#include <event2/event.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>

static struct panel_stage stage;

/* A listener that takes nothing for some seconds is ended; here it has hours, so that a slow
 * machine is not a slow reader. */
void __real_bufferevent_set_timeouts(struct bufferevent *bytes, const struct timeval *reading,
                                     const struct timeval *writing);
void __wrap_bufferevent_set_timeouts(struct bufferevent *bytes, const struct timeval *reading,
                                     const struct timeval *writing);

void __wrap_bufferevent_set_timeouts(struct bufferevent *bytes, const struct timeval *reading,
                                     const struct timeval *writing) {
    static const struct timeval hours = {.tv_sec = 10 * 3600};
    __real_bufferevent_set_timeouts(bytes, reading != NULL ? &hours : NULL,
                                    writing != NULL ? &hours : NULL);
}

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

static void say(const char *words) {
    panel_say(stage.panel, 0, words);
}

static void moves_on(struct bridge_view *view) {
    view->state.motion.position_frac += 0.001;
}

/* A member of the last event's data; a text, or a number in words. */
static const char *member(const struct browser *browser, const char *name) {
    static char text[512];
    cJSON *json = cJSON_Parse(browser->data);
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(json, name);
    if (cJSON_IsString(item)) {
        snprintf(text, sizeof text, "%s", item->valuestring);
    } else if (cJSON_IsNumber(item)) {
        snprintf(text, sizeof text, "%g", item->valuedouble);
    } else {
        snprintf(text, sizeof text, "%s", cJSON_IsNull(item) ? "null" : "?");
    }
    cJSON_Delete(json);
    return text;
}

static void expect_news(struct browser *browser, const char *words) {
    browser_await(&stage, browser, "news");
    assert_string_equal(member(browser, "words"), words);
}

static void the_state_of_each_bridge_comes_at_once(void **state) {
    (void)state;
    struct browser *browser = browser_listen(&stage, "");
    char type[32];
    assert_true(browser_header(browser, "Content-Type", type, sizeof type));
    assert_string_equal(type, "text/event-stream");
    browser_await(&stage, browser, "state");
    assert_string_equal(member(browser, "phase"), "lined");
    assert_string_equal(member(browser, "bus"), "1");
    assert_string_equal(member(browser, "position"), "0");
    assert_string_equal(member(browser, "current_a"), "null");
    assert_string_equal(member(browser, "fault"), "null");
    browser_await(&stage, browser, "alive");
    assert_string_not_equal(browser->id, "");
}

static void a_change_comes_to_all_and_is_made_once(void **state) {
    (void)state;
    enum { LISTENERS = 50 };
    struct browser *listener[LISTENERS];
    for (unsigned i = 0; i < LISTENERS; i++) {
        listener[i] = browser_listen(&stage, "");
        browser_await(&stage, listener[i], "state");
    }
    unsigned before = stage.views;
    panel_stage_cycle(&stage, fake_is_open);
    for (unsigned i = 0; i < LISTENERS; i++) {
        browser_await(&stage, listener[i], "state");
        assert_string_equal(member(listener[i], "phase"), "open");
    }
    assert_int_equal(stage.views, before + 1);
}

static void what_looks_the_same_is_not_told_again(void **state) {
    (void)state;
    struct browser *browser = browser_listen(&stage, "");
    browser_await(&stage, browser, "state");
    unsigned before = stage.views;
    panel_stage_cycle(&stage, NULL);
    browser_await(&stage, browser, "alive");
    while (stage.views == before) {
        panel_stage_turn(&stage);
    }
    panel_stage_cycle(&stage, fake_is_at_fault);
    do { /* the next state is that of the fault */
        assert_true(browser_event(&stage, browser));
        assert_true(strcmp(browser->event, "state") != 0 ||
                    strcmp(member(browser, "phase"), "fault") == 0);
    } while (strcmp(browser->event, "state") != 0);
}

static void many_steps_are_few_states_and_the_last_is_the_newest(void **state) {
    (void)state;
    enum { STEPS = 500 };
    struct browser *browser = browser_listen(&stage, "");
    browser_await(&stage, browser, "state");
    unsigned before = stage.views;
    uint64_t from_us = context_clock_us();
    for (unsigned i = 0; i < STEPS; i++) {
        panel_stage_cycle(&stage, moves_on);
        panel_stage_settle(&stage);
    }
    do {
        browser_await(&stage, browser, "state");
    } while (strcmp(member(browser, "position"), "0.5") != 0);
    /* However slow this machine is: one in LIVE_PACE_US, or a few more where a timer is early. */
    assert_true(stage.views - before <= 1 + 2 * (context_clock_us() - from_us) / LIVE_PACE_US);
}

static void nothing_is_made_and_no_timer_runs_while_nobody_listens(void **state) {
    (void)state;
    int at_rest = event_base_get_num_events(stage.base, EVENT_BASE_COUNT_ADDED);
    for (unsigned i = 0; i < 100; i++) {
        panel_stage_cycle(&stage, moves_on);
    }
    say("local freight from west comes");
    assert_int_equal(event_base_get_num_events(stage.base, EVENT_BASE_COUNT_ADDED), at_rest);
    panel_stage_settle(&stage);
    assert_int_equal(stage.views, 0);
    assert_int_equal(event_base_get_num_events(stage.base, EVENT_BASE_COUNT_ADDED), at_rest);

    struct browser *browser = browser_listen(&stage, "");
    browser_await(&stage, browser, "alive");
    browser_await(&stage, browser, "alive");
    browser_leave(browser);
    while (event_base_get_num_events(stage.base, EVENT_BASE_COUNT_ADDED) != at_rest) {
        panel_stage_turn(&stage);
    }
    unsigned before = stage.views;
    panel_stage_cycle(&stage, moves_on);
    panel_stage_settle(&stage);
    assert_int_equal(stage.views, before);
}

static void one_who_comes_after_a_while_is_not_shown_what_was(void **state) {
    (void)state;
    struct browser *browser = browser_listen(&stage, "");
    browser_await(&stage, browser, "state");
    browser_leave(browser);
    int left;
    do {
        left = event_base_get_num_events(stage.base, EVENT_BASE_COUNT_ADDED);
        panel_stage_settle(&stage);
    } while (left != event_base_get_num_events(stage.base, EVENT_BASE_COUNT_ADDED));
    panel_stage_cycle(&stage, fake_is_open);
    browser = browser_listen(&stage, "");
    browser_await(&stage, browser, "state");
    assert_string_equal(member(browser, "phase"), "open");
}

/* --- news */

/* Whatever comes before the first alive, it is no news: those come first. */
static void expect_nothing_old(struct browser *browser) {
    do {
        assert_true(browser_event(&stage, browser));
        assert_string_not_equal(browser->event, "news");
    } while (strcmp(browser->event, "alive") != 0);
}

static void requests_faults_and_trains_are_news(void **state) {
    (void)state;
    struct browser *browser = browser_listen(&stage, "");
    browser_await(&stage, browser, "alive");
    say("local freight from west comes");
    expect_news(browser, "local freight from west comes");
    assert_string_equal(member(browser, "kind"), "train");
    panel_stage_cycle(&stage, fake_is_at_fault);
    browser_await(&stage, browser, "news");
    assert_string_equal(member(browser, "kind"), "fault");
    assert_int_equal(strncmp(member(browser, "words"), "stall: ", 7), 0);

    const struct bridge_view view = stage.view[0];
    const struct bridge_request raise = {.kind = REQUEST_RAISE};
    panel_notify(stage.panel, 0, &view, &view, &(struct panel_step){&raise, ANSWER_FAULT, 7});
    browser_await(&stage, browser, "news");
    assert_string_equal(member(browser, "kind"), "refused");
    assert_int_equal(strncmp(member(browser, "words"), "raise, requested by session 7: ", 27), 0);
    const struct bridge_request stop = {.kind = REQUEST_STOP};
    panel_notify(stage.panel, 0, &view, &view, &(struct panel_step){&stop, ANSWER_GRANTED, 7});
    expect_news(browser, "stop, requested by session 7");
    assert_string_equal(member(browser, "kind"), "stopped");
}

static void what_was_missed_comes_again_once(void **state) {
    (void)state;
    struct browser *browser = browser_listen(&stage, "");
    browser_await(&stage, browser, "alive");
    say("the first");
    expect_news(browser, "the first");
    char headers[128];
    snprintf(headers, sizeof headers, "Last-Event-ID: %s\r\n", browser->id);
    browser_leave(browser);
    say("the second");
    say("the third");

    browser = browser_listen(&stage, headers);
    expect_news(browser, "the second");
    expect_news(browser, "the third");
    snprintf(headers, sizeof headers, "Last-Event-ID: %s\r\n", browser->id);
    browser_leave(browser);
    browser = browser_listen(&stage, headers);
    expect_nothing_old(browser);
    say("the fourth");
    expect_news(browser, "the fourth");
}

static void an_alive_too_says_what_came_before(void **state) {
    (void)state;
    struct browser *browser = browser_listen(&stage, "");
    browser_await(&stage, browser, "alive");
    char headers[128];
    snprintf(headers, sizeof headers, "Last-Event-ID: %s\r\n", browser->id);
    browser_leave(browser);
    say("missed");
    browser = browser_listen(&stage, headers);
    expect_news(browser, "missed");
}

static void one_who_comes_new_is_told_nothing_old(void **state) {
    (void)state;
    say("old");
    struct browser *browser = browser_listen(&stage, "");
    expect_nothing_old(browser);
    say("new");
    expect_news(browser, "new");
}

static void after_a_restart_all_of_it_is_new(void **state) {
    (void)state;
    say("the first");
    say("the second");
    struct browser *browser = browser_listen(&stage, "Last-Event-ID: 17-1\r\n");
    expect_news(browser, "the first");
    expect_news(browser, "the second");
}

static void no_more_comes_again_than_is_kept(void **state) {
    (void)state;
    char words[32];
    for (unsigned i = 1; i <= NEWS_KEPT + 50; i++) {
        snprintf(words, sizeof words, "%u", i);
        say(words);
    }
    struct browser *browser = browser_listen(&stage, "Last-Event-ID: 17-4\r\n");
    for (unsigned i = 51; i <= NEWS_KEPT + 50; i++) {
        snprintf(words, sizeof words, "%u", i);
        expect_news(browser, words);
    }
}

static void ids_that_are_none_are_taken_for_none(void **state) {
    (void)state;
    static const char *const ids[] = {"-1-0",
                                      " -0",
                                      "+1-0",
                                      "",
                                      "x",
                                      "1",
                                      "-",
                                      "1-",
                                      "-1",
                                      "1-2x",
                                      "1-2-3",
                                      "99999999999999999999999-1",
                                      "1-9999999999999999999999999"};
    say("old");
    for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++) {
        char headers[128];
        snprintf(headers, sizeof headers, "Last-Event-ID: %s\r\n", ids[i]);
        struct browser *browser = browser_listen(&stage, headers);
        expect_nothing_old(browser);
        say("new");
        expect_news(browser, "new");
        browser_leave(browser);
    }
}

/* --- readers that do not read */

static void a_slow_reader_is_given_the_newest_and_holds_up_nobody(void **state) {
    (void)state;
    enum { NEWS = 20000 };
    static const char ask[] = "GET /live HTTP/1.1\r\nHost: localhost\r\n\r\n";
    static char words[400];
    struct browser *slow = browser_come(&stage, true);
    browser_send(&stage, slow, ask, strlen(ask));
    struct browser *quick = browser_listen(&stage, "");
    browser_await(&stage, quick, "alive");
    memset(words, 'x', sizeof words - 1);
    for (unsigned i = 0; i < NEWS; i++) {
        say(words);
        panel_stage_cycle(&stage, moves_on);
        if (i % 16 == 0) {
            panel_stage_settle(&stage);
        }
    }
    panel_stage_cycle(&stage, fake_is_open);
    say("the last");
    do {
        browser_await(&stage, quick, "news");
    } while (strcmp(member(quick, "words"), "the last") != 0);
    browser_read(&stage, slow);
    slow->head[0] = '\0';
    while (memmem(slow->bytes != NULL ? slow->bytes : "", slow->length, "the last", 8) == NULL) {
        assert_false(slow->is_at_end);
        panel_stage_turn(&stage);
    }
    /* Far less than was told meanwhile, however much of it the kernel took. */
    assert_true(slow->received < (size_t)NEWS * sizeof words / 3);
}

static void a_listener_that_sends_more_is_not_heard(void **state) {
    (void)state;
    struct browser *browser = browser_listen(&stage, "");
    browser_await(&stage, browser, "alive");
    static char much[1 << 18];
    unsigned sent = 0;
    memset(much, 'x', sizeof much);
    while (send(browser->fd, much, sizeof much, MSG_NOSIGNAL | MSG_DONTWAIT) > 0) {
        assert_true(++sent < 256); /* 64 MB: no kernel holds that; then the panel has */
        panel_stage_settle(&stage);
    }
    say("still present");
    expect_news(browser, "still present");
}

int main(void) {
    static const struct CMUnitTest tests[] = {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_stage, close_stage)
        STAGED(the_state_of_each_bridge_comes_at_once),
        STAGED(a_change_comes_to_all_and_is_made_once),
        STAGED(what_looks_the_same_is_not_told_again),
        STAGED(many_steps_are_few_states_and_the_last_is_the_newest),
        STAGED(nothing_is_made_and_no_timer_runs_while_nobody_listens),
        STAGED(one_who_comes_after_a_while_is_not_shown_what_was),
        STAGED(requests_faults_and_trains_are_news),
        STAGED(what_was_missed_comes_again_once),
        STAGED(an_alive_too_says_what_came_before),
        STAGED(one_who_comes_new_is_told_nothing_old),
        STAGED(after_a_restart_all_of_it_is_new),
        STAGED(no_more_comes_again_than_is_kept),
        STAGED(ids_that_are_none_are_taken_for_none),
        STAGED(a_slow_reader_is_given_the_newest_and_holds_up_nobody),
        STAGED(a_listener_that_sends_more_is_not_heard),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
