/* What each request is answered in each phase, and where it leads. */
#include "core/asking.h"
#include "core/bridge.h"
#include "core/words/names.h"
#include "support/check.h"
#include "support/core/puppet.h"

#include <string.h>

/* The phases as columns, in the order of enum bridge_phase: Unproved, Lined, Clearing, cutting,
 * Warning, unlocking, Raising, Open, lowering, Seating, locking, Proving, Held, Fault. */
static const char columns[] = "ULCcWuROlSkPHF";

static const char answer_letters[] = {
    [ANSWER_GRANTED] = 'g',  [ANSWER_ALREADY] = 'a',   [ANSWER_NO_SUCH] = '?',
    [ANSWER_FAULT] = 'f',    [ANSWER_UNPROVED] = 'u',  [ANSWER_NOT_LINED] = 'n',
    [ANSWER_NONE] = '-',     [ANSWER_POWER_OFF] = 'p', [ANSWER_CAUSE_STANDS] = 's',
    [ANSWER_NOT_HELD] = 'h', [ANSWER_NOT_SAFE] = 'x',  [ANSWER_NOT_WANTED] = 'w',
    [ANSWER_LET_GO] = 'l',   [ANSWER_TOO_OLD] = 'o',
};

struct row {
    enum bridge_request_kind kind;
    const char *answers; /* per phase, by the letters above */
    const char *phases;  /* where the request itself leads; '=': stays */
};

/* In the upward phases on the way up, from lowering on on the way down; raising has just begun and
 * the span is on its seat yet; held is mid travel. */
static const struct row powered[] = {
    /*                        ULCcWuROlSkPHF    ULCcWuROlSkPHF */
    {REQUEST_NONE, /*      */ "--------------", "=============="},
    {REQUEST_RAISE, /*     */ "ugaaaaaagggggf", "=C======CCCCC="},
    {REQUEST_LOWER, /*     */ "uaggggggaaaagf", "==kkkkk=====C="},
    {REQUEST_STOP, /*      */ "aagggggagggaaa", "==HHHHH=HHH==="},
    {REQUEST_JOG_UP, /*    */ "uhhhhhhahhhhgf", "=============="},
    {REQUEST_JOG_DOWN, /*  */ "uhhhhhhghhhhgf", "=======H======"},
    {REQUEST_THROTTLE_UP, /**/ "ugaaaaaagggggf", "=C======CCCCC="},
    {REQUEST_THROTTLE_DOWN, "uaggggggaaaagf", "==kkkkk=====C="},
    {REQUEST_THROTTLE_HOLD, "llllllllllllll", "=============="},
    {REQUEST_EMERGENCY_STOP, "ggggggggggggga", "FFFFFFFFFFFFF="},
    {REQUEST_ACKNOWLEDGE, /**/ "aaaaaaaaaaaaag", "=============U"},
    {REQUEST_SIGNAL_STOP, /**/ "gggggggggggggg", "=============="},
    {REQUEST_SIGNAL_PROCEED, "uannnnnnnnnnnf", "=============="},
    {REQUEST_POWER_OFF, /* */ "ggggggggggggga", "=============="},
    {REQUEST_POWER_ON, /*  */ "uannnnnnnnnnnf", "=============="},
    {REQUEST_HORN_ON, /*   */ "gggggggggggggg", "=============="},
    {REQUEST_HORN_OFF, /*  */ "aaaaaaaaaaaaaa", "=============="},
};

static enum bridge_answer ask_alone(struct puppet *p, enum bridge_request_kind kind) {
    struct bridge_request request = {.kind = kind, .share = 0.5};
    struct sight sight = interlock_look(&p->setup, &p->state, &p->inputs);
    enum bridge_fault standing = interlock_standing_fault(&p->setup, &p->state, &p->inputs, &sight);
    return asking_step(&p->setup, &p->state, &request, &sight, standing);
}

static enum bridge_phase phase_of(char letter) {
    return (enum bridge_phase)(strchr(columns, letter) - columns);
}

