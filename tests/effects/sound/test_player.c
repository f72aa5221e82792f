/* The thread that plays: in order, never waited for, at rest while nothing sounds. Time is as the
 * sink of the test wants it. */
#include "base/ring.h"
#include "effects/sound/player.h"
#include "support/check.h"
#include "support/effects/hearing.h"
#include "support/logged.h"

#include <semaphore.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { SECOND = 48000, LOUD = 400, FRAMES_MAX = 20 * SECOND };

/* ---- a sink of the test's own */

static struct {
    int16_t frame[FRAMES_MAX];
    atomic_uint frames;
    atomic_uint opens, failures; /* opens; those that are still to fail */
    atomic_bool is_write_broken;
    atomic_bool is_held; /* writes wait for `go` */
    sem_t held, go, rested, opened;
} fake;

static void *fake_open(const char *device, struct error *error) {
    atomic_fetch_add(&fake.opens, 1);
    if (atomic_load(&fake.failures) > 0) {
        atomic_fetch_sub(&fake.failures, 1);
        error_set(error, device, "is not plugged in");
        return NULL;
    }
    sem_post(&fake.opened);
    return &fake;
}

static bool fake_write(void *sink, const int16_t *frame, size_t frames, struct error *error) {
    (void)sink;
    if (atomic_load(&fake.is_held)) {
        sem_post(&fake.held);
        sem_wait(&fake.go);
    }
    if (atomic_exchange(&fake.is_write_broken, false)) {
        return error_set(error, "fake", "was unplugged");
    }
    unsigned at = atomic_load(&fake.frames);
    if (at + frames <= FRAMES_MAX) {
        memcpy(fake.frame + at, frame, frames * sizeof *frame);
        atomic_fetch_add(&fake.frames, (unsigned)frames);
    }
    return true;
}

static void fake_rest(void *sink) {
    (void)sink;
    sem_post(&fake.rested);
}

static void fake_close(void *sink) {
    (void)sink;
}

static const struct sink_ops card = {
    .open = fake_open, .write = fake_write, .rest = fake_rest, .close = fake_close};
static const struct sink_ops file = {.is_by_layout_time = true,
                                     .open = fake_open,
                                     .write = fake_write,
                                     .rest = fake_rest,
                                     .close = fake_close};

/* How the thread waits is looked at. */
static sem_t endless;

void __real_ring_wait(struct ring *ring, int most_ms);
void __wrap_ring_wait(struct ring *ring, int most_ms);
void __wrap_ring_wait(struct ring *ring, int most_ms) {
    if (most_ms < 0) {
        sem_post(&endless);
    }
    __real_ring_wait(ring, most_ms);
}

static void await(sem_t *what) {
    while (sem_wait(what) != 0) {
    }
}

/* ---- a bridge */

static const struct bridge_setup bridge = {.motion = {.full_speed_frac_s = 0.03}};
static struct sound_setup sound;
static struct bridge_view before, after;
static struct player *player;

static int begin(void **state) {
    (void)state;
    memset(&fake, 0, sizeof fake);
    sem_init(&fake.held, 0, 0);
    sem_init(&fake.go, 0, 0);
    sem_init(&fake.rested, 0, 0);
    sem_init(&fake.opened, 0, 0);
    sem_init(&endless, 0, 0);
    before = after = (struct bridge_view){.state = {.phase = PHASE_WARNING}};
    sound = (struct sound_setup){.volume = 1,
                                 .voices = 1,
                                 .voice = {{.kind = SOUND_HORN,
                                            .when = {1U << CONDITION_HORN, 0},
                                            .volume = 1,
                                            .rest_pitch = 1,
                                            .fade_out_us = 50000}}};
    return 0;
}

static void start(const struct sink_ops *sink, unsigned room) {
    struct error error;
    const struct player_setup setup = {.name = "Kettle Narrows",
                                       .sound = &sound,
                                       .bridge = &bridge,
                                       .sink = sink,
                                       .device = "fake",
                                       .room = room,
                                       .retry_ms = 1};
    player = player_new(&setup, &error);
    assert_non_null(player);
}

static int end(void **state) {
    (void)state;
    player_free(player);
    player = NULL;
    return 0;
}

static void put_out_horn(uint64_t at_ms, bool is_on) {
    after.outputs.horn = is_on;
    player_notify(player, at_ms * 1000, &before, &after);
    before = after;
}

/* ---- a file, by layout time */

static void file_has_every_blast_in_its_place(void **state) {
    (void)state;
    start(&file, 0);
    put_out_horn(1000, true);
    put_out_horn(6000, false);
    put_out_horn(7000, true);
    put_out_horn(8000, false);
    put_out_horn(9000, true);
    end(NULL);
    static const size_t wanted[][2] = {{1, 6}, {7, 8}};
    size_t at = 0, until;
    for (size_t i = 0; i < 2; i++, at = until) {
        assert_true(hearing_next(fake.frame, fake.frames, LOUD, 50, &at, &until));
        assert_in_range(at, wanted[i][0] * SECOND, wanted[i][0] * SECOND + SECOND / 20);
        assert_in_range(until, wanted[i][1] * SECOND, wanted[i][1] * SECOND + SECOND / 10);
    }
    /* What still sounds at the end fades out, and no more. */
    assert_in_range(fake.frames, 9 * SECOND, 9 * SECOND + SECOND / 5);
}

