/* The record file itself: versions, limits of age and size. */
#include "records/schema.h"
#include "support/check.h"
#include "support/records/records_feed.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static char path[RECORD_FILE_SIZE];

static int make_file(void **state) {
    (void)state;
    records_feed_file(path);
    return 0;
}

static int forget_file(void **state) {
    (void)state;
    records_feed_forget(path);
    return 0;
}

static void run_sql(sqlite3 *database, const char *sql) {
    char *fault = NULL;
    if (sqlite3_exec(database, sql, NULL, NULL, &fault) != SQLITE_OK) {
        fail_msg("%s", fault);
    }
}

static void make_version_1(void) {
    sqlite3 *database = NULL;
    struct error error = {.what = ""};
    assert_int_equal(sqlite3_open(path, &database), SQLITE_OK);
    assert_true(schema_migrate(database, 1, &error));
    assert_int_equal(schema_version(database), 1);
    run_sql(database,
            "INSERT INTO run VALUES (1, 5, 6, '0.0');"
            "INSERT INTO bridge VALUES (1, 1, 0, 'Kettle Narrows', 1, 75, 'deg', 9, x'00');"
            "INSERT INTO event VALUES (1, 1, 1, 5, 1, 'asked', 7, 'raise', 'granted', NULL);"
            "INSERT INTO steps VALUES (1, 1, 1, 1, 5, 5, x'0102');");
    sqlite3_close(database);
}

static void version_1_becomes_version_2_with_all_that_it_has(void **state) {
    (void)state;
    make_version_1();
    struct store store;
    struct error error = {.what = ""};
    assert_false(store_open_to_read(&store, path, &error)); /* who only reads changes nothing */
    assert_non_null(strstr(error.what, "version 1"));
    assert_true(store_open(&store, path, &error));
    assert_int_equal(schema_version(store.database), 2);
    assert_int_equal(records_feed_number(&store, "SELECT who FROM event"), 7);
    assert_int_equal(records_feed_number(&store, "SELECT length(data) FROM steps"), 2);
    assert_int_equal(records_feed_number(&store, "SELECT service_openings FROM bridge"), 0);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM trace"), 0);
    store_close(&store);
    assert_true(store_open(&store, path, &error)); /* and again: nothing to do */
    store_close(&store);
}

static void a_migration_that_fails_leaves_the_file_as_it_was(void **state) {
    (void)state;
    make_version_1();
    sqlite3 *database = NULL;
    assert_int_equal(sqlite3_open(path, &database), SQLITE_OK);
    run_sql(database, "CREATE INDEX trace_time ON event (who)"); /* in the way of version 2's */
    struct error error = {.what = ""};
    assert_false(schema_migrate(database, 2, &error));
    assert_non_null(strstr(error.what, "trace_time"));
    assert_int_equal(schema_version(database), 1);
    assert_int_not_equal(sqlite3_exec(database, "SELECT * FROM trace", NULL, NULL, NULL),
                         SQLITE_OK);
    sqlite3_close(database);
}

static void a_file_of_a_later_version_is_refused_and_left_alone(void **state) {
    (void)state;
    sqlite3 *database = NULL;
    assert_int_equal(sqlite3_open(path, &database), SQLITE_OK);
    run_sql(database, "CREATE TABLE later (x); PRAGMA user_version = 99");
    sqlite3_close(database);
    struct store store;
    struct error error = {.what = ""};
    assert_false(store_open(&store, path, &error));
    assert_non_null(strstr(error.what, "version 99"));
    assert_false(store_open_to_read(&store, path, &error));
    assert_int_equal(sqlite3_open(path, &database), SQLITE_OK);
    assert_int_equal(schema_version(database), 99);
    sqlite3_close(database);
}

/* In a process of its own, as a user who may write nowhere; returns whether it could be read or,
 * with `why`, whether these words told why not. */
static bool can_nobody_read(const char *why) {
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        struct store store;
        struct error error = {.what = ""};
        bool is_nobody = geteuid() != 0 || (setgid(65534) == 0 && setuid(65534) == 0);
        bool is_read = is_nobody && store_open_to_read(&store, path, &error);
        _exit((why == NULL ? is_read : !is_read && strstr(error.what, why) != NULL) ? 0 : 1);
    }
    int status;
    assert_int_equal(waitpid(child, &status, 0), child);
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

static void who_may_not_write_beside_a_file_at_rest_can_read_it(void **state) {
    (void)state;
    struct store store;
    struct error error = {.what = ""};
    char folder[RECORD_FILE_SIZE];
    char log[RECORD_FILE_SIZE + 8];
    snprintf(folder, sizeof folder, "%s", path);
    *strrchr(folder, '/') = '\0';
    snprintf(log, sizeof log, "%s-wal", path);
    assert_true(store_open(&store, path, &error));
    store_close(&store);
    assert_int_not_equal(access(log, F_OK), 0); /* at rest */
    assert_int_equal(chmod(folder, 0555), 0);
    assert_int_equal(chmod(path, 0444), 0);
    assert_true(can_nobody_read(NULL));
    assert_int_equal(chmod(path, 0000), 0);
    assert_true(can_nobody_read("unable to open database file: Permission denied"));
    assert_int_equal(chmod(path, 0444), 0);
    assert_int_equal(chmod(folder, 0755), 0);
    FILE *file = fopen(log, "w"); /* what it may have to tell must not be passed over */
    assert_non_null(file);
    fputs("no log", file);
    fclose(file);
    assert_int_equal(chmod(folder, 0555), 0);
    assert_true(can_nobody_read("it has an unmerged log"));
    assert_int_equal(chmod(folder, 0755), 0);
}

