/* A bridge with two switches in real time, and its daemon stopped for a while: a person's word that
 * waited in its socket meanwhile is refused, for nobody knows what has come since. */
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/daemon/daemon.h"
#include "support/daemon/daemon_config.h"

#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>

#define B "/bridges/0"
#define T B "/tracks/0"

static const char seen_clear[] = "SET 1 GA 1 7 1 -1";
enum { STOPPED_MS = 3000 };

/* No train comes, and what is waited for before the word is short. */
static void start(struct daemon_run *run) {
    char path[DAEMON_CONFIG_PATH];
    cJSON *tree = daemon_config_read("../../config/two-switches.json");
    config_text_patch(tree, B "/simulation", "{}");
    config_text_patch(tree, T "/trains", NULL);
    config_text_patch(tree, T "/ends/0/approach lock", "\"100 ms\"");
    config_text_patch(tree, T "/ends/1/approach lock", "\"100 ms\"");
    config_text_patch(tree, B "/timing", "{\"proof limit\": \"100 ms\", \"clear delay\": \"0 s\"}");
    daemon_config_write(tree, "waited", path);
    daemon_start(run, path, "1");
    remove(path);
}

/* Stops the daemon, sends the line meanwhile, and lets it go on. */
static void say_while_stopped(const struct daemon_run *run, struct daemon_session *session,
                              const char *line) {
    int status = 0;
    assert_int_equal(kill(run->pid, SIGSTOP), 0);
    assert_int_equal(waitpid(run->pid, &status, WUNTRACED), run->pid);
    daemon_send(session, line, strlen(line));
    daemon_send(session, "\n", 1);
    poll(NULL, 0, STOPPED_MS); /* so long it is stopped, or longer */
    assert_int_equal(kill(run->pid, SIGCONT), 0);
}

static void word_that_waited_while_the_daemon_was_stopped_is_refused(void **state) {
    (void)state;
    struct daemon_run run;
    struct daemon_session command, info;
    start(&run);
    daemon_connect(&run, &command, "COMMAND");
    daemon_connect(&run, &info, "INFO");
    daemon_expect(&command, "WAIT 1 FB 5 1 300", "100 INFO 1 FB 5 1");
    daemon_expect(&command, "SET 1 GA 1 1 1 -1", "200 OK");
    daemon_read_until(&info, "100 INFO 0 GM 0 0 PHASE 1 clearing up someone to report", NULL);

    say_while_stopped(&run, &command, seen_clear);
    assert_true(daemon_read(&command));
    assert_int_equal(strncmp(command.line, "413 ", 4), 0);
    daemon_read_until(&info, "100 INFO 0 GM 0 0 REFUSED 1 GA 1 1 the bridge was not watched",
                      "100 INFO 0 GM 0 0 PHASE");
    daemon_expect(&command, "GET 1 FB 1", "100 INFO 1 FB 1 1"); /* on its seat */
    daemon_expect(&command, "GET 1 POWER", "100 INFO 1 POWER ON");

    /* Said again, once somebody has looked for a while, it is taken. */
    for (unsigned tries = 0; strcmp(daemon_ask(&command, seen_clear), "200 OK") != 0; tries++) {
        assert_true(tries < 100);
        daemon_expect(&command, "WAIT 1 FB 5 1 1", "417 ");
    }
    daemon_read_until(&info, "100 INFO 0 GM 0 0 PHASE 1 cutting up", NULL);
    daemon_disconnect(&command);
    daemon_disconnect(&info);
    daemon_end(&run, SIGTERM);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(word_that_waited_while_the_daemon_was_stopped_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
