/* What guards a bridge, as people read it. */
#include "bridge/guard_table.h"
#include "support/check.h"
#include "support/core/puppet.h"
#include "support/daemon/daemon.h"
#include "support/logged.h"

#include <stdlib.h>
#include <string.h>

static const struct line_track tracks[BRIDGE_TRACKS_MAX] = {{"main", {"west", "east"}}};

static char *print(const struct bridge_setup *setup) {
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);
    assert_non_null(out);
    guard_table_print(out, "Kettle Narrows", setup, tracks);
    fclose(out);
    return text;
}

static void what_a_person_or_something_more_could_better_comes_first(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.track[0].end[1].has_signal_proof = false;
    setup.has_stop_circuit = false;
    static const char *const order[] = {
        "What guards Kettle Narrows",
        "\n* by time             S3,S4        home signal main east at stop: commanded to stop "
        "continuously, 2 s\n    not seen: a signal that does not obey\n    better: a signal "
        "proof\n",
        "\n* by a person's word  S9           stop that needs no network: a client",
        "\n  proved              S3,S4        home signal main west at stop: the signal's proof\n",
        "\n  by time             S3,S4,S6     train before signal main west, main east",
    };
    char *text = print(&setup);
    const char *rest = text;
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        const char *found = strstr(rest, order[i]);
        if (found == NULL) {
            fail_msg("\"%s\" is not in its place in\n%s", order[i], text);
        }
        rest = found;
    }
    free(text);
}

static void a_bridge_with_everything_has_nothing_first(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    char *text = print(&setup);
    assert_null(strstr(text, "\n*"));
    assert_null(strstr(text, "better: "));
    free(text);
}

static void log_has_the_rows_that_are_not_proved_and_no_others(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    logged_begin();
    guard_table_log("Kettle Narrows", &setup, tracks);
    logged_end();
    assert_int_equal(logged_lines(""), 0); /* it has everything */
    setup.track[0].end[1].has_signal_proof = false;
    setup.has_stop_circuit = false;
    logged_begin();
    guard_table_log("Kettle Narrows", &setup, tracks);
    logged_end();
    assert_int_equal(logged_lines(""), 2);
    assert_int_equal(logged_lines("notice  Kettle Narrows: home signal main east at stop (S3,S4) "
                                  "by time: commanded to stop continuously, 2 s"),
                     1);
    assert_int_equal(logged_lines("Kettle Narrows: stop that needs no network (S9) by a person's "
                                  "word: a client"),
                     1);
}

/* Runs a daemon that ends when its bridges have begun, for want of a watchdog. */
static void log_of_a_start(const char *config, char *log, size_t size) {
    const char *const arguments[] = {"--config",   config,     "--port", "0",
                                     "--watchdog", "/nowhere", NULL};
    daemon_run_once(arguments, NULL, log, size);
    assert_non_null(strstr(log, "/nowhere"));
}

static void the_start_of_the_log_names_these_rows_and_no_others(void **state) {
    (void)state;
    static char log[16384];
    log_of_a_start(SOURCE_DIR "/config/garden-gate.json", log, sizeof log);
    assert_non_null(strstr(log, "Garden Gate: span lifted by hand (S3,S4) by a person's word: "));
    assert_non_null(strstr(log, "Garden Gate: span section garden without power (S2,S3,S4) by "
                                "time: commanded off continuously, 3 s\n"));
    assert_null(strstr(log, "span seated"));
    log_of_a_start(SOURCE_DIR "/tests/daemon/quiet-bridge.json", log, sizeof log);
    assert_null(strstr(log, "(S3,S4)"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_a_person_or_something_more_could_better_comes_first),
        cmocka_unit_test(a_bridge_with_everything_has_nothing_first),
        cmocka_unit_test(log_has_the_rows_that_are_not_proved_and_no_others),
        cmocka_unit_test(the_start_of_the_log_names_these_rows_and_no_others),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
