/* What a builder asks, of a lift with known numbers: the row's value, and its verdict on both sides
 * of the limit. */
#include "mechanics/findings/findings.h"
#include "support/check.h"
#include "support/mechanics/sizing_example.h"

#include <math.h>

static struct sizing_given example(void) {
    struct sizing_given given = sizing_example();
    given.builder = (struct builder_given){.heat = {4, 8, 30, 900, 30, 105},
                                           .duty = {12, 600, 120},
                                           .stall_watch_s = 0.5,
                                           .lead_m = 3,
                                           .wire_mm2 = NAN};
    return given;
}

static struct findings ask(const struct sizing_given *given) {
    struct sizing sizing = sizing_of(given);
    return findings_of(given, &sizing);
}

static struct finding find(const struct sizing_given *given, enum finding_about about) {
    struct findings findings = ask(given);
    for (unsigned i = 0; i < findings.count; i++) {
        if (findings.finding[i].about == about) {
            return findings.finding[i];
        }
    }
    fail_msg("no row %d", (int)about);
    return findings.finding[0];
}

static enum verdict_state state_of(const struct sizing_given *given, enum finding_about about) {
    return find(given, about).state;
}

static void rows_come_in_the_order_of_the_list(void **state) {
    (void)state;
    struct sizing_given given = example();
    struct findings findings = ask(&given);
    assert_true(findings.count > 5 && findings.count < FINDINGS_MAX);
    for (unsigned i = 1; i < findings.count; i++) {
        assert_true(finding_topic(findings.finding[i].about) >=
                    finding_topic(findings.finding[i - 1].about));
    }
}

static void a_span_moved_by_hand_has_none(void **state) {
    (void)state;
    struct sizing_given given = example();
    given.is_hand = true;
    assert_int_equal(ask(&given).count, 0);
}

static void a_row_without_its_value_is_unknown_or_left_out(void **state) {
    (void)state;
    struct findings findings = {0};
    findings_tell(&findings, FINDING_FUSE, NAN);
    assert_int_equal(findings.count, 0);
    assert_int_equal(findings_judge(&findings, FINDING_WIRE, NAN, 1, INFINITY)->state,
                     VERDICT_UNKNOWN);
    assert_int_equal(findings_judge(&findings, FINDING_WIRE, 2, NAN, INFINITY)->state,
                     VERDICT_UNKNOWN);
    assert_int_equal(findings_judge(&findings, FINDING_WIRE, 2, 3, INFINITY)->state, VERDICT_BAD);
    assert_int_equal(findings.count, 3);
    assert_int_equal(findings_bad(&findings), 1);
}

static void too_many_rows_are_left_out(void **state) {
    (void)state;
    struct findings findings = {0};
    for (int i = 0; i < FINDINGS_MAX + 2; i++) {
        findings_tell(&findings, FINDING_FUSE, 1);
    }
    assert_int_equal(findings.count, FINDINGS_MAX);
}

/* --- heat --- */

static void a_stall_must_end_before_the_winding_burns(void **state) {
    (void)state;
    struct sizing_given given = example();
    given.supply_a = 42; /* all that 12 V drive through 0.286 ohm: about a second */
    assert_int_equal(state_of(&given, FINDING_STALL_WATCH_TIME), VERDICT_GOOD);
    given.builder.stall_watch_s = 2;
    assert_int_equal(state_of(&given, FINDING_STALL_WATCH_TIME), VERDICT_BAD);
    given.supply_a = NAN; /* a small one would be good */
    assert_int_equal(state_of(&given, FINDING_STALL_WATCH_TIME), VERDICT_UNKNOWN);
    given.supply_a = 2;
    assert_int_equal(state_of(&given, FINDING_STALL_WATCH_TIME), VERDICT_GOOD);
}

static void a_winding_above_its_limit_is_bad(void **state) {
    (void)state;
    struct sizing_given given = example();
    assert_int_equal(state_of(&given, FINDING_WINDING_EVENING), VERDICT_GOOD);
    given.builder.heat.to_air_k_w = 200;
    given.builder.duty.every_s = 120;
    assert_int_equal(state_of(&given, FINDING_WINDING_EVENING), VERDICT_BAD);
}

static void a_thin_wire_and_a_long_lead_are_bad(void **state) {
    (void)state;
    struct sizing_given given = example();
    given.builder.wire_mm2 = 1;
    assert_int_equal(state_of(&given, FINDING_WIRE), VERDICT_GOOD);
    given.builder.wire_mm2 = 0.2;
    given.builder.lead_m = 5;
    assert_int_equal(state_of(&given, FINDING_WIRE), VERDICT_BAD);
    assert_int_equal(state_of(&given, FINDING_LEAD_LOSS), VERDICT_BAD);
}

static void the_supply_must_have_current_to_spare(void **state) {
    (void)state;
    struct sizing_given given = example();
    double wanted_a = find(&given, FINDING_SUPPLY_RATING).value;
    struct sizing sizing = sizing_of(&given);
    assert_true(fabs(wanted_a - 1.25 * sizing.demand.current_a) < 1e-12);
    given.supply_a = 0.99 * wanted_a;
    assert_int_equal(state_of(&given, FINDING_SUPPLY_RATING), VERDICT_BAD);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_come_in_the_order_of_the_list),
        cmocka_unit_test(a_span_moved_by_hand_has_none),
        cmocka_unit_test(a_row_without_its_value_is_unknown_or_left_out),
        cmocka_unit_test(too_many_rows_are_left_out),
        cmocka_unit_test(a_stall_must_end_before_the_winding_burns),
        cmocka_unit_test(a_winding_above_its_limit_is_bad),
        cmocka_unit_test(a_thin_wire_and_a_long_lead_are_bad),
        cmocka_unit_test(the_supply_must_have_current_to_spare),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
