#include "guards/truth.h"

#include "guards/trial.h"

#include <stddef.h>

static const uint64_t second_us = 1000000;
static const uint64_t minute_us = 60000000;
static const uint64_t slack_us = 100000; /* steps, and phases of no length */

typedef const char *check(struct trial *trial);

static bool has_fault(const struct trial *trial) {
    return trial->puppet.state.phase == PHASE_FAULT;
}

/* ---- S3, S4: the bridge is not taken from under a train */

/* What tells that the bridge has let itself be opened: a bar or a lift that is driven, or a hand
 * that is told to. */
static bool has_passed(const struct trial *trial) {
    const struct puppet *p = &trial->puppet;
    return p->outputs.lock == LOCK_DRIVE_WITHDRAWN || trial->has_been_driven ||
           (!p->setup.has_lock_drive && p->state.phase == PHASE_UNLOCKING);
}

static const char *never_passes(struct trial *trial) {
    if (!trial_line(trial)) {
        return "was never lined";
    }
    trial->is_lied_to = true;
    trial_ask(trial, REQUEST_RAISE);
    for (uint64_t run_us = 0; run_us < 100 * second_us; run_us += TRIAL_STEP_US) {
        trial_step(trial);
        if (has_passed(trial)) {
            return "opened without the proof";
        }
    }
    return NULL;
}

static const char *passes(struct trial *trial) {
    for (uint64_t run_us = 0; run_us < 3 * minute_us && !has_passed(trial);
         run_us += TRIAL_STEP_US) {
        trial_step(trial);
    }
    return has_passed(trial) ? NULL : "never opened";
}

static const char *lift_rests_without_proof(struct trial *trial) {
    if (!trial_open_to(trial, PHASE_UNLOCKING)) {
        return "never opened";
    }
    trial->is_lied_to = true;
    trial_run_for(trial, minute_us);
    return trial->has_been_driven ? "the lift was driven without the proof" : NULL;
}

static const char *judge_time(const struct trial *trial, uint64_t took_us, uint64_t more_us) {
    if (took_us + slack_us < trial->row->time_us) {
        return "took less than the time";
    }
    return took_us < trial->row->time_us + more_us ? NULL : "took more than the time";
}

static const char *lasts(struct trial *trial, enum bridge_phase phase) {
    if (trial->puppet.state.phase != phase) {
        return "did not come to the phase";
    }
    return judge_time(trial, trial_time_in(trial, phase, 5 * minute_us), 2 * second_us);
}

/* From the request to raise on: the signals first, then approach locking, then trains. */
static uint64_t time_to_signals_at_stop(struct trial *trial) {
    uint64_t run_us = 0;
    trial_ask(trial, REQUEST_RAISE);
    while (trial_waits_for(trial, WAIT_SIGNAL_PROOF) && run_us < 5 * minute_us) {
        trial_step(trial);
        run_us += TRIAL_STEP_US;
    }
    return run_us;
}

static const char *signal_takes_its_time(struct trial *trial) {
    if (!trial_line(trial) || !trial->has_shown_proceed) {
        return "was never lined with a signal at proceed";
    }
    const char *broken = judge_time(trial, time_to_signals_at_stop(trial), 2 * second_us);
    return broken != NULL ? broken : passes(trial);
}

/* Where a detector may see the approach clear, a train is there, and nobody sees it stand. */
static const char *approach_takes_its_time(struct trial *trial) {
    const struct bridge_setup *setup = &trial->puppet.setup;
    const struct guard_row *row = trial->row;
    trial->is_lied_to = setup->track[row->track].end[row->end].has_approach_detector;
    if (!trial_line(trial) || !trial->has_shown_proceed) {
        return "was never lined with a signal at proceed";
    }
    uint64_t run_us = time_to_signals_at_stop(trial);
    while (trial_waits_for(trial, WAIT_APPROACH_LOCK) && run_us < 5 * minute_us) {
        trial_step(trial);
        run_us += TRIAL_STEP_US;
    }
    const char *broken = judge_time(trial, run_us, setup->proof_limit_us + 2 * second_us);
    return broken != NULL ? broken : passes(trial);
}

static const char *power_takes_its_time(struct trial *trial) {
    return trial_open_to(trial, PHASE_CUTTING) ? lasts(trial, PHASE_CUTTING) : "was never cut";
}

