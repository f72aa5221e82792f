/* How far verdicts may be off, from how far inputs may be. */
#include "plots/finding_words.h"
#include "plots/sizing_spread.h"
#include "plots/sizing_words.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct config config;
static struct config_report complaints;
static struct config_moves *moves;
static struct sizing_report report;

static void spread_of_file(const char *file, const char *const patches[][2], size_t count) {
    char *text = config_text_of_file(file);
    cJSON *tree = cJSON_Parse(text);
    assert_non_null(tree);
    free(text);
    for (size_t i = 0; i < count; i++) {
        config_text_patch(tree, patches[i][0], patches[i][1]);
    }
    text = cJSON_PrintUnformatted(tree);
    cJSON_Delete(tree);
    if (!config_read_text(text, strlen(text), &config, &complaints) && complaints.misfits == 0) {
        config_text_print(&complaints.errors);
        fail_msg("the configuration is refused");
    }
    sizing_report_of(&config, 0, &report);
    config_moves_end(moves);
    moves = config_moves_begin(text, strlen(text));
    assert_non_null(moves);
    assert_true(sizing_spread(moves, 1, &report));
    cJSON_free(text);
}

static void spread_of(const char *const patches[][2], size_t count) {
    spread_of_file(SOURCE_DIR "/config/kettle-narrows.json", patches, count);
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
    assert_int_equal(config_moves_count(moves), 4);
    assert_true(fabs(seat.value - 11.1754949) < 1e-6);
    assert_true(fabs(doubt_wider(&seat.doubt) / 1.6884 - 1) < 0.005);
    /* 0.3 kg at 1.2 m weigh more than 10 mm of 16.5 kg, and 0.2 kg at 0.575 m. */
    assert_string_equal(sizing_words_cause(&report, &seat.doubt), "/bridges/0/leaf/masses/0/mass");
}

/* v t + v^2/2a is not linear: half-widths of a tenth each. 1 000 000 draws (random.Random(1) of
 * Python): from the value to the 2.5 and to the 97.5 percent points of the way that is left, 0.1100
 * and 0.0951 m. Each side is within two hundredths; the mean of both, 0.1025, is on neither. */
static void each_side_is_near_draws_at_random_where_it_is_not_linear(void **state) {
    (void)state;
    static const char *const trains[][2] = {
        {"/bridges/0/tracks/0/trains",
         "{\"speed\": \"0.5 m/s +- 10 %\", \"braking\": \"0.3 m/s2 +- 10 %\","
         "\"coasting\": \"0.3 m/s2\", \"reaction\": \"0.2 s\", \"pickup\": \"10 cm\"}"}};
    spread_of(trains, 1);
    struct verdict approach = find(VERDICT_APPROACH);
    assert_int_equal(config_moves_count(moves), 2);
    /* The length is known; what it is judged by moves: the margin is what may be off. */
    assert_true(fabs(approach.doubt.less / 0.1100 - 1) < 0.025);
    assert_true(fabs(approach.doubt.more / 0.0951 - 1) < 0.025);
    assert_string_equal(sizing_words_cause(&report, &approach.doubt),
                        "/bridges/0/tracks/0/trains/speed");
}

/* A weight that balances the span well comes off either way. 1 000 000 draws, as above, of the
 * offset |7 kg x 0.6 m - 4 kg x 0.35 m - 4.9 kg x| / 15.9 kg: 95 of 100 are less than 91.97 mm
 * above the value. Half the difference of both ends is 0.4 mm. */
static void what_is_worse_at_both_ends_is_not_known_well_enough(void **state) {
    (void)state;
    static const char *const weight[][2] = {
        {"/bridges/0/leaf/counterweight/at", "[\"-57 cm +- 30 cm\", \"0 m\"]"}};
    spread_of_file(SOURCE_DIR "/config/mill-swing.json", weight, 1);
    struct verdict tipping = find(VERDICT_TIPPING);
    assert_true(fabs(tipping.doubt.less / 0.09197 - 1) < 0.01);
    assert_true(tipping.doubt.more == 0);
    assert_int_equal(tipping.state, VERDICT_UNSURE);
    /* Both ends' loads, within two bounds, may pass the upper as well as the lower. */
    assert_int_equal(find(VERDICT_SEAT).state, VERDICT_UNSURE);
    assert_int_equal(find(VERDICT_HEEL).state, VERDICT_UNSURE);
}

static struct finding find_finding(enum finding_about about) {
    for (unsigned i = 0; i < report.findings.count; i++) {
        if (report.findings.finding[i].about == about) {
            return report.findings.finding[i];
        }
    }
    fail_msg("no finding about %d", (int)about);
    return (struct finding){0};
}

