/* What a record tells, from a simulated session: openings, movements, delays, current, service. */
#include "records/codec/trace.h"
#include "records/read/logbook.h"
#include "support/check.h"
#include "support/records/records_feed.h"

#include <math.h>
#include <string.h>

static char path[RECORD_FILE_SIZE];
static struct store store;
static struct logbook logbook;

/* An opening with a train that comes while the span is up; a refusal; a stop on the way down; then
 * one that a fault ends, under way when the daemon goes. */
static void record_session(void) {
    struct records_feed feed;
    struct record_setup setup = records_feed_setup(path);
    records_feed_start(&feed, &setup);
    feed.who = 7;
    recorder_session(feed.recorder, RECORDS_FEED_BEGIN_US, 7, true, "commands");
    assert_true(records_feed_run_to(&feed, PHASE_LINED, 60000000));
    records_feed_ask(&feed, REQUEST_RAISE);
    assert_true(records_feed_run_to(&feed, PHASE_OPEN, 300000000));
    records_feed_ask(&feed, REQUEST_SIGNAL_PROCEED);
    records_feed_ask(&feed, REQUEST_POWER_ON);
    feed.who = 8;
    records_feed_ask(&feed, REQUEST_LOWER);
    assert_true(records_feed_run_to(&feed, PHASE_LOWERING, 300000000));
    records_feed_run_for(&feed, 2000000);
    records_feed_ask(&feed, REQUEST_STOP);
    assert_true(records_feed_run_to(&feed, PHASE_HELD, 10000000));
    records_feed_run_for(&feed, 2000000);
    records_feed_ask(&feed, REQUEST_LOWER);
    assert_true(records_feed_run_to(&feed, PHASE_LINED, 300000000));
    records_feed_run_for(&feed, 60000000);
    records_feed_ask(&feed, REQUEST_RAISE);
    assert_true(records_feed_run_to(&feed, PHASE_RAISING, 300000000));
    records_feed_run_for(&feed, 2000000);
    records_feed_tell(&feed, "fault jam on");
    assert_true(records_feed_run_to(&feed, PHASE_FAULT, 60000000));
    records_feed_run_for(&feed, 2000000);
    records_feed_end(&feed);
}

static int set_up(void **state) {
    (void)state;
    records_feed_file(path);
    record_session();
    struct error error = {.what = ""};
    assert_true(store_open(&store, path, &error));
    assert_true(logbook_read(&logbook, &store, 1, 0, INT64_MAX, &error));
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    logbook_free(&logbook);
    store_close(&store);
    records_feed_forget(path);
    return 0;
}

static uint64_t time_of(enum event_kind kind, const char *what, unsigned which) {
    for (size_t i = 0; i < logbook.events; i++) {
        const struct event *event = &logbook.event[i].event;
        if (event->kind == kind && strcmp(event->what, what) == 0 && which-- == 0) {
            return event->at_us;
        }
    }
    fail_msg("no %s %s", event_kind_name(kind), what);
    return 0;
}

static void openings_have_their_times_and_their_end(void **state) {
    (void)state;
    assert_int_equal(logbook.openings, 2);
    const struct logbook_opening *whole = &logbook.opening[0];
    assert_int_equal(whole->outcome, LOGBOOK_WHOLE);
    assert_int_equal(whole->who, 7);
    assert_true(whole->asked_us == time_of(EVENT_ASKED, "raise", 0));
    assert_true(whole->open_us == time_of(EVENT_PHASE, "open", 0));
    assert_true(whole->ended_us == time_of(EVENT_PHASE, "lined", 0));
    assert_int_equal(whole->step[0].phase, PHASE_CLEARING);
    assert_int_equal(whole->step[whole->steps - 1].phase, PHASE_LINED);
    const struct logbook_opening *faulted = &logbook.opening[1];
    assert_int_equal(faulted->outcome, LOGBOOK_FAULTED);
    assert_true(faulted->open_us == 0);
    assert_int_equal(whole->number, 1);
    assert_int_equal(faulted->number, 2);
    assert_true(whole->event > 1 && faulted->event > whole->event);
    assert_ptr_equal(logbook_opening(&logbook, faulted->number), faulted);
    assert_null(logbook_opening(&logbook, 123456));
}