static const char *left_takes_its_time(struct trial *trial) {
    trial->gives_word = false;
    if (!trial_line(trial)) {
        return "was never lined";
    }
    time_to_signals_at_stop(trial);
    uint64_t run_us = trial_time_in(trial, PHASE_CLEARING, 5 * minute_us);
    const char *broken = judge_time(trial, run_us, 5 * minute_us);
    return broken != NULL ? broken : passes(trial);
}

static const char *left_takes_a_word(struct trial *trial) {
    trial->gives_word = false;
    if (!trial_line(trial)) {
        return "was never lined";
    }
    trial_ask(trial, REQUEST_RAISE);
    trial_run_for(trial, 100 * second_us);
    if (has_passed(trial) || !trial_waits_for(trial, WAIT_SEEN_CLEAR)) {
        return "did not wait for the word";
    }
    if (trial_ask(trial, REQUEST_SEEN_CLEAR) != ANSWER_GRANTED) {
        return "did not take the word";
    }
    return passes(trial);
}

/* ---- S1, S2: trains are let on */

static const char *lets_nobody_on(struct trial *trial) {
    trial->is_lied_to = true;
    trial_line(trial);
    return trial->was_let_on ? "let trains on without the proof" : NULL;
}

static const char *seated_and_locked_lets_on(struct trial *trial) {
    return trial_line(trial) && trial->was_let_on ? NULL : "let nobody on";
}

static const char *clears_no_signal(struct trial *trial) {
    trial->is_lied_to = true;
    trial_line(trial);
    return trial->has_shown_proceed ? "a signal showed proceed before a train" : NULL;
}

static const char *clears_when_asked(struct trial *trial) {
    trial->asks_proceed = false;
    if (!trial_line(trial)) {
        return "was never lined";
    }
    if (trial->has_shown_proceed) {
        return "a signal showed proceed before anybody asked";
    }
    trial->asks_proceed = true;
    trial_run_for(trial, second_us);
    return trial->has_shown_proceed ? NULL : "no signal showed proceed";
}

static const char *clears_unasked(struct trial *trial) {
    trial->asks_proceed = false;
    trial_line(trial);
    return trial->has_shown_proceed ? NULL : "a signal waited, though nothing guards it";
}

static const char *lock_takes_its_time(struct trial *trial) {
    if (!trial_run_to(trial, PHASE_HELD, minute_us)) {
        return "a start did not leave it held";
    }
    trial_ask(trial, REQUEST_LOWER);
    const char *broken = lasts(trial, PHASE_LOCKING);
    return broken != NULL ? broken : seated_and_locked_lets_on(trial);
}

static const char *withdrawal_takes_its_time(struct trial *trial) {
    return trial_open_to(trial, PHASE_UNLOCKING) ? lasts(trial, PHASE_UNLOCKING) : "never opened";
}

/* ---- S8, S9: what stops a span that is away */

static bool take_away(struct trial *trial) {
    if (!trial_open_to(trial, PHASE_RAISING)) {
        return false;
    }
    trial_run_for(trial, second_us);
    return trial->puppet.state.phase == PHASE_RAISING;
}

static bool rests(const struct trial *trial) {
    return trial->puppet.outputs.lift_effort == 0;
}

static const char *train_stops_it(struct trial *trial) {
    if (!take_away(trial)) {
        return "was never raised";
    }
    trial->is_lied_to = true;
    trial_step(trial);
    return rests(trial) && has_fault(trial) ? NULL : "went on though a train came";
}

/* A hand cannot be stopped; then a fault is what is left. */
static const char *dead_section_is_minded(struct trial *trial) {
    if (!take_away(trial)) {
        return "was never raised";
    }
    trial->is_lied_to = true;
    trial_step(trial);
    if (!rests(trial)) {
        return "went on though the section is live";
    }
    trial_run_for(trial, trial->puppet.setup.proof_limit_us + second_us);
    return has_fault(trial) ? NULL : "minded no section that is live";
}

static const char *client_stops_it(struct trial *trial) {
    if (!take_away(trial)) {
        return "was never raised";
    }
    trial_ask(trial, REQUEST_EMERGENCY_STOP);
    return rests(trial) && has_fault(trial) ? NULL : "went on though it was asked to stop";
}

/* ---- a person works bar or span */

