/* Countdowns, watches and debouncing: no clock, no underflow, restriction before permission. */
#include "core/timing.h"
#include "support/check.h"

static void countdown_stops_at_zero(void **state) {
    (void)state;
    static const struct {
        uint32_t left_us, dt_us, want_us;
    } cases[] = {
        {10, 0, 10},         {10, 3, 7},         {10, 10, 0}, {10, 11, 0},
        {10, UINT32_MAX, 0}, {0, UINT32_MAX, 0}, {0, 0, 0},   {UINT32_MAX, 1, UINT32_MAX - 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal(countdown(cases[i].left_us, cases[i].dt_us), cases[i].want_us);
    }
}

static void watch_expires_once_its_condition_has_held_long_enough(void **state) {
    (void)state;
    static const struct {
        bool holds;
        uint32_t dt_us;
        bool want;
    } steps[] = {
        {false, 500, false}, /* not running */
        {true, 500, false},  /* starts; the time before does not count */
        {true, 60, false},   {true, 39, false}, {true, 1, true},
        {true, 0, true},     {false, 0, false}, /* one step without it: from the start */
        {true, 100, false},  {true, 99, false}, {true, 500, true},
    };
    struct watch watch = {0};
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        assert_int_equal(watch_step(&watch, steps[i].holds, 100, steps[i].dt_us), steps[i].want);
        assert_int_equal(watch_has_expired(&watch), steps[i].want);
    }
}

static void watch_without_a_limit_expires_at_once(void **state) {
    (void)state;
    struct watch watch = {0};
    assert_true(watch_step(&watch, true, 0, 0));
    assert_false(watch_step(&watch, false, 0, 0));
}

static void contact_is_believed_once_it_has_held_and_lost_at_once(void **state) {
    (void)state;
    static const struct {
        enum level reading;
        uint32_t dt_us;
        enum level want;
    } steps[] = {
        {LEVEL_UNKNOWN, 10, LEVEL_UNKNOWN},
        {LEVEL_ON, 500, LEVEL_UNKNOWN}, /* first seen now, whatever the time before */
        {LEVEL_ON, 49, LEVEL_UNKNOWN},
        {LEVEL_ON, 1, LEVEL_ON},
        {LEVEL_OFF, 500, LEVEL_ON}, /* a bounce */
        {LEVEL_OFF, 49, LEVEL_ON},
        {LEVEL_ON, 500, LEVEL_ON},
        {LEVEL_OFF, 0, LEVEL_ON},
        {LEVEL_OFF, 50, LEVEL_OFF},
        {LEVEL_ON, 0, LEVEL_OFF},
        {LEVEL_UNKNOWN, 0, LEVEL_UNKNOWN}, /* no reading: no hold */
        {LEVEL_ON, 0, LEVEL_UNKNOWN},      /* and the whole hold again */
        {LEVEL_ON, 49, LEVEL_UNKNOWN},
        {LEVEL_ON, 1, LEVEL_ON},
    };
    struct debounced contact = {0};
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        assert_int_equal(debounce_step(&contact, steps[i].reading, 50, lapse_of(steps[i].dt_us, 0)),
                         steps[i].want);
        assert_int_equal(contact.believed, steps[i].want);
    }
}

