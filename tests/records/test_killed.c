/* kill -9 at any time: what the record has, it has whole, and all that the writer called written.
 * 200 times, at moments from a fixed seed. */
#include "records/codec/core_shapes.h"
#include "records/codec/step_code.h"
#include "support/check.h"
#include "support/records/records_feed.h"

#include <sched.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { SHORT_KILLS = 180, LONG_KILLS = 20, AT_ONCE = 10, KILLS_A_FILE = 20 };
enum { UNWRITTEN_MOST = 1500, SECOND_US = 1000000, STEP_US = 2000 };

/* What a child has done, as it says itself. */
struct said {
    atomic_uint_least64_t written; /* items that the recorder called written */
};

static struct said *said;

static unsigned random_below(unsigned limit) {
    static uint32_t seed = 20260301; /* Numerical Recipes' generator, 7.1; from memory */
    seed = seed * 1664525u + 1013904223u;
    return (seed >> 8) % limit;
}

static uint64_t now_us(void) {
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    return (uint64_t)now.tv_sec * SECOND_US + (uint64_t)now.tv_nsec / 1000;
}

/* `pause_us` between two steps; 0: none. */
static void write_until_killed(const char *path, const struct recorder_pace *pace,
                               unsigned pause_us, struct said *saying, pid_t parent) {
    struct record_setup setup = records_feed_setup(path);
    struct bridge_setup bridge = sim_world_bridge();
    struct recorder_bridge about = records_feed_bridge(&bridge);
    struct recorder *recorder = recorder_new(&setup, &about, 1, pace, "0.0", now_us(), NULL);
    struct bridge_view before;
    struct bridge_view after;
    memset(&before, 0, sizeof before);
    memset(&after, 0, sizeof after);
    const struct bridge_request none = {.kind = REQUEST_NONE};
    /* A test that fails must leave nobody behind. */
    for (uint64_t n = 0; getppid() == parent; n++) {
        atomic_store(&saying->written, recorder_written(recorder));
        if (n - recorder_written(recorder) >= UNWRITTEN_MOST) {
            sched_yield(); /* faster than any bridge; a full ring is another test's */
            n--;
            continue;
        }
        after.inputs.position_frac = (double)n;
        after.state.phase = n % 100 < 50 ? PHASE_RAISING : PHASE_OPEN;
        const struct recorder_step step = {.at_us = now_us(),
                                           .dt_us = 10000,
                                           .request = &none,
                                           .before = &before,
                                           .after = &after};
        recorder_take(recorder, 0, &step);
        before = after;
        if (pause_us > 0) {
            usleep(pause_us);
        }
    }
}

static pid_t start(const char *path, const struct recorder_pace *pace, unsigned pause_us,
                   struct said *saying) {
    atomic_store(&saying->written, 0);
    pid_t parent = getpid();
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        write_until_killed(path, pace, pause_us, saying, parent);
        _exit(0);
    }
    return child;
}

/* Until the first item is in the file, however long the disk takes to open it. */
static void await_written(pid_t child, struct said *saying) {
    while (atomic_load(&saying->written) == 0) {
        assert_int_equal(waitpid(child, NULL, WNOHANG), 0); /* 0: it still lives */
        sched_yield();
    }
}

static void kill_after(pid_t child, unsigned wait_us) {
    struct timespec wait = {.tv_sec = wait_us / SECOND_US,
                            .tv_nsec = (long)(wait_us % SECOND_US) * 1000};
    nanosleep(&wait, NULL);
    kill(child, SIGKILL);
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFSIGNALED(status));
}

/* Every piece can be read to its end, and follows the one before. Returns the steps. */
static uint64_t read_pieces(struct store *store, int64_t bridge) {
    sqlite3_stmt *statement = NULL;
    sqlite3_prepare_v2(store->database,
                       "SELECT first, count, data FROM steps WHERE bridge = ? ORDER BY id", -1,
                       &statement, NULL);
    sqlite3_bind_int64(statement, 1, bridge);
    uint64_t steps = 0;
    while (sqlite3_step(statement) == SQLITE_ROW) {
        assert_int_equal(sqlite3_column_int64(statement, 0), steps + 1);
        struct step_reader reader;
        struct bridge_state before;
        assert_true(step_reader_begin(&reader, sqlite3_column_blob(statement, 2),
                                      (size_t)sqlite3_column_bytes(statement, 2), &before));
        uint64_t in_piece = 0;
        while (step_reader_next(&reader)) {
            assert_true(reader.step.inputs.position_frac == (double)(steps + in_piece));
            in_piece++;
        }
        assert_false(reader.unpack.has_failed);
        assert_int_equal(in_piece, sqlite3_column_int64(statement, 1));
        steps += in_piece;
    }
    sqlite3_finalize(statement);
    return steps;
}

static void check(const char *path, const struct said *saying) {
    uint64_t written = atomic_load(&saying->written);
    struct store store;
    struct error error = {.what = ""};
    assert_true(store_open(&store, path, &error)); /* as the next daemon does */
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM pragma_integrity_check"
                                                 " WHERE integrity_check <> 'ok'"),
                     0);
    int64_t bridge = records_feed_number(&store, "SELECT ifnull(max(id), 0) FROM bridge");
    assert_true(read_pieces(&store, bridge) >= written);
    store_close(&store);
}

/* Writes as often as it can, so that most deaths are within a transaction. Every other one may die
 * while the file is being opened. */
static void killed_while_writing_as_hard_as_it_can(void **state) {
    (void)state;
    char path[RECORD_FILE_SIZE];
    uint64_t written = 0;
    for (unsigned i = 0; i < SHORT_KILLS; i++) {
        if (i % KILLS_A_FILE == 0) {
            records_feed_file(path);
        }
        pid_t child = start(path, &records_feed_pace, 0, said);
        if (i % 2 == 1) {
            await_written(child, said);
        }
        kill_after(child, 1000 + random_below(60000));
        check(path, said);
        written += atomic_load(&said->written);
        if (i % KILLS_A_FILE == KILLS_A_FILE - 1) {
            records_feed_forget(path);
        }
    }
    assert_true(written > 0);
}

/* At the usual pace, with some of it unwritten. */
static void killed_at_the_usual_pace(void **state) {
    (void)state;
    char path[AT_ONCE][RECORD_FILE_SIZE];
    pid_t child[AT_ONCE];
    for (unsigned i = 0; i < LONG_KILLS; i += AT_ONCE) {
        for (unsigned k = 0; k < AT_ONCE; k++) {
            records_feed_file(path[k]);
            child[k] = start(path[k], &recorder_pace_usual, STEP_US, &said[k]);
        }
        for (unsigned k = 0; k < AT_ONCE; k++) {
            await_written(child[k], &said[k]);
            kill_after(child[k], random_below(500000));
            check(path[k], &said[k]);
            records_feed_forget(path[k]);
        }
    }
}

int main(void) {
    said = mmap(NULL, AT_ONCE * sizeof *said, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS,
                -1, 0);
    if (said == MAP_FAILED) {
        return 1;
    }
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(killed_while_writing_as_hard_as_it_can),
        cmocka_unit_test(killed_at_the_usual_pace),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
