/* The command line: answers, complaints and exit statuses (sysexits.h). */
#include "process/options.h"
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

enum { WORDS_MAX = 8 };

static char out[8192];
static char err[8192];

/* Reads a command line of these words, up to NULL, within this process. */
static enum options_verdict take(const char *const words[WORDS_MAX], struct options *options) {
    static char kept[WORDS_MAX + 1][64];
    char *arguments[WORDS_MAX + 1] = {strcpy(kept[0], "drawtenderd")};
    int count = 1;
    for (; count <= WORDS_MAX && words[count - 1] != NULL; count++) {
        arguments[count] = strcpy(kept[count], words[count - 1]);
    }
    FILE *answers = fmemopen(out, sizeof out, "w");
    FILE *complaints = fmemopen(err, sizeof err, "w");
    out[0] = err[0] = '\0';
    enum options_verdict verdict = options_read(count, arguments, options, answers, complaints);
    fclose(answers);
    fclose(complaints);
    return verdict;
}

static void without_options_all_is_as_the_help_says(void **state) {
    (void)state;
    struct options options;
    assert_int_equal(take((const char *const[WORDS_MAX]){NULL}, &options), OPTIONS_RUN);
    assert_null(options.config);
    assert_null(options.watchdog);
    assert_false(options.is_check || options.is_dry || options.is_wiring);
    assert_true(options.pace == 1);
    assert_int_equal(options.port, -1);
    assert_int_equal(options.panel_port, -1);
    assert_int_equal(options.realtime, 0);
    assert_int_equal(options.log, LOG_NOTICE);
}

static void each_option_sets_its_own_and_no_other(void **state) {
    (void)state;
    static const char *const valued[WORDS_MAX] = {
        "--config", "a.json", "--pace=2.5", "--port", "50", "--panel-port", "60"};
    static const char *const others[WORDS_MAX] = {"--realtime", "20",    "--watchdog",
                                                  "/dev/dog",   "--log", "debug"};
    static const char *const flags[][WORDS_MAX] = {
        {"--check"}, {"--dry-run"}, {"--wiring"}, {"--dns-sd"}};
    struct options options;
    assert_int_equal(take(valued, &options), OPTIONS_RUN);
    assert_string_equal(options.config, "a.json");
    assert_true(options.pace == 2.5);
    assert_int_equal(options.port, 50);
    assert_int_equal(options.panel_port, 60);
    assert_int_equal(take(others, &options), OPTIONS_RUN);
    assert_int_equal(options.realtime, 20);
    assert_string_equal(options.watchdog, "/dev/dog");
    assert_int_equal(options.log, LOG_DEBUG);
    for (unsigned i = 0; i < 4; i++) {
        assert_int_equal(take(flags[i], &options), OPTIONS_RUN);
        assert_int_equal(options.is_check, i == 0);
        assert_int_equal(options.is_dry, i == 1);
        assert_int_equal(options.is_wiring, i == 2);
        assert_int_equal(options.is_announcement, i == 3);
    }
}

