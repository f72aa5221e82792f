/* Every value of every enum of the core has words, and no two have the same. */
#include "core/words/names.h"
#include "support/check.h"

#include <ctype.h>
#include <string.h>

typedef const char *words_of(unsigned value);

static const char *phase_name(unsigned value) {
    return bridge_phase_name((enum bridge_phase)value);
}
static const char *goal_name(unsigned value) {
    return bridge_goal_name((enum bridge_goal)value);
}
static const char *fault_name(unsigned value) {
    return bridge_fault_name((enum bridge_fault)value);
}
static const char *fault_text(unsigned value) {
    return bridge_fault_text((enum bridge_fault)value);
}
static const char *answer_text(unsigned value) {
    return bridge_answer_text((enum bridge_answer)value);
}
static const char *wait_text(unsigned value) {
    return bridge_wait_text((enum bridge_wait)value);
}

static const char *request_name(unsigned value) {
    return bridge_request_name((enum bridge_request_kind)value);
}

static const struct {
    words_of *words;
    unsigned count;
    bool is_one_word;
} lists[] = {
    {phase_name, BRIDGE_PHASES, true},
    {goal_name, GOAL_DOWN + 1, true},
    {fault_name, BRIDGE_FAULTS, true},
    {fault_text, BRIDGE_FAULTS, false},
    {request_name, REQUEST_HORN_OFF + 1, true},
    {wait_text, BRIDGE_WAITS, false},
    {answer_text, ANSWER_CAUSE_STANDS + 1, false},
};
static const size_t lists_count = sizeof lists / sizeof lists[0];

static void every_value_has_words_of_its_own(void **state) {
    (void)state;
    for (size_t l = 0; l < lists_count; l++) {
        for (unsigned i = 0; i < lists[l].count; i++) {
            const char *words = lists[l].words(i);
            assert_non_null(words);
            assert_true(strlen(words) > 1);
            for (unsigned k = 0; k < i; k++) {
                assert_string_not_equal(words, lists[l].words(k));
            }
        }
    }
}

static void names_are_single_lower_case_words(void **state) {
    (void)state;
    for (size_t l = 0; l < lists_count; l++) {
        for (unsigned i = 0; lists[l].is_one_word && i < lists[l].count; i++) {
            for (const char *c = lists[l].words(i); *c != '\0'; c++) {
                assert_true(islower((unsigned char)*c) || *c == '-');
            }
        }
    }
}

/* Names go out on the wire and into records: these must not change unseen. */
static void names_stand_for_their_values(void **state) {
    (void)state;
    assert_string_equal(bridge_phase_name(PHASE_UNPROVED), "unproved");
    assert_string_equal(bridge_phase_name(PHASE_LINED), "lined");
    assert_string_equal(bridge_phase_name(PHASE_HELD), "held");
    assert_string_equal(bridge_phase_name(PHASE_FAULT), "fault");
    assert_string_equal(bridge_goal_name(GOAL_UP), "up");
    assert_string_equal(bridge_goal_name(GOAL_DOWN), "down");
    assert_string_equal(bridge_fault_name(FAULT_NONE), "none");
    assert_string_equal(bridge_fault_name(FAULT_DRIFT), "drift");
    assert_string_equal(bridge_fault_text(FAULT_STALL), "the motor current stayed at its limit");
    assert_string_equal(bridge_answer_text(ANSWER_NOT_LINED),
                        "the span is not lined for rail: lower it first");
    assert_string_equal(bridge_wait_text(WAIT_LOCKED), "span lock to be proved driven");
}

static void waits_are_told_with_their_place_as_far_as_they_have_one(void **state) {
    (void)state;
    static const struct {
        enum bridge_wait what;
        const char *words;
    } cases[] = {
        {WAIT_NONE, ""},
        {WAIT_SIGNAL_PROOF, "home signal to be proved at stop (main, west)"},
        {WAIT_APPROACH_LOCK, "approach locking to release (main, west)"},
        {WAIT_STOP_SECTION, "stop section to be clear (main, west)"},
        {WAIT_SPAN_SECTION, "span section to be clear (main)"},
        {WAIT_POWER_PROOF, "section to be proved dead (main)"},
        {WAIT_POWER, "power to return in the section (main)"},
        {WAIT_POWER_REQUEST, "track power to be switched on"},
        {WAIT_WARNING, "warning to end"},
        {WAIT_HAND_TRAVEL, "span to be moved by hand"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char words[128] = "?";
        const struct bridge_waiting waiting = {.what = cases[i].what};
        bridge_wait_words(&waiting, "main", "west", words, sizeof words);
        assert_string_equal(words, cases[i].words);
    }
}

static void an_answer_is_a_grant_or_a_refusal(void **state) {
    (void)state;
    for (int answer = ANSWER_NONE; answer <= ANSWER_CAUSE_STANDS; answer++) {
        assert_int_equal(bridge_answer_is_granted((enum bridge_answer)answer),
                         answer <= ANSWER_ALREADY);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_value_has_words_of_its_own),
        cmocka_unit_test(names_are_single_lower_case_words),
        cmocka_unit_test(names_stand_for_their_values),
        cmocka_unit_test(waits_are_told_with_their_place_as_far_as_they_have_one),
        cmocka_unit_test(an_answer_is_a_grant_or_a_refusal),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
