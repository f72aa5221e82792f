/* From orders to frames, heard with an ear of the test's own. */
#include "effects/sound/mixer.h"
#include "support/check.h"
#include "support/effects/hearing.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { SECOND = 48000, LOUD = 400 };

static struct sound_setup setup;
static struct mixer mixer;
static int16_t heard[8 * SECOND];
static size_t frames;

static int begin(void **state) {
    (void)state;
    setup = (struct sound_setup){
        .volume = 1,
        .voices = 1,
        .voice = {{.volume = 1, .rest_pitch = 1, .fade_in_us = 15000, .fade_out_us = 80000}}};
    mixer_init(&mixer, &setup);
    frames = 0;
    return 0;
}

static void render(unsigned ms) {
    size_t more = (size_t)ms * SECOND / 1000;
    mixer_render(&mixer, heard + frames, more);
    frames += more;
}

static void order(uint32_t on, uint32_t begins, float speed) {
    mixer_take(&mixer, &(struct sound_order){.on = on, .begins = begins, .speed = speed});
}

static bool is_silent(size_t from, size_t to) {
    for (size_t i = from; i < to; i++) {
        if (heard[i] != 0) {
            return false;
        }
    }
    return true;
}

/* 33 CFR 83.32: a prolonged blast of 4 to 6 s, a short one of about 1 s; 117.15(b): one prolonged
 * and one short blast for opening. Each begins within 50 ms. */
static void blasts_have_their_length_and_order(void **state) {
    (void)state;
    static const struct {
        unsigned ms;
        bool is_on;
    } signal[] = {{500, false}, {4000, true}, {1000, false}, {1000, true}, {500, false}};
    for (size_t i = 0; i < sizeof signal / sizeof signal[0]; i++) {
        order(signal[i].is_on, 0, 0);
        render(signal[i].ms);
    }
    size_t at = 0, end;
    assert_true(hearing_next(heard, frames, LOUD, 100, &at, &end));
    assert_in_range(at, SECOND / 2, SECOND / 2 + SECOND / 20);
    assert_in_range(end, 4 * SECOND + SECOND / 2, 4 * SECOND + SECOND * 6 / 10);
    at = end;
    assert_true(hearing_next(heard, frames, LOUD, 100, &at, &end));
    assert_in_range(at, SECOND * 55 / 10, SECOND * 555 / 100);
    assert_in_range(end, SECOND * 65 / 10, SECOND * 66 / 10);
    at = end;
    assert_false(hearing_next(heard, frames, LOUD, 100, &at, &end));
}

/* Made of one blast and the pattern; what the horn's output does meanwhile is not heard. */
static void blasts_of_a_local_rule_run_to_their_end(void **state) {
    (void)state;
    static const unsigned begins_ms[] = {0, 1000, 2800}, ends_ms[] = {500, 2300, 3300};
    memcpy(setup.blasts[HORN_OPENING], "sPs", sizeof "sPs");
    setup.voice[0].when.all = 1U << CONDITION_HORN;
    setup.short_us = 500000;
    setup.prolonged_us = 1300000;
    setup.gap_us = 500000;
    mixer_take(&mixer, &(struct sound_order){.signal = HORN_OPENING});
    render(200);
    order(0, 0, 0);
    render(4800);
    size_t at = 0, end;
    for (unsigned i = 0; i < 3; i++) {
        assert_true(hearing_next(heard, frames, LOUD, 100, &at, &end));
        size_t begin_at = begins_ms[i] * (SECOND / 1000), end_at = ends_ms[i] * (SECOND / 1000);
        assert_in_range(at, begin_at, begin_at + SECOND / 20);
        assert_in_range(end, end_at, end_at + SECOND / 10);
        at = end;
    }
    assert_false(hearing_next(heard, frames, LOUD, 100, &at, &end));
    assert_false(mixer_sounds(&mixer));
}

static void silence_is_silent(void **state) {
    (void)state;
    assert_false(mixer_sounds(&mixer));
    render(100);
    order(1, 0, 0);
    assert_true(mixer_sounds(&mixer));
    render(500);
    order(0, 0, 0);
    assert_true(mixer_sounds(&mixer)); /* it fades out */
    render(81);
    assert_false(mixer_sounds(&mixer));
    size_t faded = frames;
    render(100);
    assert_true(is_silent(0, SECOND / 10) && is_silent(faded, frames));
}

