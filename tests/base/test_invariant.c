/* A broken invariant of our own ends the program in every build, and says which it was. That the
 * outputs are safe first: tests/daemon/process/test_crash.c. */
#include "base/invariant.h"
#include "support/broken.h"
#include "support/check.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

static void break_one(void *context) {
    unsigned places = *(unsigned *)context;
    INVARIANT(places < 3);
}

static void what_holds_goes_on(void **state) {
    (void)state;
    unsigned looks = 0;
    INVARIANT(++looks == 1);
    assert_int_equal(looks, 1);
    assert_null(invariant_words());
}

static void what_is_broken_says_where_and_what(void **state) {
    (void)state;
    unsigned places = 3;
    assert_broken(break_one, &places, "test_invariant.c:14: places < 3\n");
}

/* Nobody reads, and there is no room: it must not wait. */
static void stalled_standard_error_holds_nothing_up(void **state) {
    (void)state;
    unsigned places = 3;
    int status = 0;
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    fcntl(ends[1], F_SETFL, O_NONBLOCK);
    while (write(ends[1], "full", 4) > 0) {
    }
    fcntl(ends[1], F_SETFL, 0);
    pid_t child = fork();
    if (child == 0) {
        signal(SIGABRT, SIG_DFL);
        dup2(ends[1], STDERR_FILENO);
        break_one(&places);
        _exit(0);
    }
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFSIGNALED(status) && WTERMSIG(status) == SIGABRT);
    close(ends[0]);
    close(ends[1]);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_holds_goes_on),
        cmocka_unit_test(what_is_broken_says_where_and_what),
        cmocka_unit_test(stalled_standard_error_holds_nothing_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