/* 33 U.S.C. 499(e) as a model: every movement of the drawbridge is recorded. */
static void every_movement_has_begin_end_and_cause(void **state) {
    (void)state;
    static const struct {
        bool is_up;
        const char *cause;
        int32_t who;
    } wanted[] = {{true, "raise", 7}, {false, "lower", 8}, {false, "lower", 8}, {true, "raise", 8}};
    assert_int_equal(logbook.movements, sizeof wanted / sizeof wanted[0]);
    for (size_t i = 0; i < logbook.movements; i++) {
        const struct logbook_movement *movement = &logbook.movement[i];
        assert_int_equal(movement->is_up, wanted[i].is_up);
        assert_string_equal(movement->cause, wanted[i].cause);
        assert_int_equal(movement->who, wanted[i].who);
        assert_true(movement->ended_us > movement->began_us);
        assert_true(movement->is_up == (movement->to_frac > movement->from_frac));
    }
    assert_true(logbook.movement[1].to_frac > 0.5); /* the stop held it on its way */
}

static void a_run_counts_what_was_in_it(void **state) {
    (void)state;
    assert_int_equal(logbook.runs, 1);
    const struct logbook_run *run = &logbook.run[0];
    assert_int_equal(run->openings, 1);
    assert_int_equal(run->movements, 4);
    assert_int_equal(run->faults, 1);
    assert_int_equal(run->refusals, 2);
    assert_int_equal(run->stops, 1);
    assert_int_equal(run->sessions, 1);
    assert_true(run->ended_us > run->began_us);
    uint64_t moved_us = 0;
    for (size_t i = 0; i < logbook.movements; i++) {
        moved_us += logbook.movement[i].ended_us - logbook.movement[i].began_us;
    }
    assert_true(run->moved_us == moved_us);
}

static void currents_are_of_their_opening(void **state) {
    (void)state;
    const struct logbook_opening *whole = &logbook.opening[0];
    const struct logbook_opening *faulted = &logbook.opening[1];
    assert_true(isfinite(whole->most_a) && whole->most_a >= whole->mean_a && whole->mean_a > 0);
    assert_true(faulted->most_a > 2 * whole->most_a); /* it stalled */
}

static void change(const char *sql) {
    struct error error = {.what = ""};
    assert_true(store_do(&store, &error, sql, ""));
    logbook_free(&logbook);
    assert_true(logbook_read(&logbook, &store, 1, 0, INT64_MAX, &error));
}

/* What was measured of it compares with no whole opening; of one that has only begun it is less
 * than nothing. */
static void part_of_an_opening_has_no_currents(void **state) {
    (void)state;
    assert_true(isfinite(logbook.opening[0].most_a) && isfinite(logbook.opening[0].mean_a));
    change("DELETE FROM event WHERE id >= (SELECT min(id) FROM event WHERE what = 'open')");
    assert_int_equal(logbook.openings, 1);
    assert_int_equal(logbook.opening[0].outcome, LOGBOOK_UNDER_WAY);
    assert_false(logbook_has_ended(&logbook.opening[0]));
    assert_true(isnan(logbook.opening[0].most_a) && isnan(logbook.opening[0].mean_a));
    change("INSERT INTO run VALUES (2, 1, NULL, '')");
    change("INSERT INTO event (run, at_us, serial, kind, who, what, words)"
           " VALUES (2, 9000000000000000, 0, 'session-began', 1, '', '')");
    assert_int_equal(logbook.opening[0].outcome, LOGBOOK_CUT_OFF);
    assert_true(isnan(logbook.opening[0].most_a) && isnan(logbook.opening[0].mean_a));
}

static void put_event(const char *kind, const char *what, uint64_t at_us) {
    struct error error = {.what = ""};
    assert_true(store_do(&store, &error,
                         "INSERT INTO event (run, bridge, at_us, serial, kind, who, what, words)"
                         " VALUES (2, 2, ?, 0, ?, 0, ?, '')",
                         "itt", (int64_t)at_us, kind, what));
}

/* The logbook anew, of the events from then on. */
static void read_since(uint64_t from_us) {
    struct error error = {.what = ""};
    logbook_free(&logbook);
    assert_true(logbook_read(&logbook, &store, 1, from_us, INT64_MAX, &error));
}

