/* Requests of whoever has the panel before them: which they are, whose, and what stands in the way.
 */
#include "panel/live/freshness.h"
#include "panel/requests.h"
#include "support/check.h"
#include "support/net/net_host.h"
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

/* As the page does: with the newest moment that the stream tells. */
static const struct browser *ask(const char *what) {
    char moment[64];
    char body[160];
    browser_newest_moment(&stage, moment, sizeof moment);
    snprintf(body, sizeof body, "{\"bus\":1,\"ask\":\"%s\",\"moment\":\"%s\"}", what, moment);
    return browse_post(&stage, "/ask", "", body);
}

static const struct browser *ask_of(const char *what, const char *start, long long ms) {
    char body[160];
    snprintf(body, sizeof body, "{\"bus\":1,\"ask\":\"%s\",\"moment\":\"%s-%lld\"}", what, start,
             ms);
    return browse_post(&stage, "/ask", "", body);
}

/* `share` as it is written. */
static const struct browser *ask_throttle(const char *what, const char *share) {
    char moment[64];
    char body[160];
    browser_newest_moment(&stage, moment, sizeof moment);
    snprintf(body, sizeof body, "{\"bus\":1,\"ask\":\"%s\",\"share\":%s,\"moment\":\"%s\"}", what,
             share, moment);
    return browse_post(&stage, "/ask", "", body);
}

static void throttle_says_how_far_it_is_open(void **state) {
    (void)state;
    static const struct {
        const char *word, *share;
        enum bridge_request_kind kind;
        double is;
    } cases[] = {{"throttle up", "0.5", REQUEST_THROTTLE_UP, 0.5},
                 {"throttle down", "1", REQUEST_THROTTLE_DOWN, 1},
                 {"throttle hold", "0.05", REQUEST_THROTTLE_HOLD, 0.05}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        stage.config->bridge[0].is_throttle_voltage = i == 1;
        assert_int_equal(ask_throttle(cases[i].word, cases[i].share)->code, 200);
        assert_int_equal(stage.request.kind, cases[i].kind);
        assert_true(stage.request.share == cases[i].is);
        assert_int_equal(stage.request.is_voltage, i == 1);
    }
    static const char *const wrong[] = {"0", "0.049", "1.01", "-0.5", "\"0.5\"", "null"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        assert_int_equal(ask_throttle("throttle up", wrong[i])->code, 400);
    }
    assert_int_equal(ask_throttle("raise", "0.5")->code, 400);
    assert_int_equal(ask_throttle("let go", "0.5")->code, 400);
    assert_int_equal(ask("throttle up")->code, 400);
    assert_int_equal(stage.requests, sizeof cases / sizeof cases[0]);
}

/* Several times a second: the phase says what came of it. */
static void hand_that_holds_on_or_lets_go_is_no_news(void **state) {
    (void)state;
    struct browser *listener = browser_listen(&stage, "");
    browser_await(&stage, listener, "alive");
    ask_throttle("throttle hold", "0.5");
    ask("let go");
    stage.answer = ANSWER_LET_GO;
    const struct browser *browser = ask_throttle("throttle hold", "0.5");
    assert_int_equal(browser->code, 409);
    assert_non_null(strstr(browser->body, "start again"));
    stage.answer = ANSWER_GRANTED;
    ask_throttle("throttle up", "0.5");
    browser_await(&stage, listener, "news");
    assert_non_null(strstr(listener->data, "throttle-up, requested by the panel at 127.0.0.1"));
}

/* Whenever it comes, and whoever holds the lock. */
static void s9_letting_go_is_always_taken(void **state) {
    (void)state;
    stage.barred_by = 12;
    assert_int_equal(ask_throttle("throttle up", "0.5")->code, 409);
    assert_int_equal(ask_throttle("throttle hold", "0.5")->code, 409);
    assert_int_equal(stage.requests, 0);
    const struct browser *browser =
        browse_post(&stage, "/ask", "", "{\"bus\":1,\"ask\":\"let go\"}");
    assert_int_equal(browser->code, 200);
    assert_non_null(strstr(browser->body, "let go; the bridge is held"));
    assert_true(bridge_request_lets_go(&stage.request));
    stage.answer = ANSWER_ALREADY;
    assert_non_null(strstr(ask_of("let go", "1", 0)->body, "nothing was in the hand"));
    assert_int_equal(stage.requests, 2);
}

static void raises_in_a_hand(struct bridge_view *view) {
    view->state.phase = PHASE_RAISING;
    view->state.throttle = (struct throttle_state){.share = 0.5, .left_us = THROTTLE_US};
    view->outputs.lift_effort = 0.5;
}

