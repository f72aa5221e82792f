/* The record never holds up the loop and never stops the daemon, whatever becomes of its file. */
#include "base/log.h"
#include "support/check.h"
#include "support/records/records_feed.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static char path[RECORD_FILE_SIZE];

static int make_file(void **state) {
    (void)state;
    records_feed_file(path);
    log_set_level(LOG_ERROR); /* the warnings are meant */
    return 0;
}

static int forget_file(void **state) {
    (void)state;
    records_feed_forget(path);
    return 0;
}

static void one_opening(struct records_feed *feed) {
    feed->who = 7;
    assert_true(records_feed_run_to(feed, PHASE_LINED, 60000000));
    assert_int_equal(records_feed_ask(feed, REQUEST_RAISE), ANSWER_GRANTED);
    assert_true(records_feed_run_to(feed, PHASE_OPEN, 300000000));
    assert_int_equal(records_feed_ask(feed, REQUEST_POWER_ON), ANSWER_NOT_LINED);
    assert_int_equal(records_feed_ask(feed, REQUEST_LOWER), ANSWER_GRANTED);
    assert_true(records_feed_run_to(feed, PHASE_LINED, 300000000));
}

static void open_record(struct store *store) {
    struct error error = {.what = ""};
    if (!store_open_to_read(store, path, &error)) {
        fail_msg("%s", error.what);
    }
}

static int64_t count_events(struct store *store, const char *kind, const char *what) {
    char sql[256];
    snprintf(sql, sizeof sql, "SELECT count(*) FROM event WHERE kind = '%s' AND what LIKE '%s'",
             kind, what);
    return records_feed_number(store, sql);
}

static void an_opening_is_kept_with_its_steps_and_who_asked(void **state) {
    (void)state;
    struct records_feed feed;
    struct record_setup setup = records_feed_setup(path);
    records_feed_start(&feed, &setup);
    recorder_session(feed.recorder, RECORDS_FEED_BEGIN_US, 7, true, "COMMAND");
    one_opening(&feed);
    recorder_session(feed.recorder, RECORDS_FEED_BEGIN_US + 1, 7, false, "");
    records_feed_end(&feed);

    struct store store;
    open_record(&store);
    assert_int_equal(count_events(&store, "asked", "raise"), 1);
    assert_int_equal(records_feed_number(&store, "SELECT who FROM event WHERE what = 'raise'"), 7);
    assert_int_equal(count_events(&store, "refused", "power-on"), 1);
    static const char *const phases[] = {"clearing", "cutting", "warning",  "unlocking",
                                         "raising",  "open",    "lowering", "seating",
                                         "locking",  "proving", "lined"};
    for (size_t i = 0; i < sizeof phases / sizeof phases[0]; i++) {
        assert_true(count_events(&store, "phase", phases[i]) >= 1);
    }
    assert_int_equal(count_events(&store, "moved", "up"), 1);
    assert_int_equal(count_events(&store, "rested", "up"), 1);
    assert_int_equal(
        records_feed_number(&store, "SELECT count(*) FROM event WHERE kind = 'moved' AND words ="
                                    " 'raise' AND who = 7"),
        1);
    assert_int_equal(count_events(&store, "session-began", "%"), 1);
    assert_int_equal(count_events(&store, "session-ended", "%"), 1);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM run WHERE ended_us > 0"), 1);
    assert_true(records_feed_number(&store, "SELECT count(*) FROM trace") > 0);
    store_close(&store);
}

/* More than the ring holds, before the thread has looked once. A ring of one item is never half
 * full, so that nothing wakes the thread. */
static void what_finds_no_room_is_counted_and_the_loop_goes_on(void **state) {
    (void)state;
    struct record_setup setup = records_feed_setup(path);
    struct bridge_setup bridge = sim_world_bridge();
    struct recorder_bridge about = records_feed_bridge(&bridge);
    struct recorder_pace lazy = records_feed_asleep;
    lazy.room = 1;
    struct error error = {.what = ""};
    struct recorder *recorder = recorder_new(&setup, &about, 1, &lazy, "0.0", 1, &error);
    assert_non_null(recorder);
    for (unsigned i = 0; i < 100; i++) {
        recorder_news(recorder, RECORDS_FEED_BEGIN_US, 0, "freight from west starts");
    }
    recorder_free(recorder);
    struct store store;
    open_record(&store);
    assert_int_equal(count_events(&store, "news", "%"), 1);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM event WHERE kind = 'lost'"
                                                 " AND words LIKE '99 %'"),
                     1);
    store_close(&store);
}

static void put_in_file(const char *text) {
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    for (int i = 0; i < 1000; i++) {
        fputs(text, file);
    }
    fclose(file);
}

static void a_broken_file_is_left_alone_and_stops_nothing(void **state) {
    (void)state;
    put_in_file("this is no record\n");
    struct stat before;
    assert_int_equal(stat(path, &before), 0);
    struct records_feed feed;
    struct record_setup setup = records_feed_setup(path);
    records_feed_start(&feed, &setup);
    feed.is_hasty = true;
    one_opening(&feed);
    records_feed_end(&feed);
    struct stat after;
    assert_int_equal(stat(path, &after), 0);
    assert_int_equal(after.st_size, before.st_size);
    assert_true(after.st_mtime == before.st_mtime);
}

