/* Lines on other servers: what they become, and every way to get them wrong. */
#include "support/check.h"
#include "support/config/config_edit.h"
#include "support/config/config_text.h"

static const char path[] = SOURCE_DIR "/tests/daemon/linked-bridge.json";
static struct config config;
static struct config_report report;

static bool read_plain(void) {
    return config_edit_read(path, NULL, &config, &report);
}

static void links_and_lines_are_as_written(void **state) {
    (void)state;
    assert_true(read_plain());
    const struct config_bridge *bridge = &config.bridge[0];
    const struct link_setup *link = &bridge->link[0];
    assert_string_equal(bridge->output, "composite");
    assert_true(bridge->has_lines && bridge->has_simulation);
    assert_int_equal(bridge->links, 1);
    assert_string_equal(link->name, "yard");
    assert_string_equal(link->host, "127.0.0.1");
    assert_int_equal(link->port, 4399);
    assert_int_equal(link->beat_us, 500000);
    assert_int_equal(link->lock_s, 10);
    assert_int_equal(link->outputs, 6);
    assert_int_equal(link->inputs, 9);
    assert_int_equal(link->trains, 2);
    assert_int_equal(link->train[1].address, 44);
    assert_int_equal(link->train[1].steps, 126);

    const struct link_output *signal = &link->output[0];
    assert_int_equal(signal->line, lines_signal(0, 0));
    assert_int_equal(signal->at.group, LINK_GA);
    assert_int_equal(signal->at.address, 11);
    assert_int_equal(signal->at.port, 1);
    assert_int_equal(signal->off_port, 0);
    const struct link_output *power = &link->output[1];
    assert_int_equal(power->at.group, LINK_POWER);
    assert_int_equal(power->at.address, 0);
    const struct link_output *horn = &link->output[5];
    assert_int_equal(horn->line, LINE_HORN);
    assert_int_equal(horn->off_port, horn->at.port); /* not given: one port, 1 and 0 */
    assert_int_equal(link->input[0].on, 1);
    assert_int_equal(link->input[1].on, 0);
}

/* Each line is served once: by the link, or by the driver for the rest. */
static void rest_goes_to_the_other_driver(void **state) {
    (void)state;
    assert_true(read_plain());
    const struct composite_setup *composite = &config.bridge[0].composite;
    struct line_set there = lines_there(&config.net.bridge[0].setup);
    assert_int_equal(composite->parts, 2);
    assert_string_equal(composite->part[0].driver, "link");
    assert_string_equal(composite->part[1].driver, "simulated");
    assert_int_equal(composite->part[0].stale_us, 2 * (500000 + 1000000));
    assert_int_equal(composite->part[1].stale_us, 0);
    assert_true((composite->part[0].lines.inputs ^ composite->part[1].lines.inputs) ==
                there.inputs);
    assert_true((composite->part[0].lines.outputs ^ composite->part[1].lines.outputs) ==
                there.outputs);
    assert_true((composite->part[0].lines.outputs >> LINE_HORN & 1) == 1);
    assert_true((composite->part[1].lines.outputs >> LINE_LIFT & 1) == 1);
}

static void user_is_warned_that_nothing_there_falls_by_itself(void **state) {
    (void)state;
    assert_true(read_plain());
    assert_true(config_text_has(&report.warnings, "/bridges/0/links/0", "watchdog"));
}

static void space_in_a_name_may_be_a_hyphen(void **state) {
    (void)state;
    static const struct config_edit edits[CONFIG_EDITS_MAX] = {
        {"/bridges/0/tracks/0/ends/0/name", "\"far west\""},
        {"/bridges/0/lines/0/output", "\"main.far-west.signal\""}};
    config_edit_read(path, edits, &config, &report);
    assert_false(config_text_has(&report.errors, "/bridges/0/lines/0/output", ""));
    assert_true(config_text_has(&report.errors, "/bridges/0/lines/1/input", "no line"));
}