static void rests_without_a_supply(struct bridge_view *view) {
    view->state.throttle = (struct throttle_state){0};
    view->outputs.lift_effort = 0;
    stage.config->net.bridge[0].supply_v = 0;
}

/* What nobody tells is not known, and never 0. */
static void meters_are_told_volts_and_the_hand(void **state) {
    (void)state;
    stage.config->net.bridge[0].supply_v = 12;
    struct browser *listener = browser_listen(&stage, "");
    browser_await(&stage, listener, "state");
    assert_non_null(strstr(listener->data, "\"volts\":0,\"throttle\":null"));
    panel_stage_cycle(&stage, raises_in_a_hand);
    browser_await(&stage, listener, "state");
    assert_non_null(
        strstr(listener->data, "\"volts\":6,\"throttle\":{\"share\":0.5,\"is_slowed\":"));
    panel_stage_cycle(&stage, rests_without_a_supply);
    browser_await(&stage, listener, "state");
    assert_non_null(strstr(listener->data, "\"volts\":null,\"throttle\":null"));
    const struct browser *browser = browse_get(&stage, "/bridges", "");
    assert_non_null(strstr(browser->body, "\"throttle\":{\"sets\":\"speed\",\"least\":0.05,"
                                          "\"refresh_ms\":125,\"supply_v\":12}"));
}

static void each_word_is_one_request(void **state) {
    (void)state;
    static const struct {
        const char *word;
        enum bridge_request_kind kind;
    } cases[] = {
        {"raise", REQUEST_RAISE},
        {"lower", REQUEST_LOWER},
        {"stop", REQUEST_STOP},
        {"emergency stop", REQUEST_EMERGENCY_STOP},
        {"acknowledge", REQUEST_ACKNOWLEDGE},
        {"seen clear", REQUEST_SEEN_CLEAR},
        {"power on", REQUEST_POWER_ON},
        {"power off", REQUEST_POWER_OFF},
        {"horn", REQUEST_HORN_ON},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const struct browser *browser = ask(cases[i].word);
        assert_int_equal(browser->code, 200);
        assert_non_null(strstr(browser->body, "\"granted\":true"));
        assert_int_equal(stage.request.kind, cases[i].kind);
        assert_int_equal(stage.requests, i + 1);
    }
}

static void a_grant_says_what_it_waits_for(void **state) {
    (void)state;
    const struct browser *browser = ask("raise");
    assert_non_null(strstr(browser->body, "granted; waits for: "));
    stage.answer = ANSWER_ALREADY;
    assert_non_null(strstr(ask("raise")->body, "nothing to do"));
}

