/* How long a bridge takes: out of its configuration, and out of its record. */
#include "support/check.h"
#include "support/records/records_feed.h"
#include "support/tool/tool_run.h"
#include "tools/drawtender/timetable/bridge_times.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct config config;
static struct config_report report;

static int read_demo(void **state) {
    (void)state;
    assert_true(config_demo(&config, &report));
    return 0;
}

/* --- reckoned */

static struct bridge_times reckoned(void) {
    struct bridge_times times;
    struct error error = {.what = ""};
    assert_true(bridge_times_reckon(&times, &config.net.bridge[0], &config.bridge[0], &error));
    return times;
}

static void every_part_of_an_opening_counts(void **state) {
    (void)state;
    struct bridge_setup *setup = &config.net.bridge[0].setup;
    const struct sizing sizing = sizing_of(&config.bridge[0].sizing);
    setup->warning_us = 20000000; /* longer than the horn */
    struct bridge_times times = reckoned();
    double proofs_s = 2 * setup->proof_limit_us / 1e6; /* signals and power */
    assert_true(proofs_s > 0 && setup->lock_limit_us > 0);
    double opening_s = proofs_s + 20 + setup->lock_limit_us / 1e6 + sizing.up.duration_s;
    double closing_s = 20 + sizing.down.duration_s + setup->motion.push_us / 1e6 +
                       setup->lock_limit_us / 1e6 + setup->proof_limit_us / 1e6; /* rails */
    assert_true(fabs(times.opening.ms / 1e3 - opening_s) < 0.002);
    assert_true(fabs(times.closing.ms / 1e3 - closing_s) < 0.002);
    assert_int_equal(times.approach.ms, setup->track[0].end[0].approach_lock_us / 1000);
}

/* 33 CFR 117.15(b): one prolonged and one short blast to open, five short ones to close. */
static void the_horn_counts_where_it_is_longer_than_the_warning(void **state) {
    (void)state;
    struct bridge_setup *setup = &config.net.bridge[0].setup;
    setup->warning_us = 0;
    struct bridge_times horn = reckoned();
    setup->warning_us = setup->prolonged_blast_us + setup->short_blast_us + 2 * setup->blast_gap_us;
    assert_int_equal(reckoned().opening.ms, horn.opening.ms);
    setup->warning_us = 5 * (setup->short_blast_us + setup->blast_gap_us);
    assert_int_equal(reckoned().closing.ms, horn.closing.ms);
    setup->warning_us += 1000000;
    assert_int_equal(reckoned().closing.ms, horn.closing.ms + 1000);
}

static void without_a_detector_approach_locking_runs_at_every_opening(void **state) {
    (void)state;
    struct bridge_setup *setup = &config.net.bridge[0].setup;
    struct bridge_times seen = reckoned();
    struct track_end_setup *end = &setup->track[0].end[0];
    end->has_approach_detector = false;
    end->approach_lock_us = 30000000;
    struct bridge_times times = reckoned();
    assert_int_equal(times.approach.ms, 30000);
    assert_int_equal(times.opening.ms,
                     seen.opening.ms + 30000 - (int32_t)(setup->proof_limit_us / 1000));
}

static void of_a_span_lifted_by_hand_only_the_approach_is_known(void **state) {
    (void)state;
    config.net.bridge[0].setup.is_hand_lifted = true;
    struct bridge_times times = reckoned();
    assert_int_equal(times.opening.ms, -1);
    assert_int_equal(times.closing.ms, -1);
    assert_true(times.approach.ms > 0);
}

/* --- measured */

enum { S = 1000000 };

/* Phases and seconds; ends with a second below zero. */
struct went {
    enum bridge_phase phase;
    int at_s;
};

static struct logbook_opening opening_of(const struct went *went) {
    struct logbook_opening opening = {.asked_us = S};
    for (; went->at_s >= 0; went++) {
        opening.step[opening.steps++] =
            (struct logbook_step){went->phase, S + (uint64_t)went->at_s * S, 0};
    }
    return opening;
}

/* Takes `up` s from clear to open and `down` s to come back, after `wait` s for a train. */
static struct logbook_opening plain(int wait, int up, int down) {
    const struct went went[] = {{PHASE_CLEARING, 0},
                                {PHASE_CUTTING, wait},
                                {PHASE_WARNING, wait + 1},
                                {PHASE_UNLOCKING, wait + 2},
                                {PHASE_RAISING, wait + 3},
                                {PHASE_OPEN, wait + up},
                                {PHASE_WARNING, wait + up + 100},
                                {PHASE_UNLOCKING, wait + up + 101},
                                {PHASE_LOWERING, wait + up + 101},
                                {PHASE_SEATING, wait + up + 102},
                                {PHASE_LOCKING, wait + up + 103},
                                {PHASE_PROVING, wait + up + 104},
                                {PHASE_LINED, wait + up + 100 + down},
                                {PHASE_LINED, -1}};
    return opening_of(went);
}

