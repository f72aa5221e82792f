/* Tracks with sections that no detector watches: time, or a person's word, must stand for it. */
#include "core/unwatched.h"
#include "core/words/names.h"
#include "support/check.h"
#include "support/core/puppet.h"

enum { SECOND_US = 1000000, STEP_US = 10000, RUN_OUT_US = 40 * SECOND_US };

/* Approach detectors and proofs, and nothing on the sections. */
static struct bridge_setup sparse_setup(uint32_t run_out_us) {
    struct bridge_setup setup = puppet_setup();
    setup.track[0].has_span_detector = false;
    setup.track[0].end[0].has_stop_detector = setup.track[0].end[1].has_stop_detector = false;
    setup.track[0].run_out_us = run_out_us;
    return setup;
}

/* Lined, and asked to open: the next steps are clearing. */
static struct puppet asked(const struct bridge_setup *setup) {
    struct puppet p;
    puppet_line(&p, setup);
    assert_int_equal(puppet_ask(&p, REQUEST_RAISE, 0), ANSWER_GRANTED);
    return p;
}

static struct bridge_waiting waiting(const struct puppet *p) {
    return bridge_waiting(&p->setup, &p->state, &p->inputs);
}

static void stays_clearing(struct puppet *p, uint32_t time_us) {
    puppet_run_for(p, time_us);
    assert_int_equal(p->state.phase, PHASE_CLEARING);
}

/* ---- time */

static void train_that_no_detector_sees_runs_out_before_its_section_dies(void **state) {
    (void)state;
    /* The approach is clear; the train is on the stop section, 3.9 m from where its tail will have
     * left, and goes 0.1 m/s for as long as there is power. */
    static const double way_m = 3.9, speed_m_s = 0.1;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    struct puppet p = asked(&setup);
    double gone_m = 0;
    for (unsigned i = 0; i < 12000 && p.state.phase != PHASE_OPEN; i++) {
        if (gone_m < way_m && (p.outputs.lock != LOCK_DRIVE_REST || p.outputs.lift_effort != 0)) {
            fail_msg("%s with a train on the bridge", bridge_phase_name(p.state.phase));
        }
        gone_m += p.outputs.track[0].span_power ? speed_m_s * STEP_US / 1e6 : 0;
        puppet_ask(&p, REQUEST_NONE, STEP_US);
    }
    assert_int_equal(p.state.phase, PHASE_OPEN);
    assert_true(gone_m >= way_m);
}

static void each_missing_detector_alone_makes_the_opening_wait(void **state) {
    (void)state;
    for (unsigned missing = 0; missing < 3; missing++) {
        struct bridge_setup setup = puppet_setup();
        setup.track[0].run_out_us = RUN_OUT_US;
        assert_false(unwatched_is(&setup.track[0]));
        bool *const detectors[] = {&setup.track[0].end[0].has_stop_detector,
                                   &setup.track[0].end[1].has_stop_detector,
                                   &setup.track[0].has_span_detector};
        *detectors[missing] = false;
        assert_true(unwatched_is(&setup.track[0]));
        struct puppet p = asked(&setup);
        assert_int_equal(waiting(&p).what, WAIT_RUN_OUT);
        stays_clearing(&p, RUN_OUT_US - STEP_US);
        assert_true(puppet_run_to(&p, PHASE_WARNING, 2 * STEP_US));
    }
}

static void end_that_no_train_comes_from_needs_no_detector(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    setup.track[0].end[1] = (struct track_end_setup){0};
    assert_false(unwatched_is(&setup.track[0]));
    struct puppet p = asked(&setup);
    assert_int_equal(p.state.phase, PHASE_WARNING);
}

static void time_begins_once_every_signal_is_believed_at_stop(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    struct puppet p = asked(&setup);
    puppet_run_for(&p, RUN_OUT_US / 2);
    p.inputs.track[0].end[1].signal_at_stop = LEVEL_OFF; /* for one look */
    p.is_frozen = true;
    puppet_ask(&p, REQUEST_NONE, STEP_US);
    assert_int_equal(p.state.track[0].run_out.left_us, 0);
    assert_false(p.state.track[0].run_out.is_running);
    p.inputs.track[0].end[1].signal_at_stop = LEVEL_ON;
    p.is_frozen = false;
    puppet_ask(&p, REQUEST_NONE, STEP_US);
    stays_clearing(&p, RUN_OUT_US - STEP_US);
    assert_true(puppet_run_to(&p, PHASE_WARNING, 2 * STEP_US));
}

