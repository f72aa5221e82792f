/* Where frames go: ALSA, by the PCMs that need no card, and WAV files. */
#include "effects/sound/sample.h"
#include "effects/sound/sink.h"
#include "support/check.h"
#include "support/daemon/tree.h"
#include "support/effects/hearing.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { RATE = 48000 };

static struct tree tree;
static struct error error;
static char path[128];
static int16_t frames[RATE];

static int begin(void **state) {
    (void)state;
    tree_make(&tree);
    snprintf(path, sizeof path, "%s/heard", tree.root);
    for (int i = 0; i < RATE; i++) {
        frames[i] = (int16_t)(10000 * sin(2 * 3.14159265358979 * 440 * i / RATE));
    }
    return 0;
}

static int end(void **state) {
    (void)state;
    tree_remove(&tree);
    return 0;
}

static void play_to(const struct sink_ops *ops, const char *device) {
    void *sink = ops->open(device, &error);
    assert_non_null(sink);
    for (unsigned i = 0; i < 100; i++) {
        assert_true(ops->write(sink, frames + i * RATE / 100, RATE / 100, &error));
    }
    ops->rest(sink);
    ops->close(sink);
}

static void wav_file_holds_every_frame(void **state) {
    (void)state;
    struct sample sample;
    play_to(&sink_wav, path);
    assert_true(sample_read(path, &sample, &error));
    assert_int_equal(sample.rate, RATE);
    assert_int_equal(sample.frames, RATE);
    for (int i = 0; i < RATE; i++) { /* to a bit: it is read as floats */
        assert_in_range(sample.frame[i] - frames[i] + 1, 0, 2);
    }
    sample_free(&sample);
}

static void file_that_is_there_is_left_alone(void **state) {
    (void)state;
    tree_put(&tree, "heard", "a recording");
    assert_null(sink_wav.open(path, &error));
    assert_string_equal(error.where, path);
    assert_string_equal(error.what, "File exists");
    tree_expect(&tree, "heard", "a recording");
}

/* ALSA's own plug-in writes what the card behind it, "null", plays: raw, in what was negotiated. */
static void alsa_plays_what_it_is_given(void **state) {
    (void)state;
    static int16_t played[RATE];
    char device[160];
    snprintf(device, sizeof device, "file:%s,raw", path);
    play_to(&sink_card, device);
    FILE *file = fopen(path, "rb");
    assert_non_null(file);
    size_t count = fread(played, sizeof played[0], RATE, file);
    fclose(file);
    assert_true(count >= RATE * 9 / 10); /* what a rest drops was not played */
    assert_memory_equal(played, frames, count * sizeof played[0]);
}

static void card_that_is_not_there_is_named(void **state) {
    (void)state;
    assert_null(sink_card.open("hw:CARD=NoSuchCard", &error));
    assert_string_equal(error.where, "hw:CARD=NoSuchCard");
    assert_true(strlen(error.what) > 5);
}

/* It takes more than a buffer holds after a rest, too. */
static void card_plays_on_after_a_rest(void **state) {
    (void)state;
    void *sink = sink_card.open("null", &error);
    assert_non_null(sink);
    for (unsigned round = 0; round < 3; round++) {
        for (unsigned i = 0; i < 20; i++) {
            assert_true(sink_card.write(sink, frames, RATE / 100, &error));
        }
        sink_card.rest(sink);
    }
    sink_card.close(sink);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(wav_file_holds_every_frame, begin, end),
        cmocka_unit_test_setup_teardown(file_that_is_there_is_left_alone, begin, end),
        cmocka_unit_test_setup_teardown(alsa_plays_what_it_is_given, begin, end),
        cmocka_unit_test_setup_teardown(card_that_is_not_there_is_named, begin, end),
        cmocka_unit_test_setup_teardown(card_plays_on_after_a_rest, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