static bool measured(struct logbook_opening *opening, size_t openings, struct bridge_times *times,
                     struct error *error) {
    const struct logbook logbook = {.opening = opening, .openings = openings};
    return bridge_times_measure(times, &logbook, error);
}

static void nine_of_ten_took_no_longer(void **state) {
    (void)state;
    struct logbook_opening opening[20];
    for (int i = 0; i < 20; i++) {
        opening[i] = plain(2, 20 + (i * 7) % 20, 40 + (i * 3) % 20); /* 20 to 39, 40 to 59 */
    }
    struct bridge_times times;
    struct error error;
    assert_true(measured(opening, 20, &times, &error));
    assert_int_equal(times.opening.ms, 1000 * (37 + 2)); /* the 18th, and the signals' 2 s */
    assert_int_equal(times.closing.ms, 1000 * 57);
    assert_int_equal(times.approach.ms, -1);
    assert_string_equal(times.opening.source,
                        "measured: 90 % of 20 recorded openings took no longer");
}

static void waiting_for_trains_is_no_part_of_an_opening(void **state) {
    (void)state;
    struct logbook_opening opening[] = {plain(300, 20, 40), plain(3, 20, 40), plain(90, 20, 40)};
    struct bridge_times times;
    struct error error;
    assert_true(measured(opening, 3, &times, &error));
    assert_int_equal(times.opening.ms, 23000);
    /* A train that comes once more begins it anew. */
    const struct went again[] = {{PHASE_CLEARING, 0},  {PHASE_CUTTING, 5},  {PHASE_WARNING, 6},
                                 {PHASE_CLEARING, 8},  {PHASE_CUTTING, 50}, {PHASE_WARNING, 51},
                                 {PHASE_RAISING, 55},  {PHASE_OPEN, 75},    {PHASE_WARNING, 80},
                                 {PHASE_LOWERING, 85}, {PHASE_LINED, 110},  {PHASE_LINED, -1}};
    struct logbook_opening twice = opening_of(again);
    assert_true(measured(&twice, 1, &times, &error));
    assert_int_equal(times.opening.ms, 1000 * (75 - 50 + 50 - 8));
    assert_int_equal(times.closing.ms, 30000);
}

static void what_was_stopped_or_turned_back_tells_nothing(void **state) {
    (void)state;
    const struct went held[] = {{PHASE_CLEARING, 0}, {PHASE_CUTTING, 5},  {PHASE_RAISING, 6},
                                {PHASE_HELD, 8},     {PHASE_RAISING, 50}, {PHASE_OPEN, 75},
                                {PHASE_WARNING, 80}, {PHASE_LINED, 110},  {PHASE_LINED, -1}};
    const struct went turned[] = {{PHASE_CLEARING, 0}, {PHASE_CUTTING, 5},  {PHASE_RAISING, 6},
                                  {PHASE_LOWERING, 8}, {PHASE_SEATING, 50}, {PHASE_LINED, 110},
                                  {PHASE_LINED, -1}};
    const struct went unended[] = {{PHASE_CLEARING, 0},
                                   {PHASE_CUTTING, 5},
                                   {PHASE_OPEN, 70},
                                   {PHASE_WARNING, 80},
                                   {PHASE_LINED, -1}};
    struct logbook_opening opening[] = {opening_of(held), opening_of(turned), opening_of(unended)};
    struct bridge_times times;
    struct error error;
    assert_false(measured(opening, 3, &times, &error));
    tool_run_says(error.what, "no complete opening");
    assert_int_equal(times.opening.ms, -1);
    assert_false(measured(NULL, 0, &times, &error));
}

static void a_way_down_that_was_stopped_leaves_the_way_up(void **state) {
    (void)state;
    const struct went held[] = {{PHASE_CLEARING, 0}, {PHASE_CUTTING, 5},  {PHASE_RAISING, 6},
                                {PHASE_OPEN, 70},    {PHASE_WARNING, 80}, {PHASE_LOWERING, 90},
                                {PHASE_HELD, 95},    {PHASE_LINED, 300},  {PHASE_LINED, -1}};
    struct logbook_opening opening[] = {opening_of(held), plain(5, 20, 40)};
    struct bridge_times times;
    struct error error;
    assert_true(measured(opening, 2, &times, &error));
    assert_int_equal(times.opening.ms, 70000);
    assert_int_equal(times.closing.ms, 40000);
}

