#include "records/recorder.h"

#include "base/log.h"
#include "base/ring.h"
#include "base/thread.h"
#include "base/time_limit.h"
#include "records/batch.h"
#include "records/codec/core_shapes.h"
#include "records/writer_lock.h"

#include <inttypes.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const struct recorder_pace recorder_pace_usual = {
    .room = 512, .poll_ms = 100, .write_ms = 400, .retry_ms = 5000};

enum { TRIM_EVERY_MS = 60000, TRIM_NEXT_MS = 1000, BATCH_ITEMS_MOST = 16384 };

struct recorder {
    /* Set once, before the thread begins. */
    struct record_setup setup;
    struct recorder_pace pace;
    unsigned room; /* of the queue, items */
    unsigned bridges;
    struct recorder_bridge bridge[RECORDER_BRIDGES_MAX];
    char version[32];
    uint64_t began_us;
    struct ring *queue;
    pthread_t thread;

    /* The control loop's. */
    uint64_t serial[RECORDER_BRIDGES_MAX];
    bool is_full; /* and it has been said */

    /* Between both. */
    atomic_uint_least64_t overflowed; /* items that found no room */
    atomic_uint_least64_t written;
    atomic_bool is_ending;

    /* The thread's. */
    int lock; /* on the record; WRITER_LOCK_NONE: not had yet */
    struct store store;
    struct batch_rows rows;
    struct batch batch;
    uint64_t overflow_counted;
    uint64_t write_due_ms, open_due_ms, trim_due_ms;
    bool is_ailing; /* the file cannot be written, and it has been said */
};

static uint64_t now_ms(void) {
    return time_limit_clock_us() / 1000;
}

/* ---- the control loop's side */

static struct item *room_for(struct recorder *recorder) {
    struct item *item = ring_room(recorder->queue);
    if (item == NULL) {
        atomic_fetch_add_explicit(&recorder->overflowed, 1, memory_order_relaxed);
        if (!recorder->is_full) {
            log_line(LOG_WARNING,
                     "record: the recorder cannot keep up, part of the record is lost");
        }
        recorder->is_full = true;
    }
    return item;
}

void recorder_take(struct recorder *recorder, unsigned bridge, const struct recorder_step *step) {
    if (recorder == NULL) {
        return;
    }
    uint64_t serial = ++recorder->serial[bridge];
    struct item *item = room_for(recorder);
    if (item == NULL) {
        return;
    }
    item->kind = ITEM_STEP;
    item->bridge = bridge;
    item->at_us = step->at_us;
    item->who = step->who;
    item->step.serial = serial;
    item->step.dt_us = step->dt_us;
    item->step.request = *step->request;
    item->step.answer = step->answer;
    item->step.before = step->before->state;
    item->step.after = *step->after;
    bool is_urgent = item->is_urgent = event_is_urgent(&item->step);
    bool is_half_full = ring_put(recorder->queue); /* the item is the thread's now */
    if (is_urgent || is_half_full) {
        ring_wake(recorder->queue);
    }
}

static void take_words(struct recorder *recorder, const struct item *about, const char *words) {
    struct item *item = recorder != NULL ? room_for(recorder) : NULL;
    if (item == NULL) {
        return;
    }
    item->kind = about->kind;
    item->bridge = about->bridge;
    item->at_us = about->at_us;
    item->who = about->who;
    item->begins = about->begins;
    item->is_urgent = false;
    snprintf(item->words, sizeof item->words, "%s", words);
    if (ring_put(recorder->queue)) {
        ring_wake(recorder->queue);
    }
}

void recorder_session(struct recorder *recorder, uint64_t at_us, int32_t id, bool begins,
                      const char *words) {
    const struct item about = {.kind = ITEM_SESSION, .at_us = at_us, .who = id, .begins = begins};
    take_words(recorder, &about, words);
}

void recorder_news(struct recorder *recorder, uint64_t at_us, unsigned bridge, const char *words) {
    const struct item about = {.kind = ITEM_NEWS, .at_us = at_us, .bridge = bridge};
    take_words(recorder, &about, words);
}

uint64_t recorder_written(const struct recorder *recorder) {
    return atomic_load(&recorder->written);
}

/* ---- the thread's side */

static void complain(struct recorder *recorder, const struct error *error) {
    if (!recorder->is_ailing) {
        log_line(LOG_WARNING, "record: %s: %s; nothing is recorded until it can be written",
                 recorder->setup.file, error->what);
    }
    recorder->is_ailing = true;
}

