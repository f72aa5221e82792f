#include "support/check.h"
#include "tools/drawtender/client/movement.h"
#include "tools/drawtender/client/target.h"

#include <stdio.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static void picture_with(struct picture *picture, const char *phase, const char *goal) {
    picture_start(picture, 1);
    snprintf(picture->phase, sizeof picture->phase, "%s", phase);
    snprintf(picture->goal, sizeof picture->goal, "%s", goal);
}

static void a_movement_ends_where_it_should_and_nowhere_else(void **state) {
    (void)state;
    static const struct {
        enum movement movement;
        const char *phase, *goal;
        enum movement_end end;
    } cases[] = {
        {MOVEMENT_UP, "clearing", "up", MOVEMENT_GOES_ON},
        {MOVEMENT_UP, "raising", "up", MOVEMENT_GOES_ON},
        {MOVEMENT_UP, "lined", "up", MOVEMENT_GOES_ON},
        {MOVEMENT_UP, "open", "none", MOVEMENT_ARRIVED},
        {MOVEMENT_UP, "open", "up", MOVEMENT_GOES_ON},
        {MOVEMENT_UP, "open", "down", MOVEMENT_REVERSED},
        {MOVEMENT_UP, "lowering", "down", MOVEMENT_REVERSED},
        {MOVEMENT_UP, "held", "none", MOVEMENT_HELD},
        {MOVEMENT_UP, "fault", "none", MOVEMENT_FAULTED},
        {MOVEMENT_UP, "proving", "none", MOVEMENT_GIVEN_UP},
        {MOVEMENT_UP, "lined", "none", MOVEMENT_GIVEN_UP},
        {MOVEMENT_UP, "unproved", "none", MOVEMENT_GIVEN_UP},
        {MOVEMENT_UP, "raising", "none", MOVEMENT_GOES_ON}, /* lifted by hand */
        {MOVEMENT_DOWN, "open", "down", MOVEMENT_GOES_ON},
        {MOVEMENT_DOWN, "proving", "none", MOVEMENT_GOES_ON}, /* an opening was given up */
        {MOVEMENT_DOWN, "open", "none", MOVEMENT_GOES_ON},    /* lowered by hand */
        {MOVEMENT_DOWN, "lined", "none", MOVEMENT_ARRIVED},
        {MOVEMENT_DOWN, "lined", "up", MOVEMENT_REVERSED},
        {MOVEMENT_DOWN, "held", "none", MOVEMENT_HELD},
        {MOVEMENT_DOWN, "fault", "none", MOVEMENT_FAULTED},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        struct picture picture;
        picture_with(&picture, cases[i].phase, cases[i].goal);
        assert_int_equal(movement_judge(cases[i].movement, &picture), cases[i].end);
    }
}

static void targets_are_parsed(void **state) {
    (void)state;
    static const struct {
        const char *word[5];
        bool is_good;
    } cases[] = {
        {{"lined", NULL}, true},
        {{"fault", NULL}, true},
        {{"FB", "3", NULL}, true},
        {{"FB", "3", "0", NULL}, true},
        {{"GA", "11", "1", NULL}, true},
        {{"GA", "11", "1", "0", NULL}, true},
        {{"raising", NULL}, false},
        {{"lined", "now", NULL}, false},
        {{"FB", NULL}, false},
        {{"FB", "0", NULL}, false},
        {{"FB", "x", NULL}, false},
        {{"FB", "3", "-1", NULL}, false},
        {{"FB", "3", "1", "1", NULL}, false},
        {{"GA", "11", NULL}, false},
        {{"GA", "11", "-1", NULL}, false},
        {{"GL", "11", NULL}, false},
        {{"", NULL}, false},
    };
    for (size_t i = 0; i < COUNT(cases); i++) {
        size_t words = 0;
        while (cases[i].word[words] != NULL) {
            words++;
        }
        struct target target;
        struct error error;
        assert_int_equal(target_parse(words, cases[i].word, &target, &error), cases[i].is_good);
    }
}

static void targets_are_reached_by_phase_or_value(void **state) {
    (void)state;
    struct picture picture;
    picture_with(&picture, "fault", "none");
    picture.devices = 1;
    picture.device[0] =
        (struct picture_device){.group = SRCP_FB, .address = 3, .is_known = {true}, .value = {0}};
    struct target phase = {.phase = "lined"};
    struct target fault = {.phase = "fault"};
    struct target occupied = {.group = SRCP_FB, .address = 3, .value = 1};
    struct target clear = {.group = SRCP_FB, .address = 3, .value = 0};
    struct target port = {.group = SRCP_FB, .address = 3, .port = 99};
    struct target untold = {.group = SRCP_FB, .address = 3, .port = 1};
    assert_false(target_is_reached(&phase, &picture));
    assert_true(target_is_barred(&phase, &picture));
    assert_true(target_is_reached(&fault, &picture));
    assert_false(target_is_barred(&fault, &picture));
    assert_false(target_is_reached(&occupied, &picture));
    assert_false(target_is_barred(&occupied, &picture));
    assert_true(target_is_reached(&clear, &picture));
    assert_false(target_exists(&port, &picture));
    assert_false(target_is_reached(&untold, &picture));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_movement_ends_where_it_should_and_nowhere_else),
        cmocka_unit_test(targets_are_parsed),
        cmocka_unit_test(targets_are_reached_by_phase_or_value),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
