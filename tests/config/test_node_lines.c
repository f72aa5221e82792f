/* Lines that are devices of other nodes: what they become, and every way to get them wrong. */
#include "support/check.h"
#include "support/config/config_edit.h"
#include "support/config/config_text.h"

static const char path[] = SOURCE_DIR "/config/other-nodes.json";
static struct config config;
static struct config_report report;

static bool read_plain(void) {
    return config_edit_read(path, NULL, &config, &report);
}

#define SIGNAL UINT64_C(0x0A44520000410000)
#define APPROACH UINT64_C(0x0A44520000420000)

static void pairs_are_as_written(void **state) {
    (void)state;
    assert_true(read_plain());
    const struct nodes_setup *nodes = &config.bridge[0].nodes;
    unsigned proof = 0;
    assert_true(config.bridge[0].has_nodes && config.bridge[0].has_lines);
    assert_int_equal(nodes->beat_us, 1000000);
    assert_int_equal(nodes->stale_us, 4000000);
    assert_int_equal(nodes->obey_us, 3000000);
    assert_int_equal(nodes->outputs, 1);
    assert_int_equal(nodes->output[0].line, lines_signal(0, 0));
    assert_true(nodes->command[0].event[1] == SIGNAL);
    assert_true(nodes->command[0].event[0] == SIGNAL + 1);
    assert_true(lines_proof(lines_signal(0, 0), &proof));
    assert_int_equal(nodes->inputs, 2);
    assert_int_equal(nodes->input[0].line, proof);
    assert_int_equal(nodes->output[0].proof, nodes->input[0].point);
    assert_true(nodes->point[1].event[1] == APPROACH + 1);
    const struct composite_setup *composite = &config.bridge[0].composite;
    assert_int_equal(composite->parts, 2);
    assert_string_equal(composite->part[0].driver, "nodes");
    assert_string_equal(composite->part[1].driver, "simulated");
    assert_true((composite->part[0].lines.inputs & composite->part[1].lines.inputs) == 0);
}

static void the_node_tells_and_follows_the_same_pairs_by_name(void **state) {
    (void)state;
    assert_true(read_plain());
    const struct lcc_bridge_setup *lcc = &config.lcc.bridge[0];
    assert_int_equal(lcc->commands, 1);
    assert_true(lcc->command[0].event[1] == SIGNAL);
    assert_string_equal(lcc->command[0].name[1], "main.west.signal to proceed");
    assert_string_equal(lcc->command[0].name[0], "main.west.signal to stop");
    assert_int_equal(lcc->points, 2);
    assert_string_equal(lcc->point[0].name[1], "main.west.signal at stop");
    assert_string_equal(lcc->point[1].name[1], "main.west.approach clear");
    assert_string_equal(lcc->point[1].name[0], "main.west.approach occupied");
    assert_true(lcc->point[1].event[0] == APPROACH);
}

/* One booster for the power of both stop sections, with one proof. */
static void lines_may_share_both_events(void **state) {
    (void)state;
    static const char lines[] =
        "[{\"output\": \"main.west.power\", \"on event\": \"05.01.01.01.A2.07.00.01\", "
        "\"off event\": \"05.01.01.01.A2.07.00.00\"},"
        "{\"output\": \"main.east.power\", \"on event\": \"05.01.01.01.A2.07.00.01\", "
        "\"off event\": \"05.01.01.01.A2.07.00.00\"},"
        "{\"input\": \"main.west.power\", \"on event\": \"05.01.01.01.A2.07.01.00\", "
        "\"off event\": \"05.01.01.01.A2.07.01.01\"},"
        "{\"input\": \"main.east.power\", \"on event\": \"05.01.01.01.A2.07.01.00\", "
        "\"off event\": \"05.01.01.01.A2.07.01.01\"}]";
    static const struct config_edit edits[CONFIG_EDITS_MAX] = {{"/bridges/0/lines", lines}};
    assert_true(config_edit_read(path, edits, &config, &report));
    const struct nodes_setup *nodes = &config.bridge[0].nodes;
    assert_int_equal(nodes->outputs, 2);
    assert_int_equal(nodes->commands, 1);
    assert_int_equal(nodes->inputs, 2);
    assert_int_equal(nodes->points, 1);
    assert_string_equal(config.lcc.bridge[0].command[0].name[0], "main.west.power off");
    assert_string_equal(config.lcc.bridge[0].point[0].name[1], "main.west.power dead");
}

