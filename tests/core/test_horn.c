/* The sound signals, as a listener on the river would time them. */
#include "core/horn.h"
#include "support/check.h"
#include "support/core/puppet.h"

enum { BLASTS_MAX = 8, STEP_US = 10000 };

struct heard {
    unsigned blasts;
    uint32_t blast_us[BLASTS_MAX];
    uint32_t gap_us[BLASTS_MAX]; /* before the blast of the same number */
};

/* Sounds a whole signal in steps of 10 ms. */
static struct heard listen(const struct bridge_setup *setup, enum horn_signal signal) {
    struct heard heard = {0};
    struct horn_state horn = {0};
    bool was_sounding = false;
    uint32_t gap_us = 0;
    horn_start(setup, &horn, signal);
    for (unsigned steps = 0; horn.signal != HORN_SILENT; steps++) {
        assert_true(steps < 10000);
        bool is_sounding = horn_sounds(&horn);
        if (is_sounding && !was_sounding) {
            assert_true(heard.blasts < BLASTS_MAX);
            heard.gap_us[heard.blasts++] = gap_us;
            gap_us = 0;
        }
        if (is_sounding) {
            heard.blast_us[heard.blasts - 1] += STEP_US;
        } else {
            gap_us += STEP_US;
        }
        was_sounding = is_sounding;
        horn_step(setup, &horn, STEP_US);
    }
    assert_false(horn_sounds(&horn));
    return heard;
}

/* A prolonged blast lasts 4 to 6 s, a short one about 1 s (33 CFR 83.32). */
static bool is_prolonged(uint32_t blast_us) {
    return blast_us >= 4000000 && blast_us <= 6000000;
}

static bool is_short(uint32_t blast_us) {
    return blast_us >= 800000 && blast_us <= 1200000; /* 0.8 to 1.2 s: common practice, no source */
}

static void opening_is_one_prolonged_and_one_short_blast(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct heard heard = listen(&setup, HORN_OPENING);
    assert_int_equal(heard.blasts, 2); /* 33 CFR 117.15(b), from memory */
    assert_true(is_prolonged(heard.blast_us[0]));
    assert_true(is_short(heard.blast_us[1]));
    assert_true(heard.gap_us[1] <= 3000000); /* short within 3 s: 33 CFR 117.15(b), from memory */
}

static void closing_is_five_short_blasts(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct heard heard = listen(&setup, HORN_CLOSING);
    assert_int_equal(heard.blasts, 5); /* 33 CFR 117.15(b), from memory */
    for (unsigned i = 0; i < heard.blasts; i++) {
        assert_true(is_short(heard.blast_us[i]));
        assert_int_equal(heard.gap_us[i], i == 0 ? 0 : setup.blast_gap_us);
    }
}

static void lengths_are_those_of_the_setup(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.prolonged_blast_us = 4200000;
    setup.short_blast_us = 900000;
    setup.blast_gap_us = 700000;
    struct heard heard = listen(&setup, HORN_OPENING);
    assert_int_equal(heard.blast_us[0], 4200000);
    assert_int_equal(heard.gap_us[1], 700000);
    assert_int_equal(heard.blast_us[1], 900000);
}

static void silence_ends_a_signal_and_lasts(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct horn_state horn = {0};
    assert_false(horn_sounds(&horn));
    horn_start(&setup, &horn, HORN_CLOSING);
    assert_true(horn_sounds(&horn));
    horn_start(&setup, &horn, HORN_SILENT);
    assert_false(horn_sounds(&horn));
    horn_step(&setup, &horn, UINT32_MAX);
    assert_int_equal(horn.signal, HORN_SILENT);
    assert_int_equal(horn.left_us, 0);
    horn_start(&setup, &horn, (enum horn_signal)(HORN_CLOSING + 1)); /* no signal at all */
    horn_step(&setup, &horn, 0);
    assert_int_equal(horn.signal, HORN_SILENT);
}

static void new_signal_begins_at_its_beginning(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct horn_state horn = {0};
    horn_start(&setup, &horn, HORN_CLOSING);
    horn_step(&setup, &horn, setup.short_blast_us);
    assert_false(horn_sounds(&horn)); /* in the first gap */
    horn_start(&setup, &horn, HORN_OPENING);
    assert_true(horn_sounds(&horn));
    assert_int_equal(horn.left_us, setup.prolonged_blast_us);
}

/* A late step must not swallow a blast: it ends one blast or gap, not several. */
static void late_step_ends_one_blast_at_most(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct horn_state horn = {0};
    horn_start(&setup, &horn, HORN_OPENING);
    unsigned steps = 0;
    unsigned sounded = 0;
    for (; horn.signal != HORN_SILENT; steps++) {
        assert_true(steps < 10);
        sounded += horn_sounds(&horn) ? 1 : 0;
        horn_step(&setup, &horn, UINT32_MAX);
    }
    assert_int_equal(steps, 4);
    assert_int_equal(sounded, 2);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(opening_is_one_prolonged_and_one_short_blast),
        cmocka_unit_test(closing_is_five_short_blasts),
        cmocka_unit_test(lengths_are_those_of_the_setup),
        cmocka_unit_test(silence_ends_a_signal_and_lasts),
        cmocka_unit_test(new_signal_begins_at_its_beginning),
        cmocka_unit_test(late_step_ends_one_blast_at_most),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
