#include "support/check.h"
#include "tools/drawtender/client/picture.h"
#include "tools/drawtender/client/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

/* One line of a server, without its time. */
static struct picture_change tell(struct picture *picture, const char *line) {
    char stamped[1100];
    snprintf(stamped, sizeof stamped, "1.000 %s", line);
    struct srcp_answer answer;
    assert_true(srcp_answer_parse(srcp_text_of(stamped), &answer));
    return picture_fold(picture, &answer);
}

static void a_device_is_named_by_the_words_of_its_setup(void **state) {
    (void)state;
    struct picture picture;
    picture_start(&picture, 1);
    tell(&picture, "101 INFO 1 GA 11 P signal main west");
    assert_int_equal(tell(&picture, "100 INFO 1 GA 11 1 1").kind, PICTURE_DEVICE);
    const struct picture_device *signal = picture_labelled(&picture, SRCP_GA, "signal main west");
    assert_non_null(signal);
    assert_int_equal(signal->address, 11);
    assert_string_equal(words_name(signal), "main west");
    assert_string_equal(words_of(signal), "proceed");
    assert_int_equal(picture_value(signal, 1, -1), 1);
    assert_int_equal(picture_value(signal, 0, -1), -1);
    assert_int_equal(picture_value(NULL, 0, -1), -1);
}

static void a_device_without_words_is_named_by_its_address(void **state) {
    (void)state;
    static const struct {
        const char *line, *label, *words;
    } cases[] = {
        {"100 INFO 1 GA 1 0 1", "span", NULL},
        {"100 INFO 1 GA 2 1 1", "lock", "locked"},
        {"100 INFO 1 GA 4 1 0", "river", "red"},
        {"100 INFO 1 GA 12 1 0", "signal 12", "stop"},
        {"100 INFO 1 FB 5 1", "lined", "yes"},
        {"100 INFO 1 FB 103 1", "section 103", "occupied"},
        {"100 INFO 1 FB 103 0", "section 103", "clear"},
        {"100 INFO 1 GA 300 0 1", "GA 300", NULL},
        {"100 INFO 1 GA -5 0 1", "GA -5", NULL},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct picture picture;
        picture_start(&picture, 1);
        struct picture_change change = tell(&picture, cases[i].line);
        assert_int_equal(change.kind, PICTURE_DEVICE);
        assert_string_equal(change.device->label, cases[i].label);
        if (cases[i].words == NULL) {
            assert_null(words_of(change.device));
        } else {
            assert_string_equal(words_of(change.device), cases[i].words);
        }
    }
}

static void lines_that_mean_nothing_here_change_nothing(void **state) {
    (void)state;
    static const char *const lines[] = {
        "100 INFO 2 GA 1 0 1",                  /* another bus */
        "100 INFO 1 GL 3 1 10 100 0",           /* a group we do not have */
        "100 INFO 1 GA",                        /* cut short */
        "100 INFO 1 GA 1",                      /* cut short */
        "100 INFO 1 GA 1 0",                    /* cut short */
        "100 INFO 1 GA one 0 1",                /* no number */
        "100 INFO 1 GA 99999999999 0 1",        /* beyond any number */
        "100 INFO 1 GA 1 14 1",                 /* more ports than we keep */
        "100 INFO 1 GA 1 -1 1",                 /* no port */
        "100 INFO 1 POWER MAYBE",               /* neither */
        "100 INFO 1 LOCK GA 1",                 /* without its end */
        "100 INFO 1 LOCK POWER 1 0 5",          /* no device of ours */
        "100 INFO 0 GM 0 0 PHASE 2 open none",  /* another bus */
        "100 INFO 0 GM 0 0 PHASE 1 open",       /* without its goal */
        "100 INFO 0 GM 0 0 PHASE one open up",  /* no number */
        "100 INFO 0 GM 0 0 REFUSED 1 GA 1 me",  /* no number */
        "100 INFO 0 GM 0 0 FAULT 1",            /* no name */
        "100 INFO 0 GM 0 0 GUARD 1 by-time S1", /* without its words */
        "100 INFO 0 GM 0 0 CHAT 1 hello",       /* somebody's own message */
        "100 INFO 0 GM",                        /* cut short */
        "200 OK",                               /* not news at all */
    };
    struct picture before;
    picture_start(&before, 1);
    for (size_t i = 0; i < COUNT(lines); i++) {
        struct picture picture;
        picture_start(&picture, 1);
        assert_int_equal(tell(&picture, lines[i]).kind, PICTURE_NOTHING);
        assert_memory_equal(&picture, &before, sizeof picture);
    }
}

