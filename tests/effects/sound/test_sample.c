/* Sound files, written by libsndfile and its libraries for FLAC and Vorbis, read back. */
#include "effects/sound/sample.h"
#include "support/check.h"
#include "support/daemon/tree.h"
#include "support/effects/hearing.h"

#include <math.h>
#include <sndfile.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { RATE = 48000 };

static struct tree tree;
static struct sample sample;
static struct error error;
static char path[128];

static int begin(void **state) {
    (void)state;
    tree_make(&tree);
    snprintf(path, sizeof path, "%s/sound", tree.root);
    return 0;
}

static int end(void **state) {
    (void)state;
    sample_free(&sample);
    tree_remove(&tree);
    return 0;
}

/* A sine of 500 Hz on the last channel, silence on the others. */
static void write_file(int format, int channels, int rate, int frames) {
    SF_INFO info = {.samplerate = rate, .channels = channels, .format = format};
    SNDFILE *file = sf_open(path, SFM_WRITE, &info);
    assert_non_null(file);
    for (int i = 0; i < frames; i++) {
        double frame[8] = {0};
        frame[channels - 1] = 0.6 * sin(2 * 3.14159265358979 * 500 * i / rate);
        assert_int_equal(sf_writef_double(file, frame, 1), 1);
    }
    sf_close(file);
}

static void wav_flac_and_vorbis_are_read(void **state) {
    (void)state;
    static const int formats[] = {SF_FORMAT_WAV | SF_FORMAT_PCM_16, SF_FORMAT_WAV | SF_FORMAT_FLOAT,
                                  SF_FORMAT_FLAC | SF_FORMAT_PCM_16,
                                  SF_FORMAT_OGG | SF_FORMAT_VORBIS};
    for (size_t i = 0; i < sizeof formats / sizeof formats[0]; i++) {
        write_file(formats[i], 1, RATE, RATE / 2);
        assert_true(sample_read(path, &sample, &error));
        assert_int_equal(sample.rate, RATE);
        assert_int_equal(sample.frames, RATE / 2);
        double amplitude = hearing_amplitude(sample.frame, sample.frames, 500);
        assert_float_equal(amplitude, 0.6 * 32767, 1000);
        sample_free(&sample);
    }
}

static void channels_are_mixed_to_one(void **state) {
    (void)state;
    write_file(SF_FORMAT_WAV | SF_FORMAT_PCM_16, 2, RATE, RATE / 2);
    assert_true(sample_read(path, &sample, &error));
    assert_int_equal(sample.frames, RATE / 2);
    assert_float_equal(hearing_amplitude(sample.frame, sample.frames, 500), 0.3 * 32767, 100);
}

static void assert_refused(const char *why) {
    assert_false(sample_read(path, &sample, &error));
    assert_string_equal(error.where, path);
    assert_non_null(strstr(error.what, why));
}

static void what_cannot_be_read_is_named(void **state) {
    (void)state;
    assert_refused("No such file");
    tree_put(&tree, "sound", "no sound at all");
    assert_refused("");
    assert_true(strlen(error.what) > 10);
    write_file(SF_FORMAT_WAV | SF_FORMAT_PCM_16, 1, RATE, 0);
    assert_refused("has no sound in it");
    write_file(SF_FORMAT_WAV | SF_FORMAT_PCM_16, 1, 100, 100 * SAMPLE_SECONDS_MAX);
    assert_refused("too long");
}

/* A file that was cut off while it was copied: what is there is heard. */
static void file_that_is_cut_off_sounds_as_far_as_it_goes(void **state) {
    (void)state;
    static char bytes[44 + 2 * 1000];
    write_file(SF_FORMAT_WAV | SF_FORMAT_PCM_16, 1, RATE, 2000);
    FILE *file = fopen(path, "rb");
    assert_int_equal(fread(bytes, 1, sizeof bytes, file), sizeof bytes);
    fclose(file);
    file = fopen(path, "wb");
    assert_int_equal(fwrite(bytes, 1, sizeof bytes, file), sizeof bytes);
    fclose(file);
    assert_true(sample_read(path, &sample, &error));
    assert_in_range(sample.frames, 990, 1000);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(wav_flac_and_vorbis_are_read, begin, end),
        cmocka_unit_test_setup_teardown(channels_are_mixed_to_one, begin, end),
        cmocka_unit_test_setup_teardown(what_cannot_be_read_is_named, begin, end),
        cmocka_unit_test_setup_teardown(file_that_is_cut_off_sounds_as_far_as_it_goes, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