/* What has been counted stays while there is no power, and no more is: nothing leaves. */
static void time_without_power_neither_counts_nor_is_lost(void **state) {
    (void)state;
    static const size_t proofs[] = {
        offsetof(struct bridge_inputs, track[0].span_dead),
        offsetof(struct bridge_inputs, track[0].end[0].stop_dead),
        offsetof(struct bridge_inputs, track[0].end[1].stop_dead),
    };
    for (size_t i = 0; i < sizeof proofs / sizeof proofs[0]; i++) {
        struct bridge_setup setup = sparse_setup(RUN_OUT_US);
        struct puppet p = asked(&setup);
        puppet_run_for(&p, RUN_OUT_US / 4);
        uint32_t left_us = p.state.track[0].run_out.left_us;
        p.is_frozen = true;
        *(enum level *)((char *)&p.inputs + proofs[i]) = LEVEL_ON; /* a fuse */
        puppet_run_for(&p, RUN_OUT_US);
        assert_int_equal(p.state.phase, PHASE_CLEARING);
        assert_int_equal(p.state.track[0].run_out.left_us, left_us);
        assert_int_equal(waiting(&p).what, WAIT_SEEN_CLEAR);
        p.is_frozen = false;
        *(enum level *)((char *)&p.inputs + proofs[i]) = LEVEL_OFF;
        puppet_ask(&p, REQUEST_NONE, STEP_US); /* power again: the pause does not count */
        assert_int_equal(p.state.track[0].run_out.left_us, left_us);
        assert_int_equal(waiting(&p).what, WAIT_RUN_OUT);
        assert_true(puppet_run_to(&p, PHASE_WARNING, left_us));
    }
}

static void power_that_is_switched_off_meanwhile_leaves_it_to_the_word(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    struct puppet p = asked(&setup);
    puppet_run_for(&p, RUN_OUT_US / 4);
    puppet_ask(&p, REQUEST_POWER_OFF, 0);
    stays_clearing(&p, RUN_OUT_US);
    assert_int_equal(waiting(&p).what, WAIT_SEEN_CLEAR);
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_GRANTED);
    assert_int_equal(p.state.phase, PHASE_WARNING);
}

/* It has been counted for this opening: any power outside clearing may have let a train in. */
static void next_opening_counts_anew(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    struct puppet p = asked(&setup);
    assert_true(puppet_run_to(&p, PHASE_OPEN, 400 * (uint64_t)SECOND_US));
    assert_int_equal(puppet_ask(&p, REQUEST_LOWER, 0), ANSWER_GRANTED);
    assert_int_equal(p.state.phase, PHASE_WARNING); /* still the same opening */
    assert_true(puppet_run_to(&p, PHASE_LINED, 400 * (uint64_t)SECOND_US));
    puppet_ask(&p, REQUEST_SIGNAL_STOP, 0);
    puppet_run_for(&p, RUN_OUT_US);
    puppet_ask(&p, REQUEST_RAISE, 0);
    stays_clearing(&p, RUN_OUT_US - STEP_US);
}

static void stop_while_clearing_counts_anew_too(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    struct puppet p = asked(&setup);
    puppet_run_for(&p, RUN_OUT_US - SECOND_US);
    puppet_ask(&p, REQUEST_STOP, 0);
    assert_true(p.outputs.track[0].span_power); /* a hand may drive in */
    puppet_run_for(&p, STEP_US);
    puppet_ask(&p, REQUEST_RAISE, 0);
    stays_clearing(&p, RUN_OUT_US - STEP_US);
}

static void lost_device_counts_anew(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    struct puppet p = asked(&setup);
    assert_true(puppet_run_to(&p, PHASE_OPEN, 400 * (uint64_t)SECOND_US));
    p.inputs.is_device_lost = true;
    puppet_ask(&p, REQUEST_NONE, STEP_US);
    assert_false(watch_has_expired(&p.state.track[0].run_out));
}

