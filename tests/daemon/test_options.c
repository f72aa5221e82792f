/* The command line: answers, complaints and exit statuses (sysexits.h). */
#include "support/check.h"
#include "support/daemon.h"

#include <stdio.h>
#include <string.h>
#include <sysexits.h>

static char out[8192];
static char err[8192];

static void exit_statuses_tell_what_was_wrong(void **state) {
    (void)state;
    static const char broken[] = SOURCE_DIR "/tests/daemon/broken-bridge.json";
    static const char list[] = SOURCE_DIR "/tests/daemon/list.json";
    static const char quiet[] = SOURCE_DIR "/tests/daemon/quiet-bridge.json";
    static const char shed[] = SOURCE_DIR "/config/shed-controller.json";
    const struct {
        const char *arguments[4];
        int status;
        const char *out;
        const char *err;
    } cases[] = {
        {{"--version"}, EX_OK, "drawtenderd ", ""},
        {{"--help"}, EX_OK, "no safety device", ""},
        {{"--check", "--config", quiet}, EX_OK, "in order", ""},
        {{"--check"}, EX_OK, "in order", ""}, /* the built-in demo */
        {{"--wiring", "--config", shed}, EX_OK, "header line 25", ""},
        {{"--wiring"}, EX_CONFIG, "", "no bridge of this configuration is wired"},
        {{"--dry-run"}, EX_CONFIG, "", "cannot run dry"}, /* a simulation has nothing to spare */
        {{"--watchdog", "/nowhere", "--port", "0"}, EX_IOERR, "", "/nowhere"},
        {{"--realtime", "100"}, EX_USAGE, "", "1 to 99"},
        {{"--frobnicate"}, EX_USAGE, "", "frobnicate"},
        {{"--pace", "0"}, EX_USAGE, "", "1 to 1000"},
        {{"--pace", "2x"}, EX_USAGE, "", "1 to 1000"},
        {{"--port", "65536"}, EX_USAGE, "", "0 to 65535"},
        {{"--log", "loud"}, EX_USAGE, "", "notice"},
        {{"word"}, EX_USAGE, "", "options only"},
        {{"--check", "--config", "/nonexistent.json"}, EX_NOINPUT, "", "/nonexistent.json"},
        {{"--check", "--config", broken}, EX_CONFIG, "", "/bridges/0/name"},
        {{"--check", "--config", list}, EX_CONFIG, "", "list.json: error: found a list"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *arguments[5] = {0};
        memcpy(arguments, cases[i].arguments, sizeof cases[i].arguments);
        assert_int_equal(daemon_run_once(arguments, out, err, sizeof out), cases[i].status);
        assert_non_null(strstr(out, cases[i].out));
        assert_non_null(strstr(err, cases[i].err));
    }
}

static void address_in_use_is_told_and_is_unavailable(void **state) {
    (void)state;
    static const char quiet[] = SOURCE_DIR "/tests/daemon/quiet-bridge.json";
    struct daemon_run run;
    daemon_start(&run, quiet, "1");
    char port[8];
    snprintf(port, sizeof port, "%u", run.port);
    const char *const arguments[] = {"--config", quiet, "--port", port, NULL};
    assert_int_equal(daemon_run_once(arguments, out, err, sizeof out), EX_UNAVAILABLE);
    assert_non_null(strstr(err, "in use"));
    daemon_end(&run, 15);
}

static void first_start_tells_the_cautions(void **state) {
    (void)state;
    struct daemon_run run;
    daemon_start(&run, SOURCE_DIR "/tests/daemon/quiet-bridge.json", "1");
    assert_non_null(strstr(run.tail, "crushes fingers"));
    assert_non_null(strstr(run.tail, "no safety device"));
    daemon_end(&run, 15);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exit_statuses_tell_what_was_wrong),
        cmocka_unit_test(address_in_use_is_told_and_is_unavailable),
        cmocka_unit_test(first_start_tells_the_cautions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
