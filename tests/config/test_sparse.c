/* Bridges with few sensors: what stands for the others, and what is asked for where nothing does.
 */
#include "config/config.h"
#include "support/check.h"
#include "support/config/config_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define B "/bridges/0"
#define T B "/tracks/0"

enum { PATCHES = 6 };

struct patch {
    const char *where, *value;
};

/* One reading: too large for the stack. */
static struct config config;
static struct config_report report;

/* The Kettle Narrows with these changes, and signals that somebody must ask to clear: one that does
 * so by itself wants every section watched. */
static bool read_changed(const struct patch patches[PATCHES]) {
    char *text = config_text_of_file(SOURCE_DIR "/config/kettle-narrows.json");
    cJSON *tree = cJSON_Parse(text);
    free(text);
    config_text_patch(tree, T "/ends/0/automatic", "false");
    config_text_patch(tree, T "/ends/1/automatic", "false");
    for (unsigned i = 0; i < PATCHES && patches[i].where != NULL; i++) {
        config_text_patch(tree, patches[i].where, patches[i].value);
    }
    text = cJSON_PrintUnformatted(tree);
    bool is_usable = config_read_text(text, strlen(text), &config, &report);
    cJSON_free(text);
    cJSON_Delete(tree);
    return is_usable;
}

static const struct bridge_setup *setup(void) {
    return &config.net.bridge[0].setup;
}

static void assert_is_usable(const struct patch patches[PATCHES]) {
    bool is_usable = read_changed(patches);
    config_text_print(&report.errors);
    assert_true(is_usable);
    assert_null(bridge_setup_fault(setup()));
}

static void assert_warns(const char *place, const char *words) {
    if (!config_text_has(&report.warnings, place, words)) {
        config_text_print(&report.warnings);
        fail_msg("no \"%s\" at %s", words, place);
    }
}

/* ---- the example */

static void example_of_two_switches_says_what_does_not_guard_it(void **state) {
    (void)state;
    bool is_usable = config_read_file(SOURCE_DIR "/config/two-switches.json", &config, &report);
    config_text_print(&report.errors);
    assert_true(is_usable);
    assert_null(bridge_setup_fault(setup()));
    assert_false(setup()->has_lock || setup()->motion.has_position || setup()->motion.has_current);
    assert_int_equal(setup()->track[0].run_out_us, 0);
    assert_int_equal(report.warnings.count, 3);
    assert_warns(T, "waits for a person to report");
    assert_warns(B "/lock", "nothing holds the span down");
    assert_warns(B "/contacts/rails", "even wide open");
}

/* ---- the lock bar */

static void bar_is_there_with_its_object_or_a_contact_of_it(void **state) {
    (void)state;
    static const char ends[] = "{\"seated\": true, \"open\": true, \"rails\": 1}";
    assert_is_usable((const struct patch[PATCHES]){{0}});
    assert_true(setup()->has_lock && setup()->has_locked && setup()->has_withdrawn);

    assert_is_usable((const struct patch[PATCHES]){{B "/lock", NULL}});
    assert_true(setup()->has_lock && !setup()->has_lock_drive); /* worked by hand, as ever */

    assert_is_usable((const struct patch[PATCHES]){{B "/contacts", ends}});
    assert_true(setup()->has_lock && setup()->has_lock_drive);
    assert_false(setup()->has_locked || setup()->has_withdrawn);
    assert_warns(B "/contacts/locked", "needs a request to lower");
    assert_warns(B "/contacts/withdrawn", "whole \"limit\"");

    /* What is not there has no raw reading, and no address: seated, open, one rail. */
    const unsigned *fb_contact = config.net.bridge[0].address.fb_contact;
    assert_int_equal(fb_contact[NET_CONTACT_LOCKED], 0);
    assert_int_equal(fb_contact[NET_CONTACT_RAIL], fb_contact[NET_CONTACT_SEATED] + 2);

    assert_is_usable((const struct patch[PATCHES]){{B "/lock", NULL}, {B "/contacts", ends}});
    assert_false(setup()->has_lock || setup()->has_lock_drive);
    assert_warns(B "/lock", "nothing holds the span down");
}