static void assert_row(const struct row *row, struct puppet *p, unsigned phase) {
    enum bridge_answer answer = ask_alone(p, row->kind);
    enum bridge_phase want =
        row->phases[phase] == '=' ? (enum bridge_phase)phase : phase_of(row->phases[phase]);
    if (answer_letters[answer] != row->answers[phase] || p->state.phase != want) {
        fail_msg("request %d in %s: answered %c, now %s", row->kind,
                 bridge_phase_name((enum bridge_phase)phase), answer_letters[answer],
                 bridge_phase_name(p->state.phase));
    }
}

static void each_request_is_answered_in_each_phase(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    for (unsigned phase = 0; phase < BRIDGE_PHASES; phase++) {
        struct puppet there;
        puppet_start_in(&there, &setup, (enum bridge_phase)phase);
        for (size_t i = 0; i < sizeof powered / sizeof powered[0]; i++) {
            struct puppet p = there;
            assert_row(&powered[i], &p, phase);
        }
    }
}

/* A gate: the hand moves it, whatever is asked; seating and held it never is. */
static const struct row by_hand[] = {
    /*                        ULCcWuROlSkPHF    ULCcWuROlSkPHF */
    {REQUEST_RAISE, /*     */ "ugaaaaaaa gg f", "=C======= CC ="},
    {REQUEST_LOWER, /*     */ "uaggggggg aa f", "==kkkk=== == ="},
    {REQUEST_STOP, /*      */ "aaaaaaaaa aa a", "========= == ="},
    {REQUEST_JOG_UP, /*    */ "????????? ?? ?", "========= == ="},
    {REQUEST_JOG_DOWN, /*  */ "????????? ?? ?", "========= == ="},
    {REQUEST_THROTTLE_UP, /**/ "????????? ?? ?", "========= == ="},
    {REQUEST_THROTTLE_HOLD, "lllllllll ll l", "========= == ="},
    {REQUEST_EMERGENCY_STOP, "ggggggggg gg a", "FFFFFFFFF FF ="},
    {REQUEST_ACKNOWLEDGE, /**/ "aaaaaaaaa aa g", "========= == U"},
    {REQUEST_SIGNAL_PROCEED, "uannnnnnn nn f", "========= == ="},
    {REQUEST_POWER_ON, /*  */ "uannnnnnn nn f", "========= == ="},
};

static void each_request_of_a_gate_is_answered_in_each_phase(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_hand_setup();
    for (unsigned phase = 0; phase < BRIDGE_PHASES; phase++) {
        for (size_t i = 0; i < sizeof by_hand / sizeof by_hand[0]; i++) {
            if (by_hand[i].answers[phase] == ' ') {
                continue;
            }
            struct puppet p;
            puppet_line(&p, &setup);
            p.state.phase = (enum bridge_phase)phase;
            bool is_asked = phase >= PHASE_CLEARING && phase <= PHASE_WARNING;
            p.state.goal = is_asked ? GOAL_UP : GOAL_NONE;
            bool is_off = phase >= PHASE_RAISING && phase <= PHASE_LOWERING;
            p.state.contacts.seated.believed = is_off ? LEVEL_OFF : LEVEL_ON;
            p.state.contacts.locked.believed = is_off ? LEVEL_OFF : LEVEL_ON;
            assert_row(&by_hand[i], &p, phase);
        }
    }
}

static void gate_that_should_come_down_is_called_by_the_horn(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_hand_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    p.state.phase = PHASE_OPEN;
    p.state.contacts.seated.believed = p.state.contacts.locked.believed = LEVEL_OFF;
    assert_int_equal(ask_alone(&p, REQUEST_LOWER), ANSWER_GRANTED);
    assert_int_equal(p.state.horn.signal, HORN_CLOSING);
    assert_int_equal(p.state.goal, GOAL_NONE);
}