static void news_that_is_none_is_not_told_twice(void **state) {
    (void)state;
    struct picture picture;
    picture_start(&picture, 1);
    assert_int_equal(tell(&picture, "100 INFO 1 FB 1 0").kind, PICTURE_DEVICE);
    assert_int_equal(tell(&picture, "100 INFO 1 FB 1 0").kind, PICTURE_NOTHING);
    assert_int_equal(tell(&picture, "100 INFO 1 POWER OFF").kind, PICTURE_POWER);
    assert_int_equal(tell(&picture, "100 INFO 1 POWER OFF by hand").kind, PICTURE_NOTHING);
    assert_int_equal(tell(&picture, "100 INFO 1 POWER ON").kind, PICTURE_POWER);
    assert_true(picture.is_power_on);
}

static void the_phase_is_told_with_its_goal_and_wait(void **state) {
    (void)state;
    struct picture picture;
    picture_start(&picture, 1);
    const char *line =
        "100 INFO 0 GM 0 0 PHASE 1 clearing up stop section to be clear (main, west)";
    assert_int_equal(tell(&picture, line).kind, PICTURE_PHASE);
    assert_string_equal(picture.phase, "clearing");
    assert_string_equal(picture.goal, "up");
    assert_string_equal(picture.waits_for, "stop section to be clear (main, west)");
    tell(&picture, "100 INFO 0 GM 0 0 PHASE 1 open none -");
    assert_string_equal(picture.waits_for, "");
}

static void no_more_guards_are_kept_than_there_is_room_for(void **state) {
    (void)state;
    struct picture picture;
    picture_start(&picture, 1);
    for (size_t i = 0; i < PICTURE_GUARDS_MAX + 1; i++) {
        tell(&picture, "100 INFO 0 GM 0 0 GUARD 1 by-word S9 a stop");
    }
    assert_int_equal(picture.guards, PICTURE_GUARDS_MAX);
    assert_string_equal(picture.guard[PICTURE_GUARDS_MAX - 1].words, "a stop");
}

static void messages_fill_the_picture(void **state) {
    (void)state;
    struct picture picture;
    picture_start(&picture, 1);
    assert_int_equal(tell(&picture, "100 INFO 0 GM 0 0 FAULT 1 stall the motor stalled").kind,
                     PICTURE_FAULT);
    assert_string_equal(picture.fault, "stall");
    assert_string_equal(picture.fault_words, "the motor stalled");
    tell(&picture, "100 INFO 0 GM 0 0 FAULT 1 none -");
    assert_string_equal(picture.fault, "");
    assert_string_equal(picture.fault_words, "");

    assert_int_equal(tell(&picture, "100 INFO 0 GM 0 0 REFUSED 1 GA 1 7 not lined").kind,
                     PICTURE_REFUSED);
    assert_int_equal(picture.refusal.session, 7);
    assert_string_equal(picture.refusal.reason, "not lined");
    assert_int_equal(tell(&picture, "100 INFO 0 GM 0 0 TRAIN 1 freight stops").kind, PICTURE_TRAIN);
    assert_string_equal(picture.train_words, "freight stops");
    assert_int_equal(tell(&picture, "100 INFO 0 GM 8 7 MARK 3").kind, PICTURE_MARK);
    assert_int_equal(picture.mark, 3);
}

