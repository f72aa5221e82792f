/* A fault, a stop or a refusal wakes the writer, and is on the disk before anything else is: the
 * recorders here write nothing by themselves before the test would have been ended for hanging. */
#include "base/log.h"
#include "core/words/names.h"
#include "records/batch.h"
#include "records/event.h"
#include "support/check.h"
#include "support/records/records_feed.h"

#include <sched.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

static char path[RECORD_FILE_SIZE];
static atomic_uint syncs; /* of any file, to the disk */

/* SQLite's calls come here, in place of libc's. */
int fsync(int fd) {
    atomic_fetch_add(&syncs, 1);
    return (int)syscall(SYS_fsync, fd);
}

int fdatasync(int fd) {
    atomic_fetch_add(&syncs, 1);
    return (int)syscall(SYS_fdatasync, fd);
}

static int make_file(void **state) {
    (void)state;
    records_feed_file(path);
    log_set_level(LOG_ERROR); /* a ring that is full is meant */
    return 0;
}

static int forget_file(void **state) {
    (void)state;
    records_feed_forget(path);
    return 0;
}

/* How often the file has this; 0 also where it is not there yet. */
static int64_t count(const char *kind, const char *what) {
    struct store store;
    char sql[160];
    snprintf(sql, sizeof sql, "SELECT count(*) FROM event WHERE kind = '%s' AND what = '%s'", kind,
             what);
    if (!store_open_to_read(&store, path, NULL)) {
        return 0;
    }
    int64_t found = records_feed_number(&store, sql);
    store_close(&store);
    return found;
}

/* Until it can be read. Steps that come after it, and are not urgent, wait. */
static void await_event(const char *kind, const char *what) {
    while (count(kind, what) == 0) {
        usleep(100);
    }
    assert_int_equal(count(kind, what), 1);
}

static void await_more_written(const struct recorder *recorder, uint64_t than) {
    while (recorder_written(recorder) == than) {
        usleep(100);
    }
}

static void each_is_written_at_once_and_with_it_what_came_before(void **state) {
    (void)state;
    struct records_feed feed;
    struct record_setup setup = records_feed_setup(path);
    records_feed_start_at(&feed, &setup, &records_feed_asleep);
    assert_true(records_feed_run_to(&feed, PHASE_LINED, 60000000));
    assert_int_equal(recorder_written(feed.recorder), 0); /* nothing of that was urgent */

    /* Granted, and refused once the span is on its way. */
    assert_int_equal(records_feed_ask(&feed, REQUEST_RAISE), ANSWER_GRANTED);
    assert_int_equal(recorder_written(feed.recorder), 0);
    assert_false(bridge_answer_is_granted(records_feed_ask(&feed, REQUEST_POWER_ON)));
    await_event("refused", "power-on");
    assert_int_equal(count("asked", "raise"), 1);
    assert_int_equal(count("phase", "clearing"), 1);

    assert_int_equal(records_feed_ask(&feed, REQUEST_STOP), ANSWER_GRANTED);
    await_event("stopped", "stop");

    assert_int_equal(records_feed_ask(&feed, REQUEST_EMERGENCY_STOP), ANSWER_GRANTED);
    await_event("stopped", "emergency-stop");
    assert_int_equal(count("fault", "emergency-stop"), 1);
    records_feed_end(&feed);
}

/* Nobody asked for it: an input that is wrong. */
static void a_fault_that_nobody_asked_for_is_written_at_once(void **state) {
    (void)state;
    struct records_feed feed;
    struct record_setup setup = records_feed_setup(path);
    records_feed_start_at(&feed, &setup, &records_feed_asleep);
    assert_true(records_feed_run_to(&feed, PHASE_LINED, 60000000));
    records_feed_tell(&feed, "contact seated by-hand open");
    assert_int_equal(recorder_written(feed.recorder), 0); /* not believed yet */
    assert_true(records_feed_run_to(&feed, PHASE_FAULT, 60000000));
    await_event("phase", "fault");
    records_feed_end(&feed);
}

static void such_a_write_reaches_the_disk_and_others_need_not(void **state) {
    (void)state;
    struct store store;
    struct error error = {.what = ""};
    assert_true(store_open(&store, path, &error));
    for (int i = 0; i < 4; i++) {
        bool is_on_disk = i % 2 == 1;
        const struct event event = {.kind = EVENT_NEWS, .at_us = 1};
        assert_true(store_begin(&store, is_on_disk ? STORE_ON_DISK : STORE_WITH_SYSTEM, &error));
        assert_true(store_add_event(&store, 1, 1, &event, &error));
        unsigned before = atomic_load(&syncs);
        assert_true(store_commit(&store, &error));
        assert_int_equal(atomic_load(&syncs) > before, is_on_disk);
    }
    store_close(&store);

    struct records_feed feed;
    struct record_setup setup = records_feed_setup(path);
    records_feed_start_at(&feed, &setup, &records_feed_asleep);
    for (int i = 0; i < 2; i++) { /* the first also opens the file */
        unsigned before = atomic_load(&syncs);
        uint64_t written = recorder_written(feed.recorder);
        records_feed_ask(&feed, REQUEST_STOP);
        await_more_written(feed.recorder, written);
        assert_true(atomic_load(&syncs) > before);
    }
    records_feed_end(&feed);
}

static void stop_and_wait(atomic_bool *is_written) {
    struct records_feed feed;
    struct record_setup setup = records_feed_setup(path);
    records_feed_start_at(&feed, &setup, &records_feed_asleep);
    records_feed_ask(&feed, REQUEST_EMERGENCY_STOP);
    await_more_written(feed.recorder, 0);
    atomic_store(is_written, true);
    for (;;) {
        pause();
    }
}

