/* A whole opening, heard: the daemon writes a WAV file in layout time, and what is in it agrees
 * with what the protocol says happened, and when. */
#include "support/check.h"
#include "support/daemon/daemon.h"
#include "support/daemon/tree.h"
#include "support/effects/hearing.h"

#include <signal.h>
#include <sndfile.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

enum { RATE = 48000, BLASTS = 7, LOUD = 300 };

static const char config[] = SOURCE_DIR "/tests/daemon/quiet-bridge.json";

/* As the protocol tells it; layout time. */
struct opening {
    uint64_t on_us[BLASTS], off_us[BLASTS];
    uint64_t raising_us, open_us, seated_us;
};

static uint64_t await(struct daemon_session *info, const char *line) {
    daemon_read_until(info, line, NULL);
    return info->stamp_us;
}

static void await_blasts(struct daemon_session *info, struct opening *opening, unsigned from,
                         unsigned to) {
    for (unsigned i = from; i < to; i++) {
        opening->on_us[i] = await(info, "100 INFO 1 GA 3 0 1");
        opening->off_us[i] = await(info, "100 INFO 1 GA 3 0 0");
    }
}

static void run_opening(const char *path, struct opening *opening) {
    struct daemon_run run;
    struct daemon_session command, info;
    daemon_write_sound(path);
    daemon_start(&run, config, "50");
    daemon_connect(&run, &command, "COMMAND");
    daemon_expect(&command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_connect(&run, &info, "INFO");
    await(&info, "100 INFO 0 GM"); /* the phase, the last of what was before */
    daemon_expect(&command, "SET 1 GA 1 1 1 -1", "200 OK");
    await_blasts(&info, opening, 0, 2);
    opening->raising_us = await(&info, "100 INFO 1 FB 1 0");
    opening->open_us = await(&info, "100 INFO 1 FB 3 1");
    daemon_expect(&command, "WAIT 1 FB 3 0 5", "417 "); /* a while of silence */
    daemon_expect(&command, "SET 1 GA 1 0 1 -1", "200 OK");
    await_blasts(&info, opening, 2, BLASTS);
    opening->seated_us = await(&info, "100 INFO 1 FB 1 1");
    daemon_expect(&command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_disconnect(&info);
    daemon_disconnect(&command);
    assert_int_equal(WEXITSTATUS(daemon_end(&run, SIGTERM)), 0);
}

static int16_t *heard;
static size_t frames;
static struct opening opening;
static uint64_t zero_us; /* layout time of the file's first frame */

static size_t place_of(uint64_t at_us) {
    return (size_t)((at_us - zero_us) * RATE / 1000000);
}

/* Both are told to the millisecond; heard to 10 ms. */
static void assert_near(size_t at, uint64_t at_us, unsigned late_ms) {
    size_t wanted = place_of(at_us);
    assert_in_range(at, wanted - RATE / 50, wanted + late_ms * (RATE / 1000));
}

/* The clock of the file against the protocol's is known by its first blast alone. */
static void find_zero(void) {
    size_t at = 0, end;
    assert_true(hearing_next(heard, frames, LOUD, 100, &at, &end));
    zero_us = opening.on_us[0] - (uint64_t)at * 1000000 / RATE;
}

/* 33 CFR 117.15(b): opening, one prolonged and one short blast; closing, five short ones; 83.32: 4
 * to 6 s and about 1 s. Each begins within 50 ms of the horn's output. */
static void blasts_are_heard_with_the_horn(void **state) {
    (void)state;
    size_t at = 0, end;
    for (unsigned i = 0; i < BLASTS; i++) {
        at = i == 2 ? place_of(opening.on_us[2]) - RATE / 2 : at;
        assert_true(hearing_next(heard, frames, LOUD, 100, &at, &end));
        if (i != 2) { /* a request comes at any time: on a paced clock two looks at it may differ */
            assert_near(at, opening.on_us[i], 50);
        }
        assert_near(end, opening.off_us[i], 100);
        double seconds = (double)(end - at) / RATE;
        assert_true(i == 0 ? seconds >= 4 && seconds <= 6.1 : seconds >= 0.8 && seconds <= 1.2);
        assert_true(hearing_amplitude(heard + at, RATE / 2, 277.2) > 500);
        assert_true(hearing_amplitude(heard + at, RATE / 2, 415.3) > 500);
        at = end;
    }
}

static double hum(size_t at, double least, double most) {
    double pitch = hearing_pitch(heard + at, RATE / 2, least, most, 1);
    return hearing_amplitude(heard + at, RATE / 2, pitch);
}

static void motor_is_heard_as_long_as_it_runs(void **state) {
    (void)state;
    size_t rising = place_of(opening.raising_us) + 5 * RATE,
           still = place_of(opening.open_us) + RATE;
    size_t falling = place_of(opening.seated_us) - 20 * RATE;
    assert_true(hum(rising, 80, 160) > 200);
    assert_true(hum(falling, 80, 160) > 200);
    size_t at = still, end;
    assert_false(hearing_next(heard, still + 2 * RATE, LOUD / 10, 50, &at, &end));
}

/* The thud is lower than the motor ever is. */
static void seat_is_heard_as_it_is_proved(void **state) {
    (void)state;
    size_t seated = place_of(opening.seated_us);
    double after = hearing_amplitude(heard + seated, RATE / 5, 66);
    double before = hearing_amplitude(heard + seated - RATE / 2, RATE / 5, 66);
    assert_true(after > 500);
    assert_true(after > 4 * before);
}

static void one_comes_after_the_other(void **state) {
    (void)state;
    assert_true(opening.off_us[1] < opening.raising_us && opening.raising_us < opening.open_us &&
                opening.open_us < opening.on_us[2] && opening.off_us[6] < opening.seated_us);
}

/* Somebody else's reader finds the same: root mean square of a stretch, by sox. */
static double sox_level(const char *path, double from_s, double length_s) {
    char line[256];
    double level = -1;
    snprintf(line, sizeof line, "sox %s -n trim %.3f %.3f stat 2>&1", path, from_s, length_s);
    FILE *out = popen(line, "r");
    assert_non_null(out);
    while (fgets(line, sizeof line, out) != NULL) {
        sscanf(line, "RMS amplitude: %lf", &level);
        sscanf(line, "RMS     amplitude: %lf", &level);
    }
    pclose(out);
    return level;
}

static struct tree tree;
static char path[128];

static void sox_hears_the_same(void **state) {
    (void)state;
    if (system("command -v sox >/dev/null") != 0) {
        skip();
    }
    double blast_s = (double)place_of(opening.on_us[0]) / RATE;
    double blast = sox_level(path, blast_s + 0.1, 3.5);
    double gap = sox_level(path, (double)place_of(opening.off_us[0]) / RATE + 0.2, 0.6);
    assert_true(blast > 0.02);
    assert_true(gap >= 0 && gap < blast / 100);
}

static void read_file(void) {
    SF_INFO info = {0};
    SNDFILE *file = sf_open(path, SFM_READ, &info);
    assert_non_null(file);
    assert_int_equal(info.samplerate, RATE);
    assert_int_equal(info.channels, 1);
    frames = (size_t)info.frames;
    heard = calloc(frames, sizeof *heard);
    assert_non_null(heard);
    assert_int_equal(sf_readf_short(file, heard, info.frames), info.frames);
    sf_close(file);
}

static int open_bridge(void **state) {
    (void)state;
    tree_make(&tree);
    snprintf(path, sizeof path, "%s/opening.wav", tree.root);
    run_opening(path, &opening);
    read_file();
    find_zero();
    return 0;
}

static int clean_up(void **state) {
    (void)state;
    free(heard);
    tree_remove(&tree);
    return 0;
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(blasts_are_heard_with_the_horn),
        cmocka_unit_test(motor_is_heard_as_long_as_it_runs),
        cmocka_unit_test(seat_is_heard_as_it_is_proved),
        cmocka_unit_test(one_comes_after_the_other),
        cmocka_unit_test(sox_hears_the_same),
    };
    return cmocka_run_group_tests(tests, open_bridge, clean_up);
}
