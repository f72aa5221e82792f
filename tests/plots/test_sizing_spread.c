/* How far verdicts may be off, from how far inputs may be. */
#include "plots/sizing_spread.h"
#include "plots/sizing_words.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct config config;
static struct config_report complaints;
static struct config_doubtful doubtful;
static struct sizing_report report;

static void spread_of(const char *const patches[][2], size_t count) {
    char *text = config_text_of_file(SOURCE_DIR "/config/kettle-narrows.json");
    cJSON *tree = cJSON_Parse(text);
    assert_non_null(tree);
    free(text);
    for (size_t i = 0; i < count; i++) {
        config_text_patch(tree, patches[i][0], patches[i][1]);
    }
    text = cJSON_PrintUnformatted(tree);
    cJSON_Delete(tree);
    if (!config_read_text(text, strlen(text), &config, &complaints)) {
        config_text_print(&complaints.errors);
        fail_msg("the configuration is refused");
    }
    sizing_report_of(&config, 0, &report);
    report.doubtful = &doubtful;
    assert_true(sizing_spread(text, strlen(text), 1, &report, &doubtful));
    cJSON_free(text);
}

static struct verdict find(enum verdict_about about) {
    for (unsigned i = 0; i < report.verdicts.count; i++) {
        if (report.verdicts.verdict[i].about == about) {
            return report.verdicts.verdict[i];
        }
    }
    fail_msg("no verdict about %d", (int)about);
    return (struct verdict){0};
}

#define MASSES                                                                                     \
    "[{\"mass\": \"14 kg +- 300 g\", \"at\": [\"1.2 m\", \"2 cm\"]},"                              \
    "{\"mass\": \"16.5 kg\", \"at\": [\"1.05 m +- 10 mm\", \"30 cm\"]},"                           \
    "{\"mass\": \"1.2 kg\", \"at\": [\"2.3 m\", \"5 cm\"]},"                                       \
    "{\"mass\": \"4 kg\", \"at\": [\"-20 cm\", \"5 cm\"]}]"
#define COUNTERWEIGHT "{\"mass\": \"58 kg +- 0.2 kg\", \"at\": [\"-57.5 cm\", \"-7 cm\"]}"

static const char *const leaf[][2] = {{"/bridges/0/leaf/masses", MASSES},
                                      {"/bridges/0/leaf/counterweight", COUNTERWEIGHT},
                                      {"/bridges/0/leaf/toe", "\"2.4 m +- 2 cm\""}};

/* The worked leaf, 11.1754949 N at the toe. 4 000 000 draws (numpy, each input normal with the
 * given half-width for 95 of 100): half of the range from 2.5 to 97.5 percent is 1.6884 N. */
static void first_order_agrees_with_draws_at_random(void **state) {
    (void)state;
    spread_of(leaf, 3);
    struct verdict seat = find(VERDICT_SEAT);
    assert_int_equal(doubtful.count, 4);
    assert_true(fabs(seat.value - 11.1754949) < 1e-6);
    assert_true(fabs(seat.spread / 1.6884 - 1) < 0.005);
    /* 0.3 kg at 1.2 m weigh more than 10 mm of 16.5 kg, and 0.2 kg at 0.575 m. */
    assert_string_equal(sizing_words_cause(&report, &seat), "/bridges/0/leaf/masses/0/mass");
}

/* v t + v^2/2a is not linear: half-widths of a tenth each. 4 000 000 draws: 0.10272 m. */
static void first_order_is_near_where_it_is_not_linear(void **state) {
    (void)state;
    static const char *const trains[][2] = {
        {"/bridges/0/tracks/0/trains",
         "{\"speed\": \"0.5 m/s +- 10 %\", \"braking\": \"0.3 m/s2 +- 10 %\","
         "\"coasting\": \"0.3 m/s2\", \"reaction\": \"0.2 s\", \"pickup\": \"10 cm\"}"}};
    spread_of(trains, 1);
    struct verdict approach = find(VERDICT_APPROACH);
    assert_int_equal(doubtful.count, 2);
    /* The length is known; what it is judged by moves: the margin is what may be off. */
    assert_true(fabs(approach.spread / 0.10272 - 1) < 0.02);
    assert_string_equal(sizing_words_cause(&report, &approach), "/bridges/0/tracks/0/trains/speed");
}

static void a_margin_within_the_spread_is_not_known_well_enough(void **state) {
    (void)state;
    char words[512];
    const char *patches[4][2];
    memcpy(patches, leaf, sizeof leaf);
    patches[3][0] = "/bridges/0/leaf/seat";
    patches[3][1] = "{\"least\": \"4 N\", \"most\": \"12 N\"}";
    spread_of((const char *const(*)[2])patches, 4);
    struct verdict seat = find(VERDICT_SEAT);
    assert_int_equal(seat.state, VERDICT_UNSURE);
    sizing_words_verdict(&report, &seat, words, sizeof words);
    assert_string_equal(words,
                        "toe reaction 11.2 N, wanted 4 to 12 N; not known well enough, it may "
                        "be off by 1.69 N: measure /bridges/0/leaf/masses/0/mass first");
    sizing_words_margin(&report, &seat, words, sizeof words);
    assert_string_equal(words, "0.825 N +- 1.69 N");
    patches[3][1] = "{\"least\": \"4 N\", \"most\": \"20 N\"}";
    spread_of((const char *const(*)[2])patches, 4);
    assert_int_equal(find(VERDICT_SEAT).state, VERDICT_GOOD);
    patches[3][1] = "{\"least\": \"4 N\", \"most\": \"5 N\"}";
    spread_of((const char *const(*)[2])patches, 4);
    assert_int_equal(find(VERDICT_SEAT).state, VERDICT_BAD);
}

static void nothing_said_is_nothing_changed(void **state) {
    (void)state;
    spread_of(NULL, 0);
    assert_int_equal(doubtful.count, 0);
    for (unsigned i = 0; i < report.verdicts.count; i++) {
        assert_true(report.verdicts.verdict[i].spread == 0 &&
                    report.verdicts.verdict[i].cause == 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(first_order_agrees_with_draws_at_random),
        cmocka_unit_test(first_order_is_near_where_it_is_not_linear),
        cmocka_unit_test(a_margin_within_the_spread_is_not_known_well_enough),
        cmocka_unit_test(nothing_said_is_nothing_changed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
