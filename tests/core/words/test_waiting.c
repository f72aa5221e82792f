/* What the bridge says it waits for, and where: words for people, so they must be true. */
#include "core/bridge.h"
#include "support/check.h"
#include "support/core/core_parts.h"
#include "support/core/puppet.h"

static struct bridge_waiting waiting(const struct puppet *p) {
    return bridge_waiting(&p->setup, &p->state, &p->inputs);
}

static void assert_waits(const struct puppet *p, enum bridge_wait what, unsigned track,
                         unsigned end) {
    struct bridge_waiting wait = waiting(p);
    assert_int_equal(wait.what, what);
    assert_int_equal(wait.track, track);
    assert_int_equal(wait.end, end);
}

static void each_phase_waits_for_its_own(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase;
        enum bridge_wait want;
    } cases[] = {
        {PHASE_UNPROVED, WAIT_PLACE},
        {PHASE_LINED, WAIT_NONE},
        {PHASE_CUTTING, WAIT_POWER_PROOF},
        {PHASE_WARNING, WAIT_WARNING},
        {PHASE_UNLOCKING, WAIT_LOCK_WITHDRAWN},
        {PHASE_RAISING, WAIT_TRAVEL},
        {PHASE_OPEN, WAIT_NONE},
        {PHASE_LOWERING, WAIT_TRAVEL},
        {PHASE_SEATING, WAIT_SEATED},
        {PHASE_LOCKING, WAIT_LOCKED},
        {PHASE_PROVING, WAIT_RAILS},
        {PHASE_HELD, WAIT_REQUEST},
        {PHASE_FAULT, WAIT_ACKNOWLEDGMENT},
    };
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p;
        puppet_start_in(&p, &setup, cases[i].phase);
        assert_waits(&p, cases[i].want, 0, 0);
    }
}

/* Nothing drives the lock bar: a hand must, and must be told so. */
static void a_lock_without_a_drive_waits_for_a_hand(void **state) {
    (void)state;
    for (int is_hand_lifted = 0; is_hand_lifted <= 1; is_hand_lifted++) {
        struct bridge_setup setup = puppet_setup();
        struct puppet p;
        puppet_start_in(&p, &setup, PHASE_UNLOCKING);
        p.setup.has_lock_drive = false;
        p.setup.is_hand_lifted = is_hand_lifted;
        p.inputs.locked = LEVEL_ON;
        assert_waits(&p, WAIT_HAND_UNLOCK, 0, 0);
        p.inputs.locked = LEVEL_OFF;
        assert_waits(&p, is_hand_lifted ? WAIT_HAND_TRAVEL : WAIT_LOCK_WITHDRAWN, 0, 0);
        p.state.phase = PHASE_LOCKING;
        assert_waits(&p, WAIT_HAND_LOCK, 0, 0);
    }
}

/* Nor for a hand at it. */
static void a_span_without_a_bar_waits_for_none(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_UNLOCKING);
    p.setup.has_lock = p.setup.has_lock_drive = p.setup.has_locked = p.setup.has_withdrawn = false;
    assert_waits(&p, WAIT_TRAVEL, 0, 0);
    p.state.phase = PHASE_LOCKING;
    assert_waits(&p, WAIT_SEATED, 0, 0);
}

static void a_span_without_a_lift_waits_for_a_hand(void **state) {
    (void)state;
    static const enum bridge_phase phases[] = {PHASE_RAISING, PHASE_LOWERING};
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    for (size_t i = 0; i < sizeof phases / sizeof phases[0]; i++) {
        puppet_start_in(&p, &setup, phases[i]);
        p.setup.has_lock_drive = false;
        p.setup.is_hand_lifted = true;
        assert_waits(&p, WAIT_HAND_TRAVEL, 0, 0);
    }
}

/* Two tracks, of which the second is the one that delays. */
static struct puppet clearing(void) {
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    setup.tracks = 2;
    setup.track[1] = setup.track[0];
    puppet_line(&p, &setup);
    return p;
}