static void bar_worked_by_hand_needs_both_contacts(void **state) {
    (void)state;
    static const struct {
        const char *contacts, *place, *words;
    } cases[] = {
        {"{\"seated\": true, \"open\": true, \"rails\": 1, \"locked\": true}",
         B "/contacts/withdrawn", "is never proved withdrawn (S3)"},
        {"{\"seated\": true, \"open\": true, \"rails\": 1, \"withdrawn\": true}",
         B "/contacts/locked", "is never proved locked (S1)"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_false(read_changed((const struct patch[PATCHES]){
            {B "/lock/driven", "false"}, {B "/contacts", cases[i].contacts}}));
        assert_int_equal(report.errors.count, 1);
        assert_true(config_text_has(&report.errors, cases[i].place, cases[i].words));
    }
}

/* ---- sections without a detector */

static const char slow[] = "{\"speed\": \"0.4 m/s\", \"braking\": \"0.25 m/s2\", "
                           "\"coasting\": \"0.08 m/s2\", \"pickup\": \"45 cm\", "
                           "\"slowest\": \"0.1 m/s\", \"length\": \"2.4 m\"}";

/* 6 m approach, 2 m stop, 2.3 m span, 2 m stop and 2.4 m of train at 0.1 m/s, and 2 s. */
enum { RUN_OUT_US = 149000000 };

static void time_to_run_out_is_worked_out_from_the_longest_way_of_the_slowest_train(void **state) {
    (void)state;
    assert_is_usable(
        (const struct patch[PATCHES]){{T "/trains", slow}, {T "/span detector", NULL}});
    assert_int_equal(setup()->track[0].run_out_us, RUN_OUT_US);
    assert_warns(T, "waits 149 s for trains to leave, and does not see one that has stopped there");

    /* From the other end, where that is longer; an end that no train comes from has no section. */
    assert_is_usable((const struct patch[PATCHES]){
        {T "/trains", slow}, {T "/span detector", NULL}, {T "/ends/1/approach length", "\"7 m\""}});
    assert_int_equal(setup()->track[0].run_out_us, RUN_OUT_US + 10000000);
    assert_is_usable((const struct patch[PATCHES]){
        {T "/trains", slow}, {T "/span detector", NULL}, {T "/ends/1", NULL}});
    assert_int_equal(setup()->track[0].run_out_us, RUN_OUT_US - 20000000);
}

static void time_that_is_given_is_taken(void **state) {
    (void)state;
    assert_is_usable((const struct patch[PATCHES]){{T "/ends/0/stop detector", "false"},
                                                   {T "/run out", "\"90 s\""},
                                                   {T "/unwatched", "\"time\""}});
    assert_int_equal(setup()->track[0].run_out_us, 90000000);
}

static void where_a_length_or_speed_is_not_known_a_person_is_waited_for(void **state) {
    (void)state;
    static const char *const missing[] = {
        T "/trains/slowest",         T "/trains/length", T "/ends/0/approach length",
        T "/ends/1/approach length", T "/span length",
    };
    for (size_t i = 0; i < sizeof missing / sizeof missing[0]; i++) {
        struct patch patches[PATCHES] = {{B "/simulation", NULL},
                                         {T "/trains", slow},
                                         {T "/span detector", NULL},
                                         {missing[i], NULL}};
        assert_is_usable(patches);
        assert_int_equal(setup()->track[0].run_out_us, 0);
        assert_warns(T, "waits for a person to report");
        patches[4] = (struct patch){T "/unwatched", "\"time\""};
        assert_false(read_changed(patches));
        assert_int_equal(report.errors.count, 1);
        assert_true(config_text_has(&report.errors, T "/run out", "missing"));
    }
}

static void word_is_waited_for_where_it_is_wanted(void **state) {
    (void)state;
    assert_is_usable((const struct patch[PATCHES]){
        {T "/trains", slow}, {T "/span detector", NULL}, {T "/unwatched", "\"word\""}});
    assert_int_equal(setup()->track[0].run_out_us, 0);
}

/* Nothing is waited for, and no clearing limit can be too short for it. */
static void track_that_is_watched_whole_runs_out_in_no_time(void **state) {
    (void)state;
    assert_is_usable((const struct patch[PATCHES]){
        {T "/trains", slow}, {T "/run out", "\"1 h\""}, {B "/timing", "{}"}});
    assert_int_equal(setup()->track[0].run_out_us, 0);
    assert_int_equal(report.warnings.count, 0);
}

/* A train that leaves over the far approach: 6 m approach, 2 m stop, 2.3 m span, 2 m stop, 5 m
 * approach and 2.4 m of train at 0.1 m/s, and 2 s; then 5 s of clear delay, and all of the time. */
enum { LEFT_US = 199000000 + 5000000 };
#define NO_APPROACHES                                                                              \
    {T "/ends/0/approach detector", "false"}, {T "/ends/1/approach detector", "false"}, {          \
        B "/simulation", NULL                                                                      \
    }

static void time_must_end_within_the_wait_for_it(void **state) {
    (void)state;
    static const struct {
        struct patch patches[PATCHES];
        const char *words; /* NULL: it is long enough */
    } cases[] = {
        {{{B "/timing", "{\"clearing limit\": \"356 s\"}"}}, NULL},
        {{{B "/timing", "{\"clearing limit\": \"355 s\"}"}},
         "149 s is too long: an opening may wait 356 s for trains, for the time begins anew"},
        {{{B "/timing", "{\"clearing limit\": \"152 s\"}"}, NO_APPROACHES}, NULL},
        {{{B "/timing", "{\"clearing limit\": \"151 s\"}"}, NO_APPROACHES},
         "149 s is too long: an opening may wait 152 s for trains, and the clearing limit is"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct patch patches[PATCHES] = {{T "/trains", slow}, {T "/span detector", NULL}};
        memcpy(patches + 2, cases[i].patches, (PATCHES - 2) * sizeof patches[0]);
        assert_int_equal(read_changed(patches), cases[i].words == NULL);
        assert_true(cases[i].words == NULL ||
                    config_text_has(&report.errors, T "/run out", cases[i].words));
    }
}

static void wait_for_trains_allows_for_the_time_after_one_that_leaves_by_an_approach(void **state) {
    (void)state;
    static const struct {
        struct patch patches[PATCHES];
        uint32_t limit_us;
    } cases[] = {
        {{{B "/timing", NULL}}, 600000000}, /* 356 s, and less without detectors, are within it */
        {{{T "/run out", "\"400 s\""}}, 3000000 + LEFT_US + 400000000},
        {{{T "/run out", "\"400 s\""}, NO_APPROACHES}, 600000000},
        {{{T "/run out", "\"700 s\""}, NO_APPROACHES}, 703000000},
        /* No length to tell how long it is seen: twice as long as it takes to run out. */
        {{{T "/run out", "\"200 s\""}, {T "/trains", NULL}}, 3000000 + 5000000 + 600000000},
        {{{T "/run out", "\"700 s\""}, {T "/unwatched", "\"word\""}}, 600000000},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct patch patches[PATCHES] = {{T "/trains", slow}, {T "/span detector", NULL}};
        memcpy(patches + 2, cases[i].patches, (PATCHES - 2) * sizeof patches[0]);
        assert_is_usable(patches);
        assert_int_equal(setup()->clearing_limit_us, cases[i].limit_us);
    }
}

/* ---- a place that is an estimate */

/* From open to the seat at the speeds of the setup, in steps of 10 ms: the estimate goes evenly,
 * the span as its lever arm lets it, v = v_law x least arm / arm. Returns how long it creeps. */
static double seating_s(const struct motion_setup *motion, const struct lift *lift) {
    const double step_s = 0.01;
    double least = INFINITY;
    for (int i = 0; i <= 100; i++) {
        least = fmin(least, lift_rack_arm(lift, lift->travel * i / 100));
    }
    double estimate = 1, frac = 1, creep_s = 0;
    while (frac > 0) {
        bool is_creeping = estimate <= motion->slow_zone_seat_frac;
        double speed = is_creeping ? motion->creep_speed_frac_s : motion->full_speed_frac_s;
        estimate -= speed * step_s;
        frac -= speed * step_s * least / lift_rack_arm(lift, lift->travel * frac);
        creep_s += is_creeping ? step_s : 0;
    }
    return creep_s;
}

static void seat_limit_outlasts_a_creep_that_begins_early(void **state) {
    (void)state;
    assert_is_usable((struct patch[PATCHES]){{B "/motion/creep speed", "\"0.4 deg/s\""},
                                             {B "/sensors/position", "false"},
                                             {B "/contacts/nearly seated", "false"}});
    double longest_s = seating_s(&setup()->motion, &config.bridge[0].lift);
    double zone_s = setup()->motion.slow_zone_seat_frac / setup()->motion.creep_speed_frac_s;
    assert_true(longest_s > 2 * zone_s); /* or nothing is shown here */
    assert_true(setup()->motion.seat_limit_us > 1.5e6 * longest_s);
    /* Where a contact begins the creep it begins in its place. */
    assert_is_usable((struct patch[PATCHES]){{B "/motion/creep speed", "\"0.4 deg/s\""},
                                             {B "/sensors/position", "false"}});
    assert_true(setup()->motion.seat_limit_us < 1e6 * longest_s);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(seat_limit_outlasts_a_creep_that_begins_early),
        cmocka_unit_test(example_of_two_switches_says_what_does_not_guard_it),
        cmocka_unit_test(bar_is_there_with_its_object_or_a_contact_of_it),
        cmocka_unit_test(bar_worked_by_hand_needs_both_contacts),
        cmocka_unit_test(time_to_run_out_is_worked_out_from_the_longest_way_of_the_slowest_train),
        cmocka_unit_test(time_that_is_given_is_taken),
        cmocka_unit_test(where_a_length_or_speed_is_not_known_a_person_is_waited_for),
        cmocka_unit_test(word_is_waited_for_where_it_is_wanted),
        cmocka_unit_test(track_that_is_watched_whole_runs_out_in_no_time),
        cmocka_unit_test(time_must_end_within_the_wait_for_it),
        cmocka_unit_test(wait_for_trains_allows_for_the_time_after_one_that_leaves_by_an_approach),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