static void a_stop_is_done_and_not_granted(void **state) {
    (void)state;
    static const struct {
        const char *word;
        enum bridge_answer answer;
        const char *words;
    } cases[] = {
        {"stop", ANSWER_GRANTED, "\"words\":\"done; the bridge is held\""},
        {"stop", ANSWER_ALREADY, "\"words\":\"nothing to stop\""},
        {"emergency stop", ANSWER_GRANTED, "\"words\":\"done; a fault is latched\""},
        {"emergency stop", ANSWER_ALREADY, "\"words\":\"done; a fault is latched\""},
        {"power off", ANSWER_GRANTED, "\"words\":\"done\""},
        {"power off", ANSWER_ALREADY, "\"words\":\"it is off\""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        stage.answer = cases[i].answer;
        const struct browser *browser = ask(cases[i].word);
        if (browser->code != 200 || strstr(browser->body, cases[i].words) == NULL) {
            fail_msg("%s: %d %s, wanted %s", cases[i].word, browser->code, browser->body,
                     cases[i].words);
        }
    }
}

/* A button that would do nothing is not offered as one that would do something. */
static void what_would_change_nothing_is_said_before(void **state) {
    (void)state;
    struct browser *listener = browser_listen(&stage, "");
    browser_await(&stage, listener, "state");
    assert_non_null(strstr(listener->data, "\"may\":{\"raise\":null,\"lower\":null,"));
    stage.answer = ANSWER_ALREADY;
    panel_stage_cycle(&stage, fake_starts_clearing);
    browser_await(&stage, listener, "state");
    assert_non_null(strstr(listener->data, "\"may\":{\"raise\":\"nothing to do\","));
}

static void a_refusal_says_why_and_is_told_to_others(void **state) {
    (void)state;
    struct browser *listener = browser_listen(&stage, "");
    browser_await(&stage, listener, "alive");
    stage.answer = ANSWER_UNPROVED;
    const struct browser *browser = ask("raise");
    assert_int_equal(browser->code, 409);
    assert_non_null(strstr(browser->body, "\"granted\":false"));
    assert_non_null(strstr(browser->body, "have not yet proved"));
    assert_int_equal(stage.refusals, 1);
    assert_non_null(strstr(stage.why, "have not yet proved"));
    browser_await(&stage, listener, "news");
    assert_non_null(strstr(listener->data, "\"kind\":\"refused\""));
    assert_non_null(strstr(listener->data, "raise, requested by the panel at 127.0.0.1: "));
}

static void a_bridge_moved_by_hand_says_so(void **state) {
    (void)state;
    stage.answer = ANSWER_NO_SUCH;
    assert_non_null(strstr(ask("raise")->body, "moved by hand"));
}

static void s9_a_lock_bars_all_but_the_stops(void **state) {
    (void)state;
    static const char *const barred[] = {"raise", "lower", "acknowledge", "horn"};
    stage.barred_by = 12;
    for (size_t i = 0; i < sizeof barred / sizeof barred[0]; i++) {
        const struct browser *browser = ask(barred[i]);
        assert_int_equal(browser->code, 409);
        assert_non_null(strstr(browser->body, "session 12 has locked it"));
        assert_int_equal(stage.refusals, i + 1);
    }
    assert_int_equal(stage.requests, 0);
    assert_int_equal(ask("stop")->code, 200);
    assert_int_equal(stage.request.kind, REQUEST_STOP);
    assert_int_equal(ask("emergency stop")->code, 200);
    assert_int_equal(stage.request.kind, REQUEST_EMERGENCY_STOP);
}

static void s9_a_stand_that_is_local_bars_all_but_the_stops(void **state) {
    (void)state;
    stage.kept_by_stand = "its stand is local";
    assert_int_equal(ask("raise")->code, 409);
    assert_non_null(strstr(ask("raise")->body, "its stand is local"));
    assert_string_equal(stage.why, "its stand is local");
    assert_int_equal(stage.requests, 0);
    assert_int_equal(ask("stop")->code, 200);
    assert_int_equal(ask("emergency stop")->code, 200);
    assert_int_equal(stage.requests, 2);
}

static void what_would_be_refused_shows_before_it_is_asked(void **state) {
    (void)state;
    struct browser *listener = browser_listen(&stage, "");
    browser_await(&stage, listener, "state");
    assert_non_null(strstr(listener->data, "\"raise\":null"));
    stage.barred_by = 12;
    panel_bars_changed(stage.panel, 0);
    browser_await(&stage, listener, "state");
    assert_non_null(strstr(listener->data, "\"raise\":\"session 12 has locked it"));
    stage.barred_by = 0;
    stage.answer = ANSWER_FAULT;
    panel_bars_changed(stage.panel, 0);
    browser_await(&stage, listener, "state");
    assert_non_null(strstr(listener->data, "\"raise\":\"a fault is latched"));
}

static void whoever_asks_has_a_number_below_zero_and_a_name(void **state) {
    (void)state;
    ask("raise");
    int32_t first = stage.who;
    assert_true(first < 0);
    assert_int_equal(stage.visitor, first);
    assert_true(stage.has_begun);
    assert_string_equal(stage.visitor_words, "panel, may operate, at 127.0.0.1");
    stage.visitor = 0;
    ask("stop");
    assert_int_equal(stage.who, first);
    assert_int_equal(stage.visitor, 0);
    panel_free(stage.panel);
    stage.panel = NULL;
    assert_int_equal(stage.visitor, first);
    assert_false(stage.has_begun);
}

static void the_horn_falls_silent_by_itself(void **state) {
    (void)state;
    ask("horn");
    assert_true(stage.view[0].outputs.horn);
    int32_t who = stage.who;
    while (stage.view[0].outputs.horn) {
        panel_stage_turn(&stage);
    }
    assert_int_equal(stage.request.kind, REQUEST_HORN_OFF);
    assert_int_equal(stage.who, who);
    assert_int_equal(stage.requests, 2);
}

/* It lay in a socket while the daemon, or the radio, hung: the page has said that nobody heard. */
static void what_comes_late_sets_nothing_going(void **state) {
    (void)state;
    static const char *const going[] = {"raise", "lower", "acknowledge", "power on", "horn"};
    static const char *const stopping[] = {"stop", "emergency stop", "power off"};
    char start[64];
    long long ms;
    browser_newest_moment(&stage, start, sizeof start);
    char *line = strchr(start, '-');
    assert_non_null(line);
    *line = '\0';
    ms = strtoll(line + 1, NULL, 10);
    for (size_t i = 0; i < sizeof going / sizeof going[0]; i++) {
        const struct browser *browser = ask_of(going[i], start, ms - FRESHNESS_MS);
        assert_int_equal(browser->code, 409);
        assert_non_null(strstr(browser->body, "\"granted\":false"));
        assert_non_null(strstr(browser->body, "too late"));
        assert_int_equal(stage.refusals, i + 1);
        assert_int_equal(ask_of(going[i], "1", ms)->code, 409);
        stage.refusals--;
    }
    assert_int_equal(stage.requests, 0);
    for (size_t i = 0; i < sizeof stopping / sizeof stopping[0]; i++) {
        assert_int_equal(ask_of(stopping[i], start, 0)->code, 200);
        assert_int_equal(stage.requests, i + 1);
    }
}

static void what_is_no_request_changes_nothing(void **state) {
    (void)state;
    static char much[REQUESTS_BODY_MAX + 2];
    memset(much, ' ', sizeof much - 1);
    memcpy(much, "{\"bus\":1,\"ask\":\"stop\"}", 22);
    const struct {
        const char *body;
        int code;
    } cases[] = {
        {"", 400},
        {"stop", 400},
        {"{", 400},
        {"[]", 400},
        {"null", 400},
        {"{}", 400},
        {"{\"bus\":1}", 400},
        {"{\"bus\":1,\"ask\":\"raise\"}", 400},
        {"{\"bus\":1,\"ask\":\"raise\",\"moment\":1}", 400},
        {"{\"bus\":1,\"ask\":\"stop\",\"moment\":\"1-1\",\"also\":1}", 400},
        {"{\"ask\":\"stop\"}", 400},
        {"{\"bus\":1,\"ask\":\"explode\"}", 400},
        {"{\"bus\":1,\"ask\":\"Stop\"}", 400},
        {"{\"bus\":1,\"ask\":\"stop \"}", 400},
        {"{\"bus\":1,\"ask\":7}", 400},
        {"{\"bus\":1,\"ask\":null}", 400},
        {"{\"bus\":\"1\",\"ask\":\"stop\"}", 400},
        {"{\"bus\":1,\"ask\":\"stop\",\"also\":1}", 400},
        {"{\"bus\":1,\"bus\":1,\"ask\":\"stop\"}", 400},
        {"{\"bus\":1,\"ask\":\"stop\"}{\"bus\":1,\"ask\":\"raise\"}", 400},
        {"{\"bus\":1,\"ask\":\"stop\"} x", 400},
        {"{\"BUS\":1,\"ASK\":\"stop\"}", 400},
        {"{\"bus\":1,\"ask\":\"jog-up\"}", 400},
        {"{\"bus\":2,\"ask\":\"stop\"}", 404},
        {"{\"bus\":0,\"ask\":\"stop\"}", 404},
        {"{\"bus\":-1,\"ask\":\"stop\"}", 404},
        {"{\"bus\":1.5,\"ask\":\"stop\"}", 404},
        {"{\"bus\":1e300,\"ask\":\"stop\"}", 404},
        {much, 413},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const struct browser *browser = browse_post(&stage, "/ask", "", cases[i].body);
        if (browser->code != cases[i].code || strstr(browser->body, "\"error\":") == NULL) {
            fail_msg("%s: %d %s", cases[i].body, browser->code, browser->body);
        }
    }
    assert_int_equal(stage.requests, 0);
}

static void deep_nesting_is_no_request(void **state) {
    (void)state;
    char body[REQUESTS_BODY_MAX + 1];
    memset(body, '[', REQUESTS_BODY_MAX);
    body[REQUESTS_BODY_MAX] = '\0';
    assert_int_equal(browse_post(&stage, "/ask", "", body)->code, 400);
}

int main(void) {
    static const struct CMUnitTest tests[] = {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_stage, close_stage)
        STAGED(each_word_is_one_request),
        STAGED(throttle_says_how_far_it_is_open),
        STAGED(hand_that_holds_on_or_lets_go_is_no_news),
        STAGED(s9_letting_go_is_always_taken),
        STAGED(meters_are_told_volts_and_the_hand),
        STAGED(a_grant_says_what_it_waits_for),
        STAGED(a_stop_is_done_and_not_granted),
        STAGED(what_would_change_nothing_is_said_before),
        STAGED(a_refusal_says_why_and_is_told_to_others),
        STAGED(a_bridge_moved_by_hand_says_so),
        STAGED(s9_a_lock_bars_all_but_the_stops),
        STAGED(s9_a_stand_that_is_local_bars_all_but_the_stops),
        STAGED(what_would_be_refused_shows_before_it_is_asked),
        STAGED(whoever_asks_has_a_number_below_zero_and_a_name),
        STAGED(the_horn_falls_silent_by_itself),
        STAGED(what_comes_late_sets_nothing_going),
        STAGED(what_is_no_request_changes_nothing),
        STAGED(deep_nesting_is_no_request),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