static void file_that_cannot_be_written_is_given_up(void **state) {
    (void)state;
    fake.failures = 1;
    logged_begin();
    start(&file, 0);
    put_out_horn(1000, true);
    put_out_horn(2000, false);
    end(NULL);
    logged_end();
    assert_int_equal(fake.opens, 1);
    assert_int_equal(logged_lines("Kettle Narrows: sound: fake: is not plugged in; nothing is"), 1);
}

/* ---- a card, as it comes */

/* Its wait has no end, so nothing wakes it. */
static void nothing_wakes_it_while_nothing_sounds(void **state) {
    (void)state;
    start(&card, 0);
    await(&endless);
    assert_int_equal(fake.frames, 0);
    put_out_horn(0, true);
    put_out_horn(10, false);
    await(&endless);
    unsigned played = fake.frames;
    put_out_horn(20, false); /* no news: not even handed over */
    assert_int_equal(fake.frames, played);
    assert_true(played > 0);
}

static void rest_comes_after_all_is_played(void **state) {
    (void)state;
    start(&card, 0);
    await(&fake.rested); /* at the start */
    fake.is_held = true;
    put_out_horn(0, true);
    await(&fake.held); /* the first period of the blast */
    put_out_horn(1000, false);
    fake.is_held = false;
    sem_post(&fake.go);
    await(&fake.rested);
    size_t at = 0, until;
    assert_true(hearing_next(fake.frame, fake.frames, LOUD, 50, &at, &until));
    assert_int_equal(at, 0);          /* heard from its first frame */
    assert_true(fake.frames > until); /* faded out, and silent behind it */
}

static void loop_never_waits_and_what_stands_is_made_good(void **state) {
    (void)state;
    enum { ROOM = 4 };
    logged_begin();
    start(&card, ROOM);
    await(&fake.rested);
    fake.is_held = true;
    put_out_horn(0, true);
    await(&fake.held); /* the card is stuck */
    for (unsigned i = 0; i < 10; i++) {
        put_out_horn(i, i % 2 == 1);
    }
    put_out_horn(20, false); /* would never end, if lost */
    assert_int_equal(player_lost(player), 11 - ROOM);
    fake.is_held = false;
    sem_post(&fake.go);
    await(&fake.rested);
    logged_end();
    assert_int_equal(logged_lines("the player cannot keep up"), 1);
}

static void missing_card_is_a_warning_and_opened_again(void **state) {
    (void)state;
    fake.failures = 3;
    logged_begin();
    start(&card, 0);
    await(&endless);
    put_out_horn(0, true);
    await(&fake.opened);
    put_out_horn(10, false);
    end(NULL);
    logged_end();
    assert_int_equal(fake.opens, 4);
    assert_int_equal(logged_lines("is not plugged in; nothing is heard until it can be opened"), 1);
    assert_int_equal(logged_lines("fake: heard again"), 1);
}

static void card_that_goes_away_is_opened_again(void **state) {
    (void)state;
    logged_begin();
    start(&card, 0);
    await(&fake.opened);
    await(&fake.rested);
    fake.is_write_broken = true;
    put_out_horn(0, true);
    await(&fake.opened);
    end(NULL);
    logged_end();
    assert_int_equal(logged_lines("fake: was unplugged"), 1);
}

static void missing_sound_file_is_a_warning_and_computed(void **state) {
    (void)state;
    strcpy(sound.voice[0].file, "/nowhere/horn.flac");
    logged_begin();
    start(&file, 0);
    put_out_horn(1000, true);
    put_out_horn(2000, false);
    end(NULL);
    logged_end();
    assert_int_equal(logged_lines("/nowhere/horn.flac: "), 1);
    assert_int_equal(logged_lines("a computed sound is heard instead"), 1);
    size_t at = 0, until;
    assert_true(hearing_next(fake.frame, fake.frames, LOUD, 50, &at, &until));
}

static void nobody_is_told_without_sound(void **state) {
    (void)state;
    player_notify(NULL, 0, &before, &after);
    player_free(NULL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(file_has_every_blast_in_its_place, begin, end),
        cmocka_unit_test_setup_teardown(file_that_cannot_be_written_is_given_up, begin, end),
        cmocka_unit_test_setup_teardown(nothing_wakes_it_while_nothing_sounds, begin, end),
        cmocka_unit_test_setup_teardown(rest_comes_after_all_is_played, begin, end),
        cmocka_unit_test_setup_teardown(loop_never_waits_and_what_stands_is_made_good, begin, end),
        cmocka_unit_test_setup_teardown(missing_card_is_a_warning_and_opened_again, begin, end),
        cmocka_unit_test_setup_teardown(card_that_goes_away_is_opened_again, begin, end),
        cmocka_unit_test_setup_teardown(missing_sound_file_is_a_warning_and_computed, begin, end),
        cmocka_unit_test(nobody_is_told_without_sound),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
