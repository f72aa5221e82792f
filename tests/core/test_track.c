/* Sections, home signals and approach locking. */
#include "core/track.h"
#include "support/check.h"
#include "support/core/core_parts.h"
#include "support/core/puppet.h"

enum { SECOND_US = 1000000 };

struct scene {
    struct bridge_setup setup;
    struct bridge_state state;
    struct bridge_inputs inputs;
    struct bridge_outputs outputs;
    bool may_power;
    bool may_clear;
};

static void set_all(struct bridge_inputs *inputs, enum level level) {
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        inputs->track[t].span_clear = level;
        inputs->track[t].span_dead = level;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            inputs->track[t].end[e] =
                (struct track_end_inputs){level, LEVEL_OFF, level, level, level};
        }
    }
}

static void tick(struct scene *s, uint32_t dt_us) {
    track_observe(&s->setup, &s->state, &s->inputs, lapse_of(dt_us, 0));
    track_command(&s->setup, &s->state, &s->inputs, s->may_power, s->may_clear, &s->outputs);
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) { /* signals and power are proved at once */
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            struct track_end_inputs *in = &s->inputs.track[t].end[e];
            const struct track_end_outputs *out = &s->outputs.track[t].end[e];
            in->signal_at_stop = out->signal_proceed ? LEVEL_OFF : LEVEL_ON;
            in->stop_dead = out->stop_power ? LEVEL_OFF : LEVEL_ON;
        }
        s->inputs.track[t].span_dead = s->outputs.track[t].span_power ? LEVEL_OFF : LEVEL_ON;
    }
}

/* `tracks` alike; lined, quiet, signals at proceed. */
static struct scene lined(unsigned tracks) {
    struct scene s = {.setup = puppet_setup(), .may_power = true, .may_clear = true};
    s.setup.tracks = tracks;
    for (unsigned t = 1; t < tracks; t++) {
        s.setup.track[t] = s.setup.track[0];
    }
    set_all(&s.inputs, LEVEL_ON);
    track_start(&s.setup, &s.state);
    tick(&s, 0);
    tick(&s, 20 * SECOND_US);
    return s;
}

static bool shows_proceed(const struct scene *s, unsigned track, unsigned end) {
    return s->outputs.track[track].end[end].signal_proceed;
}

static uint32_t lock_us(const struct scene *s, unsigned end) {
    return s->state.track[0].end[end].approach_lock_us;
}

/* ---- signals and power */

static void signal_follows_power_by_one_step(void **state) {
    (void)state;
    struct scene s = lined(1);
    s.may_power = false;
    tick(&s, SECOND_US);
    assert_false(s.outputs.track[0].span_power);
    assert_false(s.outputs.track[0].end[0].stop_power);
    assert_false(shows_proceed(&s, 0, 0));
    s.may_power = true;
    tick(&s, SECOND_US);
    assert_true(s.outputs.track[0].span_power);
    assert_true(s.outputs.track[0].end[1].stop_power);
    assert_false(shows_proceed(&s, 0, 0));
    assert_int_equal(track_wake_us(&s.setup, &s.state), 0); /* so it must be looked at again */
    tick(&s, 0);
    assert_true(shows_proceed(&s, 0, 0));
    assert_true(shows_proceed(&s, 0, 1));
}

/* A proceed rests on every power that the step before put out, each of them. */
static void signal_falls_with_each_power_of_its_track(void **state) {
    (void)state;
    static const size_t powers[] = {
        offsetof(struct track_state, end[0].is_powered),
        offsetof(struct track_state, end[1].is_powered),
        offsetof(struct track_state, is_powered),
    };
    for (size_t i = 0; i < sizeof powers / sizeof powers[0]; i++) {
        struct scene s = lined(1);
        *(bool *)((char *)&s.state.track[0] + powers[i]) = false;
        tick(&s, 0);
        assert_false(shows_proceed(&s, 0, 0) || shows_proceed(&s, 0, 1));
    }
}

static void both_leaves_of_the_interlock_are_needed(void **state) {
    (void)state;
    for (unsigned i = 0; i < 4; i++) {
        struct scene s = lined(1);
        s.may_power = i & 1;
        s.may_clear = i & 2;
        tick(&s, 0);
        assert_int_equal(shows_proceed(&s, 0, 0), i == 3);
        assert_int_equal(s.outputs.track[0].span_power, s.may_power);
    }
}