/* The time says that every train has left, and yet there is one. */
static void train_seen_after_the_time_refutes_it(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    setup.track[0].has_span_detector = true;
    struct puppet p = asked(&setup);
    puppet_run_for(&p, RUN_OUT_US / 2);
    p.inputs.track[0].span_clear = LEVEL_OFF; /* on its way out */
    puppet_ask(&p, REQUEST_NONE, STEP_US);
    assert_true(p.state.track[0].run_out.left_us <= RUN_OUT_US / 2);
    p.inputs.track[0].span_clear = LEVEL_ON;
    assert_true(puppet_run_to(&p, PHASE_WARNING, RUN_OUT_US / 2 + SECOND_US));
    p.inputs.track[0].span_clear = LEVEL_OFF; /* out of nowhere */
    puppet_ask(&p, REQUEST_NONE, STEP_US);
    p.inputs.track[0].span_clear = LEVEL_ON;
    stays_clearing(&p, RUN_OUT_US);
    assert_int_equal(waiting(&p).what, WAIT_SEEN_CLEAR);
}

/* It leaves the approach, with its signal at stop, a second before the time is over. */
static struct puppet overrun(const struct bridge_setup *setup) {
    struct puppet p = asked(setup);
    puppet_run_for(&p, RUN_OUT_US / 2);
    p.inputs.track[0].end[1].approach_clear = LEVEL_OFF;
    puppet_run_for(&p, RUN_OUT_US / 2 - SECOND_US);
    assert_int_equal(p.state.phase, PHASE_CLEARING);
    p.inputs.track[0].end[1].approach_clear = LEVEL_ON;
    puppet_ask(&p, REQUEST_NONE, STEP_US);
    return p;
}

static void train_that_runs_past_its_signal_begins_the_time_anew(void **state) {
    (void)state;
    for (uint32_t clear_us = 0; clear_us <= 5 * SECOND_US; clear_us += 5 * SECOND_US) {
        struct bridge_setup setup = sparse_setup(RUN_OUT_US);
        setup.clear_us = clear_us;
        struct puppet p = overrun(&setup);
        assert_int_equal(waiting(&p).what, WAIT_RUN_OUT); /* not for a person, though none runs */
        stays_clearing(&p, RUN_OUT_US + clear_us - STEP_US);
        assert_true(puppet_run_to(&p, PHASE_WARNING, 2 * STEP_US));
    }
}

/* Its detector may flicker meanwhile, or another one follow it at once. */
static void train_behind_it_does_not_hide_that(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    struct puppet p = overrun(&setup);
    p.inputs.track[0].end[1].approach_clear = LEVEL_OFF;
    stays_clearing(&p, RUN_OUT_US - STEP_US);
    assert_true(puppet_run_to(&p, PHASE_WARNING, 3 * STEP_US));
}

/* What is dead already holds that train. */
static void approach_that_is_left_without_power_refutes_nothing(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    struct puppet p = asked(&setup);
    assert_true(puppet_run_to(&p, PHASE_WARNING, 2 * (uint64_t)RUN_OUT_US));
    p.inputs.track[0].end[1].approach_clear = LEVEL_OFF;
    puppet_run_for(&p, SECOND_US);
    p.inputs.track[0].end[1].approach_clear = LEVEL_ON;
    assert_true(puppet_run_to(&p, PHASE_OPEN, 400 * (uint64_t)SECOND_US));
}

/* ---- a person's word */

static void without_a_time_nothing_but_the_word_opens(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(0);
    struct puppet p = asked(&setup);
    assert_int_equal(waiting(&p).what, WAIT_SEEN_CLEAR);
    stays_clearing(&p, setup.clearing_limit_us - SECOND_US);
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_GRANTED);
    assert_int_equal(p.state.phase, PHASE_WARNING); /* in the step in which it is given */
    assert_true(puppet_run_to(&p, PHASE_OPEN, 400 * (uint64_t)SECOND_US));
    assert_int_equal(puppet_ask(&p, REQUEST_LOWER, 0), ANSWER_GRANTED);
    assert_true(puppet_run_to(&p, PHASE_LINED, 400 * (uint64_t)SECOND_US));
    assert_int_equal(p.state.seen_clear_left_us, 0);
    puppet_ask(&p, REQUEST_RAISE, 0); /* one word, one opening */
    assert_int_equal(waiting(&p).what, WAIT_SEEN_CLEAR);
}

