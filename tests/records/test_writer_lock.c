/* One process keeps a record: another is told which does, until that one has died. */
#include "base/log.h"
#include "records/read/logbook.h"
#include "records/writer_lock.h"
#include "support/check.h"
#include "support/records/records_feed.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static char path[RECORD_FILE_SIZE];
static pid_t daemon_pid; /* of another process, which keeps the record; 0: none does */
static int tell_daemon, hear_daemon;

static int make_file(void **state) {
    (void)state;
    records_feed_file(path);
    log_set_level(LOG_ERROR); /* the warnings are meant */
    return 0;
}

/* Keeps the record once it is told to, says when it has begun, and ends with who told it. */
static void keep_it(const char *file, int told, int tell) {
    struct record_setup setup = records_feed_setup(file);
    struct records_feed feed;
    char byte;
    if (read(told, &byte, 1) != 1) {
        return;
    }
    records_feed_start(&feed, &setup);
    records_feed_ask(&feed, REQUEST_STOP);
    while (recorder_written(feed.recorder) == 0) {
        usleep(100);
    }
    bool is_told = write(tell, "!", 1) == 1;
    while (is_told && read(told, &byte, 1) == 1) {
    }
}

/* Forks while this process has one thread yet. */
static void prepare_another(const char *file) {
    int to[2];
    int from[2];
    assert_int_equal(pipe(to), 0);
    assert_int_equal(pipe(from), 0);
    daemon_pid = fork();
    assert_true(daemon_pid >= 0);
    if (daemon_pid == 0) {
        close(to[1]);
        close(from[0]);
        keep_it(file, to[0], from[1]);
        _exit(0);
    }
    close(to[0]);
    close(from[1]);
    tell_daemon = to[1];
    hear_daemon = from[0];
}

static void let_it_begin(void) {
    char byte;
    assert_int_equal(write(tell_daemon, "!", 1), 1);
    assert_int_equal(read(hear_daemon, &byte, 1), 1);
}

static void start_another(const char *file) {
    prepare_another(file);
    let_it_begin();
}

static void kill_the_other(void) {
    kill(daemon_pid, SIGKILL);
    assert_int_equal(waitpid(daemon_pid, NULL, 0), daemon_pid);
    close(tell_daemon);
    close(hear_daemon);
    daemon_pid = 0;
}

static int forget_file(void **state) {
    (void)state;
    if (daemon_pid != 0) {
        kill_the_other();
    }
    records_feed_forget(path);
    return 0;
}

static struct recorder *try_to_keep(const char *file, struct error *error) {
    struct bridge_setup bridge = sim_world_bridge();
    struct recorder_bridge about = records_feed_bridge(&bridge);
    struct record_setup setup = records_feed_setup(file);
    *error = (struct error){.what = ""};
    return recorder_new(&setup, &about, 1, &records_feed_pace, "0.0", 1, error);
}

static void assert_is_held(const char *file) {
    char holder[32];
    struct error error;
    assert_null(try_to_keep(file, &error));
    snprintf(holder, sizeof holder, "process %d is writing", (int)daemon_pid);
    assert_non_null(strstr(error.what, holder));
    assert_string_equal(error.where, file);
}

static void a_second_one_is_told_which_process_has_it(void **state) {
    (void)state;
    start_another(path);
    assert_is_held(path);
    assert_is_held(path); /* to have tried changes nothing */
    struct stat there;
    char name[RECORD_FILE_SIZE + 8];
    snprintf(name, sizeof name, "%s-lock", path);
    assert_int_equal(stat(name, &there), 0);
    assert_int_equal(there.st_size, 0);
}

static void a_link_to_the_record_leads_to_the_same_lock(void **state) {
    (void)state;
    char link[RECORD_FILE_SIZE];
    snprintf(link, sizeof link, "%.200s.link", path);
    start_another(path);
    assert_int_equal(symlink(path, link), 0);
    assert_is_held(link);
    assert_int_equal(unlink(link), 0);
}