static void request_to_move_sets_the_goal_and_silences_the_horn(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase from;
        enum bridge_request_kind kind;
        enum bridge_goal want;
    } cases[] = {
        {PHASE_LINED, REQUEST_RAISE, GOAL_UP},     {PHASE_LOWERING, REQUEST_RAISE, GOAL_UP},
        {PHASE_WARNING, REQUEST_LOWER, GOAL_DOWN}, {PHASE_OPEN, REQUEST_LOWER, GOAL_DOWN},
        {PHASE_HELD, REQUEST_LOWER, GOAL_DOWN},    {PHASE_WARNING, REQUEST_STOP, GOAL_NONE},
    };
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct puppet p;
        puppet_start_in(&p, &setup, cases[i].from);
        p.state.has_given_up = true;
        assert_int_equal(ask_alone(&p, cases[i].kind), ANSWER_GRANTED);
        assert_int_equal(p.state.goal, cases[i].want);
        assert_int_equal(p.state.horn.signal, HORN_SILENT);
        assert_int_equal(p.state.has_given_up, p.state.phase != PHASE_CLEARING);
    }
}

static void raise_turns_an_open_bridge_back_that_was_to_be_lowered(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_OPEN);
    ask_alone(&p, REQUEST_LOWER);
    assert_int_equal(p.state.phase, PHASE_OPEN);
    assert_int_equal(ask_alone(&p, REQUEST_RAISE), ANSWER_GRANTED);
    assert_int_equal(p.state.goal, GOAL_UP);

    puppet_start_in(&p, &setup, PHASE_OPEN);
    puppet_ask(&p, REQUEST_LOWER, 0);
    assert_true(p.outputs.horn);
    puppet_step(&p, REQUEST_RAISE, 0);
    assert_false(p.outputs.horn);
}

static void asking_twice_changes_nothing_more(void **state) {
    (void)state;
    static const enum bridge_request_kind kinds[] = {
        REQUEST_RAISE,     REQUEST_EMERGENCY_STOP, REQUEST_SIGNAL_STOP,
        REQUEST_POWER_OFF, REQUEST_HORN_ON,        REQUEST_ACKNOWLEDGE,
    };
    struct bridge_setup setup = puppet_setup();
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        struct puppet p;
        puppet_line(&p, &setup);
        ask_alone(&p, kinds[i]);
        assert_int_equal(ask_alone(&p, kinds[i]), ANSWER_ALREADY);
    }
}

static void horn_is_switched_by_request(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    puppet_step(&p, REQUEST_HORN_ON, 0);
    assert_true(p.outputs.horn);
    assert_int_equal(ask_alone(&p, REQUEST_HORN_OFF), ANSWER_GRANTED);
    puppet_step(&p, REQUEST_NONE, 0);
    assert_false(p.outputs.horn);
}

static void signal_that_is_not_there_is_refused(void **state) {
    (void)state;
    static const struct bridge_request cases[] = {
        {.kind = REQUEST_SIGNAL_STOP, .track = 1, .end = 0},
        {.kind = REQUEST_SIGNAL_STOP, .track = UINT32_MAX, .end = 0},
        {.kind = REQUEST_SIGNAL_PROCEED, .track = 0, .end = TRACK_ENDS},
        {.kind = REQUEST_SIGNAL_PROCEED, .track = 0, .end = UINT32_MAX},
        {.kind = REQUEST_SIGNAL_STOP, .track = 0, .end = 1}, /* no train comes from there */
        {.kind = REQUEST_SIGNAL_PROCEED, .track = 0, .end = 1},
    };
    struct bridge_setup setup = puppet_setup();
    setup.track[1] = setup.track[0]; /* one track all the same */
    setup.track[0].end[1].is_used = false;
    struct puppet p;
    puppet_line(&p, &setup);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct sight sight = interlock_look(&p.setup, &p.state, &p.inputs);
        struct bridge_state before = p.state;
        assert_int_equal(asking_step(&p.setup, &p.state, &cases[i], &sight, FAULT_NONE),
                         ANSWER_NO_SUCH);
        assert_memory_equal(&before, &p.state, sizeof before);
    }
}

