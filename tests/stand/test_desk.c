/* The buttons and switches of a stand together: what each asks, and who may. */
#include "stand/desk.h"
#include "support/check.h"

enum { HOLD_US = 20000, STUCK_US = 30000000 };

static struct stand_setup setup;
static struct desk desk;
static uint64_t now_us;

static void begin(const enum stand_control_kind *kinds, unsigned count) {
    setup = (struct stand_setup){.controls = count};
    for (unsigned i = 0; i < count; i++) {
        bool is_switch = stand_control_is_switch(kinds[i]);
        setup.control[i] = (struct stand_control){
            .kind = kinds[i], .debounce_us = HOLD_US, .stuck_us = is_switch ? 0 : STUCK_US};
    }
    desk_init(&desk, &setup);
    now_us = 1;
}

/* Puts a control there and waits until it settles. Returns the one thing that was asked, if any. */
static enum bridge_request_kind put(unsigned control, enum level level) {
    enum bridge_request_kind asked = REQUEST_NONE;
    struct desk_news news;
    for (unsigned turn = 0; turn < 2; turn++, now_us += HOLD_US) {
        while (desk_look(&desk, control, level, now_us, &news)) {
            assert_true(asked == REQUEST_NONE || news.asks == REQUEST_NONE);
            asked = news.asks != REQUEST_NONE ? news.asks : asked;
        }
    }
    return asked;
}

/* A mushroom's contact is the other way round. */
static enum level at_rest(enum stand_control_kind kind) {
    return kind == STAND_EMERGENCY_STOP ? LEVEL_ON : LEVEL_OFF;
}

static void each_button_asks_once_for_what_it_is(void **state) {
    (void)state;
    static const struct {
        enum stand_control_kind kind;
        enum bridge_request_kind pressed, released;
    } buttons[] = {
        {STAND_RAISE, REQUEST_RAISE, REQUEST_NONE},
        {STAND_LOWER, REQUEST_LOWER, REQUEST_NONE},
        {STAND_STOP, REQUEST_STOP, REQUEST_NONE},
        {STAND_EMERGENCY_STOP, REQUEST_EMERGENCY_STOP, REQUEST_NONE},
        {STAND_ACKNOWLEDGE, REQUEST_ACKNOWLEDGE, REQUEST_NONE},
        {STAND_SEEN_CLEAR, REQUEST_SEEN_CLEAR, REQUEST_NONE},
        {STAND_POWER_ON, REQUEST_POWER_ON, REQUEST_NONE},
        {STAND_POWER_OFF, REQUEST_POWER_OFF, REQUEST_NONE},
        {STAND_HORN, REQUEST_HORN_ON, REQUEST_HORN_OFF},
        {STAND_GRIP, REQUEST_NONE, REQUEST_NONE},
        {STAND_LAMP_TEST, REQUEST_NONE, REQUEST_NONE},
        {STAND_KEY_SWITCH, REQUEST_NONE, REQUEST_NONE},
        {STAND_LOCAL, REQUEST_NONE, REQUEST_NONE},
    };
    assert_int_equal(sizeof buttons / sizeof buttons[0], STAND_CONTROL_KINDS);
    for (unsigned i = 0; i < STAND_CONTROL_KINDS; i++) {
        enum stand_control_kind kind = buttons[i].kind;
        enum level rest = at_rest(kind);
        enum level pressed = rest == LEVEL_ON ? LEVEL_OFF : LEVEL_ON;
        begin(&kind, 1);
        assert_int_equal(put(0, rest), REQUEST_NONE);
        assert_int_equal(put(0, pressed), buttons[i].pressed);
        assert_int_equal(put(0, pressed), REQUEST_NONE);
        assert_true(desk_is_pressed(&desk, kind));
        assert_int_equal(put(0, rest), buttons[i].released);
        assert_false(desk_is_pressed(&desk, kind));
    }
}

static void a_stop_is_asked_for_at_once(void **state) {
    (void)state;
    static const enum stand_control_kind kinds[] = {STAND_STOP, STAND_RAISE};
    struct desk_news news;
    begin(kinds, 2);
    put(0, LEVEL_OFF);
    put(1, LEVEL_OFF);
    assert_true(desk_look(&desk, 0, LEVEL_ON, now_us, &news));
    assert_int_equal(news.asks, REQUEST_STOP);
    assert_false(desk_look(&desk, 1, LEVEL_ON, now_us, &news));
    assert_int_equal(desk_wake_us(&desk, now_us), HOLD_US);
}

