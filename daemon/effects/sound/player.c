#include "effects/sound/player.h"

#include "base/log.h"
#include "base/ring.h"
#include "base/thread.h"
#include "base/time_limit.h"
#include "effects/sound/mixer.h"
#include "effects/sound/sample.h"

#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

enum {
    ROOM = 1024,
    RETRY_MS = 5000,
    PERIOD_FRAMES = SOUND_RATE / 100,
    PERIOD_US = 10000,
    AHEAD_MOST_US = 200000, /* of real time; a card holds less */
    LEAK_US = 10,           /* a card's clock may be so much faster in each period: 0.1 % */
    QUIET_PERIODS = 25,     /* of silence before the sink rests */
    TAIL_PERIODS = 300,     /* at the end of a file */
    LATEST_SPEED_SHIFT = 16 /* SOUND_VOICES_MAX bits below it */
};

struct player {
    /* Set once, before the thread begins. */
    const char *name;
    struct sound_setup sound;
    struct bridge_setup bridge;
    const struct sink_ops *ops;
    char device[SOUND_FILE_SIZE];
    unsigned retry_ms;
    struct ring *orders;
    pthread_t thread;

    /* The loop's. */
    struct sound_order last;
    bool is_full; /* and it has been said */

    /* Between both. */
    atomic_uint latest; /* what stands: voices that are on, and the speed in hundredths above */
    atomic_uint_least64_t lost;
    atomic_bool is_ending;

    /* The thread's. */
    void *sink; /* NULL: cannot be opened */
    struct sample sample[SOUND_VOICES_MAX];
    struct mixer mixer;
    uint64_t lost_seen;
    uint64_t rendered; /* frames; by layout time */
    uint64_t open_due_ms, sample_due_ms;
    uint64_t period_began_us;          /* monotonic; 0: rested */
    int64_t ahead_us;                  /* of real time */
    unsigned quiet;                    /* periods of silence in a row */
    bool is_ailing;                    /* and it has been said */
    bool is_given_up;                  /* a file cannot be begun anew */
    bool is_missing[SOUND_VOICES_MAX]; /* its file, and it has been said */
};

static uint64_t now_ms(void) {
    return time_limit_clock_us() / 1000;
}

/* ---- the loop's side */

static void say_full(struct player *player) {
    atomic_fetch_add_explicit(&player->lost, 1, memory_order_release);
    if (!player->is_full) {
        log_line(LOG_WARNING, "%s: sound: the player cannot keep up, some sounds are lost",
                 player->name);
    }
    player->is_full = true;
}

static void hand_over(struct player *player, const struct sound_order *order) {
    unsigned hundredths = (unsigned)lrintf(order->speed * 100);
    atomic_store_explicit(&player->latest, order->on | hundredths << LATEST_SPEED_SHIFT,
                          memory_order_release);
    struct sound_order *room = ring_room(player->orders);
    if (room == NULL) {
        say_full(player);
    } else {
        *room = *order;
        ring_put(player->orders);
    }
    ring_wake(player->orders);
}

void player_notify(struct player *player, uint64_t at_us, const struct bridge_view *before,
                   const struct bridge_view *after) {
    if (player == NULL) {
        return;
    }
    struct sound_order order = sound_heard(&player->sound, &player->bridge, before, after);
    order.at_us = at_us;
    if (sound_is_news(&player->last, &order)) {
        hand_over(player, &order);
        player->last = order;
    }
}

uint64_t player_lost(const struct player *player) {
    return atomic_load(&player->lost);
}

/* ---- the thread: sink and files */

static void complain(struct player *player, const struct error *error) {
    if (!player->is_ailing) {
        log_line(LOG_WARNING, "%s: sound: %s: %s; nothing is heard%s", player->name, error->where,
                 error->what,
                 player->ops->is_by_layout_time ? " from there on" : " until it can be opened");
    }
    player->is_ailing = true;
}