static void signal_and_power_follow_requests_while_lined(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    assert_int_equal(puppet_ask_signal(&p, REQUEST_SIGNAL_STOP, 1), ANSWER_GRANTED);
    assert_true(p.outputs.track[0].end[0].signal_proceed);
    assert_false(p.outputs.track[0].end[1].signal_proceed);
    assert_int_equal(puppet_ask_signal(&p, REQUEST_SIGNAL_PROCEED, 1), ANSWER_GRANTED);
    assert_true(p.outputs.track[0].end[1].signal_proceed);

    assert_int_equal(puppet_ask(&p, REQUEST_POWER_OFF, 0), ANSWER_GRANTED);
    assert_false(p.outputs.track[0].span_power);
    assert_false(p.outputs.track[0].end[0].signal_proceed);
    assert_int_equal(puppet_ask_signal(&p, REQUEST_SIGNAL_PROCEED, 1), ANSWER_POWER_OFF);
    assert_int_equal(puppet_ask(&p, REQUEST_POWER_ON, 0), ANSWER_GRANTED);
    puppet_run_for(&p, 20000);
    assert_true(p.outputs.track[0].span_power);
    assert_true(p.outputs.track[0].end[1].signal_proceed);
}

static void power_that_was_switched_off_stays_off_over_an_opening(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_OPEN);
    assert_int_equal(puppet_ask(&p, REQUEST_POWER_OFF, 0), ANSWER_GRANTED);
    puppet_ask(&p, REQUEST_LOWER, 0);
    assert_true(puppet_run_to(&p, PHASE_LINED, 200000000));
    puppet_run_for(&p, 10000000);
    assert_false(p.outputs.track[0].span_power || p.outputs.track[0].end[0].signal_proceed);
    assert_int_equal(puppet_ask(&p, REQUEST_POWER_ON, 0), ANSWER_GRANTED);
    assert_true(p.outputs.track[0].span_power);
}

static void acknowledgment_is_refused_while_the_cause_stands(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_FAULT);
    p.inputs.is_device_lost = true;
    assert_int_equal(ask_alone(&p, REQUEST_ACKNOWLEDGE), ANSWER_CAUSE_STANDS);
    assert_int_equal(p.state.phase, PHASE_FAULT);
    assert_int_equal(p.state.fault, FAULT_EMERGENCY_STOP);
    p.inputs.is_device_lost = false;
    assert_int_equal(ask_alone(&p, REQUEST_ACKNOWLEDGE), ANSWER_GRANTED);
    assert_int_equal(p.state.phase, PHASE_UNPROVED);
    assert_int_equal(p.state.fault, FAULT_NONE);
}

static void acknowledgment_does_not_end_a_fault_that_nobody_has_seen_yet(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_RAISING);
    p.inputs.late_us = 2 * LATE_MOST_US;
    assert_int_equal(puppet_step(&p, REQUEST_ACKNOWLEDGE, 2 * LATE_MOST_US), ANSWER_CAUSE_STANDS);
    assert_int_equal(p.state.fault, FAULT_LATE);
    p.inputs.late_us = 0;
    assert_int_equal(puppet_step(&p, REQUEST_ACKNOWLEDGE, 1000), ANSWER_GRANTED);
}

static void fault_keeps_its_first_cause_and_drops_what_was_under_way(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_start_in(&p, &setup, PHASE_WARNING);
    p.state.is_horn_asked = true;
    p.state.is_cut = false;
    asking_latch_fault(&p.setup, &p.state, FAULT_STALL);
    asking_latch_fault(&p.setup, &p.state, FAULT_DRIFT);
    assert_int_equal(p.state.phase, PHASE_FAULT);
    assert_int_equal(p.state.fault, FAULT_STALL);
    assert_int_equal(p.state.goal, GOAL_NONE);
    assert_int_equal(p.state.horn.signal, HORN_SILENT);
    assert_true(p.state.is_cut);
    assert_false(p.state.is_horn_asked);
}

/* Numbers that are no request or phase at all do nothing. */
static void numbers_out_of_the_enums_do_nothing(void **state) {
    (void)state;
    struct bridge_setup setup = puppet_setup();
    struct puppet p;
    puppet_line(&p, &setup);
    assert_int_equal(ask_alone(&p, (enum bridge_request_kind)(REQUEST_HORN_OFF + 1)), ANSWER_NONE);
    for (unsigned phase = BRIDGE_PHASES; phase <= BRIDGE_PHASES + 1; phase++) {
        p.state.phase = (enum bridge_phase)phase;
        assert_int_equal(ask_alone(&p, REQUEST_STOP), ANSWER_ALREADY);
    }
}

