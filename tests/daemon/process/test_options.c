/* The command line: answers, complaints and exit statuses (sysexits.h). */
#include "support/check.h"
#include "support/config/config_text.h"
#include "support/daemon/daemon.h"
#include "support/daemon/daemon_config.h"
#include "support/daemon/daemon_panel.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sysexits.h>
#include <unistd.h>

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
        {{"--check"}, EX_OK, "What guards Kettle Narrows", ""},
        {{"--wiring", "--config", shed}, EX_OK, "header line 25", ""},
        {{"--against", quiet}, EX_USAGE, "", "--against: is for --check with --config"},
        {{"--wiring"}, EX_CONFIG, "", "no bridge of this configuration is wired"},
        {{"--dry-run"}, EX_CONFIG, "", "cannot run dry"}, /* a simulation has nothing to spare */
        {{"--watchdog", "/nowhere", "--port", "0"}, EX_IOERR, "", "/nowhere"},
        {{"--realtime", "100"}, EX_USAGE, "", "1 to 99"},
        {{"--frobnicate"},
         EX_USAGE,
         "",
         "drawtenderd: no option '--frobnicate'; see drawtenderd --help"},
        {{"--confg", list}, EX_USAGE, "", "no option '--confg'; did you mean '--config'?"},
        {{"-h"}, EX_OK, "usage: drawtenderd", ""},
        {{"--check", "--config"},
         EX_USAGE,
         "",
         "drawtenderd: --config: needs a value: --config FILE"},
        {{"--check=yes"}, EX_USAGE, "", "--check: takes no value"},
        {{"--pace", "0"}, EX_USAGE, "", "1 to 1000"},
        {{"--pace", "2x"}, EX_USAGE, "", "1 to 1000"},
        {{"--port", "65536"}, EX_USAGE, "", "0 to 65535"},
        {{"--panel-port", "-1"}, EX_USAGE, "", "0 to 65535"},
        {{"--log", "loud"}, EX_USAGE, "", "notice"},
        {{"word"}, EX_USAGE, "", "options only"},
        {{"--check", "--config", "/nonexistent.json"}, EX_NOINPUT, "", "/nonexistent.json"},
        {{"--config", "/nonexistent.json"}, EX_NOINPUT, "", "Copy an example to it"},
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

/* What the sums find bad does not refuse a configuration, but is not passed over in silence. */
static void check_names_what_the_sums_find_bad(void **state) {
    (void)state;
    char path[DAEMON_CONFIG_PATH];
    cJSON *tree = daemon_config_read("../../config/kettle-narrows.json");
    config_text_patch(tree, "/bridges/0/room/ceiling", "\"3.2 m\"");
    config_text_patch(tree, "/bridges/0/drive/worm/lead angle", "\"12 deg\"");
    config_text_patch(tree, "/bridges/0/motor/rest torque", "\"0 N m\"");
    config_text_patch(tree, "/bridges/0/leaf/friction", "\"0 N m\"");
    daemon_config_write(tree, "doubts", path);
    const char *const arguments[] = {"--check", "--config", path, NULL};
    assert_int_equal(daemon_run_once(arguments, out, err, sizeof out), EX_OK);
    assert_non_null(strstr(out, "configuration in order"));
    assert_non_null(strstr(err, "warning: /bridges/0: calculated: strikes the ceiling"));
    assert_non_null(strstr(err, "calculated: motor off, nothing holds the span"));
    assert_non_null(strstr(err, "calculated to be bad: 2; drawtender reckon says more"));
    unlink(path);
    const char *const demo[] = {"--check", NULL};
    assert_int_equal(daemon_run_once(demo, out, err, sizeof out), EX_OK);
    assert_null(strstr(err, "calculated"));
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
    snprintf(port, sizeof port, "%u", daemon_panel_port(&run));
    const char *const panel[] = {"--config", quiet, "--port", "0", "--panel-port", port, NULL};
    assert_int_equal(daemon_run_once(panel, out, err, sizeof out), EX_UNAVAILABLE);
    assert_non_null(strstr(err, "panel: cannot listen on 127.0.0.1:"));
    assert_non_null(strstr(err, "in use"));
    daemon_end(&run, 15);
}

static void a_panel_whose_token_is_not_there_keeps_the_daemon_from_starting(void **state) {
    (void)state;
    static const char mark[] = "\"panels\": [{";
    char path[] = "/tmp/drawtender-test-XXXXXX";
    char *text = config_text_of_file(SOURCE_DIR "/tests/daemon/quiet-bridge.json");
    const char *rest = strstr(text, mark);
    assert_non_null(rest);
    FILE *file = fdopen(mkstemp(path), "w");
    assert_non_null(file);
    fprintf(file, "%.*s%s\"token file\": \"/nowhere/token\",%s", (int)(rest - text), text, mark,
            rest + strlen(mark));
    fclose(file);
    free(text);
    const char *const arguments[] = {"--config", path, "--port", "0", NULL};
    assert_int_equal(daemon_run_once(arguments, out, err, sizeof out), EX_UNAVAILABLE);
    assert_non_null(strstr(err, "/nowhere/token: the token cannot be read"));
    unlink(path);
}

static void outputs_that_could_not_be_opened_are_not_called_safe(void **state) {
    (void)state;
    char path[DAEMON_CONFIG_PATH];
    cJSON *tree = daemon_config_read("../../config/shed-controller.json");
    config_text_patch(tree, "/bridges/0/wired/chips/0/device", "\"/nowhere/gpiochip0\"");
    config_text_patch(tree, "/bridges/0/wired/chips/1/device", "\"/nowhere/gpiochip1\"");
    daemon_config_write(tree, "no-outputs", path);
    const char *const arguments[] = {"--config", path, "--port", "0", NULL};
    assert_int_equal(daemon_run_once(arguments, out, err, sizeof out), EX_IOERR);
    assert_non_null(strstr(err, "/nowhere/gpiochip0"));
    assert_null(strstr(err, "outputs safe"));
    unlink(path);
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
        cmocka_unit_test(check_names_what_the_sums_find_bad),
        cmocka_unit_test(address_in_use_is_told_and_is_unavailable),
        cmocka_unit_test(a_panel_whose_token_is_not_there_keeps_the_daemon_from_starting),
        cmocka_unit_test(outputs_that_could_not_be_opened_are_not_called_safe),
        cmocka_unit_test(first_start_tells_the_cautions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