static void contact_that_holds_no_reading_is_given_up_after_a_while(void **state) {
    (void)state;
    enum { EVERY_US = 40000, HOLD_US = 50000 };
    struct debounced contact = {0};
    debounce_step(&contact, LEVEL_ON, HOLD_US, lapse_of(0, 0));
    assert_int_equal(debounce_step(&contact, LEVEL_ON, HOLD_US, lapse_of(HOLD_US, 0)), LEVEL_ON);
    uint64_t chattered_us = 0;
    for (bool is_on = false; contact.believed == LEVEL_ON; is_on = !is_on) {
        assert_true(chattered_us <= BRIDGE_UNSETTLED_MAX_US);
        debounce_step(&contact, is_on ? LEVEL_ON : LEVEL_OFF, HOLD_US, lapse_of(EVERY_US, 0));
        chattered_us += EVERY_US;
    }
    assert_int_equal(contact.believed, LEVEL_UNKNOWN);
    assert_true(chattered_us >= BRIDGE_UNSETTLED_MAX_US);
    for (int i = 0; i < 1000; i++) { /* and it stays so, until a reading holds */
        enum level reading = i % 2 == 0 ? LEVEL_ON : LEVEL_OFF;
        assert_int_equal(debounce_step(&contact, reading, HOLD_US, lapse_of(EVERY_US, 0)),
                         LEVEL_UNKNOWN);
    }
    assert_int_equal(debounce_step(&contact, LEVEL_OFF, HOLD_US, lapse_of(HOLD_US, 0)), LEVEL_OFF);
}

static void bounces_that_settle_in_between_do_not_add_up(void **state) {
    (void)state;
    enum { HOLD_US = 50000 };
    struct debounced contact = {0};
    debounce_step(&contact, LEVEL_ON, HOLD_US, lapse_of(0, 0));
    debounce_step(&contact, LEVEL_ON, HOLD_US, lapse_of(HOLD_US, 0));
    for (int i = 0; i < 1000; i++) { /* a wheel passes, ten times a second: 100 s of them */
        assert_int_equal(debounce_step(&contact, LEVEL_OFF, HOLD_US, lapse_of(45000, 0)), LEVEL_ON);
        assert_int_equal(debounce_step(&contact, LEVEL_ON, HOLD_US, lapse_of(5000, 0)), LEVEL_ON);
        assert_int_equal(debounce_step(&contact, LEVEL_ON, HOLD_US, lapse_of(HOLD_US, 0)),
                         LEVEL_ON);
    }
    debounce_step(&contact, LEVEL_OFF, HOLD_US, lapse_of(0, 0));
    debounce_step(&contact, LEVEL_UNKNOWN, HOLD_US, lapse_of(1, 0));
    assert_int_equal(contact.unsettled_us, 0);
}

/* What holds after a gap may have been away meanwhile; that it chatters is no less true. */
static void gap_is_no_time_in_which_a_contact_has_held(void **state) {
    (void)state;
    enum { HOLD_US = 50000 };
    struct debounced contact = {0};
    debounce_step(&contact, LEVEL_ON, HOLD_US, lapse_of(0, 0));
    assert_int_equal(debounce_step(&contact, LEVEL_ON, HOLD_US, lapse_of(5000000, 5000000)),
                     LEVEL_UNKNOWN);
    assert_int_equal(debounce_step(&contact, LEVEL_ON, HOLD_US, lapse_of(HOLD_US, UINT32_MAX)),
                     LEVEL_UNKNOWN);
    assert_int_equal(debounce_step(&contact, LEVEL_ON, HOLD_US, lapse_of(60000, 10000)), LEVEL_ON);
    debounce_step(&contact, LEVEL_OFF, HOLD_US, lapse_of(0, 0));
    assert_int_equal(debounce_step(&contact, LEVEL_ON, HOLD_US,
                                   lapse_of(BRIDGE_UNSETTLED_MAX_US, BRIDGE_UNSETTLED_MAX_US)),
                     LEVEL_UNKNOWN);
}

