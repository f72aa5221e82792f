/* A crash, in whichever thread, sends the outputs to safe once and then ends the program by the
 * same signal. Each in a child that dies of it. */
#include "base/invariant.h"
#include "base/thread.h"
#include "process/crash.h"
#include "process/loop.h"
#include "support/check.h"
#include "support/io/idle_port.h"

#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

enum { TOLD_SIZE = 256 };

static int said = -1; /* the child's standard error; -1: the test's own */
static int told;      /* a byte for each crash_safe(): whether the loop's own thread ran it */
static pthread_t loops_thread;
static bool does_crash_again;

static void *port_open(const struct port_settings *settings, const struct port_host *host,
                       struct error *error) {
    (void)settings;
    (void)host;
    (void)error;
    return &told;
}

static void port_crash_safe(void *port) {
    char byte = pthread_equal(pthread_self(), loops_thread) ? 'l' : 't';
    (void)port;
    (void)!write(told, &byte, 1);
    if (does_crash_again) {
        raise(SIGABRT);
    }
}

static const struct port_ops ops = {.name = "script",
                                    .open = port_open,
                                    .sense = idle_sense,
                                    .act = idle_act,
                                    .wake_us = idle_wake_us,
                                    .safe = idle_safe,
                                    .crash_safe = port_crash_safe,
                                    .close = idle_close};

static void *break_in_thread(void *context) {
    const int *number = context;
    INVARIANT(*number != SIGABRT);
    return NULL;
}

static void *crash_in_thread(void *context) {
    raise(*(const int *)context);
    return NULL;
}

/* Until the stack is full. */
static int fill_stack(int depth) {
    volatile char room[4096];
    room[depth % 4096] = 1;
    return depth < 0 ? room[0] : fill_stack(depth + 1) + room[depth % 4096];
}

enum where { IN_LOOP, IN_THREAD, ON_FULL_STACK, UNGUARDED, BY_INVARIANT, BY_INVARIANT_IN_THREAD };

/* The child: two bridges, one of them not opened, and one with a port; dies. */
static void die(int number, enum where where) {
    struct loop *loop = loop_new();
    struct layout_clock clock;
    struct bridge_setup bridge = {.tracks = 0};
    struct cycle *cycle[3] = {NULL};
    struct error error;
    pthread_t thread;
    const struct cycle_setup setup = {.port = &ops, .settings = {.setup = &bridge}};
    const struct cycle_listener listener = {.stepped = idle_stepped};
    const struct rlimit none = {0, 0};
    setrlimit(RLIMIT_CORE, &none);
    loops_thread = pthread_self();
    if (said >= 0) {
        dup2(said, STDERR_FILENO);
    }
    clock_start(&clock, 1);
    cycle[0] = cycle_new(loop, &clock, &setup, &listener, &error);
    cycle[2] = cycle_new(loop, &clock, &setup, &listener, &error);
    crash_guard(cycle, 3);
    if (where == UNGUARDED) {
        crash_unguard();
    }
    if (where >= BY_INVARIANT) {
        dup2(told, STDERR_FILENO); /* what is said, and when */
    }
    if (where == BY_INVARIANT) {
        break_in_thread(&number);
    }
    if ((where == IN_THREAD && thread_start(&thread, 0, crash_in_thread, &number)) ||
        (where == BY_INVARIANT_IN_THREAD && thread_start(&thread, 0, break_in_thread, &number))) {
        for (;;) {
            pause();
        }
    } else if (where == ON_FULL_STACK) {
        _exit(fill_stack(0));
    }
    raise(number);
    _exit(0);
}

/* Returns the signal that it died of; `bytes`: what crash_safe() told. */
static int status_of_death(int number, enum where where, char bytes[TOLD_SIZE]) {
    int ends[2];
    int status = 0;
    assert_int_equal(pipe(ends), 0);
    pid_t child = fork();
    if (child == 0) {
        told = ends[1];
        die(number, where);
    }
    close(ends[1]);
    ssize_t got;
    size_t length = 0;
    while (length < TOLD_SIZE - 1 &&
           (got = read(ends[0], bytes + length, TOLD_SIZE - 1 - length)) > 0) {
        length += (size_t)got;
    }
    bytes[length] = '\0';
    close(ends[0]);
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFSIGNALED(status));
    return WTERMSIG(status);
}

