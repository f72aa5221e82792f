/* Every signal that would end the program asks for the end, and none suspends it. */
#include "process/loop.h"
#include "process/signals.h"
#include "support/check.h"
#include "support/logged.h"

#include <event2/event.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

struct stage {
    struct loop *loop;
    struct signals *signals;
    unsigned stops, stops_before_client;
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
    static const struct {
        int number;
        const char *name;
    } cases[] = {{SIGTERM, "SIGTERM"}, {SIGINT, "SIGINT"},       {SIGHUP, "SIGHUP"},
                 {SIGQUIT, "SIGQUIT"}, {SIGXCPU, "SIGXCPU"},     {SIGUSR2, "SIGUSR2"},
                 {SIGALRM, "SIGALRM"}, {SIGVTALRM, "SIGVTALRM"}, {SIGPROF, "SIGPROF"},
                 {SIGIO, "SIGIO"},     {SIGPWR, "SIGPWR"}};
    enum { CASES = sizeof cases / sizeof cases[0] };
    struct stage stage;
    signal(SIGHUP, SIG_DFL);
    open_stage(&stage);
    for (unsigned i = 0; i < CASES; i++) {
        raise(cases[i].number);
        hear(&stage);
        assert_int_equal(stage.stops, i + 1);
        assert_string_equal(stage.name, cases[i].name);
    }
    raise(SIGPIPE);
    raise(SIGXFSZ);
    hear(&stage);
    assert_int_equal(stage.stops, CASES);
    close_stage(&stage);
}

static void client_came(evutil_socket_t fd, short what, void *context) {
    struct stage *stage = context;
    (void)fd;
    (void)what;
    stage->stops_before_client = stage->stops;
    event_base_loopbreak(loop_base(stage->loop));
}

/* Whatever the network has to do, an end begins first. */
static void end_comes_before_the_network(void **state) {
    (void)state;
    struct stage stage;
    int ends[2];
    open_stage(&stage);
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "x", 1), 1);
    struct event *client =
        event_new(loop_base(stage.loop), ends[0], EV_READ | EV_PERSIST, client_came, &stage);
    event_priority_set(client, 1);
    event_add(client, NULL);
    raise(SIGTERM);
    event_base_dispatch(loop_base(stage.loop));
    assert_int_equal(stage.stops_before_client, 1);
    event_free(client);
    close(ends[0]);
    close(ends[1]);
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
        logged_begin();
        raise(SIGTSTP);
        hear(&stage);
        _exit(stage.stops == 0 && logged_lines("not suspended") == 1 ? 0 : 1);
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

/* A shell ignores SIGINT for what it runs in the background (POSIX, 2.11); asked for by kill(1) it
 * still ends. */
static void only_the_hangup_may_be_ignored(void **state) {
    (void)state;
    struct stage stage;
    signal(SIGINT, SIG_IGN);
    open_stage(&stage);
    raise(SIGINT);
    hear(&stage);
    assert_int_equal(stage.stops, 1);
    close_stage(&stage);
    signal(SIGINT, SIG_DFL);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_signal_that_ends_a_program_asks_for_the_end),
        cmocka_unit_test(end_comes_before_the_network),
        cmocka_unit_test(nothing_on_a_terminal_suspends_it),
        cmocka_unit_test(hangup_that_was_ignored_stays_so),
        cmocka_unit_test(only_the_hangup_may_be_ignored),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