/* The closed-circuit principle (49 CFR 236.5): what cannot be proved is a restriction. */
static void a_mushroom_that_is_not_proved_at_rest_is_an_emergency_stop(void **state) {
    (void)state;
    static const enum stand_control_kind kind = STAND_EMERGENCY_STOP;
    static const enum level levels[] = {LEVEL_UNKNOWN, LEVEL_OFF};
    for (unsigned i = 0; i < 2; i++) {
        begin(&kind, 1); /* at the start, too */
        assert_int_equal(put(0, levels[i]), REQUEST_EMERGENCY_STOP);
        assert_non_null(desk_refuses_itself(&desk, REQUEST_ACKNOWLEDGE));
        assert_non_null(desk_refuses_others(&desk, REQUEST_RAISE));
        assert_int_equal(put(0, LEVEL_ON), REQUEST_NONE);
        assert_null(desk_refuses_itself(&desk, REQUEST_ACKNOWLEDGE));
        assert_null(desk_refuses_others(&desk, REQUEST_RAISE));
        assert_int_equal(put(0, levels[i]), REQUEST_EMERGENCY_STOP);
    }
}

static void a_horn_that_sticks_or_is_lost_falls_silent(void **state) {
    (void)state;
    static const enum stand_control_kind kind = STAND_HORN;
    begin(&kind, 1);
    put(0, LEVEL_OFF);
    assert_int_equal(put(0, LEVEL_ON), REQUEST_HORN_ON);
    now_us += STUCK_US;
    assert_int_equal(put(0, LEVEL_ON), REQUEST_HORN_OFF);
    assert_int_equal(put(0, LEVEL_ON), REQUEST_NONE);
    put(0, LEVEL_OFF);
    assert_int_equal(put(0, LEVEL_ON), REQUEST_HORN_ON);
    assert_int_equal(put(0, LEVEL_UNKNOWN), REQUEST_HORN_OFF);
}

static void without_its_key_a_stand_stops_and_asks_nothing_else(void **state) {
    (void)state;
    static const enum stand_control_kind kind = STAND_KEY_SWITCH;
    begin(&kind, 1);
    for (unsigned turn = 0; turn < 2; turn++) {
        assert_non_null(desk_refuses_itself(&desk, REQUEST_RAISE));
        assert_non_null(desk_refuses_itself(&desk, REQUEST_THROTTLE_UP));
        assert_null(desk_refuses_itself(&desk, REQUEST_STOP));
        assert_null(desk_refuses_itself(&desk, REQUEST_EMERGENCY_STOP));
        assert_null(desk_refuses_others(&desk, REQUEST_RAISE));
        put(0, LEVEL_ON);
        assert_null(desk_refuses_itself(&desk, REQUEST_RAISE));
        put(0, turn == 0 ? LEVEL_OFF : LEVEL_UNKNOWN);
    }
    assert_non_null(desk_refuses_itself(&desk, REQUEST_RAISE));
    begin(NULL, 0); /* a stand that has none needs none */
    assert_null(desk_refuses_itself(&desk, REQUEST_RAISE));
}

static void local_keeps_everybody_else_from_all_but_the_stops(void **state) {
    (void)state;
    static const enum stand_control_kind kind = STAND_LOCAL;
    begin(&kind, 1);
    put(0, LEVEL_OFF);
    assert_null(desk_refuses_others(&desk, REQUEST_RAISE));
    put(0, LEVEL_ON);
    for (unsigned i = REQUEST_NONE + 1; i <= REQUEST_HORN_OFF; i++) {
        bool is_stop = i == REQUEST_STOP || i == REQUEST_EMERGENCY_STOP;
        bool is_allowed = is_stop || i == REQUEST_HORN_OFF;
        assert_int_equal(desk_refuses_others(&desk, (enum bridge_request_kind)i) == NULL,
                         is_allowed);
        assert_null(desk_refuses_itself(&desk, (enum bridge_request_kind)i));
    }
    put(0, LEVEL_UNKNOWN); /* a failure gives nobody a right */
    assert_non_null(desk_refuses_others(&desk, REQUEST_RAISE));
    put(0, LEVEL_OFF);
    assert_null(desk_refuses_others(&desk, REQUEST_RAISE));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_button_asks_once_for_what_it_is),
        cmocka_unit_test(a_stop_is_asked_for_at_once),
        cmocka_unit_test(a_mushroom_that_is_not_proved_at_rest_is_an_emergency_stop),
        cmocka_unit_test(a_horn_that_sticks_or_is_lost_falls_silent),
        cmocka_unit_test(without_its_key_a_stand_stops_and_asks_nothing_else),
        cmocka_unit_test(local_keeps_everybody_else_from_all_but_the_stops),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
