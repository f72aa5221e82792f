/* A hand at keys or lines: what it asks, when it lapses, and what is told of it. */
#include "support/check.h"
#include "tools/drawtender/hand/hand_input.h"
#include "tools/drawtender/hand/hand_text.h"

#include <math.h>
#include <string.h>

static struct hand hand;
static struct hand_input input;
static struct error error;

static int begin(void **state) {
    (void)state;
    hand_begin(&hand);
    input = (struct hand_input){0};
    return 0;
}

static enum hand_ask due(uint64_t now_ms) {
    bool has_lapsed;
    return hand_due(&hand, now_ms, &has_lapsed);
}

static bool take(const char *bytes, uint64_t now_ms) {
    return hand_input_take(&input, &hand, bytes, strlen(bytes), now_ms, &error);
}

static void key_that_is_held_begins_once_and_holds_on(void **state) {
    (void)state;
    assert_int_equal(due(0), HAND_NOTHING);
    assert_int_equal(hand_wait_ms(&hand, 0), -1);
    take("u", 1000);
    assert_int_equal(due(1000), HAND_UP);
    assert_int_equal(due(1000), HAND_NOTHING);
    assert_int_equal(hand_wait_ms(&hand, 1000), HAND_REFRESH_MS);
    assert_int_equal(due(1000 + HAND_REFRESH_MS), HAND_HOLD);
    take("u", 1600);
    assert_int_equal(due(1600), HAND_HOLD);
}

/* A first key waits for the keyboard's pause, those after it for the next repeat. */
static void key_that_does_not_repeat_lets_go(void **state) {
    (void)state;
    take("d", 0);
    assert_int_equal(due(0), HAND_DOWN);
    assert_int_equal(due(HAND_FIRST_MS - 1), HAND_HOLD);
    assert_int_equal(due(HAND_FIRST_MS), HAND_LET_GO);
    assert_int_equal(due(HAND_FIRST_MS), HAND_NOTHING);
    take("dd", 5000);
    assert_int_equal(due(5000), HAND_DOWN);
    assert_int_equal(due(5000 + HAND_NEXT_MS - 1), HAND_HOLD);
    bool has_lapsed;
    assert_int_equal(hand_due(&hand, 5000 + HAND_NEXT_MS, &has_lapsed), HAND_LET_GO);
    assert_true(has_lapsed);
}

static void any_other_key_lets_go_at_once(void **state) {
    (void)state;
    static const char *const keys[] = {" ", "x", "\r", "\033[H", "q", "\004"};
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        begin(NULL);
        take("u", 0);
        assert_int_equal(due(0), HAND_UP);
        take(keys[i], 1);
        assert_int_equal(due(1), HAND_LET_GO);
        assert_int_equal(input.has_left, i >= 4);
    }
}

static void turned_round_it_lets_go_first(void **state) {
    (void)state;
    take("u", 0);
    due(0);
    take("d", 10);
    assert_int_equal(due(10), HAND_LET_GO);
    assert_int_equal(due(10), HAND_DOWN);
}

static void run_that_is_over_begins_no_other_before_the_hand_was_at_rest(void **state) {
    (void)state;
    take("u", 0);
    due(0);
    hand_refused(&hand);
    for (uint64_t ms = 10; ms < 2000; ms += 50) {
        take("u", ms);
        assert_int_equal(due(ms), HAND_NOTHING);
    }
    assert_int_equal(due(3000), HAND_NOTHING);
    take("u", 3001);
    assert_int_equal(due(3001), HAND_UP);
}

static void arrows_come_whole_or_in_pieces(void **state) {
    (void)state;
    take("\033[A", 0);
    assert_int_equal(hand.way, 1);
    take("\033", 0);
    take("O", 0);
    take("B", 0);
    assert_int_equal(hand.way, -1);
    take("\033[C\033OC\033[D", 0);
    assert_int_equal(hand.permille, 550);
    assert_int_equal(hand.way, -1);
    take("9", 0);
    assert_int_equal(hand.permille, 900);
    take("0+", 0);
    assert_int_equal(hand.permille, HAND_FULL);
    take("1--", 0);
    assert_int_equal(hand.permille, HAND_LEAST);
}