/* What cannot be opened is tried again when something is to be heard, now and then. */
static bool is_open(struct player *player) {
    struct error error = {0};
    if (player->sink != NULL || player->is_given_up || now_ms() < player->open_due_ms) {
        return player->sink != NULL;
    }
    player->sink = player->ops->open(player->device, &error);
    if (player->sink == NULL) {
        complain(player, &error);
        player->open_due_ms = now_ms() + player->retry_ms;
        player->is_given_up = player->ops->is_by_layout_time;
        return false;
    }
    if (player->is_ailing) {
        log_line(LOG_NOTICE, "%s: sound: %s: heard again", player->name, player->device);
    }
    player->is_ailing = false;
    return true;
}

static void close_sink(struct player *player) {
    if (player->sink != NULL) {
        player->ops->close(player->sink);
    }
    player->sink = NULL;
}

static void play(struct player *player, const int16_t *frame, size_t frames) {
    struct error error = {0};
    if (is_open(player) && !player->ops->write(player->sink, frame, frames, &error)) {
        complain(player, &error);
        close_sink(player);
        player->open_due_ms = now_ms() + player->retry_ms;
        player->is_given_up = player->ops->is_by_layout_time;
    }
}

static void read_sample(struct player *player, unsigned i) {
    const char *path = player->sound.voice[i].file;
    struct error error = {0};
    if (path[0] == '\0' || player->sample[i].frame != NULL) {
        return;
    }
    if (sample_read(path, &player->sample[i], &error)) {
        mixer_set_sample(&player->mixer, i, &player->sample[i]);
        if (player->is_missing[i]) {
            log_line(LOG_NOTICE, "%s: sound: %s: heard from now on", player->name, path);
        }
    } else if (!player->is_missing[i]) {
        player->is_missing[i] = true;
        log_line(LOG_WARNING, "%s: sound: %s: %s; a computed sound is heard instead", player->name,
                 error.where, error.what);
    }
}

/* Only while nothing sounds: reading takes its time. */
static void read_samples(struct player *player) {
    uint64_t now = now_ms();
    if (now < player->sample_due_ms) {
        return;
    }
    player->sample_due_ms = now + player->retry_ms;
    for (unsigned i = 0; i < player->sound.voices; i++) {
        read_sample(player, i);
    }
}

/* ---- the thread: orders */

static void render_until(struct player *player, uint64_t at_us) {
    int16_t frame[PERIOD_FRAMES];
    uint64_t until = at_us * (SOUND_RATE / 1000) / 1000;
    while (player->rendered < until) {
        uint64_t left = until - player->rendered;
        size_t frames = left < PERIOD_FRAMES ? (size_t)left : PERIOD_FRAMES;
        mixer_render(&player->mixer, frame, frames);
        play(player, frame, frames);
        player->rendered += frames;
    }
}

static void take(struct player *player, const struct sound_order *order) {
    if (player->ops->is_by_layout_time) {
        render_until(player, order->at_us);
    }
    if (!mixer_sounds(&player->mixer)) {
        read_samples(player);
    }
    mixer_take(&player->mixer, order);
}

/* Lost orders: what they have led to still stands. What sounds once is lost with them. */
static void make_good(struct player *player) {
    uint64_t lost = atomic_load_explicit(&player->lost, memory_order_acquire);
    if (lost == player->lost_seen) {
        return;
    }
    player->lost_seen = lost;
    unsigned latest = atomic_load_explicit(&player->latest, memory_order_acquire);
    const struct sound_order order = {.on = latest & ((1U << LATEST_SPEED_SHIFT) - 1),
                                      .speed = (float)(latest >> LATEST_SPEED_SHIFT) / 100};
    mixer_take(&player->mixer, &order);
}

static void take_all(struct player *player) {
    const struct sound_order *order;
    while ((order = ring_oldest(player->orders)) != NULL) {
        take(player, order);
        ring_drop(player->orders);
    }
    make_good(player);
}

