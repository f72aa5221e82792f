#include "support/broken.h"

#include "support/check.h"

#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

static _Noreturn void act_in_child(void (*act)(void *context), void *context, int standard_error) {
    const struct rlimit no_core = {0, 0};
    setrlimit(RLIMIT_CORE, &no_core);
    signal(SIGABRT, SIG_DFL); /* cmocka has a handler of its own */
    dup2(standard_error, STDERR_FILENO);
    act(context);
    _exit(0);
}

void assert_broken(void (*act)(void *context), void *context, const char *words) {
    char said[512] = "";
    size_t length = 0;
    ssize_t got;
    int status = 0;
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        act_in_child(act, context, ends[1]);
    }
    close(ends[1]);
    while (length < sizeof said - 1 &&
           (got = read(ends[0], said + length, sizeof said - 1 - length)) > 0) {
        length += (size_t)got;
    }
    close(ends[0]);
    assert_int_equal(waitpid(child, &status, 0), child);
    if (!WIFSIGNALED(status) || WTERMSIG(status) != SIGABRT || strstr(said, words) == NULL ||
        strncmp(said, "BROKEN INVARIANT: ", 18) != 0) {
        fail_msg("status %d, and said: \"%s\"", status, said);
    }
}