static void a_line_holds_for_half_a_second(void **state) {
    (void)state;
    input.is_line = true;
    assert_true(take("up 4", 0));
    assert_int_equal(due(0), HAND_NOTHING);
    assert_true(take("0%\r\n", 0));
    assert_int_equal(hand.permille, 400);
    assert_int_equal(due(0), HAND_UP);
    assert_int_equal(due(HAND_LINE_MS - 1), HAND_HOLD);
    assert_true(take("up 7.5\n", HAND_LINE_MS - 1));
    assert_int_equal(hand.permille, 75);
    assert_int_equal(due(2 * HAND_LINE_MS - 2), HAND_HOLD);
    assert_int_equal(due(2 * HAND_LINE_MS - 1), HAND_LET_GO);
    assert_true(take("# nothing\n\n  \ndown 100\n", 9000));
    assert_int_equal(due(9000), HAND_DOWN);
    assert_true(take("rest\n", 9001));
    assert_int_equal(due(9001), HAND_LET_GO);
    assert_true(take("quit\nup 50\n", 9002));
    assert_true(input.has_left);
    assert_int_equal(due(9002), HAND_NOTHING);
}

static void a_wrong_line_lets_go(void **state) {
    (void)state;
    static const char *const lines[] = {"up\n",     "up 4.9\n",   "up 100.1\n", "up nan\n",
                                        "up -50\n", "up 50 50\n", "up 50x\n",   "raise 50\n",
                                        "rest 5\n", "quit now\n", "UP 50\n"};
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        begin(NULL);
        input.is_line = true;
        assert_true(take("up 50\n", 0));
        assert_int_equal(due(0), HAND_UP);
        assert_false(take(lines[i], 1));
        assert_non_null(strstr(error.what, "5 to 100 percent"));
        assert_int_equal(due(1), HAND_LET_GO);
    }
    char much[400];
    memset(much, 'u', sizeof much);
    much[sizeof much - 2] = '\n';
    much[sizeof much - 1] = '\0';
    assert_false(take(much, 2));
}

static void tell(struct picture *picture, const char *line) {
    struct srcp_answer answer;
    assert_true(srcp_answer_parse(srcp_text_of(line), &answer));
    picture_fold(picture, &answer);
}

static void line_tells_the_hand_the_bridge_and_what_bounds_it(void **state) {
    (void)state;
    struct picture picture;
    char line[256];
    picture_start(&picture, 1);
    tell(&picture, "1.000 100 INFO 0 GM 0 0 PHASE 1 lined none -");
    tell(&picture, "1.000 100 INFO 0 GM 0 0 MOTION 1 0.0 deg 0.00 deg/s - A - V -");
    hand_text(&hand, false, &picture, line, sizeof line);
    assert_string_equal(line, "rest 50% speed | lined 0.0 deg ? V ? A | at rest");
    take("u", 0);
    due(0);
    tell(&picture, "1.000 100 INFO 0 GM 0 0 PHASE 1 clearing up stop section to be clear (main)");
    assert_string_equal(hand_text_bound(&hand, &picture), "stop section to be clear (main)");
    tell(&picture, "1.000 100 INFO 0 GM 0 0 PHASE 1 raising up -");
    tell(&picture, "1.000 100 INFO 0 GM 0 0 MOTION 1 12.4 deg 2.00 deg/s 1.27 A 6.1 V hand");
    hand_text(&hand, true, &picture, line, sizeof line);
    assert_string_equal(line,
                        "up 50% voltage | raising 12.4 deg 2.00 deg/s 6.1 V 1.27 A | as you ask");
    tell(&picture, "1.000 100 INFO 0 GM 0 0 MOTION 1 - deg 2.00 deg/s 1.27 A 6.1 V slowed");
    assert_non_null(strstr(hand_text_bound(&hand, &picture), "slow zone"));
    tell(&picture, "1.000 101 INFO 1 FB 13 P contact nearly-open");
    tell(&picture, "1.000 100 INFO 1 FB 13 1");
    assert_string_equal(hand_text_bound(&hand, &picture), "contact nearly-open");
    hand_refused(&hand);
    assert_non_null(strstr(hand_text_bound(&hand, &picture), "let go first"));
    tell(&picture, "1.000 100 INFO 0 GM 0 0 FAULT 1 stall the motor is stalled");
    assert_string_equal(hand_text_bound(&hand, &picture), "the motor is stalled");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(key_that_is_held_begins_once_and_holds_on, begin),
        cmocka_unit_test_setup(key_that_does_not_repeat_lets_go, begin),
        cmocka_unit_test_setup(any_other_key_lets_go_at_once, begin),
        cmocka_unit_test_setup(turned_round_it_lets_go_first, begin),
        cmocka_unit_test_setup(run_that_is_over_begins_no_other_before_the_hand_was_at_rest, begin),
        cmocka_unit_test_setup(arrows_come_whole_or_in_pieces, begin),
        cmocka_unit_test_setup(a_line_holds_for_half_a_second, begin),
        cmocka_unit_test_setup(a_wrong_line_lets_go, begin),
        cmocka_unit_test_setup(line_tells_the_hand_the_bridge_and_what_bounds_it, begin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