static void user_is_warned_that_nothing_there_falls_by_itself(void **state) {
    (void)state;
    assert_true(read_plain());
    assert_true(config_text_has(&report.warnings, "/bridges/0/lines", "watchdog"));
}

static const struct config_mistake mistakes[] = {
    {{{"/bridges/0/lines/2/off event", NULL}}, "/bridges/0/lines/2/off event", "has a pair"},
    {{{"/bridges/0/lines/2/on event", NULL}}, "/bridges/0/lines/2/on event", "has a pair"},
    {{{"/bridges/0/lines/2/on event", "\"05.01\""}},
     "/bridges/0/lines/2/on event",
     "wanted eight bytes"},
    {{{"/bridges/0/lines/2/on event", "\"0A.44.52.00.00.42.00.00\""}},
     "/bridges/0/lines/2/off event",
     "is the \"on event\", too"},
    {{{"/bridges/0/lines/2/link", "\"yard\""}}, "/bridges/0/lines/2", "either a link, or a pair"},
    {{{"/bridges/0/lines/2/group", "\"FB\""}}, "/bridges/0/lines/2", "either a link, or a pair"},
    {{{"/bridges/0/lines/2/off event", NULL}, {"/bridges/0/lines/2/on event", NULL}},
     "/bridges/0/lines/2/link",
     "needed: the link that serves it, or else"},
    {{{"/bridges/0/lcc", NULL}}, "/bridges/0/lines/0", "need a node of this bridge's own"},
    {{{"/bridges/0/lines/2/input", "\"seated\""}}, "/bridges/0/lines/2/input", "only detectors"},
    {{{"/bridges/0/lines/0/output", "\"horn\""}}, "/bridges/0/lines/0/output", "only home signals"},
    {{{"/bridges/0/lines/0/when", "\"raise\""}}, "/bridges/0/lines/0/when", "no such state"},
    {{{"/bridges/0/lines/2/input", "\"main.west.signal\""}},
     "/bridges/0/lines/2/input",
     "assigned twice"},
    {{{"/bridges/0/lines/1/input", "\"main.east.approach\""}},
     "/bridges/0/lines/0/output",
     "its proof must be an event"},
    {{{"/bridges/0/lines/2/on event", "\"0A.44.52.00.00.41.01.01\""}},
     "/bridges/0/lines/2",
     "share both events, or none"},
    /* The proof would be what this bridge itself has told, or asks. */
    {{{"/bridges/0/lines/1/on event", "\"0A.44.52.00.00.41.00.01\""}},
     "/bridges/0/lcc/events",
     "is both \"main.west.signal to stop\" and \"main.west.signal at stop\""},
    {{{"/bridges/0/lines/2/on event", "\"0A.44.52.00.00.01.00.00\""}},
     "/bridges/0/lcc/events",
     "is both \"lined\" and"},
    {{{"/bridges/0/lcc/stale", "\"1500 ms\""}}, "/bridges/0/lcc/stale", "the beat and a second"},
};

static void each_mistake_is_told_where_it_is(void **state) {
    (void)state;
    config_edit_expect(path, mistakes, sizeof mistakes / sizeof mistakes[0], &config, &report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pairs_are_as_written),
        cmocka_unit_test(the_node_tells_and_follows_the_same_pairs_by_name),
        cmocka_unit_test(lines_may_share_both_events),
        cmocka_unit_test(user_is_warned_that_nothing_there_falls_by_itself),
        cmocka_unit_test(each_mistake_is_told_where_it_is),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