static void word_holds_for_its_seconds_and_no_longer(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(0);
    for (int early = 0; early <= 1; early++) {
        struct puppet p = asked(&setup);
        p.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
        puppet_ask(&p, REQUEST_STOP, 0);
        assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_GRANTED);
        puppet_run_for(&p, SEEN_CLEAR_US - (early ? STEP_US : 0));
        puppet_ask(&p, REQUEST_RAISE, 0);
        assert_int_equal(p.state.phase, early ? PHASE_WARNING : PHASE_CLEARING);
    }
}

/* Given where the power is off it is kept as long as the signals stand at stop. */
static void word_for_a_dead_track_outlasts_its_seconds(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(0);
    struct puppet p = asked(&setup);
    puppet_ask(&p, REQUEST_SEEN_CLEAR, 0);
    assert_true(puppet_run_to(&p, PHASE_OPEN, 400 * (uint64_t)SECOND_US));
    puppet_run_for(&p, 2 * SEEN_CLEAR_US);
    assert_int_equal(p.state.seen_clear_left_us, 0);
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_ALREADY);
    puppet_ask(&p, REQUEST_LOWER, 0);
    assert_int_equal(p.state.phase, PHASE_WARNING);
}

static void open_span_after_a_start_comes_down_on_the_word(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    struct puppet p;
    puppet_start(&p, &setup);
    p.span_frac = 1;
    p.lock_frac = 0;
    assert_true(puppet_run_to(&p, PHASE_OPEN, SECOND_US));
    puppet_ask(&p, REQUEST_LOWER, 0);
    puppet_run_for(&p, 10 * SECOND_US); /* approach locking from the start */
    assert_int_equal(p.state.phase, PHASE_CLEARING);
    assert_int_equal(waiting(&p).what, WAIT_SEEN_CLEAR); /* no power: time does not count */
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_GRANTED);
    assert_true(puppet_run_to(&p, PHASE_LINED, 400 * (uint64_t)SECOND_US));
}

/* Lined again before its seconds are over, with every signal at stop, it is over. */
static void word_does_not_outlast_its_opening(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(0);
    setup.track[0].end[0].is_automatic = setup.track[0].end[1].is_automatic = false;
    struct puppet p = asked(&setup);
    puppet_ask(&p, REQUEST_STOP, 0);
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_GRANTED);
    puppet_ask(&p, REQUEST_LOWER, 0);
    assert_true(puppet_run_to(&p, PHASE_LINED, SECOND_US));
    puppet_ask(&p, REQUEST_RAISE, 0);
    stays_clearing(&p, SECOND_US);
}

/* Where the power stays off nothing else ends what it has said: a train that overruns its signal
 * meanwhile stands on a dead stop section, and nothing sees it. */
static void word_does_not_outlast_its_opening_without_power_either(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(0);
    for (int by_fault = 0; by_fault <= 1; by_fault++) {
        struct puppet p = asked(&setup);
        assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_GRANTED);
        assert_true(puppet_run_to(&p, PHASE_WARNING, (60 * SECOND_US)));
        puppet_ask(&p, by_fault ? REQUEST_EMERGENCY_STOP : REQUEST_POWER_OFF, 0);
        puppet_ask(&p, by_fault ? REQUEST_ACKNOWLEDGE : REQUEST_LOWER, STEP_US);
        assert_true(puppet_run_to(&p, PHASE_LINED, (60 * SECOND_US)));
        puppet_run_for(&p, (60 * SECOND_US));
        puppet_ask(&p, REQUEST_RAISE, 0);
        stays_clearing(&p, (60 * SECOND_US));
    }
}