/* A second run, in which times are known exactly. */
static void put_second_run(void) {
    struct error error = {.what = ""};
    const uint64_t base = RECORDS_FEED_BEGIN_US + UINT64_C(86400000000);
    assert_true(
        store_do(&store, &error, "INSERT INTO run VALUES (2, ?, NULL, '')", "i", (int64_t)base));
    assert_true(store_do(&store, &error,
                         "INSERT INTO bridge SELECT 2, 2, number, name, bus, travel, unit, shapes,"
                         " setup, 2, 3600000000 FROM bridge WHERE id = 1",
                         ""));
    put_event("train-waits", "main.west", base);
    put_event("asked", "raise", base + 10000000);
    put_event("phase", "clearing", base + 10000000);
    put_event("moved", "up", base + 20000000);
    put_event("rested", "up", base + 50000000);
    put_event("phase", "open", base + 50000000);
    put_event("train-waits", "main.east", base + 60000000);
    put_event("asked", "lower", base + 70000000);
    put_event("phase", "lined", base + 100000000);
    put_event("train-goes", "main.west", base + 101000000);
    put_event("train-goes", "main.east", base + 101000000);
    put_event("asked", "raise", base + 200000000);
    put_event("phase", "clearing", base + 200000000);
    read_since(base);
}

static void delays_are_those_of_the_opening(void **state) {
    (void)state;
    put_second_run();
    assert_int_equal(logbook.openings, 2);
    const struct logbook_opening *opening = &logbook.opening[0];
    assert_int_equal(opening->number, 3); /* whatever else is read with it */
    assert_ptr_equal(logbook_opening(&logbook, 4), &logbook.opening[1]);
    assert_int_equal(opening->outcome, LOGBOOK_WHOLE);
    assert_true(opening->open_us - opening->asked_us == 40000000);
    assert_int_equal(opening->trains, 2);
    assert_true(opening->trains_us == 90000000 + 40000000); /* west from the request, east later */
    assert_int_equal(logbook.opening[1].outcome, LOGBOOK_UNDER_WAY);
    assert_int_equal(logbook.opening[1].trains, 0);
    assert_true(isnan(opening->most_a));
}

/* Signals at stop already, as where track power waits: the first phase seen is the one after. */
static void an_opening_that_has_nothing_to_clear_counts(void **state) {
    (void)state;
    const uint64_t at_us = RECORDS_FEED_BEGIN_US + UINT64_C(90000000000);
    put_second_run();
    put_event("phase", "open", at_us);
    put_event("asked", "lower", at_us + 10000000);
    put_event("phase", "lined", at_us + 20000000);
    put_event("asked", "raise", at_us + 30000000);
    put_event("phase", "cutting", at_us + 30000000);
    put_event("phase", "open", at_us + 60000000);
    read_since(at_us);
    const struct logbook_opening *opening = &logbook.opening[logbook.openings - 1];
    assert_true(opening->asked_us == at_us + 30000000);
    assert_true(opening->open_us == at_us + 60000000);
    assert_int_equal(opening->step[0].phase, PHASE_CUTTING);
}

static void service_counts_since_the_last_one(void **state) {
    (void)state;
    uint64_t first_moved_us = logbook.run[0].moved_us;
    put_second_run();
    assert_int_equal(logbook.service.openings_most, 2);
    assert_int_equal(logbook.service.openings, 2); /* of the whole record */
    assert_true(logbook.service.moved_us == first_moved_us + 30000000);
    assert_true(logbook.service.moved_most_us == 3600000000u);
    assert_true(logbook.service.since_us == 0);

    struct error error = {.what = ""};
    const uint64_t now_us = RECORDS_FEED_BEGIN_US + UINT64_C(90000000000);
    assert_true(logbook_serviced(&store, 1, now_us, &error));
    put_event("moved", "up", now_us + 10000000);
    put_event("rested", "up", now_us + 40000000);
    put_event("phase", "open", now_us + 40000000);
    put_event("phase", "lined", now_us + 90000000);
    put_event("asked", "raise", now_us + 100000000);
    put_event("phase", "clearing", now_us + 100000000);
    put_event("phase", "open", now_us + 140000000);
    read_since(0);
    assert_true(logbook.service.since_us == now_us);
    assert_int_equal(logbook.service.openings, 1);
    assert_true(logbook.service.moved_us == 30000000);
    assert_true(logbook_serviced(&store, 1, now_us, &error)); /* by a clock that is behind */
    read_since(0);
    assert_true(logbook.service.since_us == now_us + 140000000);
    assert_int_equal(logbook.service.openings, 0);
    assert_false(logbook_serviced(&store, 9, now_us, &error));
    assert_non_null(strstr(error.what, "no bridge on bus 9"));
}