/* No step between two frames is larger than the horn's own: a click would be. */
static void fades_do_not_click(void **state) {
    (void)state;
    order(1, 0, 0);
    render(300);
    order(0, 0, 0);
    render(200);
    int steepest = 0, first = abs(heard[0]);
    for (size_t i = SECOND / 10; i < SECOND * 3 / 10; i++) {
        int step = abs(heard[i] - heard[i - 1]);
        steepest = step > steepest ? step : steepest;
    }
    assert_true(first < 50);
    for (size_t i = 1; i < frames; i++) {
        assert_true(abs(heard[i] - heard[i - 1]) <= steepest);
    }
}

static void horn_sounds_its_chord(void **state) {
    (void)state;
    order(1, 0, 0);
    render(1100);
    const int16_t *steady = heard + SECOND / 10;
    for (unsigned i = 0; i < TONE_HORN_NOTES; i++) {
        double note = hearing_amplitude(steady, SECOND, tone_horn_hz[i]);
        assert_true(note > 1000);
        assert_true(note > 10 * hearing_amplitude(steady, SECOND, tone_horn_hz[i] + 30));
    }
}

static void siren_wails(void **state) {
    (void)state;
    setup.voice[0].kind = SOUND_SIREN;
    order(1, 0, 0);
    render(4000);
    double low = hearing_pitch(heard + SECOND / 20, SECOND / 10, 300, 900, 10);
    double high = hearing_pitch(heard + 2 * SECOND - SECOND / 20, SECOND / 10, 300, 900, 10);
    assert_in_range((long)low, 430, 480);
    assert_in_range((long)high, 770, 820);
}

/* The prime and the nominal, an octave above it; and it is struck again and again. */
static void bell_rings(void **state) {
    (void)state;
    setup.voice[0].kind = SOUND_BELL;
    order(1, 0, 0);
    render(1200);
    double prime = hearing_amplitude(heard, SECOND / 2, TONE_BELL_HZ);
    assert_true(prime > 8 * hearing_amplitude(heard, SECOND / 2, TONE_BELL_HZ * 0.8));
    assert_true(hearing_amplitude(heard, SECOND / 5, 2 * TONE_BELL_HZ) > 800);
    double fresh = hearing_amplitude(heard + SECOND * 6 / 10, SECOND / 10, TONE_BELL_HZ);
    double old = hearing_amplitude(heard + SECOND / 2, SECOND / 10, TONE_BELL_HZ);
    assert_true(fresh > 3 * old);
}

static void motor_follows_the_speed(void **state) {
    (void)state;
    setup.voice[0].kind = SOUND_MOTOR;
    setup.voice[0].rest_pitch = 0.4;
    order(1, 0, 1);
    render(1500);
    assert_in_range((long)hearing_pitch(heard + SECOND, SECOND / 2, 50, 200, 1), 148, 152);
    order(1, 0, 0.5F);
    render(1500);
    assert_in_range((long)hearing_pitch(heard + frames - SECOND / 2, SECOND / 2, 50, 200, 1), 103,
                    107);
}

static void seating_is_heard_once_to_its_end(void **state) {
    (void)state;
    setup.voice[0].kind = SOUND_SEATING;
    setup.voice[0].is_once = true;
    setup.voice[0].fade_in_us = 0;
    order(0, 1, 0);
    render(100);
    order(0, 0, 0); /* the next step wants nothing, and does not cut it off */
    render(1900);
    size_t at = 0, end;
    assert_true(hearing_next(heard, frames, 100, 50, &at, &end));
    assert_int_equal(at, 0);
    assert_in_range(end, SECOND / 5, SECOND);
    assert_false(mixer_sounds(&mixer));
    order(0, 1, 0);
    assert_true(mixer_sounds(&mixer));
}

static void ambience_is_heard(void **state) {
    (void)state;
    for (unsigned kind = SOUND_WATER; kind <= SOUND_GULLS; kind++) {
        begin(NULL);
        setup.voice[0].kind = (enum sound_kind)kind;
        order(1, 0, 0);
        render(8000);
        size_t at = 0, end;
        assert_true(hearing_next(heard, frames, 100, 100, &at, &end));
    }
}

static void more_than_fits_is_cut_off_and_never_wraps(void **state) {
    (void)state;
    static int16_t one[SECOND];
    order(1, 0, 0);
    mixer_render(&mixer, one, SECOND);
    begin(NULL);
    setup.voices = SOUND_VOICES_MAX;
    for (unsigned i = 1; i < SOUND_VOICES_MAX; i++) {
        setup.voice[i] = setup.voice[0];
    }
    order(0xffff, 0, 0);
    render(1000);
    bool is_cut = false;
    for (size_t i = 0; i < frames; i++) {
        is_cut = is_cut || heard[i] == 32767;
        assert_true(abs(one[i]) < 100 || (one[i] > 0) == (heard[i] > 0));
    }
    assert_true(is_cut);
}

