/* The pure parts of a link, line by line: values, devices, locks, trains. */
#include "io/link/link_brake.h"
#include "io/link/link_device.h"
#include "io/link/link_lock.h"
#include "support/check.h"

#include <string.h>

enum { BEAT = 100, OBEY = 1000 };

static struct srcp_answer answer_of(const char *line) {
    struct srcp_answer answer;
    assert_true(srcp_answer_parse(srcp_text_of(line), &answer));
    return answer;
}

/* ---- values */

static const struct link_value signal_port = {LINK_GA, 1, 11, 1};
static const struct link_value detector = {LINK_FB, 1, 101, 0};
static const struct link_value power = {LINK_POWER, 2, 0, 0};

static void info_tells_values(void **state) {
    (void)state;
    static const struct {
        const char *line;
        const struct link_value *at;
        bool is_ours, is_told;
        int told;
    } cases[] = {
        {"1.0 100 INFO 1 GA 11 1 1", &signal_port, true, true, 1},
        {"1.0 100 INFO 1 GA 11 1 0", &signal_port, true, true, 0},
        {"1.0 100 INFO 1 FB 101 1", &detector, true, true, 1},
        {"1.0 100 INFO 1 FB 101 -7", &detector, true, true, -7},
        {"1.0 100 INFO 2 POWER ON", &power, true, true, 1},
        {"1.0 100 INFO 2 POWER OFF short circuit", &power, true, true, 0},
        {"1.0 100 INFO 2 POWER PERHAPS", &power, true, false, 0},
        {"1.0 100 INFO 1 FB 101 clear", &detector, true, false, 0},
        {"1.0 100 INFO 1 FB 101 1 1", &detector, true, false, 0},
        {"1.0 100 INFO 1 FB 101", &detector, true, false, 0},
        {"1.0 102 INFO 1 FB 101", &detector, true, false, 0},
        {"1.0 102 INFO 1 GA 11", &signal_port, true, false, 0},
        {"1.0 102 INFO 2 POWER", &power, true, false, 0},
        /* Others' business. */
        {"1.0 100 INFO 1 GA 11 0 1", &signal_port, false, true, 5},
        {"1.0 100 INFO 1 GA 12 1 1", &signal_port, false, true, 5},
        {"1.0 100 INFO 2 GA 11 1 1", &signal_port, false, true, 5},
        {"1.0 100 INFO 1 POWER ON", &power, false, true, 5},
        {"1.0 101 INFO 1 GA 11 P signal", &signal_port, false, true, 5},
        {"1.0 100 INFO 1 GL 11 1 1", &signal_port, false, true, 5},
        {"1.0 100 INFO 1 FB -101 1", &detector, false, true, 5},
        {"1.0 200 OK", &detector, false, true, 5},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct link_points points = {.count = 0};
        struct srcp_answer answer = answer_of(cases[i].line);
        unsigned at = link_points_add(&points, *cases[i].at);
        points.point[at].is_told = true;
        points.point[at].told = 5;
        if (link_points_told(&points, &answer) != cases[i].is_ours ||
            points.point[at].is_told != cases[i].is_told ||
            (cases[i].is_told && points.point[at].told != cases[i].told)) {
            fail_msg("%s", cases[i].line);
        }
    }
}

static void same_value_is_one_point(void **state) {
    (void)state;
    struct link_points points = {.count = 0};
    unsigned first = link_points_add(&points, signal_port);
    assert_int_not_equal(link_points_add(&points, detector), first);
    assert_int_equal(link_points_add(&points, signal_port), first);
    assert_int_equal(points.count, 2);
}