static const char *bar_waits_for_the_hand(struct trial *trial) {
    if (!trial_line(trial)) {
        return "was never lined";
    }
    trial->works_by_hand = false;
    trial_ask(trial, REQUEST_RAISE);
    trial_run_to(trial, PHASE_UNLOCKING, 3 * minute_us);
    trial_run_for(trial, minute_us);
    if (trial->has_been_driven || !trial_waits_for(trial, WAIT_HAND_UNLOCK)) {
        return "did not wait for the hand";
    }
    trial->works_by_hand = true;
    trial_run_for(trial, second_us);
    return trial->has_been_driven ? NULL : "was not driven though the bar is withdrawn";
}

static const char *span_waits_for_the_hand(struct trial *trial) {
    if (!trial_line(trial)) {
        return "was never lined";
    }
    trial->works_by_hand = false;
    trial_ask(trial, REQUEST_RAISE);
    if (!trial_run_to(trial, PHASE_UNLOCKING, 3 * minute_us)) {
        return "never said that it may be lifted";
    }
    trial_run_for(trial, minute_us);
    if (trial->has_been_driven || trial->puppet.state.phase != PHASE_UNLOCKING) {
        return "did not wait for the hand";
    }
    trial->works_by_hand = true;
    return trial_run_to(trial, PHASE_RAISING, minute_us) ? NULL : "did not see the hand";
}

/* ---- S5: contacts and drives that fail */

/* From the moment of the lie the bridge faults within the time, and not before. */
static const char *faults_within(struct trial *trial, uint64_t least_us, uint64_t most_us) {
    uint64_t run_us = 0;
    while (!has_fault(trial) && run_us <= most_us) {
        trial_step(trial);
        run_us += TRIAL_STEP_US;
    }
    if (!has_fault(trial)) {
        return "found nothing out in time";
    }
    return run_us + slack_us >= least_us ? NULL : "found it out before the time";
}

static const char *seat_must_be_left(struct trial *trial) {
    if (!trial_open_to(trial, PHASE_RAISING)) {
        return "was never raised";
    }
    trial->is_lied_to = true;
    return faults_within(trial, trial->row->time_us, trial->row->time_us + second_us);
}

static void lower_with_the_seat_stuck(struct trial *trial) {
    struct puppet *p = &trial->puppet;
    bool is_by_hand = p->setup.is_hand_lifted;
    trial->is_hand_lowering = is_by_hand;
    for (uint64_t run_us = 0; run_us < 2 * minute_us && p->span_frac > 0.5;
         run_us += TRIAL_STEP_US) {
        trial_step(trial);
    }
    trial->works_by_hand = false;
    trial->was_let_on = trial->has_shown_proceed = false;
    trial->is_lied_to = true;
    if (trial->is_bar_forced && !trial->puppet.setup.has_lock_drive) {
        trial->puppet.lock_frac = 1; /* by a hand that does not look */
    }
    trial_run_for(trial, minute_us);
}

static const char *seat_has_a_witness(struct trial *trial) {
    if (!trial_open_to(trial, PHASE_RAISING)) {
        return "was never raised";
    }
    trial_run_for(trial, 40 * second_us);
    if (!trial->puppet.setup.is_hand_lifted) {
        trial_ask(trial, REQUEST_LOWER);
    }
    trial->is_bar_forced = true;
    lower_with_the_seat_stuck(trial);
    return trial->was_let_on ? "let trains onto a span that is up" : NULL;
}

static const char *other_end_contradicts(struct trial *trial) {
    if (!trial_open_to(trial, PHASE_RAISING)) {
        return "was never raised";
    }
    trial_run_for(trial, 10 * second_us); /* a hand is there by now */
    trial->works_by_hand = false;
    trial->is_lied_to = true;
    return faults_within(trial, 0, slack_us);
}

static const char *hand_sees_the_seat(struct trial *trial) {
    if (!trial_open_to(trial, PHASE_RAISING)) {
        return "was never raised";
    }
    lower_with_the_seat_stuck(trial);
    return trial->was_let_on ? "let trains on though the bar was not driven" : NULL;
}

static const char *open_is_not_believed(struct trial *trial) {
    if (!trial_line(trial)) {
        return "was never lined";
    }
    trial->is_lied_to = true;
    trial_ask(trial, REQUEST_RAISE);
    return trial_run_to(trial, PHASE_OPEN, 2 * minute_us) ? "was open without the proof" : NULL;
}