static void word_is_kept_where_it_is_needed_and_the_power_is_off(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(0);
    setup.tracks = 3;
    setup.track[1] = setup.track[0];
    setup.track[2] = puppet_setup().track[0];
    struct bridge_state bridge = {.seen_clear_left_us = 1};
    bridge.track[1].is_powered = true;
    unwatched_command(&setup, &bridge);
    assert_true(watch_has_expired(&bridge.track[0].run_out));
    assert_false(watch_has_expired(&bridge.track[1].run_out));
    assert_false(watch_has_expired(&bridge.track[2].run_out));
}

static void word_is_taken_only_where_it_is_wanted(void **state) {
    (void)state;
    struct bridge_setup sparse = sparse_setup(0);
    struct bridge_setup watched = puppet_setup();
    for (enum bridge_phase phase = 0; phase < BRIDGE_PHASES; phase++) {
        enum bridge_answer here = ANSWER_NOT_WANTED;
        if (phase == PHASE_CLEARING) {
            here = ANSWER_GRANTED;
        } else if (phase == PHASE_UNPROVED || phase == PHASE_FAULT) {
            here = phase == PHASE_FAULT ? ANSWER_FAULT : ANSWER_UNPROVED;
        } else if (phase != PHASE_LINED) { /* reached by the word of this opening */
            here = ANSWER_ALREADY;
        }
        struct puppet p;
        if (phase == PHASE_CLEARING) {
            p = asked(&sparse);
        } else if (phase == PHASE_UNPROVED || phase == PHASE_LINED || phase == PHASE_FAULT) {
            puppet_start_in(&p, &sparse, phase);
        } else {
            struct bridge_setup timed = sparse_setup(1);
            puppet_start_in(&p, &timed, phase);
        }
        assert_int_equal(puppet_step(&p, REQUEST_SEEN_CLEAR, 0), here);

        bool is_told_else = phase == PHASE_UNPROVED || phase == PHASE_FAULT;
        puppet_start_in(&p, &watched, phase);
        assert_int_equal(puppet_step(&p, REQUEST_SEEN_CLEAR, 0),
                         is_told_else ? here : ANSWER_ALREADY);
    }
}

/* A word is not a proof of what could be proved. */
static void word_is_refused_while_anything_that_can_be_seen_denies_it(void **state) {
    (void)state;
    for (unsigned what = 0; what < 4; what++) {
        struct bridge_setup setup = sparse_setup(0);
        setup.track[0].has_span_detector = what == 0;
        setup.track[0].end[1].has_stop_detector = what == 1;
        struct puppet p = asked(&setup);
        p.is_frozen = true;
        p.inputs.track[0].span_clear = what == 0 ? LEVEL_OFF : LEVEL_ON;
        p.inputs.track[0].end[1].stop_clear = what == 1 ? LEVEL_OFF : LEVEL_ON;
        p.inputs.track[0].end[0].signal_at_stop = what == 2 ? LEVEL_OFF : LEVEL_ON;
        p.state.track[0].end[0].approach_lock_us = what == 3 ? SECOND_US : 0;
        assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, STEP_US), ANSWER_NOT_SAFE);
        assert_int_equal(p.state.seen_clear_left_us, 0);
    }
}

static void word_lapses_with_what_it_rests_on(void **state) {
    (void)state;
    for (unsigned what = 0; what < 4; what++) {
        struct bridge_setup setup = sparse_setup(0);
        setup.track[0].has_span_detector = true;
        struct puppet p = asked(&setup);
        puppet_ask(&p, REQUEST_STOP, 0); /* with power, so that only the word is there */
        assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_GRANTED);
        p.is_frozen = true;
        puppet_ask(&p, REQUEST_NONE, STEP_US);
        assert_int_equal(p.state.seen_clear_left_us, SEEN_CLEAR_US - STEP_US);
        p.inputs.track[0].span_clear = what == 0 ? LEVEL_OFF : LEVEL_ON;
        p.inputs.track[0].end[0].signal_at_stop = what == 1 ? LEVEL_OFF : LEVEL_ON;
        p.inputs.is_device_lost = what == 2;
        puppet_ask(&p, what == 3 ? REQUEST_EMERGENCY_STOP : REQUEST_NONE, STEP_US);
        assert_int_equal(p.state.seen_clear_left_us, 0);
    }
}

/* ---- several tracks */