/* Each alone puts every signal of the track to stop in the same step (49 CFR 236.205). */
static void signal_falls_with_each_condition_of_its_track(void **state) {
    (void)state;
    static const struct {
        size_t offset; /* of a level in struct bridge_inputs */
        enum level level;
    } cases[] = {
        {offsetof(struct bridge_inputs, track[0].end[0].stop_clear), LEVEL_OFF},
        {offsetof(struct bridge_inputs, track[0].end[1].stop_clear), LEVEL_OFF},
        {offsetof(struct bridge_inputs, track[0].end[0].stop_clear), LEVEL_UNKNOWN},
        {offsetof(struct bridge_inputs, track[0].span_clear), LEVEL_OFF},
        {offsetof(struct bridge_inputs, track[0].span_clear), LEVEL_UNKNOWN},
        {offsetof(struct bridge_inputs, track[0].end[0].stop_dead), LEVEL_ON},
        {offsetof(struct bridge_inputs, track[0].end[1].stop_dead), LEVEL_ON},
        {offsetof(struct bridge_inputs, track[0].span_dead), LEVEL_ON},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct scene s = lined(2);
        assert_true(shows_proceed(&s, 0, 0) && shows_proceed(&s, 0, 1));
        *core_level_at(&s.inputs, cases[i].offset) = cases[i].level;
        tick(&s, SECOND_US);
        assert_false(shows_proceed(&s, 0, 0) || shows_proceed(&s, 0, 1));
        assert_true(shows_proceed(&s, 1, 0) && shows_proceed(&s, 1, 1)); /* the other track */
    }
}

static void proofs_and_detectors_that_are_absent_hold_nothing(void **state) {
    (void)state;
    struct scene s = lined(1);
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        s.setup.track[0].end[e].has_stop_detector = false;
        s.setup.track[0].end[e].has_stop_power_proof = false;
    }
    s.setup.track[0].has_span_detector = false;
    s.setup.track[0].has_span_power_proof = false;
    set_all(&s.inputs, LEVEL_UNKNOWN);
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        s.inputs.track[0].end[e].approach_clear = LEVEL_ON;
        s.inputs.track[0].end[e].stop_dead = LEVEL_ON; /* not looked at */
    }
    s.inputs.track[0].span_dead = LEVEL_ON;
    tick(&s, 0);
    assert_true(shows_proceed(&s, 0, 0) && shows_proceed(&s, 0, 1));
    assert_false(track_is_occupied(&s.setup, &s.state));
}

static void signal_shows_proceed_only_where_it_is_wanted(void **state) {
    (void)state;
    struct scene s = lined(1);
    s.state.track[0].end[1].is_proceed_wanted = false;
    tick(&s, 0);
    assert_true(shows_proceed(&s, 0, 0));
    assert_false(shows_proceed(&s, 0, 1));
}

static void end_that_no_train_comes_from_is_never_fed_nor_asked(void **state) {
    (void)state;
    for (unsigned unused = 0; unused < TRACK_ENDS; unused++) {
        struct scene s = {.setup = puppet_setup(), .may_power = true, .may_clear = true};
        struct track_place where;
        s.setup.track[0].end[unused] = (struct track_end_setup){.is_automatic = true};
        set_all(&s.inputs, LEVEL_ON);
        s.inputs.track[0].end[unused] = (struct track_end_inputs){0};
        track_start(&s.setup, &s.state);
        tick(&s, 0);
        tick(&s, 20 * SECOND_US);
        s.inputs.track[0].end[unused] = (struct track_end_inputs){0};
        assert_true(shows_proceed(&s, 0, 1 - unused));
        assert_false(shows_proceed(&s, 0, unused));
        assert_false(s.outputs.track[0].end[unused].stop_power);
        assert_true(track_inputs_known(&s.setup, &s.state, &s.inputs));
        assert_true(track_all_stop_clear(&s.setup, &s.state, &where));
        assert_true(track_all_released(&s.setup, &s.state, &where));
    }
}

/* ---- loss of shunt: 5 s or less must not count as clear (49 CFR 236.309, from memory) */