static void each_crash_sends_all_bridges_to_safe_and_is_died_of(void **state) {
    (void)state;
    static const int numbers[] = {SIGSEGV, SIGABRT, SIGBUS, SIGFPE, SIGILL, SIGSYS, SIGTRAP};
    char bytes[TOLD_SIZE];
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        assert_int_equal(status_of_death(numbers[i], IN_LOOP, bytes), numbers[i]);
        assert_string_equal(bytes, "ll");
    }
}

static void crash_of_another_thread_is_the_loops(void **state) {
    (void)state;
    char bytes[TOLD_SIZE];
    assert_int_equal(status_of_death(SIGSEGV, IN_THREAD, bytes), SIGSEGV);
    assert_string_equal(bytes, "ll");
}

static void broken_invariant_is_told_once_the_outputs_are_safe(void **state) {
    (void)state;
    char bytes[TOLD_SIZE];
    for (enum where where = BY_INVARIANT; where <= BY_INVARIANT_IN_THREAD; where++) {
        assert_int_equal(status_of_death(SIGABRT, where, bytes), SIGABRT);
        assert_memory_equal(bytes, "llCRASHED", 9);
        assert_non_null(strstr(bytes, "BROKEN INVARIANT: test_crash.c:"));
        assert_non_null(strstr(bytes, ": *number != SIGABRT\n"));
    }
}

static void full_stack_is_a_crash_like_others(void **state) {
    (void)state;
    char bytes[TOLD_SIZE];
    assert_int_equal(status_of_death(0, ON_FULL_STACK, bytes), SIGSEGV);
    assert_string_equal(bytes, "ll");
}

static void crash_within_the_handler_is_the_end(void **state) {
    (void)state;
    char bytes[TOLD_SIZE];
    does_crash_again = true;
    assert_int_equal(status_of_death(SIGSEGV, IN_LOOP, bytes), SIGABRT);
    assert_string_equal(bytes, "l");
    does_crash_again = false;
}

static void after_the_end_of_the_bridges_it_is_not_guarded(void **state) {
    (void)state;
    char bytes[TOLD_SIZE];
    assert_int_equal(status_of_death(SIGSEGV, UNGUARDED, bytes), SIGSEGV);
    assert_string_equal(bytes, "");
}

/* Returns what a death with this signal said, and how long the bytes are that it told. */
static size_t words_of_death(enum where where, char words[256]) {
    int ends[2];
    char bytes[TOLD_SIZE];
    size_t length = 0;
    ssize_t got;
    assert_int_equal(pipe(ends), 0);
    said = ends[1];
    assert_int_equal(status_of_death(SIGSEGV, where, bytes), SIGSEGV);
    said = -1;
    close(ends[1]);
    while (length < 255 && (got = read(ends[0], words + length, 255 - length)) > 0) {
        length += (size_t)got;
    }
    words[length] = '\0';
    close(ends[0]);
    return strlen(bytes);
}

static void crash_says_what_it_did_and_nothing_else_does(void **state) {
    (void)state;
    char words[256];
    assert_int_equal(words_of_death(IN_LOOP, words), 2);
    assert_non_null(strstr(words, "CRASHED: outputs set to safe"));
    assert_int_equal(words_of_death(UNGUARDED, words), 0);
    assert_null(strstr(words, "CRASHED"));
}

static void log_that_nobody_reads_keeps_nobody_from_dying(void **state) {
    (void)state;
    int ends[2];
    char bytes[TOLD_SIZE];
    assert_int_equal(pipe(ends), 0);
    int flags = fcntl(ends[1], F_GETFL);
    fcntl(ends[1], F_SETFL, flags | O_NONBLOCK);
    while (write(ends[1], "x", 1) == 1) {
    }
    fcntl(ends[1], F_SETFL, flags);
    said = ends[1];
    assert_int_equal(status_of_death(SIGSEGV, IN_LOOP, bytes), SIGSEGV);
    assert_string_equal(bytes, "ll");
    said = -1;
    close(ends[0]);
    close(ends[1]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_crash_sends_all_bridges_to_safe_and_is_died_of),
        cmocka_unit_test(crash_of_another_thread_is_the_loops),
        cmocka_unit_test(broken_invariant_is_told_once_the_outputs_are_safe),
        cmocka_unit_test(full_stack_is_a_crash_like_others),
        cmocka_unit_test(crash_within_the_handler_is_the_end),
        cmocka_unit_test(after_the_end_of_the_bridges_it_is_not_guarded),
        cmocka_unit_test(crash_says_what_it_did_and_nothing_else_does),
        cmocka_unit_test(log_that_nobody_reads_keeps_nobody_from_dying),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