static void it_is_free_once_the_other_has_been_killed(void **state) {
    (void)state;
    struct error error;
    start_another(path);
    kill_the_other();
    struct recorder *recorder = try_to_keep(path, &error);
    assert_non_null(recorder);
    assert_string_equal(error.what, "");
    recorder_free(recorder);
    start_another(path); /* and once more, after an orderly end */
}

static void others_read_it_and_note_a_service_meanwhile(void **state) {
    (void)state;
    struct store store;
    struct error error = {.what = ""};
    start_another(path);
    assert_true(store_open_to_read(&store, path, &error));
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM run"), 1);
    store_close(&store);
    assert_true(store_open(&store, path, &error));
    assert_true(logbook_serviced(&store, 1, RECORDS_FEED_BEGIN_US, &error));
    store_close(&store);
    assert_is_held(path);
}

static void where_no_lock_can_be_made_nobody_has_it(void **state) {
    (void)state;
    struct error error;
    bool is_held = true;
    assert_int_equal(writer_lock_take("/proc/nowhere/record.db", &is_held, &error),
                     WRITER_LOCK_NONE);
    assert_false(is_held);
    assert_non_null(strstr(error.what, "No such file"));
    /* Beside a folder none is left. */
    char folder[RECORD_FILE_SIZE];
    char name[RECORD_FILE_SIZE + 8];
    snprintf(folder, sizeof folder, "%s", path);
    *strrchr(folder, '/') = '\0';
    snprintf(name, sizeof name, "%s-lock", folder);
    assert_int_equal(writer_lock_take(folder, &is_held, &error), WRITER_LOCK_NONE);
    assert_false(is_held);
    assert_int_not_equal(access(name, F_OK), 0);
}

/* With what belongs to it, as whoever puts it away does. */
static void move_record(const char *to) {
    static const char *const ends[] = {"", "-wal", "-shm", "-lock"};
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        char from_name[RECORD_FILE_SIZE + 8];
        char to_name[RECORD_FILE_SIZE + 8];
        snprintf(from_name, sizeof from_name, "%s%s", path, ends[i]);
        snprintf(to_name, sizeof to_name, "%s%s", to, ends[i]);
        assert_int_equal(rename(from_name, to_name), 0);
    }
}

/* By the time this one looks the name is another record's: it must not write there. */
static void a_record_that_another_has_begun_meanwhile_is_left_to_it(void **state) {
    (void)state;
    char moved[RECORD_FILE_SIZE];
    struct error error;
    prepare_another(path);
    struct recorder *recorder = try_to_keep(path, &error);
    assert_non_null(recorder);
    recorder_news(recorder, RECORDS_FEED_BEGIN_US, 0, "first");
    while (recorder_written(recorder) == 0) {
        usleep(100);
    }
    snprintf(moved, sizeof moved, "%.200s.moved", path);
    move_record(moved);
    let_it_begin();
    recorder_news(recorder, RECORDS_FEED_BEGIN_US, 0, "second");
    recorder_free(recorder);
    struct store store;
    assert_true(store_open_to_read(&store, path, &error));
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM run"), 1);
    assert_int_equal(
        records_feed_number(&store, "SELECT count(*) FROM event WHERE words = 'second'"), 0);
    store_close(&store);
    assert_true(store_open_to_read(&store, moved, &error));
    assert_int_equal(
        records_feed_number(&store, "SELECT count(*) FROM event WHERE words = 'first'"), 1);
    store_close(&store);
    kill_the_other();
    records_feed_forget(moved); /* all but the folder */
}

#define WITH_FILE(test) cmocka_unit_test_setup_teardown(test, make_file, forget_file)

int main(void) {
    const struct CMUnitTest tests[] = {
        WITH_FILE(a_second_one_is_told_which_process_has_it),
        WITH_FILE(a_link_to_the_record_leads_to_the_same_lock),
        WITH_FILE(it_is_free_once_the_other_has_been_killed),
        WITH_FILE(others_read_it_and_note_a_service_meanwhile),
        WITH_FILE(where_no_lock_can_be_made_nobody_has_it),
        WITH_FILE(a_record_that_another_has_begun_meanwhile_is_left_to_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