static void clearing_tells_what_delays_it_and_where(void **state) {
    (void)state;
    static const struct {
        size_t offset; /* of the level in struct bridge_inputs that is off */
        enum bridge_wait want;
        unsigned track, end;
    } cases[] = {
        {offsetof(struct bridge_inputs, track[1].end[0].signal_at_stop), WAIT_SIGNAL_PROOF, 1, 0},
        {offsetof(struct bridge_inputs, track[0].end[1].signal_at_stop), WAIT_SIGNAL_PROOF, 0, 1},
        {offsetof(struct bridge_inputs, track[1].span_clear), WAIT_SPAN_SECTION, 1, 0},
        {offsetof(struct bridge_inputs, track[1].end[1].stop_clear), WAIT_STOP_SECTION, 1, 1},
        {offsetof(struct bridge_inputs, track[1].end[1].approach_clear), WAIT_APPROACH_LOCK, 1, 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p = clearing();
        enum level *level = core_level_at(&p.inputs, cases[i].offset);
        *level = LEVEL_OFF;
        puppet_step(&p, REQUEST_RAISE, 0);
        *level = LEVEL_OFF; /* a feedback that the puppet has just mended */
        puppet_step(&p, REQUEST_NONE, 0);
        *level = LEVEL_OFF;
        assert_int_equal(p.state.phase, PHASE_CLEARING);
        assert_waits(&p, cases[i].want, cases[i].track, cases[i].end);
    }
}

static void clearing_with_nothing_left_to_wait_for_says_so(void **state) {
    (void)state;
    struct puppet p = clearing();
    puppet_step(&p, REQUEST_RAISE, 0);
    assert_int_equal(p.state.phase, PHASE_CLEARING);
    assert_waits(&p, WAIT_NONE, 0, 0);
}

static void proving_tells_a_signal_from_the_rails(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_PROVING);
    p.inputs.track[0].end[1].signal_at_stop = LEVEL_OFF;
    assert_waits(&p, WAIT_SIGNAL_PROOF, 0, 1);
}

static void cutting_tells_the_track_that_is_not_proved_dead(void **state) {
    (void)state;
    struct puppet p = clearing();
    puppet_step(&p, REQUEST_RAISE, 0);
    puppet_step(&p, REQUEST_NONE, 0);
    assert_int_equal(p.state.phase, PHASE_CUTTING);
    p.inputs.track[1].end[1].stop_dead = LEVEL_OFF;
    assert_waits(&p, WAIT_POWER_PROOF, 1, 1);
}

/* A blown fuse: the home signals stay at stop, and somebody must be told why. */
static void lined_tells_the_section_that_gets_no_power(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    assert_waits(&p, WAIT_NONE, 0, 0);
    p.inputs.track[0].end[1].stop_dead = LEVEL_ON;
    assert_waits(&p, WAIT_POWER, 0, 1);
    p.inputs.track[0].span_dead = LEVEL_ON;
    assert_waits(&p, WAIT_POWER, 0, 0);
    p.state.track[0].is_fresh = true; /* the power has come in this step */
    assert_waits(&p, WAIT_NONE, 0, 0);
    p.state.track[0].is_fresh = false;
    puppet_step(&p, REQUEST_POWER_OFF, 0);
    p.inputs.track[0].span_dead = LEVEL_ON;
    assert_waits(&p, WAIT_POWER_REQUEST, 0, 0); /* as asked: but no train can run */
    puppet_step(&p, REQUEST_POWER_ON, 0);
    assert_waits(&p, WAIT_NONE, 0, 0);
}

static void section_without_a_proof_is_not_said_to_lack_power(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    p.inputs.track[0].end[1].stop_dead = LEVEL_ON;
    p.setup.track[0].end[1].has_stop_power_proof = false;
    assert_waits(&p, WAIT_NONE, 0, 0);
    p.inputs.track[0].span_dead = LEVEL_ON;
    p.setup.track[0].has_span_power_proof = false;
    assert_waits(&p, WAIT_NONE, 0, 0);
}

static bool is_proceed(const struct puppet *p, unsigned end) {
    return p->outputs.track[0].end[end].signal_proceed;
}

/* Whoever has asked for proceed is told what it waits for, until it is there: a section that has
 * become clear is not believed to be for a while. */
static void lined_tells_what_a_signal_waits_for(void **state) {
    (void)state;
    static const struct {
        size_t offset; /* of the level in struct bridge_inputs that is off */
        enum bridge_wait want;
        unsigned end;
    } cases[] = {
        {offsetof(struct bridge_inputs, track[0].span_clear), WAIT_SPAN_SECTION, 0},
        {offsetof(struct bridge_inputs, track[0].end[0].stop_clear), WAIT_STOP_SECTION, 0},
        {offsetof(struct bridge_inputs, track[0].end[1].stop_clear), WAIT_STOP_SECTION, 1},
    };
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p;
        puppet_line(&p, &setup);
        assert_true(is_proceed(&p, 0) && is_proceed(&p, 1));
        enum level *level = core_level_at(&p.inputs, cases[i].offset);
        *level = LEVEL_OFF;
        puppet_step(&p, REQUEST_NONE, 1000);
        assert_waits(&p, cases[i].want, 0, cases[i].end);
        *level = LEVEL_ON;
        unsigned steps = 0;
        for (puppet_step(&p, REQUEST_NONE, 1000); !is_proceed(&p, 0); steps++) {
            assert_waits(&p, cases[i].want, 0, cases[i].end);
            puppet_step(&p, REQUEST_NONE, 1000);
        }
        assert_true(steps > 0);
        assert_waits(&p, WAIT_NONE, 0, 0);
    }
}

