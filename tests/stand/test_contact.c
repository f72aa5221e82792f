/* One contact of the stand: debounced, armed by its release, lost, stuck. */
#include "stand/contact.h"
#include "support/check.h"

static const struct contact_setup button = {
    .press_us = 20000, .release_us = 20000, .stuck_us = 30000000};
static const struct contact_setup selector = {
    .press_us = 20000, .release_us = 20000, .is_switch = true};

static struct contact contact;

static int clear(void **state) {
    (void)state;
    contact = (struct contact){.since_us = 0};
    return 0;
}

static void expect(const struct contact_setup *setup, enum level reading, uint64_t now_us,
                   enum contact_news wanted) {
    assert_int_equal(contact_look(&contact, setup, reading, now_us), wanted);
    if (wanted != CONTACT_NO_NEWS && wanted != CONTACT_FOUND) {
        assert_int_equal(contact_look(&contact, setup, reading, now_us), CONTACT_NO_NEWS);
    }
}

static void release_first(const struct contact_setup *setup) {
    expect(setup, LEVEL_OFF, 1000, CONTACT_NO_NEWS);
    expect(setup, LEVEL_OFF, 21000, CONTACT_NO_NEWS);
}

static void a_press_counts_once_it_has_held(void **state) {
    (void)state;
    release_first(&button);
    expect(&button, LEVEL_ON, 100000, CONTACT_NO_NEWS);
    assert_int_equal(contact_wake_us(&contact, &button, 100000), 20000);
    expect(&button, LEVEL_ON, 119999, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 120000, CONTACT_PRESSED);
    assert_true(contact.is_pressed);
    expect(&button, LEVEL_OFF, 200000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_OFF, 220000, CONTACT_RELEASED);
    assert_false(contact.is_pressed);
    assert_int_equal(contact_wake_us(&contact, &button, 220000), UINT32_MAX);
}

static void a_bounce_is_no_press_and_no_release(void **state) {
    (void)state;
    release_first(&button);
    for (uint64_t now_us = 100000; now_us < 200000; now_us += 10000) {
        expect(&button, now_us % 20000 == 0 ? LEVEL_ON : LEVEL_OFF, now_us, CONTACT_NO_NEWS);
    }
    expect(&button, LEVEL_ON, 200000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 220000, CONTACT_PRESSED);
    expect(&button, LEVEL_OFF, 230000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 240000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 300000, CONTACT_NO_NEWS);
    assert_true(contact.is_pressed);
}

static void what_is_pressed_at_the_start_counts_only_after_its_release(void **state) {
    (void)state;
    expect(&button, LEVEL_ON, 0, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 50000, CONTACT_NO_NEWS);
    assert_false(contact.is_pressed);
    expect(&button, LEVEL_OFF, 60000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_OFF, 80000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 90000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 110000, CONTACT_PRESSED);
}

static void a_switch_counts_as_it_stands(void **state) {
    (void)state;
    expect(&selector, LEVEL_ON, 0, CONTACT_NO_NEWS);
    expect(&selector, LEVEL_ON, 20000, CONTACT_PRESSED);
    expect(&selector, LEVEL_ON, UINT64_C(86400000000), CONTACT_NO_NEWS); /* a day */
    assert_true(contact.is_pressed);
}

static void a_stuck_button_is_told_once_and_counts_as_released(void **state) {
    (void)state;
    release_first(&button);
    expect(&button, LEVEL_ON, 100000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 120000, CONTACT_PRESSED);
    assert_int_equal(contact_wake_us(&contact, &button, 120000), 29980000);
    expect(&button, LEVEL_ON, 30099999, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 30100000, CONTACT_STUCK);
    assert_false(contact.is_pressed);
    expect(&button, LEVEL_ON, 90000000, CONTACT_NO_NEWS);
    assert_int_equal(contact_wake_us(&contact, &button, 90000000), UINT32_MAX);
    expect(&button, LEVEL_OFF, 91000000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_OFF, 91020000, CONTACT_FREED);
}

static void a_button_that_is_stuck_from_the_start_is_told_too(void **state) {
    (void)state;
    expect(&button, LEVEL_ON, 0, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 20000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 30000000, CONTACT_STUCK);
}

static void what_cannot_be_read_is_released_and_must_be_seen_so_again(void **state) {
    (void)state;
    release_first(&button);
    expect(&button, LEVEL_ON, 100000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 120000, CONTACT_PRESSED);
    expect(&button, LEVEL_UNKNOWN, 130000, CONTACT_LOST);
    assert_false(contact.is_pressed);
    assert_int_equal(contact_wake_us(&contact, &button, 130000), UINT32_MAX);
    expect(&button, LEVEL_UNKNOWN, 900000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 1000000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 1020000, CONTACT_FOUND);
    expect(&button, LEVEL_ON, 1020000, CONTACT_NO_NEWS);
    assert_false(contact.is_pressed);
    expect(&button, LEVEL_OFF, 1100000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_OFF, 1120000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 1200000, CONTACT_NO_NEWS);
    expect(&button, LEVEL_ON, 1220000, CONTACT_PRESSED);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(a_press_counts_once_it_has_held, clear),
        cmocka_unit_test_setup(a_bounce_is_no_press_and_no_release, clear),
        cmocka_unit_test_setup(what_is_pressed_at_the_start_counts_only_after_its_release, clear),
        cmocka_unit_test_setup(a_switch_counts_as_it_stands, clear),
        cmocka_unit_test_setup(a_stuck_button_is_told_once_and_counts_as_released, clear),
        cmocka_unit_test_setup(a_button_that_is_stuck_from_the_start_is_told_too, clear),
        cmocka_unit_test_setup(what_cannot_be_read_is_released_and_must_be_seen_so_again, clear),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