/* The supply's current is held against 1.25 times the motor's: of 4 A +- 1 A nobody knows. */
static void findings_may_be_off_as_verdicts_may(void **state) {
    (void)state;
    char words[1024], supply[64], wanted[256];
    spread_of(NULL, 0);
    double wants_a = find_finding(FINDING_SUPPLY_RATING).value;
    snprintf(supply, sizeof supply, "\"%.9g A +- 30 %%\"", 1.1 * wants_a);
    const char *const patches[][2] = {{"/bridges/0/supply/current", supply}};
    spread_of(patches, 1);
    struct finding rating = find_finding(FINDING_SUPPLY_RATING);
    assert_int_equal(rating.state, VERDICT_UNSURE);
    assert_true(fabs(rating.doubt.less / (0.33 * wants_a) - 1) < 1e-6);
    finding_words(&report, &rating, words, sizeof words);
    snprintf(wanted, sizeof wanted, "it may be off by %.3g A: measure /bridges/0/supply/current",
             0.33 * wants_a);
    assert_non_null(strstr(words, wanted));
    assert_string_equal(finding_words_state(&rating), "unsure");
    assert_int_equal(findings_bad(&report.findings), 0);
}

/* A motor stalled at full effort takes V / R, and R = V / stall current of its sheet: 5 % each. */
static void what_is_told_says_how_far_it_may_be_off(void **state) {
    (void)state;
    char words[1024];
    static const char *const patches[][2] = {{"/bridges/0/supply/voltage", "\"12 V +- 5 %\""},
                                             {"/bridges/0/supply/current", "\"90 A\""}};
    spread_of(patches, 2);
    struct finding stall = find_finding(FINDING_STALL_CURRENT);
    assert_false(stall.is_judged);
    assert_true(fabs(stall.doubt.less / stall.value - 0.05) < 1e-9);
    finding_words(&report, &stall, words, sizeof words);
    assert_non_null(strstr(words, " +- "));
}

/* At 36 cm there is less rope than the span's travel of 45 cm. */
static void an_end_at_which_the_bridge_would_be_refused_is_told(void **state) {
    (void)state;
    char words[1024];
    static const char *const side[][2] = {
        {"/bridges/0/leaf/ropes/span side", "\"46 cm +- 10 cm\""}};
    spread_of_file(SOURCE_DIR "/config/harbor-lift.json", side, 1);
    assert_int_equal(report.refusals.count, 1);
    sizing_words_refusal(&report, &report.refusals.refusal[0], words, sizeof words);
    assert_string_equal(words, "/bridges/0/leaf/ropes/span side: at its least, 0.36 m, the bridge "
                               "would be refused: 0.36 m of rope above the seated span is not "
                               "more than its travel of 0.45 m: it would strike the sheaves");
}

/* What is refused anyway is not the spread's doing. */
static void what_is_refused_anyway_is_not_told_again(void **state) {
    (void)state;
    static const char *const side[][2] = {{"/bridges/0/leaf/ropes/span side", "\"30 cm +- 1 cm\""}};
    spread_of_file(SOURCE_DIR "/config/harbor-lift.json", side, 1);
    assert_int_equal(report.refusals.count, 0);
}

/* 66 corners' heights and one ceiling: the last counts as the first does. */
static void no_number_of_inputs_is_too_many(void **state) {
    (void)state;
    char corners[4096] = "[";
    for (int i = 0; i < 32; i++) {
        size_t used = strlen(corners);
        snprintf(corners + used, sizeof corners - used,
                 "%s{\"at\": [\"%d cm +- 1 mm\", \"5 cm +- 1 mm\"]}", i > 0 ? "," : "", 10 + i);
    }
    strcat(corners, "]");
    const char *const many[][2] = {{"/bridges/0/leaf/outline", corners},
                                   {"/bridges/0/leaf/toe", "\"2.3 m +- 1 cm\""},
                                   {"/bridges/0/room/ceiling", "\"3 m +- 9 cm\""},
                                   {"/bridges/0/tracks/0/span length", "\"2.3 m +- 1 cm\""}};
    spread_of(many, 4);
    assert_int_equal(config_moves_count(moves), 67);
    struct verdict ceiling = find(VERDICT_CEILING);
    assert_string_equal(sizing_words_cause(&report, &ceiling.doubt), "/bridges/0/room/ceiling");
    assert_true(ceiling.doubt.less >= 0.09);
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
                        "be off by 1.7 N: measure /bridges/0/leaf/masses/0/mass first");
    sizing_words_margin(&report, &seat, words, sizeof words);
    assert_string_equal(words, "0.825 N +- 1.7 N");
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
    assert_int_equal(config_moves_count(moves), 0);
    for (unsigned i = 0; i < report.verdicts.count; i++) {
        assert_true(doubt_wider(&report.verdicts.verdict[i].doubt) == 0 &&
                    report.verdicts.verdict[i].doubt.cause == 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(first_order_agrees_with_draws_at_random),
        cmocka_unit_test(each_side_is_near_draws_at_random_where_it_is_not_linear),
        cmocka_unit_test(what_is_worse_at_both_ends_is_not_known_well_enough),
        cmocka_unit_test(findings_may_be_off_as_verdicts_may),
        cmocka_unit_test(what_is_told_says_how_far_it_may_be_off),
        cmocka_unit_test(an_end_at_which_the_bridge_would_be_refused_is_told),
        cmocka_unit_test(what_is_refused_anyway_is_not_told_again),
        cmocka_unit_test(no_number_of_inputs_is_too_many),
        cmocka_unit_test(a_margin_within_the_spread_is_not_known_well_enough),
        cmocka_unit_test(nothing_said_is_nothing_changed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