static void a_folder_that_cannot_be_written_stops_nothing(void **state) {
    (void)state;
    static const char *const nowhere[] = {"/proc/drawtender/record.db", "/dev/null/record.db", "/"};
    for (size_t i = 0; i < sizeof nowhere / sizeof nowhere[0]; i++) {
        struct records_feed feed;
        struct record_setup setup = records_feed_setup(nowhere[i]);
        records_feed_start(&feed, &setup);
        feed.is_hasty = true;
        one_opening(&feed);
        assert_int_equal(recorder_written(feed.recorder), 0);
        records_feed_end(&feed);
    }
}

static void limit_files(rlim_t bytes) {
    struct rlimit limit;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &limit), 0);
    limit.rlim_cur = bytes;
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
}

/* A limit on the size of files stands for a disk that is full: writes fail in the same places. */
static void a_full_disk_stops_nothing_and_the_record_goes_on_when_there_is_room(void **state) {
    (void)state;
    struct rlimit before;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    struct records_feed feed;
    struct record_setup setup = records_feed_setup(path);
    records_feed_start(&feed, &setup);
    recorder_news(feed.recorder, RECORDS_FEED_BEGIN_US, 0, "begins");
    while (recorder_written(feed.recorder) == 0) {
        usleep(100);
    }
    feed.is_hasty = true;
    limit_files(96 << 10);
    for (int i = 0; i < 3; i++) {
        one_opening(&feed);
    }
    limit_files(before.rlim_cur);
    struct store store;
    open_record(&store);
    while (records_feed_number(&store, "SELECT count(*) FROM event WHERE words = 'goes on'") == 0) {
        recorder_news(feed.recorder, RECORDS_FEED_BEGIN_US + 1, 0, "goes on");
        usleep(1000);
    }
    records_feed_end(&feed);
    assert_true(records_feed_number(&store, "SELECT count(*) FROM event WHERE kind = 'lost'") > 0);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM pragma_integrity_check"
                                                 " WHERE integrity_check <> 'ok'"),
                     0);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM run"), 1);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM bridge"), 1);
    store_close(&store);
}

/* Until what is said now can be read in the file of that name, and all of it is written. */
static void say_until_kept(struct records_feed *feed, const char *words, uint64_t *said) {
    char sql[128];
    snprintf(sql, sizeof sql, "SELECT count(*) FROM event WHERE words = '%s'", words);
    for (bool is_kept = false; !is_kept;) {
        recorder_news(feed->recorder, RECORDS_FEED_BEGIN_US, 0, words);
        for (++*said; recorder_written(feed->recorder) < *said;) {
            usleep(100);
        }
        struct store store;
        if (store_open_to_read(&store, path, NULL)) {
            is_kept = records_feed_number(&store, sql) > 0;
            store_close(&store);
        }
    }
}

static void a_deleted_or_moved_file_is_begun_anew_and_the_moved_one_is_whole(void **state) {
    (void)state;
    char moved[RECORD_FILE_SIZE + 8];
    snprintf(moved, sizeof moved, "%s.moved", path);
    struct records_feed feed;
    struct record_setup setup = records_feed_setup(path);
    records_feed_start(&feed, &setup);
    uint64_t said = 0;
    say_until_kept(&feed, "first", &said);
    assert_int_equal(rename(path, moved), 0);
    say_until_kept(&feed, "second", &said);
    assert_int_equal(unlink(path), 0);
    say_until_kept(&feed, "third", &said);
    records_feed_end(&feed);
    struct store store;
    open_record(&store);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM run"), 1);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM event WHERE words = 'first'"
                                                 " OR words = 'second'"),
                     0);
    store_close(&store);
    assert_true(store_open_to_read(&store, moved, NULL));
    assert_true(records_feed_number(&store, "SELECT count(*) FROM event WHERE words = 'first'") >
                0);
    store_close(&store);
    assert_int_equal(unlink(moved), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(an_opening_is_kept_with_its_steps_and_who_asked, make_file,
                                        forget_file),
        cmocka_unit_test_setup_teardown(what_finds_no_room_is_counted_and_the_loop_goes_on,
                                        make_file, forget_file),
        cmocka_unit_test_setup_teardown(a_broken_file_is_left_alone_and_stops_nothing, make_file,
                                        forget_file),
        cmocka_unit_test_setup_teardown(a_folder_that_cannot_be_written_stops_nothing, make_file,
                                        forget_file),
        cmocka_unit_test_setup_teardown(
            a_full_disk_stops_nothing_and_the_record_goes_on_when_there_is_room, make_file,
            forget_file),
        cmocka_unit_test_setup_teardown(
            a_deleted_or_moved_file_is_begun_anew_and_the_moved_one_is_whole, make_file,
            forget_file),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