/* ISO 13850, as widely cited: the release of an emergency stop starts nothing; trains are
 * something. */
static void power_after_a_stop_wants_a_request_of_its_own(void **state) {
    (void)state;
    static const struct {
        enum bridge_fault fault;
        bool is_stop;
    } cases[] = {
        {FAULT_EMERGENCY_STOP, true}, {FAULT_STOP_CIRCUIT, true}, {FAULT_PROOF_LOST, false}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct bridge_setup setup = puppet_setup();
        struct puppet p;
        puppet_line(&p, &setup);
        asking_latch_fault(&p.setup, &p.state, cases[i].fault);
        puppet_ask(&p, REQUEST_NONE, 0);
        assert_int_equal(puppet_ask(&p, REQUEST_ACKNOWLEDGE, 0), ANSWER_GRANTED);
        assert_true(puppet_run_to(&p, PHASE_LINED, 1000000));
        puppet_run_for(&p, setup.clear_us + 1000000);
        assert_int_equal(p.outputs.track[0].span_power, !cases[i].is_stop);
        assert_int_equal(p.outputs.track[0].end[0].signal_proceed, !cases[i].is_stop);
        puppet_ask(&p, REQUEST_POWER_ON, 0);
        puppet_run_for(&p, 1000000);
        assert_true(p.outputs.track[0].span_power);
        assert_true(p.outputs.track[0].end[0].signal_proceed);
    }
}

/* Stopped while another fault is latched: what it was called first changes nothing. */
static void power_stays_off_after_a_stop_that_came_upon_a_fault(void **state) {
    (void)state;
    for (unsigned is_wired = 0; is_wired < 2; is_wired++) {
        struct bridge_setup setup = puppet_setup();
        struct puppet p;
        puppet_line(&p, &setup);
        asking_latch_fault(&p.setup, &p.state, FAULT_PROOF_LOST);
        puppet_ask(&p, REQUEST_NONE, 0);
        if (is_wired) {
            p.inputs.stop_circuit = LEVEL_OFF;
            puppet_ask(&p, REQUEST_NONE, 0);
            p.inputs.stop_circuit = LEVEL_ON;
        } else {
            assert_int_equal(puppet_ask(&p, REQUEST_EMERGENCY_STOP, 0), ANSWER_ALREADY);
        }
        assert_int_equal(p.state.fault, FAULT_PROOF_LOST);
        assert_int_equal(puppet_ask(&p, REQUEST_ACKNOWLEDGE, 0), ANSWER_GRANTED);
        assert_true(puppet_run_to(&p, PHASE_LINED, 1000000));
        puppet_run_for(&p, setup.clear_us + 1000000);
        assert_false(p.outputs.track[0].span_power);
        assert_false(p.outputs.track[0].end[0].signal_proceed);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_request_is_answered_in_each_phase),
        cmocka_unit_test(each_request_of_a_gate_is_answered_in_each_phase),
        cmocka_unit_test(gate_that_should_come_down_is_called_by_the_horn),
        cmocka_unit_test(request_to_move_sets_the_goal_and_silences_the_horn),
        cmocka_unit_test(raise_turns_an_open_bridge_back_that_was_to_be_lowered),
        cmocka_unit_test(asking_twice_changes_nothing_more),
        cmocka_unit_test(horn_is_switched_by_request),
        cmocka_unit_test(signal_that_is_not_there_is_refused),
        cmocka_unit_test(signal_and_power_follow_requests_while_lined),
        cmocka_unit_test(power_that_was_switched_off_stays_off_over_an_opening),
        cmocka_unit_test(acknowledgment_is_refused_while_the_cause_stands),
        cmocka_unit_test(acknowledgment_does_not_end_a_fault_that_nobody_has_seen_yet),
        cmocka_unit_test(fault_keeps_its_first_cause_and_drops_what_was_under_way),
        cmocka_unit_test(numbers_out_of_the_enums_do_nothing),
        cmocka_unit_test(power_after_a_stop_wants_a_request_of_its_own),
        cmocka_unit_test(power_stays_off_after_a_stop_that_came_upon_a_fault),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
