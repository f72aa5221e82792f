/* What is wrong with a bridge that is being set up: each case by its name. */
#include "support/check.h"
#include "tools/drawtender/commission/setup_findings.h"

#include <math.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static void contact_worked_by_hand_tells_how_it_is_wired(void **state) {
    (void)state;
    static const struct {
        struct findings_contact seen;
        enum finding want;
    } cases[] = {
        {{true, false, false}, FINDING_GOOD},         {{true, false, true}, FINDING_TIED},
        {{false, true, false}, FINDING_INVERTED},     {{false, true, true}, FINDING_INVERTED},
        {{false, false, true}, FINDING_SWAPPED},      {{true, true, true}, FINDING_SWAPPED},
        {{false, false, false}, FINDING_NEVER_MAKES}, {{true, true, false}, FINDING_ALWAYS_MADE},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        assert_int_equal(findings_of_contact(&cases[i].seen), cases[i].want);
    }
}

static void nudge_tells_how_the_motor_is_wired(void **state) {
    (void)state;
    static const struct {
        struct findings_nudge seen;
        enum finding want;
    } cases[] = {
        {{1, 0, CURRENT_FLOWS}, FINDING_GOOD},
        {{1, -1, CURRENT_UNKNOWN}, FINDING_GOOD},
        {{1, 0, CURRENT_NONE}, FINDING_CURRENT_DEAD},
        {{-1, 0, CURRENT_FLOWS}, FINDING_MOTOR_REVERSED},
        {{-1, 0, CURRENT_NONE}, FINDING_MOTOR_REVERSED},
        {{0, 1, CURRENT_FLOWS}, FINDING_MOTOR_REVERSED}, /* from the seat: up was against it */
        {{0, 1, CURRENT_UNKNOWN}, FINDING_MOTOR_REVERSED},
        {{0, -1, CURRENT_FLOWS}, FINDING_ONE_WAY_ONLY},
        {{0, 0, CURRENT_FLOWS}, FINDING_MOTOR_HELD_FAST},
        {{0, 0, CURRENT_UNKNOWN}, FINDING_MOTOR_HELD_FAST},
        {{0, 0, CURRENT_NONE}, FINDING_MOTOR_DEAD},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        assert_int_equal(findings_of_nudge(&cases[i].seen), cases[i].want);
    }
}

static void current_of_a_turning_motor_is_at_least_its_no_load_current(void **state) {
    (void)state;
    assert_int_equal(findings_current((double)NAN, 1), CURRENT_UNKNOWN);
    assert_int_equal(findings_current(0.05, 1), CURRENT_NONE);
    assert_int_equal(findings_current(1.2, 1), CURRENT_FLOWS);
    assert_int_equal(findings_current(-1.2, 1), CURRENT_FLOWS);
}

static void every_finding_says_what_it_is_and_what_to_mend(void **state) {
    (void)state;
    for (unsigned i = 0; i < FINDINGS; i++) {
        assert_true(strlen(finding_text((enum finding)i)) > 5);
        assert_true(i == FINDING_GOOD || strlen(finding_remedy((enum finding)i)) > 5);
        for (unsigned k = 0; k < i; k++) {
            assert_string_not_equal(finding_text((enum finding)i), finding_text((enum finding)k));
        }
    }
}

static void seated_span_reads_so(void **state) {
    (void)state;
    assert_int_equal(findings_seated_reading("seated"), 1);
    assert_int_equal(findings_seated_reading("open"), 0);
    assert_int_equal(findings_seated_reading("withdrawn"), 0);
    assert_int_equal(findings_seated_reading("rail-4"), 1);
    assert_int_equal(findings_seated_reading("toast"), -1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(contact_worked_by_hand_tells_how_it_is_wired),
        cmocka_unit_test(nudge_tells_how_the_motor_is_wired),
        cmocka_unit_test(current_of_a_turning_motor_is_at_least_its_no_load_current),
        cmocka_unit_test(every_finding_says_what_it_is_and_what_to_mend),
        cmocka_unit_test(seated_span_reads_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