static const char *overtravel_is_seen(struct trial *trial) {
    if (!trial_open_to(trial, PHASE_RAISING)) {
        return "was never raised";
    }
    trial->is_lied_to = true;
    const char *broken = faults_within(trial, 0, 2 * minute_us);
    return broken == NULL && trial->puppet.span_frac > 1.1 ? "went far beyond open" : broken;
}

static const char *end_stop_is_felt(struct trial *trial) {
    trial->blocked_frac = 1.02;
    if (!trial_open_to(trial, PHASE_RAISING)) {
        return "was never raised";
    }
    trial->is_lied_to = true;
    while (trial->puppet.span_frac < trial->blocked_frac && !has_fault(trial)) {
        trial_step(trial);
    }
    return faults_within(trial, 0, trial->puppet.setup.motion.stall_us + second_us);
}

static const char *position_must_change(struct trial *trial) {
    struct puppet *p = &trial->puppet;
    if (!trial_open_to(trial, PHASE_RAISING)) {
        return "was never raised";
    }
    while (p->span_frac < 0.9 && !has_fault(trial)) {
        trial_step(trial);
    }
    trial->is_lied_to = true; /* it stays there */
    return faults_within(trial, trial->row->time_us, trial->row->time_us + second_us);
}

static const char *travel_has_a_longest_time(struct trial *trial) {
    trial->blocked_frac = trial->row->thing == GUARD_BLOCKED ? 0.5 : 1.02;
    if (!trial_open_to(trial, PHASE_RAISING)) {
        return "was never raised";
    }
    trial->is_lied_to = true;
    return faults_within(trial, trial->row->time_us, trial->row->time_us + second_us);
}

static const char *block_is_found(struct trial *trial) {
    const struct motion_setup *motion = &trial->puppet.setup.motion;
    trial->blocked_frac = 0.5;
    if (!trial_open_to(trial, PHASE_RAISING)) {
        return "was never raised";
    }
    while (trial->puppet.span_frac < trial->blocked_frac && !has_fault(trial)) {
        trial_step(trial);
    }
    uint64_t most_us = motion->has_current ? motion->stall_us : motion->no_movement_us;
    return faults_within(trial, 0, most_us + second_us);
}

static const char *one_contact_deceives(struct trial *trial) {
    if (!trial_open_to(trial, PHASE_RAISING)) {
        return "was never raised";
    }
    trial_run_for(trial, 10 * second_us);
    lower_with_the_seat_stuck(trial);
    return trial->was_let_on ? NULL : "was not deceived, though nothing guards it";
}

/* ---- S6 */

static const char *place_is_proved(struct trial *trial) {
    struct puppet *p = &trial->puppet;
    bool is_open_known = p->setup.has_open || p->setup.motion.has_position;
    p->span_frac = 1;
    p->lock_frac = 0;
    trial->works_by_hand = false;
    trial_run_for(trial, 5 * second_us);
    if (trial->was_let_on) {
        return "let trains on though it is open";
    }
    return (p->state.phase == PHASE_OPEN) == is_open_known ? NULL : "did not know that it is open";
}

/* ---- several in a row, and those that depend on what there is */

static void begin_again(struct trial *trial) {
    const struct bridge_setup setup = trial->puppet.setup;
    trial_start(trial, &setup, trial->row);
}

static const char *train_is_seen(struct trial *trial) {
    static check *const each[] = {never_passes, clears_no_signal, train_stops_it};
    const char *broken = NULL;
    for (size_t i = 0; i < sizeof each / sizeof each[0] && broken == NULL; i++) {
        begin_again(trial);
        broken = each[i](trial);
    }
    return broken;
}

static bool are_all_stops_seen(const struct track_setup *track) {
    return (!track->end[0].is_used || track->end[0].has_stop_detector) &&
           (!track->end[1].is_used || track->end[1].has_stop_detector);
}

static const char *span_train_is_kept_away(struct trial *trial) {
    const struct track_setup *track = &trial->puppet.setup.track[trial->row->track];
    return are_all_stops_seen(track) ? train_stops_it(trial) : dead_section_is_minded(trial);
}

static const char *stuck_seat_is_contradicted(struct trial *trial) {
    const struct bridge_setup *setup = &trial->puppet.setup;
    bool has_witness = setup->rails > 0 || setup->has_nearly_seated || setup->motion.has_position;
    return has_witness ? seat_has_a_witness(trial) : other_end_contradicts(trial);
}