static void section_is_clear_only_after_it_has_been_seen_so_long_enough(void **state) {
    (void)state;
    static const size_t sections[] = {
        offsetof(struct bridge_inputs, track[0].end[0].stop_clear),
        offsetof(struct bridge_inputs, track[0].end[1].stop_clear),
        offsetof(struct bridge_inputs, track[0].span_clear),
    };
    for (size_t i = 0; i < sizeof sections / sizeof sections[0]; i++) {
        struct scene s = lined(1);
        enum level *level = core_level_at(&s.inputs, sections[i]);
        *level = LEVEL_OFF;
        tick(&s, SECOND_US);
        assert_true(track_is_occupied(&s.setup, &s.state));
        *level = LEVEL_ON;
        tick(&s, 60 * SECOND_US);
        assert_false(track_is_occupied(&s.setup, &s.state)); /* occupied is seen at once, */
        assert_false(shows_proceed(&s, 0, 0));               /* clear is not believed at once */
        tick(&s, 4999999);
        assert_false(shows_proceed(&s, 0, 0));
        *level = LEVEL_OFF; /* it flickers: from the start */
        tick(&s, 0);
        *level = LEVEL_ON;
        tick(&s, 0);
        tick(&s, 4999999);
        assert_false(shows_proceed(&s, 0, 0));
        assert_int_equal(track_wake_us(&s.setup, &s.state), 1);
        tick(&s, 1);
        assert_true(shows_proceed(&s, 0, 0));
    }
}

static void span_section_of_every_track_counts(void **state) {
    (void)state;
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        struct scene s = lined(BRIDGE_TRACKS_MAX);
        assert_false(track_is_occupied(&s.setup, &s.state));
        assert_true(track_inputs_known(&s.setup, &s.state, &s.inputs));
        s.inputs.track[t].span_dead = LEVEL_UNKNOWN;
        assert_false(track_inputs_known(&s.setup, &s.state, &s.inputs));
        s.inputs.track[t].span_dead = LEVEL_OFF;
        s.inputs.track[t].span_clear = LEVEL_UNKNOWN;
        assert_false(track_inputs_known(&s.setup, &s.state, &s.inputs));
        s.inputs.track[t].span_clear = LEVEL_OFF;
        tick(&s, SECOND_US);
        assert_true(track_is_occupied(&s.setup, &s.state));
    }
}

/* ---- approach locking (49 CFR 236.760, from memory) */

static void signal_put_to_stop_in_the_face_of_a_train_holds_the_bridge_for_its_time(void **state) {
    (void)state;
    struct scene s = lined(1);
    struct track_place where;
    s.inputs.track[0].end[1].approach_clear = LEVEL_OFF;
    tick(&s, SECOND_US);
    s.may_clear = false;
    tick(&s, SECOND_US);
    assert_int_equal(lock_us(&s, 1), s.setup.track[0].end[1].approach_lock_us);
    assert_false(track_all_released(&s.setup, &s.state, &where));
    assert_int_equal(where.track, 0);
    assert_int_equal(where.end, 1);
    tick(&s, 7999999);
    assert_false(track_all_released(&s.setup, &s.state, &where));
    assert_int_equal(track_wake_us(&s.setup, &s.state), 1);
    tick(&s, 1);
    assert_true(track_all_released(&s.setup, &s.state, &where));
}

static void train_seen_to_stand_releases_before_the_time(void **state) {
    (void)state;
    for (unsigned has = 0; has < 2; has++) {
        struct scene s = lined(1);
        struct track_place where;
        s.setup.track[0].end[0].has_standing_detector = has;
        s.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
        tick(&s, SECOND_US);
        s.may_clear = false;
        tick(&s, 0);
        s.inputs.track[0].end[0].standing = LEVEL_UNKNOWN;
        tick(&s, SECOND_US);
        assert_false(track_all_released(&s.setup, &s.state, &where));
        s.inputs.track[0].end[0].standing = LEVEL_ON;
        tick(&s, 0);
        assert_int_equal(track_all_released(&s.setup, &s.state, &where), has);
    }
}

static void clear_approach_releases_at_once_and_a_later_train_does_not_lock(void **state) {
    (void)state;
    struct scene s = lined(1);
    struct track_place where;
    s.may_clear = false;
    tick(&s, 0);
    assert_true(track_all_released(&s.setup, &s.state, &where));
    s.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
    tick(&s, SECOND_US);
    assert_true(track_all_released(&s.setup, &s.state, &where));
}

static void later_train_does_not_restart_the_time(void **state) {
    (void)state;
    struct scene s = lined(1);
    s.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
    tick(&s, SECOND_US);
    s.may_clear = false;
    tick(&s, 0);
    s.inputs.track[0].end[0].approach_clear = LEVEL_ON;
    tick(&s, 3 * SECOND_US);
    s.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
    tick(&s, 3 * SECOND_US);
    assert_int_equal(lock_us(&s, 0), 2 * SECOND_US);
}

