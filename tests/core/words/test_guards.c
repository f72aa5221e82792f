/* What guards each condition, for every way in which it may be guarded. That the table is true of
 * the core: tests/guards. */
#include "core/words/guard_words.h"
#include "support/check.h"
#include "support/core/puppet.h"

#include <stdio.h>
#include <string.h>

enum { LACKS_MAX = 6 };

/* A bridge that has everything, but for: `lacks`, offsets of flags, by HAS() and 0 at the end. */
struct bridge_case {
    bool is_hand; /* then the gate that puppet_hand_setup() makes */
    size_t lacks[LACKS_MAX];
    size_t has; /* and this one; 0: none */
    unsigned rails;
    uint32_t run_out_us;
    bool is_automatic;
};

#define HAS(member) (offsetof(struct bridge_setup, member) + 1)
#define END(e, member) HAS(track[0].end[e].member)

static struct bridge_setup bridge_of(const struct bridge_case *bridge) {
    struct bridge_setup setup = bridge->is_hand ? puppet_hand_setup() : puppet_setup();
    setup.rails = bridge->rails;
    setup.track[0].run_out_us = bridge->run_out_us;
    setup.track[0].end[0].is_automatic = setup.track[0].end[1].is_automatic = bridge->is_automatic;
    for (size_t i = 0; i < LACKS_MAX && bridge->lacks[i] > 0; i++) {
        *(bool *)((char *)&setup + bridge->lacks[i] - 1) = false;
    }
    if (bridge->has > 0) {
        *(bool *)((char *)&setup + bridge->has - 1) = true;
    }
    return setup;
}

static const struct guard_row *find(const struct guards *guards, enum guard_thing thing) {
    for (unsigned i = 0; i < guards->rows; i++) {
        if (guards->row[i].thing == thing) {
            return &guards->row[i];
        }
    }
    return NULL;
}