static const char *end_is_found(struct trial *trial) {
    const struct bridge_setup *setup = &trial->puppet.setup;
    bool is_overtravel_seen =
        setup->has_overtravel || (setup->has_open && setup->motion.has_position);
    return is_overtravel_seen ? overtravel_is_seen(trial) : end_stop_is_felt(trial);
}

static const char *end_takes_its_time(struct trial *trial) {
    return trial->puppet.setup.motion.has_position ? position_must_change(trial)
                                                   : travel_has_a_longest_time(trial);
}

/* ---- the table: a row for each thing, a check for each way in which it may be guarded */

static check *const truths[GUARD_THINGS][GUARD_SORTS] = {
    [GUARD_SIGNAL] = {[GUARD_PROVED] = never_passes, [GUARD_BY_TIME] = signal_takes_its_time},
    [GUARD_APPROACH] = {[GUARD_BY_TIME] = approach_takes_its_time},
    [GUARD_STOP_DEAD] = {[GUARD_PROVED] = never_passes, [GUARD_BY_TIME] = power_takes_its_time},
    [GUARD_STOP_TRAINS] = {[GUARD_PROVED] = train_is_seen},
    [GUARD_STOP_LEFT] =
        {[GUARD_BY_TIME] = left_takes_its_time, [GUARD_BY_WORD] = left_takes_a_word},
    [GUARD_STOP_FREE] = {[GUARD_BY_WORD] = clears_when_asked, [GUARD_MISSING] = clears_unasked},
    [GUARD_STOP_COMES] =
        {[GUARD_PROVED] = dead_section_is_minded, [GUARD_BY_TIME] = power_takes_its_time},
    [GUARD_SPAN_DEAD] = {[GUARD_PROVED] = never_passes, [GUARD_BY_TIME] = power_takes_its_time},
    [GUARD_SPAN_TRAINS] = {[GUARD_PROVED] = train_is_seen},
    [GUARD_SPAN_LEFT] =
        {[GUARD_BY_TIME] = left_takes_its_time, [GUARD_BY_WORD] = left_takes_a_word},
    [GUARD_SPAN_FREE] = {[GUARD_BY_WORD] = clears_when_asked, [GUARD_MISSING] = clears_unasked},
    [GUARD_SPAN_COMES] =
        {[GUARD_PROVED] = span_train_is_kept_away, [GUARD_BY_TIME] = power_takes_its_time},
    [GUARD_SEATED] = {[GUARD_PROVED] = lets_nobody_on},
    [GUARD_LOCKED] = {[GUARD_PROVED] = lets_nobody_on, [GUARD_BY_TIME] = lock_takes_its_time},
    [GUARD_RAILS] = {[GUARD_PROVED] = lets_nobody_on},
    [GUARD_WITHDRAWN] =
        {[GUARD_PROVED] = lift_rests_without_proof, [GUARD_BY_TIME] = withdrawal_takes_its_time},
    [GUARD_HAND_LOCK] = {[GUARD_BY_WORD] = bar_waits_for_the_hand},
    [GUARD_HAND_LIFT] = {[GUARD_BY_WORD] = span_waits_for_the_hand},
    [GUARD_SEAT_STICKS] = {[GUARD_PROVED] = stuck_seat_is_contradicted,
                           [GUARD_BY_TIME] = seat_must_be_left,
                           [GUARD_BY_WORD] = hand_sees_the_seat,
                           [GUARD_MISSING] = one_contact_deceives},
    [GUARD_OPEN] = {[GUARD_PROVED] = open_is_not_believed},
    [GUARD_OPEN_FAILS] = {[GUARD_PROVED] = end_is_found, [GUARD_BY_TIME] = end_takes_its_time},
    [GUARD_BLOCKED] =
        {[GUARD_PROVED] = block_is_found, [GUARD_BY_TIME] = travel_has_a_longest_time},
    [GUARD_PLACE] = {[GUARD_PROVED] = place_is_proved},
    [GUARD_STOP] = {[GUARD_PROVED] = train_stops_it, [GUARD_BY_WORD] = client_stops_it},
};

bool truth_is_checked(enum guard_thing thing, enum guard how) {
    return truths[thing][how] != NULL;
}

const char *truth_broken(const struct bridge_setup *setup, const struct guard_row *row) {
    struct trial trial;
    check *is_true = truths[row->thing][row->how];
    if (is_true == NULL) {
        return "nobody checks a row like this";
    }
    trial_start(&trial, setup, row);
    return is_true(&trial);
}