static void flicker_of_the_approach_detector_does_not_release(void **state) {
    (void)state;
    struct scene s = lined(1);
    s.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
    tick(&s, SECOND_US);
    s.inputs.track[0].end[0].approach_clear = LEVEL_ON;
    tick(&s, 0);
    tick(&s, 4999999);
    s.may_clear = false;
    tick(&s, 0);
    assert_int_equal(lock_us(&s, 0), s.setup.track[0].end[0].approach_lock_us);
}

static void approach_without_detector_counts_as_occupied(void **state) {
    (void)state;
    struct scene s = lined(1);
    s.setup.track[0].end[0].has_approach_detector = false;
    tick(&s, 20 * SECOND_US);
    assert_true(shows_proceed(&s, 0, 1)); /* but nobody is seen there to hold the other signal */
    s.may_clear = false;
    tick(&s, 0);
    assert_int_equal(lock_us(&s, 0), s.setup.track[0].end[0].approach_lock_us);
    assert_int_equal(lock_us(&s, 1), 0);
}

/* What is put out proves nothing: a signal is put to stop when it is proved to be there, and what a
 * lost device still shows nobody knows. */
static void train_that_comes_before_the_signal_is_known_at_stop_locks(void **state) {
    (void)state;
    static const struct {
        bool has_proof;
        bool is_lost;
        enum level at_stop;
        enum level approach_clear;
        bool locks;
    } cases[] = {
        {true, false, LEVEL_OFF, LEVEL_OFF, true},   {true, false, LEVEL_UNKNOWN, LEVEL_OFF, true},
        {true, true, LEVEL_ON, LEVEL_OFF, true},     {false, true, LEVEL_ON, LEVEL_OFF, true},
        {true, false, LEVEL_OFF, LEVEL_ON, false},   {false, true, LEVEL_ON, LEVEL_ON, false},
        {false, false, LEVEL_OFF, LEVEL_OFF, false}, {true, false, LEVEL_ON, LEVEL_OFF, false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct scene s = lined(1);
        struct track_end_inputs *in = &s.inputs.track[0].end[0];
        s.setup.track[0].end[0].has_signal_proof = cases[i].has_proof;
        s.may_clear = false;
        tick(&s, 0); /* nobody comes yet */
        in->signal_at_stop = cases[i].at_stop;
        in->approach_clear = cases[i].approach_clear;
        in->standing = LEVEL_ON; /* it may start again */
        s.inputs.is_device_lost = cases[i].is_lost;
        tick(&s, 20 * SECOND_US);
        assert_int_equal(lock_us(&s, 0),
                         cases[i].locks ? s.setup.track[0].end[0].approach_lock_us : 0);
        in->standing = LEVEL_OFF; /* at stop: now its time runs */
        s.inputs.is_device_lost = false;
        tick(&s, 5 * SECOND_US); /* the time before it was seen there does not count */
        assert_int_equal(lock_us(&s, 0), cases[i].locks ? 8 * SECOND_US : 0);
        tick(&s, 3 * SECOND_US); /* without a proof it is at stop only by the end of this */
        uint32_t left_us = cases[i].has_proof ? 5 * SECOND_US : 8 * SECOND_US;
        assert_int_equal(lock_us(&s, 0), cases[i].locks ? left_us : 0);
    }
}

/* Without a proof a signal counts as at stop only after the time in which one would have come, and
 * until then it is doubtful as a denied one is; no fault comes of it. */
static void signal_without_a_proof_settles_and_locks_until_then(void **state) {
    (void)state;
    struct scene s = lined(1); /* proof limit 2 s, approach locking 8 s */
    struct track_place where;
    s.setup.track[0].end[0].has_signal_proof = false;
    s.may_clear = false;
    tick(&s, 0);
    tick(&s, 1999999);
    assert_false(track_all_signals_at_stop(&s.setup, &s.state, &s.inputs, &where));
    assert_true(where.track == 0 && where.end == 0);
    assert_int_equal(track_wake_us(&s.setup, &s.state), 1);
    struct scene settled = s;
    tick(&settled, 1);
    assert_true(track_all_signals_at_stop(&settled.setup, &settled.state, &settled.inputs, &where));
    settled.inputs.track[0].end[0].approach_clear = LEVEL_OFF; /* later: it stops at its signal */
    tick(&settled, SECOND_US);
    assert_int_equal(lock_us(&settled, 0), 0);

    s.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
    tick(&s, 0);
    assert_int_equal(lock_us(&s, 0), 8 * SECOND_US);
    tick(&s, 1); /* settled in this step: the time before does not count */
    assert_int_equal(lock_us(&s, 0), 8 * SECOND_US);
    tick(&s, SECOND_US);
    assert_int_equal(lock_us(&s, 0), 7 * SECOND_US);
    assert_false(track_signal_failed(&s.setup, &s.state));
    s.may_clear = true; /* and begins anew after the next proceed */
    tick(&s, 0);
    assert_false(track_is_at_stop(&s.setup, &s.state, &s.inputs, 0));
    s.may_clear = false;
    tick(&s, SECOND_US);
    tick(&s, 1999999);
    assert_false(track_is_at_stop(&s.setup, &s.state, &s.inputs, 0));
}

static void section_without_a_proof_is_dead_only_once_it_has_been_off_for_long(void **state) {
    (void)state;
    for (unsigned which = 0; which < 3; which++) {
        struct scene s = lined(1);
        struct track_place where;
        s.setup.track[0].end[0].has_stop_power_proof = which != 0;
        s.setup.track[0].end[1].has_stop_power_proof = which != 1;
        s.setup.track[0].has_span_power_proof = which != 2;
        s.may_power = s.may_clear = false;
        tick(&s, 0);
        tick(&s, 1999999);
        assert_false(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
        assert_int_equal(where.end, which == 1 ? 1 : 0);
        assert_int_equal(track_wake_us(&s.setup, &s.state), 1);
        tick(&s, 1);
        assert_true(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
        s.may_power = true;
        tick(&s, 0);
        assert_false(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
        s.may_power = false;
        tick(&s, SECOND_US);
        tick(&s, 1999999);
        assert_false(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
    }
}

/* What a lost device does nobody knows: the time begins once it is back. */
static void what_counts_by_time_counts_anew_after_a_lost_device(void **state) {
    (void)state;
    struct scene s = lined(1);
    struct track_place where;
    s.setup.track[0].end[0].has_signal_proof = false;
    s.setup.track[0].end[1].has_stop_power_proof = false;
    s.setup.track[0].has_span_power_proof = false;
    s.may_power = s.may_clear = false;
    tick(&s, 0);
    tick(&s, 2 * SECOND_US);
    assert_true(track_all_signals_at_stop(&s.setup, &s.state, &s.inputs, &where));
    assert_true(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
    s.inputs.is_device_lost = true;
    tick(&s, 1);
    s.inputs.is_device_lost = false;
    tick(&s, SECOND_US);
    tick(&s, 1999999);
    assert_false(track_all_signals_at_stop(&s.setup, &s.state, &s.inputs, &where));
    s.setup.track[0].has_span_power_proof = true; /* each by itself */
    assert_false(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
    s.setup.track[0].has_span_power_proof = false;
    s.setup.track[0].end[1].has_stop_power_proof = true;
    assert_false(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
    tick(&s, 1);
    assert_true(track_all_signals_at_stop(&s.setup, &s.state, &s.inputs, &where));
    assert_true(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
}

/* Where it shows proceed as it should, nothing is put to stop. */
static void proceed_that_is_meant_does_not_lock(void **state) {
    (void)state;
    struct scene s = lined(1);
    s.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
    tick(&s, SECOND_US);
    tick(&s, SECOND_US);
    assert_true(shows_proceed(&s, 0, 0));
    assert_int_equal(lock_us(&s, 0), 0);
}

static void each_end_locks_for_its_own_time(void **state) {
    (void)state;
    struct scene s = lined(2);
    for (unsigned t = 0; t < 2; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            s.setup.track[t].end[e].approach_lock_us = (1 + t * 2 + e) * SECOND_US;
            s.inputs.track[t].end[e].approach_clear = LEVEL_OFF;
            s.state.track[t].end[e].shows_proceed = true;
        }
    }
    s.may_clear = false;
    tick(&s, 0);
    for (unsigned t = 0; t < 2; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            assert_int_equal(s.state.track[t].end[e].approach_lock_us, (1 + t * 2 + e) * SECOND_US);
        }
    }
}

static void start_begins_with_the_lock_of_every_used_end(void **state) {
    (void)state;
    struct scene s = {.setup = puppet_setup()};
    s.setup.track[0].end[1].is_used = false;
    s.setup.track[0].end[0].is_automatic = false;
    track_start(&s.setup, &s.state);
    assert_int_equal(lock_us(&s, 0), s.setup.track[0].end[0].approach_lock_us);
    assert_int_equal(lock_us(&s, 1), 0);
    assert_false(s.state.track[0].end[0].is_proceed_wanted);
    assert_false(s.state.track[0].end[1].is_proceed_wanted);
}

/* ---- two trains, one track */

static void train_in_one_approach_puts_the_other_signal_to_stop(void **state) {
    (void)state;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        struct scene s = lined(2);
        s.inputs.track[0].end[e].approach_clear = LEVEL_OFF;
        tick(&s, 0);
        assert_true(shows_proceed(&s, 0, e));
        assert_false(shows_proceed(&s, 0, 1 - e));
        assert_true(shows_proceed(&s, 1, 1 - e)); /* the other track has its own way */
    }
}

static void of_two_trains_who_had_the_signal_keeps_it(void **state) {
    (void)state;
    for (unsigned first = 0; first < TRACK_ENDS; first++) {
        struct scene s = lined(1);
        s.inputs.track[0].end[first].approach_clear = LEVEL_OFF;
        tick(&s, 0);
        s.inputs.track[0].end[1 - first].approach_clear = LEVEL_OFF;
        tick(&s, 0);
        assert_true(shows_proceed(&s, 0, first));
        assert_false(shows_proceed(&s, 0, 1 - first));
    }
    struct scene s = lined(1); /* both in the same step: end 0 */
    s.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
    s.inputs.track[0].end[1].approach_clear = LEVEL_OFF;
    tick(&s, 0);
    assert_true(shows_proceed(&s, 0, 0));
    assert_false(shows_proceed(&s, 0, 1));
    assert_true(lock_us(&s, 1) > 0); /* it was in the second one's face */
}

static void train_whose_signal_is_kept_at_stop_claims_nothing(void **state) {
    (void)state;
    struct scene s = lined(1);
    s.state.track[0].end[0].is_proceed_wanted = false;
    s.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
    tick(&s, 0);
    assert_false(shows_proceed(&s, 0, 0));
    assert_true(shows_proceed(&s, 0, 1));
}

/* ---- questions about all tracks */

static void each_question_names_the_first_place_where_it_fails(void **state) {
    (void)state;
    for (unsigned t = 0; t < 3; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            struct scene s = lined(3);
            struct track_place where = {9, 9};
            s.may_power = s.may_clear = false;
            tick(&s, 0);
            assert_true(track_all_signals_at_stop(&s.setup, &s.state, &s.inputs, &where));
            assert_true(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
            assert_true(track_all_stop_clear(&s.setup, &s.state, &where));
            assert_true(track_all_released(&s.setup, &s.state, &where));
            assert_true(track_all_span_clear(&s.setup, &s.state, &where));

            s.inputs.track[t].end[e].signal_at_stop = LEVEL_OFF;
            assert_false(track_all_signals_at_stop(&s.setup, &s.state, &s.inputs, &where));
            assert_true(where.track == t && where.end == e);

            s.inputs.track[t].end[e].stop_dead = LEVEL_UNKNOWN;
            where = (struct track_place){9, 9};
            assert_false(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
            assert_true(where.track == t && where.end == e);
            s.inputs.track[t].end[e].stop_dead = LEVEL_ON;

            s.inputs.track[t].span_dead = LEVEL_OFF;
            where = (struct track_place){9, 9};
            assert_false(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
            assert_true(where.track == t && where.end == 0);

            s.inputs.track[t].end[e].stop_clear = LEVEL_OFF;
            s.inputs.track[t].span_clear = LEVEL_OFF;
            tick(&s, 0);
            assert_false(track_all_stop_clear(&s.setup, &s.state, &where));
            assert_true(where.track == t && where.end == e);
            where = (struct track_place){9, 9};
            assert_false(track_all_span_clear(&s.setup, &s.state, &where));
            assert_true(where.track == t && where.end == 0);
            assert_true(track_is_occupied(&s.setup, &s.state));
        }
    }
}

/* What was put out counts, also where no feedback tells of it. */
static void own_outputs_count_without_any_proof(void **state) {
    (void)state;
    struct scene s = lined(1);
    struct track_place where;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        s.setup.track[0].end[e].has_signal_proof = false;
        s.setup.track[0].end[e].has_stop_power_proof = false;
    }
    s.setup.track[0].has_span_power_proof = false;
    assert_false(track_all_signals_at_stop(&s.setup, &s.state, &s.inputs, &where));
    assert_false(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        s.setup.track[0].end[e].is_used = false;
    }
    assert_false(track_all_dead(&s.setup, &s.state, &s.inputs, &where)); /* the span section */
    s.may_power = s.may_clear = false;
    tick(&s, 0);
    assert_false(track_all_dead(&s.setup, &s.state, &s.inputs, &where)); /* told so just now */
    tick(&s, s.setup.proof_limit_us);
    assert_true(track_all_signals_at_stop(&s.setup, &s.state, &s.inputs, &where));
    assert_true(track_all_dead(&s.setup, &s.state, &s.inputs, &where));
}

static void every_reading_that_the_setup_has_must_be_there(void **state) {
    (void)state;
    static const struct {
        size_t reading, part; /* in struct bridge_inputs, struct bridge_setup */
    } cases[] = {
#define AT_END(reading, part)                                                                      \
    {offsetof(struct bridge_inputs, track[0].end[0].reading),                                      \
     offsetof(struct bridge_setup, track[0].end[0].part)},                                         \
        {offsetof(struct bridge_inputs, track[0].end[1].reading),                                  \
         offsetof(struct bridge_setup, track[0].end[1].part)}
        AT_END(approach_clear, has_approach_detector),
        AT_END(standing, has_standing_detector),
        AT_END(stop_clear, has_stop_detector),
        AT_END(signal_at_stop, has_signal_proof),
        AT_END(stop_dead, has_stop_power_proof),
#undef AT_END
        {offsetof(struct bridge_inputs, track[0].span_clear),
         offsetof(struct bridge_setup, track[0].has_span_detector)},
        {offsetof(struct bridge_inputs, track[0].span_dead),
         offsetof(struct bridge_setup, track[0].has_span_power_proof)},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct scene s = lined(1);
        assert_true(track_inputs_known(&s.setup, &s.state, &s.inputs));
        *core_level_at(&s.inputs, cases[i].reading) = LEVEL_UNKNOWN;
        assert_false(track_inputs_known(&s.setup, &s.state, &s.inputs));
        *(bool *)((char *)&s.setup + cases[i].part) = false;
        assert_true(track_inputs_known(&s.setup, &s.state, &s.inputs));
    }
}

/* ---- proofs that fail */

static void proof_that_does_not_come_in_time_is_a_failure(void **state) {
    (void)state;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        struct scene s = lined(1); /* proof limit 2 s */
        s.may_power = s.may_clear = false;
        tick(&s, 0);
        s.inputs.track[0].end[e].signal_at_stop = LEVEL_OFF;
        s.inputs.track[0].end[e].stop_dead = LEVEL_UNKNOWN;
        track_observe(&s.setup, &s.state, &s.inputs,
                      lapse_of(60 * SECOND_US, 0)); /* seen now first */
        track_observe(&s.setup, &s.state, &s.inputs, lapse_of(1999999, 0));
        assert_false(track_signal_failed(&s.setup, &s.state));
        assert_false(track_power_failed(&s.setup, &s.state));
        assert_int_equal(track_wake_us(&s.setup, &s.state), 1);
        track_observe(&s.setup, &s.state, &s.inputs, lapse_of(1, 0));
        assert_true(track_signal_failed(&s.setup, &s.state));
        assert_true(track_power_failed(&s.setup, &s.state));
        tick(&s, 0); /* proved: no longer */
        tick(&s, 0);
        assert_false(track_signal_failed(&s.setup, &s.state));
        assert_false(track_power_failed(&s.setup, &s.state));
    }
}

static void span_section_not_proved_dead_is_a_failure(void **state) {
    (void)state;
    struct scene s = lined(2);
    s.may_power = s.may_clear = false;
    tick(&s, 0);
    s.inputs.track[1].span_dead = LEVEL_OFF;
    track_observe(&s.setup, &s.state, &s.inputs, lapse_of(0, 0));
    assert_int_equal(track_wake_us(&s.setup, &s.state), 2 * SECOND_US);
    track_observe(&s.setup, &s.state, &s.inputs, lapse_of(2 * SECOND_US, 0));
    assert_true(track_power_failed(&s.setup, &s.state));
}

static void nothing_is_proved_dead_or_at_stop_while_it_need_not_be(void **state) {
    (void)state;
    struct scene s = lined(1); /* powered, at proceed */
    for (unsigned i = 0; i < 10; i++) {
        tick(&s, 10 * SECOND_US);
    }
    assert_false(track_signal_failed(&s.setup, &s.state));
    assert_false(track_power_failed(&s.setup, &s.state));
    s.setup.track[0].end[0].has_signal_proof = false;
    s.setup.track[0].end[0].has_stop_power_proof = false;
    s.setup.track[0].has_span_power_proof = false;
    s.may_power = s.may_clear = false;
    for (unsigned i = 0; i < 10; i++) {
        tick(&s, 10 * SECOND_US);
        s.inputs.track[0].end[0].signal_at_stop = LEVEL_OFF; /* absent: not looked at */
        s.inputs.track[0].end[0].stop_dead = LEVEL_OFF;
        s.inputs.track[0].span_dead = LEVEL_OFF;
    }
    assert_false(track_signal_failed(&s.setup, &s.state));
    assert_false(track_power_failed(&s.setup, &s.state));
}

static void quiet_track_needs_no_waking(void **state) {
    (void)state;
    struct scene s = lined(1);
    assert_int_equal(track_wake_us(&s.setup, &s.state), UINT32_MAX);
}

/* Each timer of each end alone wakes. */
static void every_timer_wakes(void **state) {
    (void)state;
    static const size_t timers[] = {
        offsetof(struct track_state, end[0].approach_lock_us),
        offsetof(struct track_state, end[1].approach_clear.left_us),
        offsetof(struct track_state, end[0].stop_clear.left_us),
        offsetof(struct track_state, end[1].signal_unproved.left_us),
        offsetof(struct track_state, end[0].power_unproved.left_us),
        offsetof(struct track_state, end[1].told_stop.left_us),
        offsetof(struct track_state, end[0].told_off.left_us),
        offsetof(struct track_state, told_off.left_us),
        offsetof(struct track_state, span_clear.left_us),
        offsetof(struct track_state, power_unproved.left_us),
    };
    for (size_t i = 0; i < sizeof timers / sizeof timers[0]; i++) {
        struct scene s = lined(2);
        *(uint32_t *)((char *)&s.state.track[1] + timers[i]) = 77;
        assert_int_equal(track_wake_us(&s.setup, &s.state), 77);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(signal_follows_power_by_one_step),
        cmocka_unit_test(signal_falls_with_each_power_of_its_track),
        cmocka_unit_test(both_leaves_of_the_interlock_are_needed),
        cmocka_unit_test(signal_falls_with_each_condition_of_its_track),
        cmocka_unit_test(proofs_and_detectors_that_are_absent_hold_nothing),
        cmocka_unit_test(signal_shows_proceed_only_where_it_is_wanted),
        cmocka_unit_test(end_that_no_train_comes_from_is_never_fed_nor_asked),
        cmocka_unit_test(section_is_clear_only_after_it_has_been_seen_so_long_enough),
        cmocka_unit_test(signal_put_to_stop_in_the_face_of_a_train_holds_the_bridge_for_its_time),
        cmocka_unit_test(train_seen_to_stand_releases_before_the_time),
        cmocka_unit_test(clear_approach_releases_at_once_and_a_later_train_does_not_lock),
        cmocka_unit_test(later_train_does_not_restart_the_time),
        cmocka_unit_test(flicker_of_the_approach_detector_does_not_release),
        cmocka_unit_test(approach_without_detector_counts_as_occupied),
        cmocka_unit_test(train_that_comes_before_the_signal_is_known_at_stop_locks),
        cmocka_unit_test(signal_without_a_proof_settles_and_locks_until_then),
        cmocka_unit_test(section_without_a_proof_is_dead_only_once_it_has_been_off_for_long),
        cmocka_unit_test(what_counts_by_time_counts_anew_after_a_lost_device),
        cmocka_unit_test(proceed_that_is_meant_does_not_lock),
        cmocka_unit_test(each_end_locks_for_its_own_time),
        cmocka_unit_test(start_begins_with_the_lock_of_every_used_end),
        cmocka_unit_test(span_section_of_every_track_counts),
        cmocka_unit_test(train_in_one_approach_puts_the_other_signal_to_stop),
        cmocka_unit_test(of_two_trains_who_had_the_signal_keeps_it),
        cmocka_unit_test(train_whose_signal_is_kept_at_stop_claims_nothing),
        cmocka_unit_test(each_question_names_the_first_place_where_it_fails),
        cmocka_unit_test(own_outputs_count_without_any_proof),
        cmocka_unit_test(every_reading_that_the_setup_has_must_be_there),
        cmocka_unit_test(proof_that_does_not_come_in_time_is_a_failure),
        cmocka_unit_test(span_section_not_proved_dead_is_a_failure),
        cmocka_unit_test(nothing_is_proved_dead_or_at_stop_while_it_need_not_be),
        cmocka_unit_test(quiet_track_needs_no_waking),
        cmocka_unit_test(every_timer_wakes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
