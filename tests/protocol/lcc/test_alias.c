/* CAN Frame Transfer S, 22 Jul 2024; check values of the generator from its Technical Note. */
#include "protocol/lcc/alias.h"
#include "support/check.h"
#include "support/lcc/lcc_text.h"

static const uint64_t node = 0x0A4452000001;
static const uint64_t second_us = 1000000;

static void the_generator_is_that_of_the_note(void **state) {
    (void)state;
    assert_int_equal(lcc_alias_of_seed(0x020121000012), 0x113);
    uint64_t next = lcc_alias_next_seed(0x020121000012);
    assert_true(next == 0x1F4FC47A6FBB);
    assert_int_equal(lcc_alias_of_seed(next), 0x62D);
    static const uint16_t of_zero[] = {0x000, 0x11E, 0x521, 0x42E, 0x464};
    uint64_t seed = 0;
    for (size_t i = 0; i < sizeof of_zero / sizeof of_zero[0]; i++) {
        assert_int_equal(lcc_alias_of_seed(seed), of_zero[i]);
        seed = lcc_alias_next_seed(seed);
    }
}

static void an_alias_0_is_passed_over(void **state) {
    (void)state;
    struct lcc_alias alias = {0};
    lcc_alias_start(&alias, 0);
    assert_int_equal(alias.alias, 0x11E);
}

static unsigned drain(struct lcc_alias *alias, uint64_t now_us, struct lcc_frame frames[8]) {
    unsigned count = 0;
    while (count < 8 && lcc_alias_next(alias, now_us, &frames[count])) {
        count++;
    }
    return count;
}

static void nothing_but_time_leads_on_from_the_fourth_check(void **state) {
    (void)state;
    struct lcc_alias alias = {0};
    struct lcc_frame frames[8];
    lcc_alias_start(&alias, node);
    assert_int_equal(lcc_alias_due_us(&alias), 0);
    assert_int_equal(drain(&alias, 5 * second_us, frames), 4);
    assert_int_equal(drain(&alias, 5 * second_us + 199999, frames), 0); /* S: 200 ms */
    assert_true(lcc_alias_due_us(&alias) >= 5 * second_us + 200000);
    assert_int_equal(drain(&alias, lcc_alias_due_us(&alias), frames), 2);
    assert_int_equal(alias.state, LCC_ALIAS_PERMITTED);
    assert_true(lcc_alias_due_us(&alias) == UINT64_MAX);
}

/* Gives a frame of another node to one that has sent `sent` of its frames. */
static enum lcc_alias_answer after(unsigned sent, const char *text, struct lcc_alias *alias,
                                   uint16_t *lost) {
    lcc_alias_start(alias, node);
    struct lcc_frame frame = {0};
    for (unsigned i = 0; i < sent; i++) {
        assert_true(lcc_alias_next(alias, i < 4 ? 0 : second_us, &frame));
    }
    struct lcc_frame_head head;
    frame = lcc_text_frame(text);
    lcc_frame_read(&frame, &head);
    return lcc_alias_take(alias, second_us, &head, lost);
}

static void whoever_uses_the_alias_first_has_it(void **state) {
    (void)state;
    static const char *const uses[] = {":X107004F7N;", ":X170504F7N;", ":X194904F7N;",
                                       ":X107014F7N05010101A207;", ":X195B44F7N0A44520000010002;"};
    for (size_t i = 0; i < sizeof uses / sizeof uses[0]; i++) {
        for (unsigned sent = 0; sent <= 4; sent++) {
            struct lcc_alias alias = {0};
            uint16_t lost = 0;
            assert_int_equal(after(sent, uses[i], &alias, &lost), LCC_ALIAS_FINE);
            assert_int_equal(alias.state, LCC_ALIAS_ASKING);
            assert_int_not_equal(alias.alias, 0x4F7);
            assert_int_equal(alias.check, 7);
        }
    }
}

static void an_alias_that_is_held_is_defended(void **state) {
    (void)state;
    struct lcc_alias alias = {0};
    uint16_t lost = 0;
    assert_int_equal(after(5, ":X170504F7N;", &alias, &lost), LCC_ALIAS_DEFEND);
    assert_int_equal(alias.state, LCC_ALIAS_RESERVED);
    assert_int_equal(after(6, ":X140504F7N;", &alias, &lost), LCC_ALIAS_DEFEND);
    assert_int_equal(alias.state, LCC_ALIAS_PERMITTED);
}

static void an_alias_that_another_uses_is_given_up(void **state) {
    (void)state;
    static const char *const uses[] = {":X107004F7N;", ":X107014F7N05010101A207;", ":X194904F7N;",
                                       ":X1A34C4F7N2080;"};
    for (size_t i = 0; i < sizeof uses / sizeof uses[0]; i++) {
        struct lcc_alias alias = {0};
        uint16_t lost = 0;
        assert_int_equal(after(6, uses[i], &alias, &lost), LCC_ALIAS_LOST);
        assert_int_equal(lost, 0x4F7);
        assert_int_equal(alias.state, LCC_ALIAS_ASKING);
        assert_int_not_equal(alias.alias, 0x4F7);
    }
}

static void other_aliases_are_nothing_to_it(void **state) {
    (void)state;
    for (unsigned sent = 0; sent <= 6; sent++) {
        struct lcc_alias alias = {0};
        uint16_t lost = 0;
        assert_int_equal(after(sent, ":X170504F8N;", &alias, &lost), LCC_ALIAS_FINE);
        assert_int_equal(alias.alias, 0x4F7);
    }
}

/* Ours: a hub that sends everything back must not make a storm. */
static void who_finds_every_alias_taken_slows_down(void **state) {
    (void)state;
    struct lcc_alias alias = {0};
    lcc_alias_start(&alias, node);
    unsigned sent = 0;
    for (uint64_t now_us = 0; now_us < 120 * second_us; now_us += 10000) {
        struct lcc_frame frame;
        while (lcc_alias_next(&alias, now_us, &frame)) {
            struct lcc_frame_head head;
            uint16_t lost;
            lcc_frame_read(&frame, &head);
            lcc_alias_take(&alias, now_us, &head, &lost);
            sent++;
        }
    }
    assert_in_range(sent, 10, 20);
    assert_int_not_equal(alias.state, LCC_ALIAS_PERMITTED);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_generator_is_that_of_the_note),
        cmocka_unit_test(an_alias_0_is_passed_over),
        cmocka_unit_test(nothing_but_time_leads_on_from_the_fourth_check),
        cmocka_unit_test(whoever_uses_the_alias_first_has_it),
        cmocka_unit_test(an_alias_that_is_held_is_defended),
        cmocka_unit_test(an_alias_that_another_uses_is_given_up),
        cmocka_unit_test(other_aliases_are_nothing_to_it),
        cmocka_unit_test(who_finds_every_alias_taken_slows_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