static void values_are_taken_within_their_limits_and_whole(void **state) {
    (void)state;
    static const struct {
        const char *name, *value;
        const char *complaint; /* NULL: it is taken */
    } cases[] = {
        {"--pace", "1", NULL},
        {"--pace", "1000", NULL},
        {"--pace", "0.99", "from 1 to 1000"},
        {"--pace", "1000.1", "from 1 to 1000"},
        {"--pace", "nan", "from 1 to 1000"},
        {"--pace", "2 ", "from 1 to 1000"},
        {"--pace", "", "from 1 to 1000"},
        {"--port", "0", NULL},
        {"--port", "65535", NULL},
        {"--port", "65536", "from 0 to 65535"},
        {"--port", "-1", "from 0 to 65535"},
        {"--port", "80x", "from 0 to 65535"},
        {"--port", "", "from 0 to 65535"},
        {"--port", "18446744073709551696", "from 0 to 65535"}, /* 2^64 + 80 */
        {"--panel-port", "0", NULL},
        {"--panel-port", "65535", NULL},
        {"--panel-port", "65536", "from 0 to 65535"},
        {"--realtime", "1", NULL},
        {"--realtime", "99", NULL},
        {"--realtime", "0", "from 1 to 99"},
        {"--realtime", "100", "from 1 to 99"},
        {"--config", "", "the name of the file is empty"},
        {"--watchdog", "", "the name of the device is empty"},
        {"--log", "Notice", "error, warning, notice or debug"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *const words[WORDS_MAX] = {cases[i].name, cases[i].value};
        const char *wanted = cases[i].complaint == NULL ? "" : cases[i].complaint;
        struct options options;
        bool is_taken = take(words, &options) == OPTIONS_RUN;
        if (is_taken != (cases[i].complaint == NULL) || strstr(err, wanted) == NULL) {
            fail_msg("%s '%s': %s: %s", cases[i].name, cases[i].value,
                     is_taken ? "taken" : "refused", err);
        }
    }
}

static void help_and_version_are_answered_whatever_follows(void **state) {
    (void)state;
    static const char *const help[WORDS_MAX] = {"--port", "80", "--help", "--frobnicate"};
    static const char *const version[WORDS_MAX] = {"--version", "word"};
    static const char *const word[WORDS_MAX] = {"--check", "word"};
    struct options options;
    assert_int_equal(take(help, &options), OPTIONS_DONE);
    assert_non_null(strstr(out, options_cautions));
    for (size_t i = 0; i < options_table.rows; i++) {
        assert_non_null(strstr(out, options_table.row[i].name));
    }
    assert_int_equal(take(version, &options), OPTIONS_DONE);
    assert_string_equal(out, "drawtenderd " DRAWTENDER_VERSION "\n");
    assert_int_equal(take(word, &options), OPTIONS_WRONG);
    assert_non_null(strstr(err, "'word': only options are accepted"));
    assert_string_equal(out, "");
}

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
        {{"--help"}, EX_OK, "not a safety device", ""},
        {{"--check", "--config", quiet}, EX_OK, "configuration valid", ""},
        {{"--check"}, EX_OK, "configuration valid", ""}, /* the built-in demo */
        {{"--check"}, EX_OK, "What guards Kettle Narrows", ""},
        {{"--wiring", "--config", shed}, EX_OK, "header line 25", ""},
        {{"--against", quiet}, EX_USAGE, "", "--against: needs --check and --config"},
        {{"--wiring"}, EX_CONFIG, "", "no bridge of this configuration is wired"},
        {{"--dns-sd"}, EX_CONFIG, "", "for this machine alone"},
        {{"--dry-run"}, EX_CONFIG, "", "has no dry run"}, /* a simulation has nothing to spare */
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
        {{"word"}, EX_USAGE, "", "only options"},
        {{"--check", "--config", "/nonexistent.json"}, EX_NOINPUT, "", "/nonexistent.json"},
        {{"--config", "/nonexistent.json"}, EX_NOINPUT, "", "Copy an example there"},
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
    config_text_patch(tree, "/bridges/0/leaf/push", "\"200 lbf\"");
    daemon_config_write(tree, "doubts", path);
    const char *const arguments[] = {"--check", "--config", path, NULL};
    assert_int_equal(daemon_run_once(arguments, out, err, sizeof out), EX_OK);
    assert_non_null(strstr(out, "configuration valid"));
    assert_non_null(strstr(err, "warning: /bridges/0: calculated: strikes the ceiling"));
    assert_non_null(strstr(err, "calculated: motor off, nothing holds the span"));
    assert_non_null(strstr(err, "calculated: A hand at the toe of the open leaf: overloads"));
    assert_non_null(strstr(err, "calculated: Loads on teeth, axis and seats: the same in a jam"));
    assert_non_null(
        strstr(err, "bad calculated verdicts: 7, not known well enough: 0; for details"));
    unlink(path);
    const char *const demo[] = {"--check", NULL};
    assert_int_equal(daemon_run_once(demo, out, err, sizeof out), EX_OK);
    assert_null(strstr(err, "calculated"));
}

/* A verdict, and a finding, that could go either way; and a value that may be too far off. */
static void check_names_what_is_not_known_well_enough(void **state) {
    (void)state;
    char path[DAEMON_CONFIG_PATH];
    cJSON *tree = daemon_config_read("../../config/kettle-narrows.json");
    config_text_patch(tree, "/bridges/0/room/ceiling", "\"3300 mm +- 1 ft\"");
    config_text_patch(tree, "/bridges/0/motor/no-load current", "\"1 A +- 1.2 A\"");
    config_text_patch(tree, "/bridges/0/supply/current", "\"5 A +- 4 A\"");
    daemon_config_write(tree, "doubts", path);
    const char *const arguments[] = {"--check", "--config", path, NULL};
    assert_int_equal(daemon_run_once(arguments, out, err, sizeof out), EX_OK);
    assert_non_null(strstr(err, "measure /bridges/0/room/ceiling first"));
    assert_non_null(strstr(err, "calculated: Motor heat and duty, fuse and wire: current needed "
                                "from the supply, with a quarter to spare"));
    assert_non_null(strstr(err, "measure /bridges/0/supply/current first"));
    assert_non_null(strstr(err,
                           "/bridges/0/motor/no-load current: at its least, -0.2 A, the bridge "
                           "would be refused: "));
    assert_non_null(strstr(err, "bad calculated verdicts: 0, not known well enough: "));
    unlink(path);
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
    assert_non_null(strstr(run.tail, "not a safety device"));
    daemon_end(&run, 15);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_options_all_is_as_the_help_says),
        cmocka_unit_test(each_option_sets_its_own_and_no_other),
        cmocka_unit_test(values_are_taken_within_their_limits_and_whole),
        cmocka_unit_test(help_and_version_are_answered_whatever_follows),
        cmocka_unit_test(exit_statuses_tell_what_was_wrong),
        cmocka_unit_test(check_names_what_the_sums_find_bad),
        cmocka_unit_test(check_names_what_is_not_known_well_enough),
        cmocka_unit_test(address_in_use_is_told_and_is_unavailable),
        cmocka_unit_test(a_panel_whose_token_is_not_there_keeps_the_daemon_from_starting),
        cmocka_unit_test(outputs_that_could_not_be_opened_are_not_called_safe),
        cmocka_unit_test(first_start_tells_the_cautions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
