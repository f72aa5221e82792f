/* The log costs lines, which are counted, and never the time of whoever logs. */
#include "base/log.h"
#include "base/log_queue.h"
#include "support/check.h"

#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

/* HANGS_MS only ends a test that hangs. */
enum { HANGS_MS = 300000, MANY = 2000, THREADS = 4, EACH = 50, TEXT_SIZE = 1 << 20 };

static int real_stderr;
static int reader;
static char text[TEXT_SIZE];

/* Standard error is a pipe that nobody reads yet. */
static int set_up(void **state) {
    int ends[2];
    (void)state;
    real_stderr = dup(STDERR_FILENO);
    assert_int_equal(pipe(ends), 0);
    reader = ends[0];
    dup2(ends[1], STDERR_FILENO);
    close(ends[1]);
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    dup2(real_stderr, STDERR_FILENO);
    close(real_stderr);
    close(reader);
    return 0;
}

/* Reads until the text has these words; what had been read before is gone. */
static void read_until(const char *words) {
    size_t filled = 0;
    text[0] = '\0';
    while (strstr(text, words) == NULL) {
        ssize_t got = read(reader, text + filled, sizeof text - 1 - filled);
        assert_true(got > 0);
        filled += (size_t)got;
        text[filled] = '\0';
    }
}

/* The number of lines; each must be a whole one. */
static unsigned count_lines(void) {
    unsigned lines = 0;
    unsigned hour, minute, second, milli;
    for (const char *line = text; *line != '\0'; line = strchr(line, '\n') + 1) {
        assert_int_equal(sscanf(line, "%2u:%2u:%2u.%3u ", &hour, &minute, &second, &milli), 4);
        assert_non_null(strchr(line, '\n'));
        lines++;
    }
    return lines;
}

static unsigned told_lost(void) {
    unsigned lost = 0;
    for (const char *at = text; (at = strstr(at, " lines of this log are lost")) != NULL; at++) {
        const char *number = at;
        while (number[-1] != ' ') {
            number--;
        }
        lost += (unsigned)strtoul(number, NULL, 10);
    }
    return lost;
}

/* The lines that came, which must be in their order. */
static unsigned count_numbered(void) {
    unsigned next = 0;
    unsigned seen = 0;
    for (const char *at = text; (at = strstr(at, " line ")) != NULL; at++) {
        unsigned number = (unsigned)strtoul(at + strlen(" line "), NULL, 10);
        assert_true(number >= next);
        next = number + 1;
        seen++;
    }
    return seen;
}

/* From an empty text; ends with the test where it never is so. */
static void read_until_all_are_accounted_for(unsigned lines) {
    size_t filled = 0;
    text[0] = '\0';
    while (filled == 0 || text[filled - 1] != '\n' || count_numbered() + told_lost() < lines) {
        ssize_t got = read(reader, text + filled, sizeof text - 1 - filled);
        assert_true(got > 0);
        filled += (size_t)got;
        text[filled] = '\0';
    }
    assert_int_equal(count_numbered() + told_lost(), lines);
}

static void log_many(void) {
    for (unsigned i = 0; i < MANY; i++) {
        log_line(LOG_NOTICE, "this is line %04u, and so much more that a pipe is soon full: %0400u",
                 i, i);
    }
}

static void line_goes_out_at_once_before_the_thread_has_begun(void **state) {
    (void)state;
    log_line(LOG_ERROR, "%s", "at once");
    log_line(LOG_DEBUG, "never");
    read_until("\n");
    assert_non_null(strstr(text, " error   at once\n"));
    assert_int_equal(count_lines(), 1);
}

static void stalled_reader_costs_lines_that_are_counted_and_no_time(void **state) {
    (void)state;
    assert_true(log_begin());
    log_many(); /* that this ends is the test: nobody reads */
    read_until_all_are_accounted_for(MANY);
    assert_int_not_equal(told_lost(), 0);
    log_line(LOG_NOTICE, "read again");
    assert_true(log_end(HANGS_MS));
    read_until("read again\n");
    assert_int_equal(count_lines(), 1);
}

static void all_that_waits_is_written_at_an_orderly_end(void **state) {
    (void)state;
    assert_true(log_begin());
    for (unsigned i = 0; i < LOG_QUEUE_ROOM / 2; i++) {
        log_line(LOG_NOTICE, "line %u", i);
    }
    log_line(LOG_WARNING, "the last");
    assert_true(log_end(HANGS_MS));
    log_line(LOG_NOTICE, "behind it");
    read_until("behind it\n");
    assert_int_equal(count_lines(), LOG_QUEUE_ROOM / 2 + 2);
    assert_true(strstr(text, "the last\n") < strstr(text, "behind it"));
}