static void lasting_watch_outlasts_a_pause_shorter_than_itself(void **state) {
    (void)state;
    static const struct {
        enum lasting told;
        uint32_t dt_us;
        bool want;
    } steps[] = {
        {LASTING_EASE, 500, false},
        {LASTING_KEEP, 500, false},
        {LASTING_COUNT, 500, false}, /* begins; the time before does not count */
        {LASTING_COUNT, 60, false},  /* 40 left */
        {LASTING_EASE, 500, false},  /* away since now */
        {LASTING_EASE, 99, false},
        {LASTING_COUNT, 500, false}, /* goes on; the pause does not count */
        {LASTING_COUNT, 39, false},
        {LASTING_KEEP, 5000, false},
        {LASTING_COUNT, 500, false},
        {LASTING_EASE, 500, false},
        {LASTING_EASE, 100, false}, /* away for as long as it is */
        {LASTING_COUNT, 0, false},
        {LASTING_COUNT, 99, false},
        {LASTING_COUNT, 1, true},
        {LASTING_EASE, 0, false},
        {LASTING_COUNT, 0, true},
        {LASTING_CLEAR, 0, false},
        {LASTING_COUNT, 0, false},
        {LASTING_COUNT, 99, false},
        {(enum lasting)(LASTING_COUNT + 1), 1, false},
    };
    struct lasting_watch lasting = {0};
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        assert_int_equal(lasting_step(&lasting, steps[i].told, 100, steps[i].dt_us), steps[i].want);
    }
}

static void sum_of_times_does_not_wrap(void **state) {
    (void)state;
    assert_int_equal(added_us(3, 4), 7);
    assert_true(added_us(UINT32_MAX - 1, 1) == UINT32_MAX);
    assert_true(added_us(UINT32_MAX, UINT32_MAX) == UINT32_MAX);
}

static void contact_without_hold_is_believed_at_once(void **state) {
    (void)state;
    struct debounced contact = {0};
    assert_int_equal(debounce_step(&contact, LEVEL_OFF, 0, lapse_of(0, 0)), LEVEL_OFF);
    assert_int_equal(debounce_step(&contact, LEVEL_ON, 0, lapse_of(0, 0)), LEVEL_ON);
}

static void wake_times_are_what_is_left_and_never_where_nothing_runs(void **state) {
    (void)state;
    const struct watch running = {true, 7};
    const struct watch expired = {true, 0};
    const struct debounced settling = {LEVEL_OFF, LEVEL_ON, 9, 99};
    const struct debounced settled = {LEVEL_ON, LEVEL_ON, 0, 0};
    assert_int_equal(countdown_wake_us(5), 5);
    assert_int_equal(countdown_wake_us(0), UINT32_MAX);
    assert_int_equal(watch_wake_us(&running), 7);
    assert_int_equal(watch_wake_us(&expired), UINT32_MAX);
    assert_int_equal(debounce_wake_us(&settling), 9);
    assert_int_equal(debounce_wake_us(&settled), UINT32_MAX);
    struct watch stopped = running;
    watch_step(&stopped, false, 10, 0);
    assert_int_equal(watch_wake_us(&stopped), UINT32_MAX);
    struct debounced lost = settling;
    debounce_step(&lost, LEVEL_UNKNOWN, 10, lapse_of(0, 0));
    assert_int_equal(debounce_wake_us(&lost), UINT32_MAX);
    assert_int_equal(sooner_us(3, 4), 3);
    assert_int_equal(sooner_us(4, 3), 3);
    assert_int_equal(sooner_us(4, 4), 4);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(countdown_stops_at_zero),
        cmocka_unit_test(watch_expires_once_its_condition_has_held_long_enough),
        cmocka_unit_test(watch_without_a_limit_expires_at_once),
        cmocka_unit_test(contact_is_believed_once_it_has_held_and_lost_at_once),
        cmocka_unit_test(contact_that_holds_no_reading_is_given_up_after_a_while),
        cmocka_unit_test(bounces_that_settle_in_between_do_not_add_up),
        cmocka_unit_test(gap_is_no_time_in_which_a_contact_has_held),
        cmocka_unit_test(lasting_watch_outlasts_a_pause_shorter_than_itself),
        cmocka_unit_test(sum_of_times_does_not_wrap),
        cmocka_unit_test(contact_without_hold_is_believed_at_once),
        cmocka_unit_test(wake_times_are_what_is_left_and_never_where_nothing_runs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