/* --- on the command line */

static char record[RECORD_FILE_SIZE];

static int record_one(void **state) {
    (void)state;
    struct records_feed feed;
    records_feed_file(record);
    struct record_setup setup = records_feed_setup(record);
    records_feed_start(&feed, &setup);
    assert_true(records_feed_run_to(&feed, PHASE_LINED, 60000000));
    records_feed_ask(&feed, REQUEST_RAISE);
    assert_true(records_feed_run_to(&feed, PHASE_OPEN, 300000000));
    records_feed_ask(&feed, REQUEST_LOWER);
    assert_true(records_feed_run_to(&feed, PHASE_LINED, 300000000));
    records_feed_end(&feed);
    return 0;
}

static int forget(void **state) {
    (void)state;
    records_feed_forget(record);
    return 0;
}

static void plan(const char *options, enum outcome outcome, const char *out, const char *err) {
    struct tool_run made = {.port = 1};
    char words[8 * RECORD_FILE_SIZE];
    snprintf(words, sizeof words, "plan " SOURCE_DIR "/config/evening-timetable.csv %s", options);
    tool_run_words(&made, words);
    tool_run_ends(made, outcome, out, err);
}

static void measured_goes_before_reckoned_before_what_the_timetable_says(void **state) {
    (void)state;
    char options[4 * RECORD_FILE_SIZE];
    plan("", OUTCOME_DONE, "s of the model; line 4 of the timetable", "");
    plan("--config " SOURCE_DIR "/config/kettle-narrows.json", OUTCOME_DONE,
         "s of the model; calculated, proofs and lock at their limits\napproach", "");
    snprintf(options, sizeof options, "--record %s", record);
    plan(options, OUTCOME_DONE, "s of the model; line 6 of the timetable", "");
    snprintf(options, sizeof options,
             "--record %s --config " SOURCE_DIR "/config/kettle-narrows.json", record);
    plan(options, OUTCOME_DONE,
         "s of the model; measured: 90 % of 1 recorded closings took no longer\n"
         "approach    17.0 s of the layout,   102 s of the model; approach locking of the ",
         "");
}

static void a_bridge_is_found_by_name_or_bus(void **state) {
    (void)state;
    plan("--config " SOURCE_DIR "/config/mill-swing.json", OUTCOME_DONE, "calculated", "");
    plan("--config " SOURCE_DIR "/config/mill-swing.json --bus 3", OUTCOME_DONE, "calculated", "");
    plan("--config " SOURCE_DIR "/config/mill-swing.json --bus 1", OUTCOME_CONFIGURATION, "",
         "no such bridge; choose one with");
    plan("--config " SOURCE_DIR "/config/mill-swing.json --bridge Mill", OUTCOME_CONFIGURATION, "",
         "no such bridge");
    plan("--bridge Mill", OUTCOME_USAGE, "", "--bridge needs --config FILE");
    plan("--config " SOURCE_DIR "/config/README.md", OUTCOME_CONFIGURATION, "",
         "/README.md: line 1");
    plan("--config /nowhere.json", OUTCOME_CONFIGURATION, "", "No such file");
}

static void a_record_without_an_opening_is_refused(void **state) {
    (void)state;
    char options[2 * RECORD_FILE_SIZE];
    plan("--record /nowhere.db", OUTCOME_UNREAD, "", "/nowhere.db: ");
    snprintf(options, sizeof options, "--record %s --to 2020-01-01", record);
    plan(options, OUTCOME_UNREAD, "", "no complete opening");
}

#define RECKONED(test) cmocka_unit_test_setup(test, read_demo)
#define RECORDED(test) cmocka_unit_test_setup_teardown(test, record_one, forget)

int main(void) {
    const struct CMUnitTest tests[] = {
        RECKONED(every_part_of_an_opening_counts),
        RECKONED(the_horn_counts_where_it_is_longer_than_the_warning),
        RECKONED(without_a_detector_approach_locking_runs_at_every_opening),
        RECKONED(of_a_span_lifted_by_hand_only_the_approach_is_known),
        cmocka_unit_test(nine_of_ten_took_no_longer),
        cmocka_unit_test(waiting_for_trains_is_no_part_of_an_opening),
        cmocka_unit_test(what_was_stopped_or_turned_back_tells_nothing),
        cmocka_unit_test(a_way_down_that_was_stopped_leaves_the_way_up),
        RECORDED(measured_goes_before_reckoned_before_what_the_timetable_says),
        RECORDED(a_bridge_is_found_by_name_or_bus),
        RECORDED(a_record_without_an_opening_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