static void assert_says(const char *file, bool is_to_write, const char *why) {
    struct store store;
    struct error error = {.what = ""};
    assert_false(is_to_write ? store_open(&store, file, &error)
                             : store_open_to_read(&store, file, &error));
    assert_non_null(strstr(error.what, why));
}

static void what_cannot_be_opened_says_why(void **state) {
    (void)state;
    char folder[RECORD_FILE_SIZE];
    char deeper[2 * RECORD_FILE_SIZE];
    snprintf(folder, sizeof folder, "%s", path);
    *strrchr(folder, '/') = '\0';
    snprintf(deeper, sizeof deeper, "%s/nowhere/record.db", folder);
    assert_says(path, false, "No such file");
    assert_says(folder, false, "Is a directory");
    assert_says(deeper, true, "cannot be made in its folder: No such file");
    FILE *empty = fopen(path, "w");
    assert_non_null(empty);
    fclose(empty);
    assert_says(path, false, "there is no record in it");
}

static void fill(struct store *store, int rows, int bytes) {
    struct pack pack = {0};
    for (int i = 0; i < bytes; i++) {
        pack_byte(&pack, (unsigned char)i);
    }
    struct error error = {.what = ""};
    assert_true(store_begin(store, STORE_WITH_SYSTEM, &error));
    assert_true(store_do(store, &error, "INSERT INTO run VALUES (1, 0, 0, ''), (2, 0, 0, '')", ""));
    assert_true(store_do(store, &error,
                         "INSERT INTO bridge VALUES (1, 1, 0, '', 1, 1, '', 1, x'', 0, 0),"
                         " (2, 2, 0, '', 1, 1, '', 1, x'', 0, 0)",
                         ""));
    for (int64_t i = 0; i < rows; i++) {
        int64_t bridge = i < rows / 2 ? 1 : 2;
        assert_true(store_do(store, &error, "INSERT INTO steps VALUES (NULL, ?, 1, 1, ?, ?, ?)",
                             "iiib", bridge, i, i, &pack));
        const struct event event = {.kind = EVENT_NEWS, .at_us = (uint64_t)i};
        assert_true(store_add_event(store, bridge, bridge, &event, &error));
    }
    assert_true(store_commit(store, &error));
    pack_free(&pack);
}

static void what_is_too_old_goes_with_its_run(void **state) {
    (void)state;
    struct store store;
    struct error error = {.what = ""};
    assert_true(store_open(&store, path, &error));
    fill(&store, 1000, 10);
    while (store_trim(&store, 700, 0)) {
    }
    assert_int_equal(records_feed_number(&store, "SELECT min(ended_us) FROM steps"), 700);
    assert_int_equal(records_feed_number(&store, "SELECT min(at_us) FROM event"), 700);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM event"), 300);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM run"), 1);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM bridge"), 1);
    store_close(&store);
}

static void what_is_too_large_loses_its_oldest_steps_first(void **state) {
    (void)state;
    enum { MOST = 1 << 20 };
    struct store store;
    struct error error = {.what = ""};
    assert_true(store_open(&store, path, &error));
    fill(&store, 1000, 4000);
    assert_true(store_size(&store) > 2 * MOST);
    while (store_trim(&store, 0, MOST)) {
    }
    assert_true(store_size(&store) <= MOST);
    int64_t left = records_feed_number(&store, "SELECT count(*) FROM steps");
    assert_true(left > 0);
    assert_int_equal(records_feed_number(&store, "SELECT min(ended_us) FROM steps"), 1000 - left);
    assert_int_equal(records_feed_number(&store, "SELECT count(*) FROM event"), 1000);
    assert_true(records_feed_number(&store, "PRAGMA freelist_count") < 100);
    store_close(&store);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(version_1_becomes_version_2_with_all_that_it_has, make_file,
                                        forget_file),
        cmocka_unit_test_setup_teardown(a_migration_that_fails_leaves_the_file_as_it_was, make_file,
                                        forget_file),
        cmocka_unit_test_setup_teardown(a_file_of_a_later_version_is_refused_and_left_alone,
                                        make_file, forget_file),
        cmocka_unit_test_setup_teardown(who_may_not_write_beside_a_file_at_rest_can_read_it,
                                        make_file, forget_file),
        cmocka_unit_test_setup_teardown(what_cannot_be_opened_says_why, make_file, forget_file),
        cmocka_unit_test_setup_teardown(what_is_too_old_goes_with_its_run, make_file, forget_file),
        cmocka_unit_test_setup_teardown(what_is_too_large_loses_its_oldest_steps_first, make_file,
                                        forget_file),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