static bool add_bridge(struct recorder *recorder, unsigned i, struct error *error) {
    static const struct bridge_setup nothing;
    const struct recorder_bridge *bridge = &recorder->bridge[i];
    struct pack setup = {0};
    shape_pack(&core_setup_shape, &nothing, &bridge->setup, &setup);
    bool is_added =
        store_do(&recorder->store, error,
                 "INSERT INTO bridge (run, number, name, bus, travel, unit, shapes, setup,"
                 " service_openings, service_us) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                 "iitidtibii", recorder->rows.run, (int64_t)i, bridge->name, (int64_t)bridge->bus,
                 bridge->travel, bridge->unit, (int64_t)core_shapes_print(), &setup,
                 (int64_t)recorder->setup.service_openings, (int64_t)recorder->setup.service_us);
    pack_free(&setup);
    recorder->rows.bridge[i] = is_added ? store_last(&recorder->store) : 0;
    return is_added;
}

/* A file that could not be written for a while still has the run: it goes on. */
static bool goes_on(struct recorder *recorder) {
    struct store *store = &recorder->store;
    return recorder->rows.run != 0 &&
           store_do(store, NULL,
                    "UPDATE run SET ended_us = NULL WHERE id = ? AND began_us = ? AND version = ?",
                    "iit", recorder->rows.run, (int64_t)recorder->began_us, recorder->version) &&
           sqlite3_changes(store->database) == 1;
}

static bool begin_run(struct recorder *recorder, struct error *error) {
    struct store *store = &recorder->store;
    if (goes_on(recorder)) {
        return true;
    }
    bool is_begun = store_begin(store, STORE_WITH_SYSTEM, error) &&
                    store_do(store, error, "INSERT INTO run (began_us, version) VALUES (?, ?)",
                             "it", (int64_t)recorder->began_us, recorder->version);
    recorder->rows.run = is_begun ? store_last(store) : 0;
    for (unsigned i = 0; is_begun && i < recorder->bridges; i++) {
        is_begun = add_bridge(recorder, i, error);
    }
    is_begun = is_begun && store_commit(store, error);
    if (!is_begun) {
        store_roll_back(store);
    }
    return is_begun;
}

/* SQLite goes on to write a file that has no name any more, and nobody would ever read that. */
static void look_for_file(struct recorder *recorder) {
    if (recorder->store.database != NULL && store_has_moved(&recorder->store)) {
        log_line(LOG_WARNING, "record: %s: deleted, moved or replaced; starting a new one",
                 recorder->setup.file);
        store_settle(&recorder->store);
        store_close(&recorder->store);
        recorder->rows.run = 0;
        recorder->open_due_ms = 0;
        writer_lock_release(recorder->lock); /* it may have gone with the file */
        recorder->lock = WRITER_LOCK_NONE;
    }
}

/* The lock comes first: no record is even looked into that another process writes. */
static bool open_store(struct recorder *recorder, struct error *error) {
    bool is_held;
    if (recorder->lock == WRITER_LOCK_NONE) {
        recorder->lock = writer_lock_take(recorder->setup.file, &is_held, error);
    }
    return recorder->lock != WRITER_LOCK_NONE &&
           store_open(&recorder->store, recorder->setup.file, error);
}

/* A file that is or has become unusable is tried again after a while: somebody may mend it. */
static bool is_open(struct recorder *recorder) {
    if (recorder->store.database != NULL) {
        return true;
    }
    if (now_ms() < recorder->open_due_ms) {
        return false;
    }
    struct error error = {0};
    recorder->open_due_ms = now_ms() + recorder->pace.retry_ms;
    if (!open_store(recorder, &error)) {
        complain(recorder, &error);
        return false;
    }
    if (!begin_run(recorder, &error)) {
        complain(recorder, &error);
        store_close(&recorder->store);
        return false;
    }
    return true;
}

static void count_overflow(struct recorder *recorder) {
    uint64_t overflowed = atomic_load_explicit(&recorder->overflowed, memory_order_relaxed);
    recorder->batch.lost += overflowed - recorder->overflow_counted;
    recorder->overflow_counted = overflowed;
}

static void write_batch(struct recorder *recorder) {
    struct batch *batch = &recorder->batch;
    struct error error = {0};
    count_overflow(recorder);
    if (batch->items == 0) {
        return;
    }
    look_for_file(recorder);
    if (!is_open(recorder)) {
        batch->lost += batch->items;
    } else if (!batch_write(batch, &recorder->store, &recorder->rows, &error)) {
        batch->lost += batch->items;
        complain(recorder, &error);
        store_close(&recorder->store);
        recorder->open_due_ms = now_ms() + recorder->pace.retry_ms;
    } else {
        atomic_fetch_add(&recorder->written, batch->items);
        batch->lost = 0;
        if (recorder->is_ailing) {
            log_line(LOG_NOTICE, "record: %s: recording again", recorder->setup.file);
        }
        recorder->is_ailing = false;
    }
    batch_clear(batch);
}