static const struct config_mistake mistakes[] = {
    {{{"/bridges/0/lines/0/output", "\"main.west.signl\""}},
     "/bridges/0/lines/0/output",
     "did you mean \"main.west.signal\""},
    {{{"/bridges/0/lines/4/input", "\"nothing like it\""}},
     "/bridges/0/lines/4/input",
     "no line \"nothing like it\""},
    {{{"/bridges/0/lines/4/link", "\"yart\""}}, "/bridges/0/lines/4/link", "did you mean \"yard\""},
    {{{"/bridges/0/lines/4/output", "\"horn\""}}, "/bridges/0/lines/4", "either"},
    {{{"/bridges/0/lines/4/input", NULL}}, "/bridges/0/lines/4", "either"},
    {{{"/bridges/0/lines/4/on", NULL}}, "/bridges/0/lines/4/on", "needed"},
    {{{"/bridges/0/lines/4/on", "2"}}, "/bridges/0/lines/4/on", "0 to 1"},
    {{{"/bridges/0/lines/4/address", NULL}}, "/bridges/0/lines/4/address", "needed"},
    {{{"/bridges/0/lines/2/address", "1"}}, "/bridges/0/lines/2/address", "POWER has no address"},
    {{{"/bridges/0/lines/0/group", "\"FB\""}}, "/bridges/0/lines/0/group", "cannot be driven"},
    {{{"/bridges/0/lines/0/when", "\"raise\""}}, "/bridges/0/lines/0/when", "no such state"},
    {{{"/bridges/0/lines/14/output", "\"lift\""}}, "/bridges/0/lines/14/when", "no such state"},
    {{{"/bridges/0/lines/14/output", "\"lift\""}, {"/bridges/0/lines/14/when", "\"raise\""}},
     "/bridges/0/lines",
     "the lift needs two devices"},
    {{{"/bridges/0/lines/14/output", "\"lock\""}, {"/bridges/0/lines/14/when", "\"driven\""}},
     "/bridges/0/lines",
     "the lock needs two devices"},
    {{{"/bridges/0/lines/5/input", "\"stop-circuit\""}},
     "/bridges/0/lines/5/input",
     "must be wired"},
    {{{"/bridges/0/lines/5/input", "\"position\""}}, "/bridges/0/lines/5/input", "it is a measure"},
    {{{"/bridges/0/lines/14/output", "\"main.west.signal\""}},
     "/bridges/0/lines/14/output",
     "assigned twice"},
    {{{"/bridges/0/lines/4/input", "\"main.east.stop\""}},
     "/bridges/0/lines/11/input",
     "assigned twice"},
    {{{"/bridges/0/lines/1/input", "\"seated\""}},
     "/bridges/0/lines/0/output",
     "its proof must come over one"},
    {{{"/bridges/0/tracks/0/ends/0/signal proof", "false"}},
     "/bridges/0/lines/1/input",
     "no line \"main.west.signal\""},
    {{{"/bridges/0/output", "\"none\""}},
     "/bridges/0/lines",
     "the input \"seated\" is not assigned"},
    {{{"/bridges/0/links/0/address", "\"yard.local\""}},
     "/bridges/0/links/0/address",
     "wanted a numeric address"},
    {{{"/bridges/0/links/0/longest retry", "\"100 ms\""}},
     "/bridges/0/links/0/longest retry",
     "shorter than the first"},
    {{{"/bridges/0/links/0/lock", "\"1 s\""}}, "/bridges/0/links/0/lock", "out of range"},
    {{{"/bridges/0/links", "[{\"name\": \"yard\"}, {\"name\": \"yard\"}]"}},
     "/bridges/0/links/1/name",
     "already the name of link 0"},
    {{{"/bridges/0/links", "[{\"name\": \"yard\"}, {\"name\": \"idle\"}]"}},
     "/bridges/0/links/1",
     "no line uses"},
    {{{"/bridges/0/lines", NULL}}, "/bridges/0/links/0", "no line uses"},
    {{{"/bridges/0/lines/4/input", "\"locked\""},
      {"/bridges/0/lines/10/input", "\"open\""},
      {"/bridges/0/tracks/0/ends/0/approach detector", "false"},
      {"/bridges/0/tracks/0/ends/1/approach detector", "false"}},
     "/bridges/0/links/0/trains",
     "no track has one"},
};

static void each_mistake_is_told_where_it_is(void **state) {
    (void)state;
    config_edit_expect(path, mistakes, sizeof mistakes / sizeof mistakes[0], &config, &report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(links_and_lines_are_as_written),
        cmocka_unit_test(rest_goes_to_the_other_driver),
        cmocka_unit_test(user_is_warned_that_nothing_there_falls_by_itself),
        cmocka_unit_test(space_in_a_name_may_be_a_hyphen),
        cmocka_unit_test(each_mistake_is_told_where_it_is),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
