/* What other nodes say of a pair of events, and when it counts; and a command, and its proof. The
 * times are the test's own. */
#include "io/nodes/nodes_command.h"
#include "io/nodes/nodes_point.h"
#include "support/check.h"

enum { NO = 10, YES = 11, BEAT = 1000, STALE = 4000, OBEY = 3000, HERE = 0x111, THERE = 0x222 };

static struct nodes_point point;

static int set_up(void **state) {
    (void)state;
    point = (struct nodes_point){.event = {NO, YES}};
    return 0;
}

static bool say(enum nodes_word word, uint64_t event, uint16_t source, uint64_t now_us) {
    return nodes_point_said(&point, word, event, source, now_us);
}

static enum level at(uint64_t now_us) {
    return nodes_point_level(&point, STALE, now_us);
}

static void only_an_answer_makes_it_on(void **state) {
    (void)state;
    assert_int_equal(at(1), LEVEL_UNKNOWN);
    nodes_point_asked(&point, 100);
    assert_true(say(NODES_REPORTS, YES, HERE, 110));
    assert_int_equal(at(110), LEVEL_UNKNOWN);
    assert_true(nodes_point_due_us(&point, BEAT) <= 100 + NODES_AGAIN_US);
    assert_true(say(NODES_HOLDS, YES, HERE, 120));
    assert_int_equal(at(120), LEVEL_ON);
}

static void a_report_of_the_contrary_counts_at_once(void **state) {
    (void)state;
    say(NODES_HOLDS, YES, HERE, 100);
    assert_true(say(NODES_REPORTS, NO, THERE, 110)); /* whoever says it */
    assert_int_equal(at(110), LEVEL_OFF);
    say(NODES_REPORTS, YES, THERE, 120);
    assert_int_equal(at(120), LEVEL_OFF);
}

static void each_answer_means_what_it_says(void **state) {
    (void)state;
    static const struct {
        enum nodes_word word;
        uint64_t event;
        enum level level;
    } rows[] = {{NODES_HOLDS, YES, LEVEL_ON},
                {NODES_HOLDS_NOT, YES, LEVEL_OFF},
                {NODES_CANNOT_TELL, YES, LEVEL_UNKNOWN},
                {NODES_HOLDS, NO, LEVEL_OFF}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        say(rows[i].word, rows[i].event, HERE, 100);
        assert_int_equal(at(100), rows[i].level);
    }
    /* That it is not occupied does not make it clear. */
    assert_false(say(NODES_HOLDS_NOT, NO, HERE, 100));
    assert_false(say(NODES_CANNOT_TELL, NO, HERE, 100));
    assert_false(say(NODES_HOLDS, YES + 1, HERE, 100));
    assert_int_equal(at(100), LEVEL_OFF);
}

static void what_is_not_confirmed_in_time_is_not_known(void **state) {
    (void)state;
    say(NODES_HOLDS, YES, HERE, 100);
    assert_int_equal(at(100 + STALE), LEVEL_ON);
    assert_int_equal(at(101 + STALE), LEVEL_UNKNOWN);
    assert_int_equal(nodes_point_stale_us(&point, STALE), 100 + STALE);
    assert_false(say(NODES_HOLDS, YES, HERE, 3000)); /* nothing new, but renewed */
    assert_int_equal(at(101 + STALE), LEVEL_ON);
    nodes_point_forget(&point);
    assert_int_equal(at(101), LEVEL_UNKNOWN);
    assert_int_equal(nodes_point_due_us(&point, BEAT), 0);
}

static void two_nodes_that_differ_are_not_believed_until_they_agree(void **state) {
    (void)state;
    nodes_point_asked(&point, 1000);
    say(NODES_HOLDS, YES, HERE, 1010);
    assert_true(say(NODES_HOLDS_NOT, YES, THERE, 1020));
    assert_int_equal(at(1020), LEVEL_UNKNOWN);
    say(NODES_HOLDS, YES, HERE, 1030);
    assert_int_equal(at(1030), LEVEL_UNKNOWN);
    nodes_point_asked(&point, 2000);
    say(NODES_HOLDS, YES, HERE, 2010);
    assert_int_equal(at(2010), LEVEL_UNKNOWN); /* the other has not answered yet */
    say(NODES_HOLDS, YES, THERE, 2020);
    nodes_point_asked(&point, 3000);
    assert_int_equal(at(3000), LEVEL_ON);
}