static void get_is_compared_with_what_info_told(void **state) {
    (void)state;
    static const struct {
        const char *told, *reply;
        bool is_reply, is_doubted;
    } cases[] = {
        {"1.0 100 INFO 1 FB 101 1", "2.0 100 INFO 1 FB 101 1", true, false},
        {"1.0 100 INFO 1 FB 101 1", "2.0 100 INFO 1 FB 101 0", true, true},
        {"1.0 100 INFO 1 FB 101 0", "2.0 100 INFO 1 FB 101 none", true, true},
        {NULL, "2.0 100 INFO 1 FB 101 0", true, true}, /* INFO has never told it */
        {"1.0 100 INFO 1 FB 101 1", "2.0 416 ERROR no data", true, true},
        {"1.0 100 INFO 1 FB 101 1", "2.0 100 INFO 1 FB 102 1", false, false},
        {"1.0 100 INFO 1 FB 101 1", "2.0 100 INFO 1 GA 101 0 1", false, false},
        {"1.0 100 INFO 1 FB 101 1", "2.0 200 OK", false, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct link_points points = {.count = 0};
        struct link_point *point = &points.point[link_points_add(&points, detector)];
        struct srcp_answer answer;
        if (cases[i].told != NULL) {
            answer = answer_of(cases[i].told);
            link_points_told(&points, &answer);
        }
        answer = answer_of(cases[i].reply);
        if (link_point_answered(point, &answer) != cases[i].is_reply ||
            (cases[i].is_reply && point->is_doubted != cases[i].is_doubted)) {
            fail_msg("%s", cases[i].reply);
        }
    }
}

/* GET came ahead of INFO: what INFO tells then is asked about once more. */
static void doubt_is_looked_into_when_info_speaks(void **state) {
    (void)state;
    struct link_points points = {.count = 0};
    struct link_point *point = &points.point[link_points_add(&points, detector)];
    struct srcp_answer zero = answer_of("1.0 100 INFO 1 FB 101 0");
    struct srcp_answer one = answer_of("2.0 100 INFO 1 FB 101 1");
    link_points_told(&points, &zero);
    assert_false(point->must_ask);
    link_point_answered(point, &one);
    assert_true(point->is_doubted);
    link_points_told(&points, &one);
    assert_true(point->must_ask);
    link_point_answered(point, &one);
    assert_false(point->is_doubted || point->must_ask);
}

/* INFO came ahead of the answer to a GET that was under way, and which may be older: it is asked
 * once more, at once and not in its turn of the heartbeat. An answer to a GET that INFO did not
 * pass is no older than what INFO told, and one who contradicts himself is not asked in a ring. */
static void get_that_info_has_passed_is_asked_again(void **state) {
    (void)state;
    struct link_points points = {.count = 0};
    struct link_point *point = &points.point[link_points_add(&points, detector)];
    struct srcp_answer zero = answer_of("1.0 100 INFO 1 FB 101 0");
    struct srcp_answer one = answer_of("2.0 100 INFO 1 FB 101 1");
    char line[LINK_LINE_SIZE];
    link_points_told(&points, &zero);
    link_point_get(point, line);
    link_points_told(&points, &one);
    link_point_answered(point, &zero);
    assert_true(point->is_doubted && point->must_ask);
    link_point_get(point, line);
    link_point_answered(point, &zero);
    assert_true(point->is_doubted);
    assert_false(point->must_ask);
    link_point_get(point, line);
    link_points_told(&points, &one);
    link_point_answered(point, &one);
    assert_false(point->is_doubted || point->must_ask);
}

/* ---- devices */

struct one_device {
    struct link_points points;
    struct link_device device;
};

/* A signal with two ports, 1 proceed and 0 stop; off and proved. */
static void prepare(struct one_device *one) {
    struct link_value off = signal_port;
    off.port = 0;
    memset(one, 0, sizeof *one);
    one->device = (struct link_device){.at = signal_port,
                                       .on_point = link_points_add(&one->points, signal_port),
                                       .off_point = link_points_add(&one->points, off)};
    link_device_restart(&one->device, 0);
}

static void tell(struct one_device *one, int on, int off) {
    one->points.point[one->device.on_point].is_told = true;
    one->points.point[one->device.on_point].told = on;
    one->points.point[one->device.off_point].is_told = true;
    one->points.point[one->device.off_point].told = off;
}

static void settle_questions(struct one_device *one) {
    one->points.point[0].must_ask = one->points.point[1].must_ask = false;
}

static void take_off(struct one_device *one) {
    prepare(one);
    tell(one, 0, 1);
    link_device_answered(&one->device, &one->points, false, true, 0);
    settle_questions(one);
    link_device_check(&one->device, &one->points, OBEY, 0);
    assert_true(link_device_is_settled(&one->device));
}

static void check(struct one_device *one, uint64_t now_us) {
    link_device_check(&one->device, &one->points, OBEY, now_us);
}

static void device_is_proved_by_reply_info_and_get_together(void **state) {
    (void)state;
    struct one_device one;
    take_off(&one);
    link_device_want(&one.device, true, 10);
    tell(&one, 1, 0); /* INFO is ahead of the reply */
    check(&one, 10);
    assert_false(link_device_is_settled(&one.device));
    link_device_answered(&one.device, &one.points, true, true, 20);
    assert_true(one.points.point[0].must_ask && one.points.point[1].must_ask);
    check(&one, 20);
    assert_false(link_device_is_settled(&one.device)); /* GET has not answered */
    settle_questions(&one);
    one.points.point[0].is_doubted = true;
    check(&one, 20);
    assert_false(link_device_is_settled(&one.device)); /* GET says otherwise */
    one.points.point[0].is_doubted = false;
    check(&one, 20);
    assert_true(link_device_is_settled(&one.device));
}

static void both_ports_must_show_it(void **state) {
    (void)state;
    for (int values = 0; values < 4; values++) {
        struct one_device one;
        take_off(&one);
        link_device_want(&one.device, true, 10);
        link_device_answered(&one.device, &one.points, true, true, 10);
        settle_questions(&one);
        tell(&one, values & 1, values >> 1);
        check(&one, 10);
        assert_int_equal(link_device_is_settled(&one.device), values == 1);
    }
}

static void unproved_device_is_in_trouble_after_the_limit(void **state) {
    (void)state;
    struct one_device one;
    take_off(&one);
    link_device_want(&one.device, true, 10);
    link_device_answered(&one.device, &one.points, true, true, 10);
    settle_questions(&one);
    check(&one, 10 + OBEY);
    assert_int_equal(one.device.trouble, LINK_NO_TROUBLE);
    assert_false(link_device_is_due(&one.device, BEAT, 10 + BEAT - 1));
    assert_true(link_device_is_due(&one.device, BEAT, 10 + BEAT));
    check(&one, 11 + OBEY);
    assert_int_equal(one.device.trouble, LINK_DISOBEYED);
    assert_false(link_device_is_due(&one.device, BEAT, 11 + OBEY)); /* on: not insisted upon */
    link_device_want(&one.device, false, 12 + OBEY);
    link_device_answered(&one.device, &one.points, false, true, 12 + OBEY);
    assert_true(link_device_is_due(&one.device, BEAT, 12 + OBEY + BEAT)); /* off is */
    settle_questions(&one);
    check(&one, 13 + OBEY);
    assert_true(link_device_is_settled(&one.device)); /* a new proof mends it */
}

static void refused_device_is_in_trouble_until_taken_and_proved(void **state) {
    (void)state;
    struct one_device one;
    take_off(&one);
    link_device_want(&one.device, true, 10);
    link_device_answered(&one.device, &one.points, true, false, 10);
    assert_int_equal(one.device.trouble, LINK_REFUSED);
    tell(&one, 1, 0);
    settle_questions(&one);
    check(&one, 10);
    assert_int_equal(one.device.trouble, LINK_REFUSED); /* somebody else did that */
    link_device_want(&one.device, false, 20);
    link_device_answered(&one.device, &one.points, false, true, 20);
    assert_int_not_equal(one.device.trouble, LINK_NO_TROUBLE);
    tell(&one, 0, 1);
    settle_questions(&one);
    check(&one, 20);
    assert_true(link_device_is_settled(&one.device));
}

static void change_that_nobody_asked_for_is_trouble_at_once(void **state) {
    (void)state;
    struct one_device one;
    take_off(&one);
    tell(&one, 1, 0);
    check(&one, 10);
    assert_int_equal(one.device.trouble, LINK_CHANGED);
    assert_int_equal(one.device.step, LINK_DEVICE_TO_SEND); /* off, again */
    take_off(&one);
    one.points.point[1].is_told = false;
    check(&one, 10);
    assert_int_equal(one.device.trouble, LINK_CHANGED); /* not told any more */
}

/* The wish changed while the last one was on its way: its reply proves nothing. */
static void reply_to_an_old_wish_counts_for_nothing(void **state) {
    (void)state;
    struct one_device one;
    take_off(&one);
    link_device_want(&one.device, true, 10);
    link_device_want(&one.device, false, 20);
    link_device_answered(&one.device, &one.points, true, true, 30);
    check(&one, 30);
    assert_int_equal(one.device.step, LINK_DEVICE_TO_SEND);
    assert_false(link_device_is_settled(&one.device)); /* though it still shows off */
}

static void commands_are_written_so(void **state) {
    (void)state;
    static const struct {
        struct link_value at;
        unsigned off_port;
        bool is_on;
        const char *line;
    } cases[] = {
        {{LINK_GA, 2, 21, 1}, 0, true, "SET 2 GA 21 1 1 -1"},
        {{LINK_GA, 2, 21, 1}, 0, false, "SET 2 GA 21 0 1 -1"},
        {{LINK_GA, 2, 21, 3}, 3, true, "SET 2 GA 21 3 1 -1"},
        {{LINK_GA, 2, 21, 3}, 3, false, "SET 2 GA 21 3 0 -1"},
        {{LINK_POWER, 4, 0, 0}, 0, true, "SET 4 POWER ON"},
        {{LINK_POWER, 4, 0, 0}, 0, false, "SET 4 POWER OFF"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char line[LINK_LINE_SIZE];
        const struct link_device device = {
            .at = cases[i].at, .off_port = cases[i].off_port, .is_wanted_on = cases[i].is_on};
        link_device_set(&device, line);
        assert_string_equal(line, cases[i].line);
    }
}

/* ---- locks */

static void lock_is_renewed_at_half_its_time_and_asked_again_when_refused(void **state) {
    (void)state;
    struct link_lock lock = {.bus = 1, .address = 11};
    char line[LINK_LINE_SIZE];
    link_lock_restart(&lock, 50);
    assert_true(lock.due_us == 50 && !lock.is_held);
    link_lock_set(&lock, 10, line);
    assert_string_equal(line, "SET 1 LOCK GA 11 10");
    link_lock_answered(&lock, true, 10, BEAT, 100);
    assert_true(lock.is_held && lock.due_us == 100 + 5000000);
    link_lock_answered(&lock, false, 10, BEAT, 200);
    assert_true(!lock.is_held && lock.is_refused && lock.due_us == 200 + BEAT);
}

static void lock_is_followed_by_info(void **state) {
    (void)state;
    static const struct {
        const char *line;
        bool is_held;
    } cases[] = {
        {"1.0 100 INFO 1 LOCK GA 11 10 7", true}, /* ours */
        {"1.0 100 INFO 1 LOCK GA 11 0 0", true},  /* the server's own hold */
        {"1.0 100 INFO 1 LOCK GA 11 60 9", false},
        {"1.0 102 INFO 1 LOCK GA 11", false},
        {"1.0 102 INFO 1 LOCK GA 12", true},
        {"1.0 102 INFO 2 LOCK GA 11", true},
        {"1.0 102 INFO 1 GA 11", true},
        {"1.0 100 INFO 1 LOCK GA 11", true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct link_lock lock = {.bus = 1, .address = 11, .is_held = true, .due_us = 5000};
        struct srcp_answer answer = answer_of(cases[i].line);
        link_lock_told(&lock, &answer, 7, 300);
        if (lock.is_held != cases[i].is_held ||
            lock.due_us != (cases[i].is_held ? (uint64_t)5000 : (uint64_t)300)) {
            fail_msg("%s", cases[i].line);
        }
    }
}

/* A second daemon for the same bridge, started by mistake, is told so. */
static void refused_lock_tells_who_holds_it(void **state) {
    (void)state;
    struct link_lock lock = {.bus = 1, .address = 11};
    char words[LINK_LOCK_WORDS_SIZE];
    link_lock_answered(&lock, false, 10, BEAT, 100);
    link_lock_words(&lock, words);
    assert_string_equal(words, "GA 11 on bus 1 cannot be locked");
    struct srcp_answer answer = answer_of("1.0 100 INFO 1 LOCK GA 11 60 9");
    link_lock_told(&lock, &answer, 7, 300);
    link_lock_words(&lock, words);
    assert_string_equal(words,
                        "GA 11 on bus 1 cannot be locked: session 9 of that server holds it; "
                        "is a second daemon running?");
    answer = answer_of("1.0 102 INFO 1 LOCK GA 11");
    link_lock_told(&lock, &answer, 7, 300);
    link_lock_words(&lock, words);
    assert_string_equal(words, "GA 11 on bus 1 cannot be locked");
}

/* ---- trains */

static void trains_are_stopped_when_it_begins_and_when_they_run_again(void **state) {
    (void)state;
    const struct link_setup setup = {.trains = 2, .train = {{1, 3, 28}, {2, 44, 126}}};
    static const struct {
        const char *line;
        int next;
    } cases[] = {
        {"1.0 100 INFO 1 GL 3 1 20 28 0", 0},  {"1.0 100 INFO 1 GL 3 0 20 28 0", 0},
        {"1.0 100 INFO 1 GL 3 2 20 28 0", -1}, /* emergency stop: ours */
        {"1.0 100 INFO 1 GL 3 1 0 28 0", -1},  /* stands */
        {"1.0 100 INFO 2 GL 3 1 20 28 0", -1}, {"1.0 100 INFO 2 GL 44 1 5 126", 1},
        {"1.0 101 INFO 1 GL 3 1 20 28 0", -1}, {"1.0 100 INFO 1 GL 3 1", -1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct link_brake brake = {.is_wanted = false};
        struct srcp_answer answer = answer_of(cases[i].line);
        assert_false(link_brake_told(&brake, &setup, &answer)); /* not wanted */
        link_brake_look(&brake, 2, true);
        assert_int_equal(link_brake_next(&brake, 2, BEAT, 1000), 0);
        link_brake_answered(&brake, 0, true, 1000);
        link_brake_answered(&brake, 1, true, 1000);
        link_brake_look(&brake, 2, true);
        assert_int_equal(link_brake_next(&brake, 2, BEAT, 1000), -1);
        assert_int_equal(link_brake_told(&brake, &setup, &answer), cases[i].next >= 0);
        assert_int_equal(link_brake_next(&brake, 2, BEAT, 1000), -1); /* no faster than the beat */
        if (link_brake_next(&brake, 2, BEAT, 1000 + BEAT) != cases[i].next) {
            fail_msg("%s", cases[i].line);
        }
        link_brake_look(&brake, 2, false);
        assert_int_equal(link_brake_next(&brake, 2, BEAT, 9000), -1);
    }
}

static void trains_are_stopped_before_a_dead_span_only(void **state) {
    (void)state;
    struct bridge_setup setup = {.tracks = 1};
    struct bridge_inputs inputs = {.seated = LEVEL_ON};
    struct bridge_outputs outputs = {.horn = true};
    struct track_end_setup *end = &setup.track[0].end[1];
    *end = (struct track_end_setup){.is_used = true, .has_approach_detector = true};
    static const enum level levels[] = {LEVEL_UNKNOWN, LEVEL_OFF, LEVEL_ON};
    for (unsigned i = 0; i < 6; i++) {
        inputs.track[0].end[1].approach_clear = levels[i % 3];
        outputs.track[0].span_power = i >= 3;
        assert_int_equal(link_brake_is_wanted(&setup, &inputs, &outputs), i < 2);
    }
    inputs.track[0].end[1].approach_clear = LEVEL_OFF;
    outputs.track[0].span_power = false;
    end->has_approach_detector = false;
    assert_false(link_brake_is_wanted(&setup, &inputs, &outputs));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(info_tells_values),
        cmocka_unit_test(same_value_is_one_point),
        cmocka_unit_test(get_is_compared_with_what_info_told),
        cmocka_unit_test(doubt_is_looked_into_when_info_speaks),
        cmocka_unit_test(get_that_info_has_passed_is_asked_again),
        cmocka_unit_test(device_is_proved_by_reply_info_and_get_together),
        cmocka_unit_test(both_ports_must_show_it),
        cmocka_unit_test(unproved_device_is_in_trouble_after_the_limit),
        cmocka_unit_test(refused_device_is_in_trouble_until_taken_and_proved),
        cmocka_unit_test(change_that_nobody_asked_for_is_trouble_at_once),
        cmocka_unit_test(reply_to_an_old_wish_counts_for_nothing),
        cmocka_unit_test(commands_are_written_so),
        cmocka_unit_test(lock_is_renewed_at_half_its_time_and_asked_again_when_refused),
        cmocka_unit_test(lock_is_followed_by_info),
        cmocka_unit_test(refused_lock_tells_who_holds_it),
        cmocka_unit_test(trains_are_stopped_when_it_begins_and_when_they_run_again),
        cmocka_unit_test(trains_are_stopped_before_a_dead_span_only),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