static void volume_is_a_share(void **state) {
    (void)state;
    order(1, 0, 0);
    render(1000);
    double full = hearing_amplitude(heard, SECOND, tone_horn_hz[0]);
    begin(NULL);
    setup.volume = 0.5;
    setup.voice[0].volume = 0.5;
    order(1, 0, 0);
    render(1000);
    assert_float_equal(hearing_amplitude(heard, SECOND, tone_horn_hz[0]), full / 4, full / 100);
}

/* ---- samples */

enum { SAMPLE_RATE = 44100, SAMPLE_HZ = 1000, CYCLES = 441 };
static int16_t sine[SAMPLE_RATE * CYCLES / SAMPLE_HZ]; /* whole cycles: it loops without a step */
static struct sample sample = {sine, sizeof sine / sizeof sine[0], SAMPLE_RATE};

static void set_sample(bool is_looped) {
    for (size_t i = 0; i < sample.frames; i++) {
        sine[i] =
            (int16_t)(20000 * sin(2 * 3.14159265358979 * SAMPLE_HZ * (double)i / SAMPLE_RATE));
    }
    setup.voice[0].is_looped = is_looped;
    mixer_set_sample(&mixer, 0, &sample);
}

static void sample_of_another_rate_keeps_its_pitch(void **state) {
    (void)state;
    set_sample(true);
    order(1, 0, 1);
    render(2000); /* it loops: it is 441 ms long */
    assert_in_range((long)hearing_pitch(heard + SECOND, SECOND, 900, 1100, 1), 999, 1001);
    assert_true(hearing_amplitude(heard + SECOND, SECOND, SAMPLE_HZ) > 9000);
}

static void pitch_of_a_sample_follows_the_speed(void **state) {
    (void)state;
    setup.voice[0].rest_pitch = 0.5;
    set_sample(true);
    order(1, 0, 0);
    render(2000);
    assert_in_range((long)hearing_pitch(heard + SECOND, SECOND, 400, 1100, 1), 499, 501);
}

static void sample_that_does_not_loop_ends(void **state) {
    (void)state;
    set_sample(false);
    order(1, 0, 0);
    render(500);
    order(1, 0, 0.5F); /* still wanted: that is not a beginning */
    render(500);
    size_t at = 0, end;
    assert_true(hearing_next(heard, frames, LOUD, 50, &at, &end));
    assert_in_range(end, SECOND * 43 / 100, SECOND * 46 / 100);
    at = end;
    assert_false(hearing_next(heard, frames, LOUD, 50, &at, &end));
    assert_false(mixer_sounds(&mixer));
}

static void pieces_make_no_difference(void **state) {
    (void)state;
    static int16_t whole[SECOND];
    setup.voice[0].kind = SOUND_MOTOR;
    order(1, 0, 0.7F);
    mixer_render(&mixer, whole, SECOND);
    mixer_init(&mixer, &setup);
    order(1, 0, 0.7F);
    for (unsigned i = 0; i < 10; i++) {
        render(i % 2 == 0 ? 150 : 50);
    }
    assert_memory_equal(whole, heard, sizeof whole);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(blasts_have_their_length_and_order, begin),
        cmocka_unit_test_setup(blasts_of_a_local_rule_run_to_their_end, begin),
        cmocka_unit_test_setup(silence_is_silent, begin),
        cmocka_unit_test_setup(fades_do_not_click, begin),
        cmocka_unit_test_setup(horn_sounds_its_chord, begin),
        cmocka_unit_test_setup(siren_wails, begin),
        cmocka_unit_test_setup(bell_rings, begin),
        cmocka_unit_test_setup(motor_follows_the_speed, begin),
        cmocka_unit_test_setup(seating_is_heard_once_to_its_end, begin),
        cmocka_unit_test_setup(ambience_is_heard, begin),
        cmocka_unit_test_setup(more_than_fits_is_cut_off_and_never_wraps, begin),
        cmocka_unit_test_setup(volume_is_a_share, begin),
        cmocka_unit_test_setup(sample_of_another_rate_keeps_its_pitch, begin),
        cmocka_unit_test_setup(pitch_of_a_sample_follows_the_speed, begin),
        cmocka_unit_test_setup(sample_that_does_not_loop_ends, begin),
        cmocka_unit_test_setup(pieces_make_no_difference, begin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
