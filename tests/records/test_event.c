/* Which requests are events of their own. */
#include "core/words/names.h"
#include "records/event.h"
#include "support/check.h"
#include "support/core/puppet.h"

#include <string.h>

enum { KEPT_MOST = 16 };

struct kept {
    struct event event[KEPT_MOST];
    unsigned count;
};

static void take(void *context, const struct event *event) {
    struct kept *kept = context;
    assert_true(kept->count < KEPT_MOST);
    kept->event[kept->count++] = *event;
}

/* The same request, asked so often, so long apart. */
static struct kept asked(enum bridge_request_kind kind, enum bridge_answer answer, unsigned times,
                         uint64_t apart_us) {
    struct bridge_setup setup = puppet_setup();
    struct event_places places;
    struct event_memory memory = {0};
    struct kept kept = {.count = 0};
    const struct event_sink sink = {&kept, take};
    struct item item = {.kind = ITEM_STEP, .at_us = 1000000, .who = 7};
    memset(&places, 0, sizeof places);
    item.step.request.kind = kind;
    item.step.answer = answer;
    for (unsigned i = 0; i < times; i++) {
        event_find(&setup, &places, &memory, &item, &sink);
        item.at_us += apart_us;
        item.step.serial++;
    }
    return kept;
}

static void request_is_told_with_who_asked_and_what_was_answered(void **state) {
    (void)state;
    struct kept kept = asked(REQUEST_THROTTLE_UP, ANSWER_GRANTED, 1, 0);
    assert_int_equal(kept.count, 1);
    assert_int_equal(kept.event[0].kind, EVENT_ASKED);
    assert_int_equal(kept.event[0].who, 7);
    assert_string_equal(kept.event[0].what, "throttle-up");
    kept = asked(REQUEST_THROTTLE_DOWN, ANSWER_FAULT, 1, 0);
    assert_int_equal(kept.event[0].kind, EVENT_REFUSED);
    assert_string_equal(kept.event[0].words, bridge_answer_text(ANSWER_FAULT));
}

static void hand_that_stays_at_its_throttle_is_no_event(void **state) {
    (void)state;
    assert_int_equal(asked(REQUEST_THROTTLE_HOLD, ANSWER_ALREADY, 10, 100000).count, 0);
    assert_int_equal(asked(REQUEST_THROTTLE_HOLD, ANSWER_LET_GO, 10, 100000).count, 0);
    struct kept kept = asked(REQUEST_THROTTLE_HOLD, ANSWER_NO_SUCH, 1, 0); /* which lets go */
    assert_int_equal(kept.count, 1);
    assert_int_equal(kept.event[0].kind, EVENT_REFUSED);
}

static void jog_asked_for_again_and_again_is_one_event(void **state) {
    (void)state;
    assert_int_equal(asked(REQUEST_JOG_UP, ANSWER_GRANTED, 10, JOG_US).count, 1);
    assert_int_equal(asked(REQUEST_JOG_UP, ANSWER_GRANTED, 3, 2 * JOG_US).count, 3);
}

static void refusals_are_urgent_but_of_a_hand_that_holds_on(void **state) {
    (void)state;
    static const struct {
        enum bridge_request_kind kind;
        enum bridge_answer answer;
        bool is_urgent;
    } cases[] = {{REQUEST_RAISE, ANSWER_FAULT, true},
                 {REQUEST_RAISE, ANSWER_GRANTED, false},
                 {REQUEST_STOP, ANSWER_GRANTED, true},
                 {REQUEST_THROTTLE_UP, ANSWER_FAULT, true},
                 {REQUEST_THROTTLE_HOLD, ANSWER_ALREADY, false},
                 {REQUEST_THROTTLE_HOLD, ANSWER_LET_GO, false},
                 {REQUEST_THROTTLE_HOLD, ANSWER_NO_SUCH, true}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct item_step step = {.answer = cases[i].answer};
        step.request.kind = cases[i].kind;
        assert_int_equal(event_is_urgent(&step), cases[i].is_urgent);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(request_is_told_with_who_asked_and_what_was_answered),
        cmocka_unit_test(hand_that_stays_at_its_throttle_is_no_event),
        cmocka_unit_test(jog_asked_for_again_and_again_is_one_event),
        cmocka_unit_test(refusals_are_urgent_but_of_a_hand_that_holds_on),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