static void each_condition_is_guarded_by_what_there_is(void **state) {
    (void)state;
    static const struct {
        struct bridge_case bridge;
        enum guard_thing thing;
        enum guard how;
        const char *rests_on; /* has these words */
        const char *add;      /* begins with these; "": nothing would be better */
    } cases[] = {
        {{.rails = 2}, GUARD_SIGNAL, GUARD_PROVED, "signal's proof", ""},
        {{.lacks = {END(0, has_signal_proof)}},
         GUARD_SIGNAL,
         GUARD_BY_TIME,
         "commanded",
         "a signal"},
        {{.rails = 2}, GUARD_APPROACH, GUARD_BY_TIME, "is seen in", ""},
        {{.lacks = {END(0, has_approach_detector)}},
         GUARD_APPROACH,
         GUARD_BY_TIME,
         "at every",
         "an approach"},
        {{.rails = 2}, GUARD_STOP_DEAD, GUARD_PROVED, "power proof", ""},
        {{.lacks = {END(0, has_stop_power_proof)}},
         GUARD_STOP_DEAD,
         GUARD_BY_TIME,
         "commanded off",
         "a power"},
        {{.rails = 2}, GUARD_SPAN_DEAD, GUARD_PROVED, "power proof", ""},
        {{.lacks = {HAS(track[0].has_span_power_proof)}},
         GUARD_SPAN_DEAD,
         GUARD_BY_TIME,
         "commanded off",
         "a power"},
        {{.rails = 2}, GUARD_STOP_TRAINS, GUARD_PROVED, "detector", ""},
        {{.rails = 2}, GUARD_SPAN_TRAINS, GUARD_PROVED, "detector", ""},
        {{.lacks = {END(0, has_stop_detector)}, .run_out_us = 9000000},
         GUARD_STOP_LEFT,
         GUARD_BY_TIME,
         "slowest train",
         "a detector"},
        {{.lacks = {END(0, has_stop_detector)}},
         GUARD_STOP_LEFT,
         GUARD_BY_WORD,
         "seen clear",
         "a detector; or"},
        {{.lacks = {HAS(track[0].has_span_detector)}, .run_out_us = 9000000},
         GUARD_SPAN_LEFT,
         GUARD_BY_TIME,
         "slowest train",
         "a detector"},
        {{.lacks = {HAS(track[0].has_span_detector)}},
         GUARD_SPAN_LEFT,
         GUARD_BY_WORD,
         "seen clear",
         "a detector; or"},
        {{.lacks = {END(0, has_stop_detector)}},
         GUARD_STOP_FREE,
         GUARD_BY_WORD,
         "the person who requests",
         "a detector"},
        {{.lacks = {END(0, has_stop_detector)}, .is_automatic = true},
         GUARD_STOP_FREE,
         GUARD_MISSING,
         "",
         "a detector; or home signals"},
        {{.lacks = {HAS(track[0].has_span_detector), END(0, is_used)}, .is_automatic = true},
         GUARD_SPAN_FREE,
         GUARD_MISSING,
         "",
         "a detector; or home signals"},
        {{.lacks = {HAS(track[0].has_span_detector), END(0, is_automatic), END(1, is_automatic)},
          .is_automatic = true},
         GUARD_SPAN_FREE,
         GUARD_BY_WORD,
         "the person who requests",
         "a detector"},
        {{.lacks = {HAS(track[0].has_span_detector), END(1, is_used), END(0, is_automatic)},
          .is_automatic = true},
         GUARD_SPAN_FREE,
         GUARD_BY_WORD,
         "the person who requests",
         "a detector"},
        {{.is_hand = true, .lacks = {HAS(has_open)}, .has = HAS(has_nearly_open)},
         GUARD_SEAT_STICKS,
         GUARD_PROVED,
         "other end",
         "rail contacts"},
        {{.lacks = {END(0, has_stop_detector)}},
         GUARD_STOP_COMES,
         GUARD_PROVED,
         "power proof",
         "a detector"},
        {{.lacks = {END(0, has_stop_detector), END(0, has_stop_power_proof)}},
         GUARD_STOP_COMES,
         GUARD_BY_TIME,
         "commanded off",
         "a detector"},
        {{.lacks = {HAS(track[0].has_span_detector)}},
         GUARD_SPAN_COMES,
         GUARD_PROVED,
         "detectors of the stop",
         "a detector"},
        {{.lacks = {HAS(track[0].has_span_detector), END(1, has_stop_detector),
                    END(0, has_stop_power_proof)}},
         GUARD_SPAN_COMES,
         GUARD_PROVED,
         "power proof",
         "a detector"},
        {{.lacks = {HAS(track[0].has_span_detector), END(1, has_stop_detector),
                    END(1, has_stop_power_proof)}},
         GUARD_SPAN_COMES,
         GUARD_BY_TIME,
         "commanded off",
         "a detector"},
        {{.rails = 2}, GUARD_SEATED, GUARD_PROVED, "seated contact", ""},
        {{.rails = 2}, GUARD_LOCKED, GUARD_PROVED, "locked contact", ""},
        {{.lacks = {HAS(has_lock)}}, GUARD_LOCKED, GUARD_PROVED, "no lock bar", "a lock bar"},
        {{.lacks = {HAS(has_locked)}}, GUARD_LOCKED, GUARD_BY_TIME, "lock drive", "a locked"},
        {{.lacks = {HAS(has_locked), HAS(has_lock_drive)}},
         GUARD_LOCKED,
         GUARD_MISSING,
         "",
         "a locked"},
        {{.is_hand = true, .lacks = {HAS(has_locked)}},
         GUARD_LOCKED,
         GUARD_MISSING,
         "",
         "a locked"},
        {{.rails = 1}, GUARD_RAILS, GUARD_PROVED, "rail contacts", ""},
        {{.rails = 0}, GUARD_RAILS, GUARD_PROVED, "seated contact alone", "rail"},
        {{.rails = 2}, GUARD_WITHDRAWN, GUARD_PROVED, "withdrawn contact", ""},
        {{.lacks = {HAS(has_withdrawn)}},
         GUARD_WITHDRAWN,
         GUARD_BY_TIME,
         "lock drive",
         "a withdrawn"},
        {{.lacks = {HAS(has_withdrawn), HAS(has_lock_drive)}},
         GUARD_WITHDRAWN,
         GUARD_MISSING,
         "",
         "a withdrawn"},
        {{.lacks = {HAS(has_lock_drive)}}, GUARD_HAND_LOCK, GUARD_BY_WORD, "waits", "a lock drive"},
        {{.is_hand = true}, GUARD_HAND_LIFT, GUARD_BY_WORD, "waits", ""},
        {{.rails = 1}, GUARD_SEAT_STICKS, GUARD_PROVED, "rail contacts", ""},
        {{.rails = 0, .lacks = {HAS(motion.has_position)}},
         GUARD_SEAT_STICKS,
         GUARD_PROVED,
         "contradict",
         "rail contacts"},
        {{.rails = 0, .lacks = {HAS(has_nearly_seated)}},
         GUARD_SEAT_STICKS,
         GUARD_PROVED,
         "contradict",
         "rail contacts"},
        {{.rails = 0, .lacks = {HAS(has_nearly_seated), HAS(motion.has_position)}},
         GUARD_SEAT_STICKS,
         GUARD_BY_TIME,
         "must leave",
         "rail contacts,"},
        {{.is_hand = true}, GUARD_SEAT_STICKS, GUARD_PROVED, "other end", "rail contacts"},
        {{.is_hand = true, .lacks = {HAS(has_open), HAS(has_nearly_open), HAS(has_nearly_seated)}},
         GUARD_SEAT_STICKS,
         GUARD_BY_WORD,
         "driving the bar",
         "rail contacts"},
        {{.is_hand = true,
          .lacks = {HAS(has_open), HAS(has_nearly_open), HAS(has_nearly_seated), HAS(has_lock)}},
         GUARD_SEAT_STICKS,
         GUARD_MISSING,
         "",
         "rail contacts"},
        {{.rails = 2}, GUARD_OPEN, GUARD_PROVED, "open contact", ""},
        {{.lacks = {HAS(has_open)}}, GUARD_OPEN, GUARD_PROVED, "position", ""},
        {{.lacks = {HAS(has_open), HAS(motion.has_position)}},
         GUARD_OPEN,
         GUARD_MISSING,
         "",
         "an open contact"},
        {{.rails = 2}, GUARD_OPEN_FAILS, GUARD_PROVED, "overtravel", ""},
        {{.lacks = {HAS(has_overtravel)}}, GUARD_OPEN_FAILS, GUARD_PROVED, "position", ""},
        {{.lacks = {HAS(has_overtravel), HAS(motion.has_position)}},
         GUARD_OPEN_FAILS,
         GUARD_PROVED,
         "current",
         "an overtravel"},
        {{.lacks = {HAS(has_overtravel), HAS(has_open)}},
         GUARD_OPEN_FAILS,
         GUARD_BY_TIME,
         "must change",
         "an open or"},
        {{.lacks = {HAS(has_overtravel), HAS(motion.has_position), HAS(motion.has_current)}},
         GUARD_OPEN_FAILS,
         GUARD_BY_TIME,
         "longest time",
         "an overtravel"},
        {{.rails = 2}, GUARD_BLOCKED, GUARD_PROVED, "current", ""},
        {{.lacks = {HAS(motion.has_current)}},
         GUARD_BLOCKED,
         GUARD_PROVED,
         "position",
         "a current"},
        {{.lacks = {HAS(motion.has_current), HAS(motion.has_position)}},
         GUARD_BLOCKED,
         GUARD_BY_TIME,
         "longest time",
         "a current"},
        {{.rails = 2}, GUARD_PLACE, GUARD_PROVED, "contacts", ""},
        {{.lacks = {HAS(has_open)}}, GUARD_PLACE, GUARD_PROVED, "contacts", ""},
        {{.is_hand = true, .lacks = {HAS(has_open)}},
         GUARD_PLACE,
         GUARD_PROVED,
         "alone",
         "an open"},
        {{.rails = 2}, GUARD_STOP, GUARD_PROVED, "stop circuit", ""},
        {{.lacks = {HAS(has_stop_circuit)}}, GUARD_STOP, GUARD_BY_WORD, "a client", "a stop"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bridge_setup setup = bridge_of(&cases[i].bridge);
        struct guards guards;
        guards_of(&setup, &guards);
        const struct guard_row *row = find(&guards, cases[i].thing);
        if (row == NULL || row->how != cases[i].how ||
            strstr(row->rests_on, cases[i].rests_on) == NULL ||
            strncmp(row->add, cases[i].add, strlen(cases[i].add)) != 0 ||
            (cases[i].add[0] == '\0') != (row->add[0] == '\0')) {
            fail_msg("case %zu: %s, rests on \"%s\", better \"%s\"", i,
                     row != NULL ? guard_name(row->how) : "no row",
                     row != NULL ? row->rests_on : "", row != NULL ? row->add : "");
        }
        assert_int_equal(guard_is_restrictive(row),
                         row->add[0] != '\0' || row->how == GUARD_BY_WORD);
    }
}

static void a_bridge_has_no_row_of_what_it_has_not(void **state) {
    (void)state;
    static const struct {
        struct bridge_case bridge;
        enum guard_thing thing;
    } cases[] = {
        {{.rails = 2}, GUARD_STOP_LEFT},
        {{.rails = 2}, GUARD_STOP_FREE},
        {{.rails = 2}, GUARD_STOP_COMES},
        {{.rails = 2}, GUARD_SPAN_LEFT},
        {{.rails = 2}, GUARD_SPAN_FREE},
        {{.rails = 2}, GUARD_SPAN_COMES},
        {{.lacks = {END(0, is_used), END(1, is_used)}}, GUARD_SIGNAL},
        {{.lacks = {END(0, has_stop_detector), END(1, has_stop_detector)}}, GUARD_STOP_TRAINS},
        {{.lacks = {HAS(track[0].has_span_detector)}}, GUARD_SPAN_TRAINS},
        {{.lacks = {HAS(has_lock)}}, GUARD_WITHDRAWN},
        {{.lacks = {HAS(has_lock), HAS(has_lock_drive)}}, GUARD_HAND_LOCK},
        {{.rails = 2}, GUARD_HAND_LOCK},
        {{.rails = 2}, GUARD_HAND_LIFT},
        {{.is_hand = true}, GUARD_WITHDRAWN},
        {{.is_hand = true}, GUARD_HAND_LOCK},
        {{.is_hand = true}, GUARD_OPEN},
        {{.is_hand = true}, GUARD_OPEN_FAILS},
        {{.is_hand = true}, GUARD_BLOCKED},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bridge_setup setup = bridge_of(&cases[i].bridge);
        struct guards guards;
        guards_of(&setup, &guards);
        if (find(&guards, cases[i].thing) != NULL) {
            fail_msg("case %zu has a row", i);
        }
    }
}

static void times_are_those_of_the_setup(void **state) {
    (void)state;
    const struct bridge_case bare = {.lacks = {END(0, has_signal_proof), END(0, has_stop_detector),
                                               HAS(has_locked), HAS(has_withdrawn),
                                               HAS(has_nearly_seated), HAS(motion.has_position)},
                                     .run_out_us = 42000000};
    struct bridge_setup setup = bridge_of(&bare);
    setup.motion.has_current = setup.has_overtravel = false;
    setup.track[0].end[0].has_stop_power_proof = false;
    struct guards guards;
    guards_of(&setup, &guards);
    const struct {
        enum guard_thing thing;
        uint32_t time_us;
    } cases[] = {
        {GUARD_SIGNAL, setup.proof_limit_us},
        {GUARD_APPROACH, setup.track[0].end[0].approach_lock_us},
        {GUARD_STOP_DEAD, setup.proof_limit_us},
        {GUARD_STOP_LEFT, 42000000},
        {GUARD_STOP_COMES, setup.proof_limit_us},
        {GUARD_LOCKED, setup.lock_limit_us},
        {GUARD_WITHDRAWN, setup.lock_limit_us},
        {GUARD_SEAT_STICKS, setup.motion.no_movement_us},
        {GUARD_OPEN_FAILS, setup.motion.travel_limit_us},
        {GUARD_BLOCKED, setup.motion.travel_limit_us},
        {GUARD_SEATED, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal(find(&guards, cases[i].thing)->time_us, cases[i].time_us);
    }
}

static void the_barest_bridges_and_the_largest_have_room(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.tracks = BRIDGE_TRACKS_MAX;
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        setup.track[t] = (struct track_setup){.end = {{.is_used = true}, {.is_used = true}}};
    }
    struct guards guards;
    guards_of(&setup, &guards);
    assert_in_range(guards.rows, 1, GUARD_ROWS_MAX);
    setup.has_lock_drive = false; /* one row more */
    guards_of(&setup, &guards);
    assert_in_range(guards.rows, 1, GUARD_ROWS_MAX);
}

static const struct line_track tracks[BRIDGE_TRACKS_MAX] = {{"main", {"west", "east"}},
                                                            {"yard", {"lead", "shed"}}};

static void alike_rows_are_told_once_with_all_their_places(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.tracks = 2;
    setup.track[1] = setup.track[0];
    setup.track[1].end[1].is_used = false;
    setup.track[0].end[1].has_signal_proof = false;
    setup.track[1].end[0].has_signal_proof = false;
    struct guards guards;
    struct guard_words words;
    guards_of(&setup, &guards);
    unsigned told = 0;
    for (unsigned i = 0; i < guards.rows; i++) {
        if (guards.row[i].how != GUARD_BY_TIME || guards.row[i].thing != GUARD_SIGNAL) {
            continue;
        }
        if (guards_describe(&guards, i, tracks, &words)) {
            told++;
            assert_string_equal(words.condition, "home signal main east, yard lead at stop");
            assert_string_equal(words.rests_on, "commanded to stop continuously, 2 s");
            assert_string_equal(words.invariants, "S3,S4");
        }
    }
    assert_int_equal(told, 1);
}

static void rows_that_wait_for_other_times_are_told_apart(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.track[0].end[1].approach_lock_us = 1500000;
    struct guards guards;
    struct guard_words words;
    guards_of(&setup, &guards);
    unsigned told = 0;
    for (unsigned i = 0; i < guards.rows; i++) {
        told +=
            guards.row[i].thing == GUARD_APPROACH && guards_describe(&guards, i, tracks, &words);
    }
    assert_int_equal(told, 2);
}

static void places_stand_where_they_belong(void **state) {
    (void)state;
    static const struct {
        enum guard_thing thing;
        const char *condition, *rests_on;
    } cases[] = {
        {GUARD_SPAN_TRAINS, "trains on span section main", "the section's detector"},
        {GUARD_STOP_TRAINS, "trains on stop section main west, main east",
         "the section's detector"},
        {GUARD_RAILS, "rail ends in line", "the rail contacts"},
    };
    struct bridge_setup setup = puppet_setup();
    struct guards guards;
    guards_of(&setup, &guards);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct guard_words words;
        const struct guard_row *row = find(&guards, cases[i].thing);
        assert_true(guards_describe(&guards, (unsigned)(row - guards.row), tracks, &words));
        assert_string_equal(words.condition, cases[i].condition);
        assert_string_equal(words.rests_on, cases[i].rests_on);
    }
}

static void each_sort_has_a_name_and_words(void **state) {
    (void)state;
    static const char *const names[GUARD_SORTS] = {"proved", "by-time", "by-word", "not-guarded"};
    static const char *const texts[GUARD_SORTS] = {"proved", "by time", "by a person's word",
                                                   "not guarded"};
    for (unsigned i = 0; i < GUARD_SORTS; i++) {
        assert_string_equal(guard_name(i), names[i]);
        assert_string_equal(guard_text(i), texts[i]);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_condition_is_guarded_by_what_there_is),
        cmocka_unit_test(a_bridge_has_no_row_of_what_it_has_not),
        cmocka_unit_test(times_are_those_of_the_setup),
        cmocka_unit_test(the_barest_bridges_and_the_largest_have_room),
        cmocka_unit_test(alike_rows_are_told_once_with_all_their_places),
        cmocka_unit_test(rows_that_wait_for_other_times_are_told_apart),
        cmocka_unit_test(places_stand_where_they_belong),
        cmocka_unit_test(each_sort_has_a_name_and_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