static void a_run_that_ends_cuts_off_what_was_under_way(void **state) {
    (void)state;
    struct error error = {.what = ""};
    put_second_run();
    assert_true(store_do(&store, &error, "INSERT INTO run VALUES (3, 1, NULL, '')", ""));
    assert_true(store_do(&store, &error,
                         "INSERT INTO event (run, at_us, serial, kind, who, what, words)"
                         " VALUES (3, 9000000000000000, 0, 'session-began', 1, '', '')",
                         ""));
    read_since(0);
    assert_int_equal(logbook.opening[logbook.openings - 1].outcome, LOGBOOK_CUT_OFF);
}

/* As after a disk that was full. */
static void what_was_lost_cuts_off_what_was_under_way(void **state) {
    (void)state;
    put_second_run();
    put_event("lost", "", RECORDS_FEED_BEGIN_US + UINT64_C(86700000000));
    put_event("phase", "lined", RECORDS_FEED_BEGIN_US + UINT64_C(86900000000));
    read_since(0);
    assert_int_equal(logbook.opening[logbook.openings - 1].outcome, LOGBOOK_CUT_OFF);
}

/* A computer without a clock of its own begins anew where it was before, or earlier. */
static void a_clock_set_back_between_runs_confuses_nothing(void **state) {
    (void)state;
    double most_a = logbook.opening[0].most_a;
    unsigned openings = logbook.service.openings;
    struct error error = {.what = ""};
    assert_true(logbook_serviced(&store, 1, RECORDS_FEED_BEGIN_US - 1, &error));
    logbook_free(&logbook);
    store_close(&store);
    record_session();
    assert_true(store_open(&store, path, &error));
    assert_true(logbook_read(&logbook, &store, 1, 0, INT64_MAX, &error));
    assert_int_equal(logbook.openings, 4);
    for (size_t i = 0; i < 4; i += 2) {
        assert_true(logbook.opening[i].most_a == most_a);
    }
    assert_true(logbook.opening[3].most_a > 2 * most_a);
    assert_int_equal(logbook.service.openings, openings);
}

struct gap {
    uint64_t open_us, rest_us; /* since when the span is open; the first point without current */
};

static void take_gap(void *context, const struct trace_point *point) {
    struct gap *gap = context;
    if (point->phase == PHASE_OPEN && gap->open_us == 0) {
        gap->open_us = point->at_us;
    }
    if (gap->open_us != 0 && gap->rest_us == 0 && point->current_a < 0.1) {
        gap->rest_us = point->at_us;
    }
}

/* Not only when the next phase begins, which here is a warning of ten seconds. */
static void a_trace_says_soon_that_the_current_has_ended(void **state) {
    (void)state;
    struct error error = {.what = ""};
    struct gap gap = {0};
    assert_true(logbook_trace(&store, 1, 0, INT64_MAX, &gap, take_gap, &error));
    assert_true(gap.open_us != 0 && gap.rest_us > gap.open_us);
    assert_true(gap.rest_us - gap.open_us <= 1500000); /* a step a second at rest */
}

static void an_unknown_bus_is_named(void **state) {
    (void)state;
    struct logbook other;
    struct error error = {.what = ""};
    assert_false(logbook_read(&other, &store, 5, 0, INT64_MAX, &error));
    assert_non_null(strstr(error.what, "bus 5"));
    logbook_free(&other);
}

#define WITH_RECORD(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void) {
    const struct CMUnitTest tests[] = {
        WITH_RECORD(openings_have_their_times_and_their_end),
        WITH_RECORD(every_movement_has_begin_end_and_cause),
        WITH_RECORD(a_run_counts_what_was_in_it),
        WITH_RECORD(currents_are_of_their_opening),
        WITH_RECORD(part_of_an_opening_has_no_currents),
        WITH_RECORD(delays_are_those_of_the_opening),
        WITH_RECORD(an_opening_that_has_nothing_to_clear_counts),
        WITH_RECORD(service_counts_since_the_last_one),
        WITH_RECORD(a_run_that_ends_cuts_off_what_was_under_way),
        WITH_RECORD(what_was_lost_cuts_off_what_was_under_way),
        WITH_RECORD(a_clock_set_back_between_runs_confuses_nothing),
        WITH_RECORD(a_trace_says_soon_that_the_current_has_ended),
        WITH_RECORD(an_unknown_bus_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
