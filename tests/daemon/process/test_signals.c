/* Every signal that would end the program asks for the end, and none suspends it. */
#include "process/loop.h"
#include "process/signals.h"
#include "support/check.h"

#include <event2/event.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

struct stage {
    struct loop *loop;
    struct signals *signals;
    unsigned stops;
    char name[16];
};

static void stop(void *context, const char *name) {
    struct stage *stage = context;
    stage->stops++;
    strncpy(stage->name, name, sizeof stage->name - 1);
}

static void open_stage(struct stage *stage) {
    *stage = (struct stage){.loop = loop_new()};
    assert_non_null(stage->loop);
    stage->signals = signals_new(loop_base(stage->loop), stop, stage);
    assert_non_null(stage->signals);
}

static void close_stage(struct stage *stage) {
    signals_free(stage->signals);
    loop_free(stage->loop);
}

static void hear(struct stage *stage) {
    event_base_loop(loop_base(stage->loop), EVLOOP_NONBLOCK);
    event_base_loop(loop_base(stage->loop), EVLOOP_NONBLOCK);
}

/* All that signal(7) says end a program by default, but SIGKILL, SIGUSR1 (process/reload.h), those
 * of a crash, and those that an error is told by instead. */
static void each_signal_that_ends_a_program_asks_for_the_end(void **state) {
    (void)state;
    static const int numbers[] = {SIGTERM, SIGINT,    SIGHUP,  SIGQUIT, SIGXCPU, SIGUSR2,
                                  SIGALRM, SIGVTALRM, SIGPROF, SIGIO,   SIGPWR};
    struct stage stage;
    signal(SIGHUP, SIG_DFL);
    open_stage(&stage);
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        raise(numbers[i]);
        hear(&stage);
        assert_int_equal(stage.stops, i + 1);
    }
    assert_string_equal(stage.name, "SIGPWR");
    raise(SIGPIPE);
    raise(SIGXFSZ);
    hear(&stage);
    assert_int_equal(stage.stops, sizeof numbers / sizeof numbers[0]);
    close_stage(&stage);
}

/* In a child: were it suspended, nobody here could say so. */
static void nothing_on_a_terminal_suspends_it(void **state) {
    (void)state;
    int status = 0;
    pid_t child = fork();
    if (child == 0) {
        struct stage stage;
        open_stage(&stage);
        raise(SIGTSTP);
        hear(&stage);
        _exit(stage.stops == 0 ? 0 : 1);
    }
    assert_int_equal(waitpid(child, &status, WUNTRACED), child);
    if (WIFSTOPPED(status)) {
        kill(child, SIGKILL);
        waitpid(child, NULL, 0);
        fail_msg("it was suspended");
    }
    assert_true(WIFEXITED(status));
    assert_int_equal(WEXITSTATUS(status), 0);
}

static void hangup_that_was_ignored_stays_so(void **state) {
    (void)state;
    struct stage stage;
    signal(SIGHUP, SIG_IGN); /* as nohup(1) */
    open_stage(&stage);
    raise(SIGHUP);
    hear(&stage);
    assert_int_equal(stage.stops, 0);
    close_stage(&stage);
    signal(SIGHUP, SIG_DFL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_signal_that_ends_a_program_asks_for_the_end),
        cmocka_unit_test(nothing_on_a_terminal_suspends_it),
        cmocka_unit_test(hangup_that_was_ignored_stays_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