/* The answer to a question from before a command may have been under way when it came. */
static void an_answer_from_before_the_command_proves_nothing(void **state) {
    (void)state;
    nodes_point_asked(&point, 1000);
    nodes_point_doubt(&point);
    nodes_point_asked(&point, 1100);
    say(NODES_HOLDS, YES, HERE, 1200);
    assert_int_equal(at(1200), LEVEL_UNKNOWN);
    say(NODES_HOLDS, YES, HERE, 1300);
    assert_int_equal(at(1300), LEVEL_ON);
    /* One that never came does not stand in the way of all that follow. */
    nodes_point_asked(&point, 2000);
    nodes_point_doubt(&point);
    nodes_point_asked(&point, 2001 + NODES_ANSWER_US);
    say(NODES_HOLDS, YES, HERE, 2100 + NODES_ANSWER_US);
    assert_int_equal(at(2100 + NODES_ANSWER_US), LEVEL_ON);
    nodes_point_doubt(&point); /* and what was on has to be shown anew */
    assert_int_equal(at(2101 + NODES_ANSWER_US), LEVEL_UNKNOWN);
}

/* ---- a command */

static struct nodes_command command;

static void a_command_is_repeated_until_proved(void **state) {
    (void)state;
    nodes_command_restart(&command, 100);
    assert_true(nodes_command_is_due(&command, BEAT, 100));
    nodes_command_sent(&command, 100);
    assert_false(nodes_command_is_due(&command, BEAT, 1099));
    assert_true(nodes_command_is_due(&command, BEAT, 1100));
    nodes_command_check(&command, NODES_SHOWS_NEITHER, OBEY, 1100);
    assert_false(nodes_command_is_settled(&command));
    assert_int_equal(nodes_command_due_us(&command, BEAT, OBEY, true), 1100);
    assert_int_equal(nodes_command_due_us(&command, BEAT, OBEY, false), 3101);
    nodes_command_check(&command, NODES_SHOWS_OFF, OBEY, 1200);
    assert_true(nodes_command_is_settled(&command));
    assert_false(nodes_command_is_due(&command, BEAT, 100000));
    assert_int_equal(nodes_command_due_us(&command, BEAT, OBEY, true), UINT64_MAX);
}

/* Off is repeated for ever; on is not, behind the back of whoever mends it. */
static void one_that_is_not_obeyed_in_time_is_wrong(void **state) {
    (void)state;
    for (int is_on = 0; is_on <= 1; is_on++) {
        nodes_command_restart(&command, 100);
        nodes_command_want(&command, is_on, 100);
        nodes_command_sent(&command, 100);
        nodes_command_check(&command, is_on ? NODES_SHOWS_OFF : NODES_SHOWS_ON, OBEY, 100 + OBEY);
        assert_int_equal(command.trouble, NODES_NO_TROUBLE);
        nodes_command_check(&command, is_on ? NODES_SHOWS_OFF : NODES_SHOWS_ON, OBEY, 101 + OBEY);
        assert_int_equal(command.trouble, NODES_DISOBEYED);
        assert_int_equal(nodes_command_is_due(&command, BEAT, 200 + OBEY), !is_on);
        nodes_command_check(&command, is_on ? NODES_SHOWS_ON : NODES_SHOWS_OFF, OBEY, 300 + OBEY);
        assert_true(nodes_command_is_settled(&command));
    }
}

static void one_that_changes_unasked_is_wrong(void **state) {
    (void)state;
    nodes_command_restart(&command, 100);
    nodes_command_sent(&command, 100);
    nodes_command_check(&command, NODES_SHOWS_OFF, OBEY, 110);
    nodes_command_check(&command, NODES_SHOWS_NEITHER, OBEY, 120); /* for the point to say */
    assert_true(nodes_command_is_settled(&command));
    nodes_command_check(&command, NODES_SHOWS_ON, OBEY, 130);
    assert_int_equal(command.trouble, NODES_CHANGED);
    assert_true(nodes_command_is_due(&command, BEAT, 130)); /* off once more, at once */
    nodes_command_want(&command, true, 140);
    nodes_command_sent(&command, 140);
    nodes_command_check(&command, NODES_SHOWS_ON, OBEY, 150);
    nodes_command_check(&command, NODES_SHOWS_OFF, OBEY, 160);
    assert_int_equal(command.trouble, NODES_CHANGED);
    assert_false(nodes_command_is_due(&command, BEAT, 100000)); /* and not on again */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(only_an_answer_makes_it_on, set_up),
        cmocka_unit_test_setup(a_report_of_the_contrary_counts_at_once, set_up),
        cmocka_unit_test_setup(each_answer_means_what_it_says, set_up),
        cmocka_unit_test_setup(what_is_not_confirmed_in_time_is_not_known, set_up),
        cmocka_unit_test_setup(two_nodes_that_differ_are_not_believed_until_they_agree, set_up),
        cmocka_unit_test_setup(an_answer_from_before_the_command_proves_nothing, set_up),
        cmocka_unit_test(a_command_is_repeated_until_proved),
        cmocka_unit_test(one_that_is_not_obeyed_in_time_is_wrong),
        cmocka_unit_test(one_that_changes_unasked_is_wrong),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