/* The next thing that happens is death. */
static void an_emergency_stop_outlives_the_daemon(void **state) {
    (void)state;
    atomic_bool *is_written =
        mmap(NULL, sizeof *is_written, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    assert_true(is_written != MAP_FAILED);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        stop_and_wait(is_written);
    }
    while (!atomic_load(is_written)) {
        assert_int_equal(waitpid(child, NULL, WNOHANG), 0); /* 0: it still lives */
        usleep(100);
    }
    kill(child, SIGKILL);
    assert_int_equal(waitpid(child, NULL, 0), child);
    assert_int_equal(count("stopped", "emergency-stop"), 1);
    assert_int_equal(count("fault", "emergency-stop"), 1);
    munmap(is_written, sizeof *is_written);
}

static void only_faults_stops_and_refusals_are_urgent(void **state) {
    (void)state;
    static const struct {
        enum bridge_request_kind request;
        enum bridge_answer answer;
        enum bridge_fault before, after;
        bool is_urgent;
    } cases[] = {
        {REQUEST_NONE, ANSWER_GRANTED, FAULT_NONE, FAULT_NONE, false},
        {REQUEST_NONE, ANSWER_NOT_LINED, FAULT_NONE, FAULT_NONE, false}, /* nobody asked */
        {REQUEST_RAISE, ANSWER_GRANTED, FAULT_NONE, FAULT_NONE, false},
        {REQUEST_RAISE, ANSWER_NOT_LINED, FAULT_NONE, FAULT_NONE, true},
        {REQUEST_STOP, ANSWER_GRANTED, FAULT_NONE, FAULT_NONE, true},
        {REQUEST_EMERGENCY_STOP, ANSWER_GRANTED, FAULT_NONE, FAULT_EMERGENCY_STOP, true},
        {REQUEST_NONE, ANSWER_GRANTED, FAULT_NONE, FAULT_EMERGENCY_STOP, true},
        {REQUEST_NONE, ANSWER_GRANTED, FAULT_EMERGENCY_STOP, FAULT_EMERGENCY_STOP, false},
        {REQUEST_ACKNOWLEDGE, ANSWER_GRANTED, FAULT_EMERGENCY_STOP, FAULT_NONE, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct item_step step;
        memset(&step, 0, sizeof step);
        step.request.kind = cases[i].request;
        step.answer = cases[i].answer;
        step.before.fault = cases[i].before;
        step.after.state.fault = cases[i].after;
        assert_int_equal(event_is_urgent(&step), cases[i].is_urgent);
    }
}

/* Else all that follows would be written at once, too, and wear the disk. */
static void what_follows_is_urgent_no_more(void **state) {
    (void)state;
    struct bridge_setup setup = sim_world_bridge();
    struct recorder_bridge bridge = records_feed_bridge(&setup);
    struct batch batch;
    batch_init(&batch, &bridge, 1);
    assert_true(batch_take(&batch, &(struct item){.kind = ITEM_NEWS, .is_urgent = true}));
    assert_true(batch_take(&batch, &(struct item){.kind = ITEM_NEWS}));
    assert_true(batch.is_urgent);
    batch_clear(&batch);
    assert_true(batch_take(&batch, &(struct item){.kind = ITEM_NEWS}));
    assert_false(batch.is_urgent);
    batch_free(&batch);
}

/* A long time between two writes is no leave to fill the memory. */
static void much_that_can_wait_is_written_before_its_time(void **state) {
    (void)state;
    struct record_setup setup = records_feed_setup(path);
    struct bridge_setup bridge = sim_world_bridge();
    struct recorder_bridge about = records_feed_bridge(&bridge);
    struct recorder_pace pace = records_feed_asleep;
    pace.poll_ms = 1;
    struct recorder *recorder = recorder_new(&setup, &about, 1, &pace, "0.0", 1, NULL);
    assert_non_null(recorder);
    for (uint64_t first = 0; first == 0 || recorder_written(recorder) == first;) {
        recorder_news(recorder, RECORDS_FEED_BEGIN_US, 0, "says much");
        first =
            first == 0 ? recorder_written(recorder) : first; /* at the start it is due at once */
    }
    recorder_free(recorder);
}

/* The thread sleeps for a day; half a ring wakes it. */
static void half_a_ring_wakes_the_writer(void **state) {
    (void)state;
    struct record_setup setup = records_feed_setup(path);
    struct bridge_setup bridge = sim_world_bridge();
    struct recorder_bridge about = records_feed_bridge(&bridge);
    struct recorder_pace pace = records_feed_asleep;
    pace.room = 4;
    struct recorder *recorder = recorder_new(&setup, &about, 1, &pace, "0.0", 1, NULL);
    assert_non_null(recorder);
    recorder_news(recorder, RECORDS_FEED_BEGIN_US, 0, "first");
    recorder_news(recorder, RECORDS_FEED_BEGIN_US, 0, "second");
    while (recorder_written(recorder) < 2) { /* the first write is due at once */
        sched_yield();
    }
    recorder_free(recorder);
}

#define WITH_FILE(test) cmocka_unit_test_setup_teardown(test, make_file, forget_file)

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(only_faults_stops_and_refusals_are_urgent),
        cmocka_unit_test(what_follows_is_urgent_no_more),
        WITH_FILE(much_that_can_wait_is_written_before_its_time),
        WITH_FILE(half_a_ring_wakes_the_writer),
        WITH_FILE(each_is_written_at_once_and_with_it_what_came_before),
        WITH_FILE(a_fault_that_nobody_asked_for_is_written_at_once),
        WITH_FILE(such_a_write_reaches_the_disk_and_others_need_not),
        WITH_FILE(an_emergency_stop_outlives_the_daemon),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