static void wait_names_the_track_that_needs_a_person_first(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    setup.tracks = 3;
    setup.track[1] = puppet_setup().track[0]; /* watched whole */
    setup.track[2] = setup.track[0];
    setup.track[2].run_out_us = 0;
    struct puppet p = asked(&setup);
    assert_int_equal(waiting(&p).what, WAIT_SEEN_CLEAR);
    assert_int_equal(waiting(&p).track, 2);
    setup.track[2].run_out_us = RUN_OUT_US / 2;
    p = asked(&setup);
    assert_int_equal(waiting(&p).what, WAIT_RUN_OUT);
    assert_int_equal(waiting(&p).track, 0);
    puppet_run_for(&p, RUN_OUT_US / 2 - STEP_US);
    assert_int_equal(unwatched_wake_us(&p.setup, &p.state), STEP_US);
    puppet_run_for(&p, STEP_US);
    assert_int_equal(unwatched_wake_us(&p.setup, &p.state), LOOK_PERIOD_US); /* for a word */
    puppet_run_for(&p, RUN_OUT_US / 2 - STEP_US);
    assert_int_equal(unwatched_wake_us(&p.setup, &p.state), STEP_US);
    assert_int_equal(puppet_ask(&p, REQUEST_SEEN_CLEAR, 0), ANSWER_GRANTED); /* for all of them */
    assert_int_equal(p.state.phase, PHASE_WARNING);
    assert_false(unwatched_will_time_do(&p.setup, &p.state, &p.inputs, 0)); /* no longer */
    assert_int_equal(unwatched_wake_us(&p.setup, &p.state), SEEN_CLEAR_US);
}

static void train_seen_on_another_track_refutes_nothing_here(void **state) {
    (void)state;
    struct bridge_setup setup = sparse_setup(RUN_OUT_US);
    setup.tracks = 2;
    setup.track[1] = puppet_setup().track[0];
    struct puppet p = asked(&setup);
    puppet_run_for(&p, RUN_OUT_US);
    assert_true(watch_has_expired(&p.state.track[0].run_out));
    p.inputs.track[1].end[1].stop_clear = LEVEL_OFF;
    puppet_ask(&p, REQUEST_NONE, STEP_US);
    assert_true(watch_has_expired(&p.state.track[0].run_out));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(train_that_no_detector_sees_runs_out_before_its_section_dies),
        cmocka_unit_test(each_missing_detector_alone_makes_the_opening_wait),
        cmocka_unit_test(end_that_no_train_comes_from_needs_no_detector),
        cmocka_unit_test(time_begins_once_every_signal_is_believed_at_stop),
        cmocka_unit_test(time_without_power_neither_counts_nor_is_lost),
        cmocka_unit_test(power_that_is_switched_off_meanwhile_leaves_it_to_the_word),
        cmocka_unit_test(next_opening_counts_anew),
        cmocka_unit_test(stop_while_clearing_counts_anew_too),
        cmocka_unit_test(lost_device_counts_anew),
        cmocka_unit_test(train_seen_after_the_time_refutes_it),
        cmocka_unit_test(train_that_runs_past_its_signal_begins_the_time_anew),
        cmocka_unit_test(train_behind_it_does_not_hide_that),
        cmocka_unit_test(approach_that_is_left_without_power_refutes_nothing),
        cmocka_unit_test(without_a_time_nothing_but_the_word_opens),
        cmocka_unit_test(word_holds_for_its_seconds_and_no_longer),
        cmocka_unit_test(word_for_a_dead_track_outlasts_its_seconds),
        cmocka_unit_test(open_span_after_a_start_comes_down_on_the_word),
        cmocka_unit_test(word_does_not_outlast_its_opening),
        cmocka_unit_test(word_does_not_outlast_its_opening_without_power_either),
        cmocka_unit_test(word_is_kept_where_it_is_needed_and_the_power_is_off),
        cmocka_unit_test(word_is_taken_only_where_it_is_wanted),
        cmocka_unit_test(word_is_refused_while_anything_that_can_be_seen_denies_it),
        cmocka_unit_test(word_lapses_with_what_it_rests_on),
        cmocka_unit_test(wait_names_the_track_that_needs_a_person_first),
        cmocka_unit_test(train_seen_on_another_track_refutes_nothing_here),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
