#define _GNU_SOURCE /* SCHED_RESET_ON_FORK */
/* Real time, asked of a system that does not grant it: in children, for it is asked for a process.
 */
#include "process/realtime.h"
#include "support/check.h"

#include <fcntl.h>
#include <pthread.h>
#include <sched.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

enum { MEBIBYTE = 1 << 20 };

/* In place of the C library's (tests/CMakeLists.txt): what the system is asked is kept, and granted
 * unasked, where the test wants it so. */
static struct {
    bool is_on;
    int policy, priority, locked;
} asked;

int __real_sched_setscheduler(pid_t pid, int policy, const struct sched_param *param);
int __wrap_sched_setscheduler(pid_t pid, int policy, const struct sched_param *param);
int __wrap_sched_setscheduler(pid_t pid, int policy, const struct sched_param *param) {
    if (!asked.is_on) {
        return __real_sched_setscheduler(pid, policy, param);
    }
    asked.policy = policy;
    asked.priority = param->sched_priority;
    return 0;
}

int __real_mlockall(int flags);
int __wrap_mlockall(int flags);
int __wrap_mlockall(int flags) {
    asked.locked = flags;
    return asked.is_on ? 0 : __real_mlockall(flags);
}

static void limit(int resource, rlim_t most) {
    struct rlimit was, limit;
    if (getrlimit(resource, &was) == 0) {
        limit.rlim_cur = limit.rlim_max = was.rlim_max < most ? was.rlim_max : most;
        if (setrlimit(resource, &limit) != 0) {
            _exit(10);
        }
    }
}

/* Nobody in particular, with these limits. */
static void become_nobody(rlim_t priority, rlim_t locked) {
    limit(RLIMIT_RTPRIO, priority);
    limit(RLIMIT_MEMLOCK, locked);
    if (geteuid() == 0 && setuid(65534) != 0) {
        _exit(11);
    }
}

static int ask_without_leave(void) {
    become_nobody(0, 0);
    return realtime_ask(20) ? 1 : 0;
}

static int ask_under_a_limit(void) {
    become_nobody(0, 64 * MEBIBYTE);
    realtime_ask(20);
    /* Whether its memory is locked or not, it may still have more than the limit. */
    void *more =
        mmap(NULL, 128 * MEBIBYTE, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    return more == MAP_FAILED ? 1 : 0;
}

/* sched(7): SCHED_FIFO runs until it waits, SCHED_RESET_ON_FORK leaves threads out of it. */
static int ask_of_a_system_that_grants_it(void) {
    asked.is_on = true;
    bool is_granted = realtime_ask(37);
    return is_granted && asked.policy == (SCHED_FIFO | SCHED_RESET_ON_FORK) &&
                   asked.priority == 37 && (asked.locked & MCL_CURRENT) != 0
               ? 0
               : 1;
}

static int ask_what_is_locked_under_a_limit(void) {
    asked.is_on = true;
    become_nobody(0, 64 * MEBIBYTE);
    realtime_ask(37);
    return asked.locked == MCL_CURRENT ? 0 : 1;
}

static int ask_for_half(void) {
    become_nobody(0, 64 * MEBIBYTE);
    return realtime_ask(37) ? 1 : 0;
}

static void *policy_here(void *context) {
    *(int *)context = sched_getscheduler(0);
    return NULL;
}

/* 2: not permitted here, so there is nothing to see. */
static int start_a_thread(void) {
    pthread_t thread;
    int policy = -1;
    realtime_ask(20);
    if ((sched_getscheduler(0) & SCHED_FIFO) == 0) {
        return 2;
    }
    if (pthread_create(&thread, NULL, policy_here, &policy) != 0 ||
        pthread_join(thread, NULL) != 0) {
        return 1;
    }
    return policy == SCHED_OTHER ? 0 : 1;
}

/* Returns the exit status of a child that runs this, and what it said. */
static int run(int (*body)(void), char *said, size_t size) {
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    pid_t pid = fork();
    assert_true(pid >= 0);
    if (pid == 0) {
        dup2(ends[1], STDERR_FILENO);
        _exit(body());
    }
    close(ends[1]);
    size_t length = 0;
    ssize_t count;
    while ((count = read(ends[0], said + length, size - 1 - length)) > 0) {
        length += (size_t)count;
    }
    said[length] = '\0';
    close(ends[0]);
    int status = -1;
    assert_int_equal(waitpid(pid, &status, 0), pid);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static void what_is_not_permitted_is_a_plain_warning(void **state) {
    (void)state;
    char said[2048];
    assert_int_equal(run(ask_without_leave, said, sizeof said), 0);
    assert_non_null(strstr(said, "warning"));
    assert_non_null(strstr(said, "no real-time priority: Operation not permitted"));
#ifndef __SANITIZE_ADDRESS__ /* which makes mlockall() do nothing, and succeed */
    assert_non_null(strstr(said, "memory is not locked: "));
#endif
}

static void what_is_asked_for_is_the_first_place_and_memory_that_stays(void **state) {
    (void)state;
    char said[2048];
    assert_int_equal(run(ask_of_a_system_that_grants_it, said, sizeof said), 0);
    assert_string_equal(said, "");
    assert_int_equal(run(ask_what_is_locked_under_a_limit, said, sizeof said), 0);
}

/* Memory can be locked under this limit, a priority cannot be had. */
static void half_of_it_is_not_real_time(void **state) {
    (void)state;
    char said[2048];
    assert_int_equal(run(ask_for_half, said, sizeof said), 0);
    assert_non_null(strstr(said, "no real-time priority"));
}

static void locked_memory_leaves_room_for_more(void **state) {
    (void)state;
    char said[2048];
    assert_int_equal(run(ask_under_a_limit, said, sizeof said), 0);
}

static void threads_of_the_loop_are_in_no_hurry(void **state) {
    (void)state;
    char said[2048];
    int status = run(start_a_thread, said, sizeof said);
    if (status == 2) {
        skip();
    }
    assert_int_equal(status, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_not_permitted_is_a_plain_warning),
        cmocka_unit_test(what_is_asked_for_is_the_first_place_and_memory_that_stays),
        cmocka_unit_test(half_of_it_is_not_real_time),
        cmocka_unit_test(threads_of_the_loop_are_in_no_hurry),
        cmocka_unit_test(locked_memory_leaves_room_for_more),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