static void take_all(struct recorder *recorder) {
    const struct item *item;
    for (unsigned n = 0; n < recorder->room; n++) {
        if ((item = ring_oldest(recorder->queue)) == NULL) {
            break;
        }
        if (!batch_take(&recorder->batch, item)) {
            write_batch(recorder);
            batch_take(&recorder->batch, item);
        }
        ring_drop(recorder->queue);
    }
}

static void trim(struct recorder *recorder) {
    uint64_t now = now_ms();
    if (now < recorder->trim_due_ms || recorder->store.database == NULL) {
        return;
    }
    uint64_t newest_us = recorder->batch.newest_us;
    uint64_t keep_us = recorder->setup.keep_us;
    uint64_t oldest_us = keep_us != 0 && newest_us > keep_us ? newest_us - keep_us : 0;
    bool has_more = store_trim(&recorder->store, oldest_us, recorder->setup.most_bytes);
    recorder->trim_due_ms = now + (has_more ? TRIM_NEXT_MS : TRIM_EVERY_MS);
}

/* Until it is woken, or it is time to look. Returns whether the recorder ends. */
static bool pause_a_while(struct recorder *recorder) {
    ring_wait(recorder->queue, (int)recorder->pace.poll_ms);
    return atomic_load(&recorder->is_ending);
}

static void end_run(struct recorder *recorder) {
    if (recorder->store.database != NULL) {
        store_do(&recorder->store, NULL, "UPDATE run SET ended_us = ? WHERE id = ?", "ii",
                 (int64_t)recorder->batch.newest_us, recorder->rows.run);
        store_close(&recorder->store);
    }
}

static bool is_due(const struct recorder *recorder, uint64_t now) {
    const struct batch *batch = &recorder->batch;
    return batch->is_urgent || batch->items >= BATCH_ITEMS_MOST || now >= recorder->write_due_ms;
}

static void *write_on(void *context) {
    struct recorder *recorder = context;
    is_open(recorder); /* at once, so that a file that cannot be written is known at the start */
    for (bool is_ending = false; !is_ending;) {
        is_ending = pause_a_while(recorder);
        take_all(recorder);
        uint64_t now = now_ms();
        if (is_ending || is_due(recorder, now)) {
            write_batch(recorder);
            trim(recorder);
            recorder->write_due_ms = now + recorder->pace.write_ms;
        }
    }
    end_run(recorder);
    return NULL;
}

/* ---- both */

/* A limit on the size of files is an error like others. */
static bool start_thread(struct recorder *recorder) {
    signal(SIGXFSZ, SIG_IGN);
    return thread_start(&recorder->thread, 0, write_on, recorder);
}

static void release(struct recorder *recorder) {
    writer_lock_release(recorder->lock);
    batch_free(&recorder->batch);
    ring_free(recorder->queue);
    free(recorder);
}

struct recorder *recorder_new(const struct record_setup *setup,
                              const struct recorder_bridge *bridge, unsigned bridges,
                              const struct recorder_pace *pace, const char *version,
                              uint64_t now_us, struct error *error) {
    struct recorder *recorder = calloc(1, sizeof *recorder);
    if (recorder == NULL) {
        error_set(error, setup->file, "out of memory for a record");
        return NULL;
    }
    recorder->setup = *setup;
    recorder->pace = *pace;
    recorder->bridges = bridges;
    memcpy(recorder->bridge, bridge, bridges * sizeof *bridge);
    snprintf(recorder->version, sizeof recorder->version, "%s", version);
    recorder->began_us = now_us;
    batch_init(&recorder->batch, recorder->bridge, bridges);
    recorder->batch.newest_us = now_us;
    bool is_held;
    struct error why = {0}; /* the thread tries again, and says so, where nobody has the lock */
    recorder->lock = writer_lock_take(setup->file, &is_held, &why);
    if (is_held) {
        error_set(error, why.where, "%s", why.what);
        release(recorder);
        return NULL;
    }
    for (recorder->room = pace->room; recorder->room < pace->room * bridges;) {
        recorder->room *= 2;
    }
    recorder->queue = ring_new(recorder->room, sizeof(struct item));
    if (recorder->queue == NULL || !start_thread(recorder)) {
        error_set(error, setup->file, "out of memory or threads for a record");
        release(recorder);
        return NULL;
    }
    return recorder;
}

void recorder_free(struct recorder *recorder) {
    if (recorder == NULL) {
        return;
    }
    atomic_store(&recorder->is_ending, true);
    ring_wake(recorder->queue);
    pthread_join(recorder->thread, NULL);
    release(recorder);
}