static void end_does_not_wait_for_a_log_that_is_stuck(void **state) {
    (void)state;
    assert_true(log_begin());
    log_many();
    assert_false(log_end(1));
    read_until_all_are_accounted_for(MANY);
    assert_true(log_end(HANGS_MS));
}

static void *log_each(void *context) {
    for (unsigned i = 0; i < EACH; i++) {
        log_line(LOG_NOTICE, "thread %u line %u", *(const unsigned *)context, i);
    }
    return NULL;
}

/* Fewer lines than there is room for. */
static void lines_of_several_threads_are_whole_and_in_their_order(void **state) {
    (void)state;
    pthread_t thread[THREADS];
    unsigned number[THREADS];
    assert_true(THREADS * EACH < LOG_QUEUE_ROOM);
    assert_true(log_begin());
    for (unsigned i = 0; i < THREADS; i++) {
        number[i] = i;
        assert_int_equal(pthread_create(&thread[i], NULL, log_each, &number[i]), 0);
    }
    for (unsigned i = 0; i < THREADS; i++) {
        pthread_join(thread[i], NULL);
    }
    log_line(LOG_NOTICE, "all");
    assert_true(log_end(HANGS_MS));
    read_until("all\n");
    assert_int_equal(count_lines(), THREADS * EACH + 1);
    unsigned next[THREADS] = {0};
    for (const char *at = text; (at = strstr(at, "thread ")) != NULL; at++) {
        unsigned who, line;
        assert_int_equal(sscanf(at, "thread %u line %u", &who, &line), 2);
        assert_int_equal(line, next[who]++);
    }
}

/* A terminal or disk that takes nothing for a while. */
static void lines_that_could_not_be_written_are_counted_once_they_can_be(void **state) {
    (void)state;
    int pipe_end = dup(STDERR_FILENO);
    int full = open("/dev/full", O_WRONLY);
    assert_true(full >= 0);
    assert_int_equal(dup2(full, STDERR_FILENO), STDERR_FILENO);
    close(full);
    assert_true(log_begin());
    log_line(LOG_NOTICE, "one");
    log_line(LOG_NOTICE, "two");
    assert_false(log_end(HANGS_MS)); /* not all was written */
    dup2(pipe_end, STDERR_FILENO);
    close(pipe_end);
    assert_true(log_begin());
    log_line(LOG_NOTICE, "three");
    assert_true(log_end(HANGS_MS));
    read_until("three\n");
    assert_int_equal(told_lost(), 2);
    assert_int_equal(count_lines(), 2);
    assert_true(strstr(text, "lost") < strstr(text, "three"));
}

/* A file that may not grow stops in the middle of a line (setrlimit(2)). */
static void line_behind_one_that_was_cut_begins_at_the_left(void **state) {
    (void)state;
    FILE *file = tmpfile();
    struct rlimit before;
    assert_non_null(file);
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    const struct rlimit small = {20, before.rlim_max};
    signal(SIGXFSZ, SIG_IGN);
    dup2(fileno(file), STDERR_FILENO);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    log_line(LOG_NOTICE, "cut somewhere");
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    log_line(LOG_NOTICE, "whole");
    rewind(file);
    size_t got = fread(text, 1, sizeof text - 1, file);
    text[got] = '\0';
    fclose(file);
    const char *second = strchr(text, '\n');
    assert_non_null(second);
    assert_int_equal(second - text, 20);
    assert_string_equal(strchr(second + 1, '\n') + 1, "");
    assert_non_null(strstr(second, " notice  whole\n"));
}

int main(void) {
#define STAGED(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        STAGED(line_goes_out_at_once_before_the_thread_has_begun),
        STAGED(stalled_reader_costs_lines_that_are_counted_and_no_time),
        STAGED(all_that_waits_is_written_at_an_orderly_end),
        STAGED(end_does_not_wait_for_a_log_that_is_stuck),
        STAGED(lines_of_several_threads_are_whole_and_in_their_order),
        STAGED(lines_that_could_not_be_written_are_counted_once_they_can_be),
        STAGED(line_behind_one_that_was_cut_begins_at_the_left),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