/* ---- the thread: playing */

/* A card takes frames as fast as it plays them. Where nothing does (a missing card, ALSA's "null")
 * the clock does, or the thread would never rest. */
static void keep_pace(struct player *player) {
    uint64_t now_us = time_limit_clock_us();
    if (player->period_began_us != 0) {
        player->ahead_us += PERIOD_US - LEAK_US - (int64_t)(now_us - player->period_began_us);
    }
    player->ahead_us = player->ahead_us > 0 ? player->ahead_us : 0;
    player->period_began_us = now_us;
    if (player->ahead_us > AHEAD_MOST_US || player->sink == NULL) {
        ring_wait(player->orders, PERIOD_US / 1000);
    }
}

static void play_period(struct player *player) {
    int16_t frame[PERIOD_FRAMES];
    mixer_render(&player->mixer, frame, PERIOD_FRAMES);
    play(player, frame, PERIOD_FRAMES);
    keep_pace(player);
}

/* Until something is to be heard: no time is looked at, nothing wakes. */
static void rest(struct player *player) {
    if (player->sink != NULL) {
        player->ops->rest(player->sink);
    }
    player->period_began_us = 0;
    player->ahead_us = 0;
    player->quiet = QUIET_PERIODS;
    ring_wait(player->orders, -1);
}

static void play_on(struct player *player) {
    take_all(player);
    player->quiet = mixer_sounds(&player->mixer) ? 0 : player->quiet + 1;
    if (player->quiet < QUIET_PERIODS) {
        play_period(player);
    } else {
        rest(player);
    }
}

static void finish_file(struct player *player) {
    const struct sound_order silence = {0};
    take_all(player);
    mixer_take(&player->mixer, &silence);
    for (unsigned i = 0; i < TAIL_PERIODS && mixer_sounds(&player->mixer); i++) {
        int16_t frame[PERIOD_FRAMES];
        mixer_render(&player->mixer, frame, PERIOD_FRAMES);
        play(player, frame, PERIOD_FRAMES);
    }
}

static void *work(void *context) {
    struct player *player = context;
    is_open(player); /* at once, so that a missing card is known at the start */
    read_samples(player);
    player->quiet = QUIET_PERIODS;
    while (!atomic_load(&player->is_ending)) {
        if (player->ops->is_by_layout_time) {
            ring_wait(player->orders, -1);
            take_all(player);
        } else {
            play_on(player);
        }
    }
    if (player->ops->is_by_layout_time) {
        finish_file(player);
    }
    close_sink(player);
    return NULL;
}

/* ---- both */

static void release(struct player *player) {
    for (unsigned i = 0; i < player->sound.voices; i++) {
        sample_free(&player->sample[i]);
    }
    ring_free(player->orders);
    free(player);
}

struct player *player_new(const struct player_setup *setup, struct error *error) {
    struct player *player = calloc(1, sizeof *player);
    if (player == NULL) {
        error_set(error, setup->name, "out of memory for sound");
        return NULL;
    }
    player->name = setup->name;
    player->sound = *setup->sound;
    player->bridge = *setup->bridge;
    player->ops = setup->sink;
    player->retry_ms = setup->retry_ms > 0 ? setup->retry_ms : RETRY_MS;
    strncpy(player->device, setup->device, sizeof player->device - 1);
    mixer_init(&player->mixer, &player->sound);
    player->orders = ring_new(setup->room > 0 ? setup->room : ROOM, sizeof(struct sound_order));
    if (player->orders == NULL || !thread_start(&player->thread, 0, work, player)) {
        error_set(error, setup->name, "out of memory or threads for sound");
        release(player);
        return NULL;
    }
    return player;
}

void player_free(struct player *player) {
    if (player == NULL) {
        return;
    }
    atomic_store(&player->is_ending, true);
    ring_wake(player->orders);
    pthread_join(player->thread, NULL);
    release(player);
}