static void lined_tells_what_the_signal_of_the_only_end_waits_for(void **state) {
    (void)state;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        struct bridge_setup setup = puppet_setup();
        struct puppet p;
        setup.track[0].end[1 - e] = (struct track_end_setup){0};
        puppet_line(&p, &setup);
        p.inputs.track[0].span_clear = LEVEL_OFF;
        puppet_step(&p, REQUEST_NONE, 1000);
        assert_waits(&p, WAIT_SPAN_SECTION, 0, 0);
        puppet_line(&p, &setup);
        p.inputs.track[0].end[e].stop_clear = LEVEL_OFF;
        puppet_step(&p, REQUEST_NONE, 1000);
        assert_waits(&p, WAIT_STOP_SECTION, 0, e);
    }
}

/* Which everybody sees, and which goes on by itself. */
static void lined_does_not_tell_of_an_oncoming_train(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    p.inputs.track[0].end[0].approach_clear = LEVEL_OFF;
    puppet_step(&p, REQUEST_NONE, 1000);
    assert_true(is_proceed(&p, 0) && !is_proceed(&p, 1));
    assert_waits(&p, WAIT_NONE, 0, 0);
}

static void signal_that_nobody_wants_at_proceed_waits_for_nothing(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    setup.track[0].end[0].is_automatic = false;
    setup.track[0].end[1].is_automatic = false;
    puppet_line(&p, &setup);
    p.inputs.track[0].span_clear = LEVEL_OFF;
    puppet_step(&p, REQUEST_NONE, 1000);
    assert_false(is_proceed(&p, 0) || is_proceed(&p, 1));
    assert_waits(&p, WAIT_NONE, 0, 0);
    puppet_step(&p, REQUEST_SIGNAL_PROCEED, 1000); /* of the first end */
    assert_waits(&p, WAIT_SPAN_SECTION, 0, 0);
}

/* A bridge whose track comes from one side only: what is not there is neither waited for nor told,
 * whatever the state has in its place. */
static void end_that_is_not_in_use_waits_for_nothing(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    setup.track[0].end[0] = (struct track_end_setup){.is_used = false};
    puppet_line(&p, &setup);
    assert_true(is_proceed(&p, 1));
    struct watch clear = p.state.track[0].span_clear;
    p.state.track[0].end[0].is_proceed_wanted = true;
    p.state.track[0].span_clear = (struct watch){.is_running = false};
    assert_waits(&p, WAIT_NONE, 0, 0);
    p.state.track[0].end[0].is_proceed_wanted = false;
    p.state.track[0].span_clear = clear;
    p.inputs.track[0].end[1].stop_clear = LEVEL_OFF;
    puppet_step(&p, REQUEST_NONE, 1000);
    assert_false(is_proceed(&p, 1));
    assert_waits(&p, WAIT_STOP_SECTION, 0, 1);
}

static void a_number_that_is_no_phase_waits_for_nothing(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    for (unsigned phase = BRIDGE_PHASES; phase <= BRIDGE_PHASES + 1; phase++) {
        p.state.phase = (enum bridge_phase)phase;
        assert_waits(&p, WAIT_NONE, 0, 0);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_phase_waits_for_its_own),
        cmocka_unit_test(a_lock_without_a_drive_waits_for_a_hand),
        cmocka_unit_test(a_span_without_a_bar_waits_for_none),
        cmocka_unit_test(a_span_without_a_lift_waits_for_a_hand),
        cmocka_unit_test(clearing_tells_what_delays_it_and_where),
        cmocka_unit_test(clearing_with_nothing_left_to_wait_for_says_so),
        cmocka_unit_test(proving_tells_a_signal_from_the_rails),
        cmocka_unit_test(cutting_tells_the_track_that_is_not_proved_dead),
        cmocka_unit_test(lined_tells_the_section_that_gets_no_power),
        cmocka_unit_test(section_without_a_proof_is_not_said_to_lack_power),
        cmocka_unit_test(lined_tells_what_a_signal_waits_for),
        cmocka_unit_test(lined_tells_what_the_signal_of_the_only_end_waits_for),
        cmocka_unit_test(lined_does_not_tell_of_an_oncoming_train),
        cmocka_unit_test(signal_that_nobody_wants_at_proceed_waits_for_nothing),
        cmocka_unit_test(end_that_is_not_in_use_waits_for_nothing),
        cmocka_unit_test(a_number_that_is_no_phase_waits_for_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