static void motion_not_measured_is_no_number(void **state) {
    (void)state;
    struct picture picture;
    picture_start(&picture, 1);
    const char *line = "100 INFO 0 GM 0 0 MOTION 1 12.4 deg -2.00 deg/s 1.27 A 6.1 V slowed";
    assert_int_equal(tell(&picture, line).kind, PICTURE_MOTION);
    assert_true(fabs(picture.motion.position - 12.4) < 1e-9);
    assert_true(fabs(picture.motion.speed + 2.0) < 1e-9);
    assert_true(fabs(picture.motion.current_a - 1.27) < 1e-9);
    assert_true(fabs(picture.motion.volts - 6.1) < 1e-9);
    assert_true(picture.motion.is_slowed);
    assert_string_equal(picture.motion.unit, "deg");
    tell(&picture, "100 INFO 0 GM 0 0 MOTION 1 - mm inf mm/s 1e999 A");
    assert_true(isnan(picture.motion.position));
    assert_true(isnan(picture.motion.speed));
    assert_true(isnan(picture.motion.current_a));
    assert_true(isnan(picture.motion.volts));
    assert_false(picture.motion.is_slowed);
    tell(&picture, "100 INFO 0 GM 0 0 MOTION 1");
    assert_true(isnan(picture.motion.position));
}

static void locks_come_and_go(void **state) {
    (void)state;
    struct picture picture;
    picture_start(&picture, 1);
    char holder[32];
    struct picture_change change = tell(&picture, "100 INFO 1 LOCK GA 11 0 0");
    assert_int_equal(change.kind, PICTURE_LOCK);
    words_holder(change.device, holder, sizeof holder);
    assert_string_equal(holder, "the bridge");
    change = tell(&picture, "100 INFO 1 LOCK GA 11 60 9");
    words_holder(change.device, holder, sizeof holder);
    assert_string_equal(holder, "session 9");
    assert_int_equal(change.device->lock_left_s, 60);
    change = tell(&picture, "102 INFO 1 LOCK GA 11");
    words_holder(change.device, holder, sizeof holder);
    assert_string_equal(holder, "");
}

static void more_devices_than_fit_are_left_out(void **state) {
    (void)state;
    struct picture picture;
    picture_start(&picture, 1);
    char line[64];
    for (int i = 1; i <= PICTURE_DEVICES_MAX + 50; i++) {
        snprintf(line, sizeof line, "100 INFO 1 FB %d 1", i);
        tell(&picture, line);
        snprintf(line, sizeof line, "101 INFO 1 GA %d P x", i);
        tell(&picture, line);
        snprintf(line, sizeof line, "100 INFO 1 LOCK GA %d 0 1", i + 1000);
        tell(&picture, line);
    }
    assert_int_equal(picture.devices, PICTURE_DEVICES_MAX);
}

static void longer_words_than_fit_are_cut(void **state) {
    (void)state;
    struct picture picture;
    picture_start(&picture, 1);
    char words[900];
    memset(words, 'w', sizeof words - 1);
    words[sizeof words - 1] = '\0';
    char line[1000];
    snprintf(line, sizeof line, "101 INFO 1 GA 1 P %s", words);
    tell(&picture, line);
    assert_int_equal(strlen(picture.device[0].label), PICTURE_TEXT_SIZE - 1);
    snprintf(line, sizeof line, "100 INFO 0 GM 0 0 PHASE 1 %s none", words);
    tell(&picture, line);
    assert_int_equal(strlen(picture.phase), PICTURE_WORD_SIZE - 1);
    snprintf(line, sizeof line, "100 INFO 0 GM 0 0 MOTION 1 1%s deg", words);
    tell(&picture, line);
    assert_true(isnan(picture.motion.position));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_device_is_named_by_the_words_of_its_setup),
        cmocka_unit_test(a_device_without_words_is_named_by_its_address),
        cmocka_unit_test(lines_that_mean_nothing_here_change_nothing),
        cmocka_unit_test(news_that_is_none_is_not_told_twice),
        cmocka_unit_test(the_phase_is_told_with_its_goal_and_wait),
        cmocka_unit_test(no_more_guards_are_kept_than_there_is_room_for),
        cmocka_unit_test(messages_fill_the_picture),
        cmocka_unit_test(motion_not_measured_is_no_number),
        cmocka_unit_test(locks_come_and_go),
        cmocka_unit_test(more_devices_than_fit_are_left_out),
        cmocka_unit_test(longer_words_than_fit_are_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
