/* The words of what a builder asks, in the units in which the configuration is written. */
#include "plots/finding_words.h"
#include "support/check.h"
#include "support/mechanics/sizing_example.h"

#include <math.h>
#include <string.h>

/* Too large for the stack. */
static struct config_bridge bridge;
static struct sizing_report report;

static int begin(void **state) {
    (void)state;
    memset(&report, 0, sizeof report);
    bridge.sizing = sizing_example();
    report = (struct sizing_report){.index = 2, .bridge = &bridge, .given = &bridge.sizing};
    return 0;
}

static void write_in_feet_and_pounds(void) {
    memset(report.units.is_customary, true, sizeof report.units.is_customary);
}

static struct finding finding_of(enum finding_about about, double value, double least,
                                 double most) {
    return (struct finding){.about = about,
                            .is_judged = isfinite(least) || isfinite(most),
                            .state = VERDICT_GOOD,
                            .value = value,
                            .least = least,
                            .most = most,
                            .margin = fmin(value - least, most - value),
                            .at = NAN};
}

static void assert_ends(enum finding_about about, double value, const char *end) {
    char found[256];
    struct finding finding = finding_of(about, value, -INFINITY, INFINITY);
    finding_words(&report, &finding, found, sizeof found);
    const char *words = strrchr(found, ':');
    assert_non_null(words);
    assert_string_equal(words, end);
}

/* Factors: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, 1 lbf = 4.4482216 N (NIST SP 811, appendix B). */
static void each_unit_is_that_of_the_configuration(void **state) {
    (void)state;
    static const struct {
        enum finding_about about;
        double value;
        const char *metric, *customary;
    } cases[] = {
        {FINDING_PLAY_TOE, 0.000254, ": 0.254 mm", ": 0.01 in"},
        {FINDING_LEAF_AS, 60.96, ": 61 m", ": 200 ft"},
        {FINDING_PUSH, 44.482216, ": 44.5 N", ": 10 lbf"},
        {FINDING_RACK_FORCE, 44482.216, ": 44.5 kN", ": 10000 lbf"},
        {FINDING_BEARING_FRICTION, 1.3558179, ": 1.36 N m", ": 1 lb ft"},
        {FINDING_MASS_AS, 45359.237, ": 45359 kg", ": 100000 lb"},
        {FINDING_TOE_SPEED_AS, 0.3048, ": 0.305 m/s", ": 1 ft/s"},
        {FINDING_STIFFNESS, 413.25330, ": 413 N m2", ": 1000 lbf ft2"},
        {FINDING_PLAY_TRAVEL, 0.02, ": 2 %", ": 2 %"},
        {FINDING_TOOTH_STRESS, 6894757.3, ": 6.89 MPa", ": 1000 psi"},
        {FINDING_WINDING_EVENING, 60, ": 60 degC", ": 140 degF"},
        {FINDING_COPPER_LOSS, 1500, ": 1.5 kJ", ": 1.5 kJ"},
        {FINDING_FUSE, 2.5, ": 2.5 A", ": 2.5 A"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        begin(NULL);
        assert_ends(cases[i].about, cases[i].value, cases[i].metric);
        write_in_feet_and_pounds();
        assert_ends(cases[i].about, cases[i].value, cases[i].customary);
    }
}

static void limits_and_margins_speak_it_too(void **state) {
    (void)state;
    char found[256];
    struct finding finding = finding_of(FINDING_STEP, 0.000508, -INFINITY, 0.000762);
    write_in_feet_and_pounds();
    finding_words(&report, &finding, found, sizeof found);
    assert_string_equal(found, "step at the rail joint then: 0.02 in, at most 0.03 in");
    finding_words_margin(&report, &finding, found, sizeof found);
    assert_string_equal(found, "0.01 in");
    finding = finding_of(FINDING_WINDING_EVENING, 60, -INFINITY, 105);
    finding_words_margin(&report, &finding, found, sizeof found);
    assert_string_equal(found, "81 degF");
    begin(NULL);
    finding_words_margin(&report, &finding, found, sizeof found);
    assert_string_equal(found, "45 K");
}

static void a_stall_that_is_noticed_too_late_has_its_cure(void **state) {
    (void)state;
    static const struct {
        enum builder_watch watch;
        const char *words;
    } cases[] = {{BUILDER_WATCH_STALL, "; shorten \"stall time\", limit"},
                 {BUILDER_WATCH_NO_MOVEMENT, "or shorten \"no-movement time\", limit"},
                 {BUILDER_WATCH_TRAVEL, "or make the opening quicker"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char found[512];
        struct finding finding = finding_of(FINDING_STALL_WATCH_TIME, 77.9, -INFINITY, 23.3);
        bridge.sizing.builder.stall_watch = cases[i].watch;
        finding_words(&report, &finding, found, sizeof found);
        assert_null(strstr(found, "shorten")); /* good as it is */
        finding.state = VERDICT_BAD;
        finding_words(&report, &finding, found, sizeof found);
        assert_non_null(strstr(found, cases[i].words));
        assert_non_null(strstr(found, "limit the supply's current, or measure the motor"));
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(each_unit_is_that_of_the_configuration, begin),
        cmocka_unit_test_setup(a_stall_that_is_noticed_too_late_has_its_cure, begin),
        cmocka_unit_test_setup(limits_and_margins_speak_it_too, begin),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
