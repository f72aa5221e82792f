#include "core/words/names.h"

#include <stdio.h>

static const char *const phase_names[BRIDGE_PHASES] = {
    [PHASE_UNPROVED] = "unproved", [PHASE_LINED] = "lined",     [PHASE_CLEARING] = "clearing",
    [PHASE_CUTTING] = "cutting",   [PHASE_WARNING] = "warning", [PHASE_UNLOCKING] = "unlocking",
    [PHASE_RAISING] = "raising",   [PHASE_OPEN] = "open",       [PHASE_LOWERING] = "lowering",
    [PHASE_SEATING] = "seating",   [PHASE_LOCKING] = "locking", [PHASE_PROVING] = "proving",
    [PHASE_HELD] = "held",         [PHASE_FAULT] = "fault",
};

static const char *const goal_names[] = {
    [GOAL_NONE] = "none",
    [GOAL_UP] = "up",
    [GOAL_DOWN] = "down",
};

static const struct {
    const char *name;
    const char *text;
} faults[BRIDGE_FAULTS] = {
    [FAULT_NONE] = {"none", "no fault"},
    [FAULT_EMERGENCY_STOP] = {"emergency-stop", "an emergency stop was requested"},
    [FAULT_STOP_CIRCUIT] = {"stop-circuit", "the hard-wired stop circuit is open"},
    [FAULT_DEVICE_LOST] = {"device-lost", "a device does not answer"},
    [FAULT_INPUT_LOST] = {"input-lost", "an input gives no reading"},
    [FAULT_CONTRADICTION] = {"contradiction", "inputs contradict one another"},
    [FAULT_PROOF_LOST] = {"proof-lost", "the span is no longer proved seated, locked and in line"},
    [FAULT_OVERRUN] = {"overrun",
                       "a train is on the stop or span section and the span is not lined"},
    [FAULT_SIGNAL_UNPROVED] = {"signal-unproved", "a home signal is not proved at stop"},
    [FAULT_POWER_UNPROVED] = {"power-unproved", "a section is not proved dead"},
    [FAULT_LOCK_UNPROVED] = {"lock-unproved",
                             "the span lock is not proved in the required position"},
    [FAULT_RAILS_UNPROVED] = {"rails-unproved",
                              "the span is seated and locked but not proved in line"},
    [FAULT_STALL] = {"stall", "the motor current stayed at its limit"},
    [FAULT_BINDING] = {"binding", "the motor draws more current here than the lift should need"},
    [FAULT_NO_MOVEMENT] = {"no-movement", "the lift is driven but the span does not move"},
    [FAULT_OVERSPEED] = {"overspeed", "the span is moving too fast"},
    [FAULT_OVERTRAVEL] = {"overtravel", "the span is past the end of its travel"},
    [FAULT_TRAVEL_TIME] = {"travel-time", "the movement took too long"},
    [FAULT_SEAT_TIME] = {"seat-time", "the span did not reach its seat in time"},
    [FAULT_DRIFT] = {"drift", "the span moved while it should be at rest"},
    [FAULT_LATE] = {"late", "the control loop stalled while the lift or the lock was driven"},
};

static const char *const request_names[] = {
    [REQUEST_NONE] = "none",
    [REQUEST_RAISE] = "raise",
    [REQUEST_LOWER] = "lower",
    [REQUEST_STOP] = "stop",
    [REQUEST_JOG_UP] = "jog-up",
    [REQUEST_JOG_DOWN] = "jog-down",
    [REQUEST_THROTTLE_UP] = "throttle-up",
    [REQUEST_THROTTLE_DOWN] = "throttle-down",
    [REQUEST_THROTTLE_HOLD] = "throttle-hold",
    [REQUEST_EMERGENCY_STOP] = "emergency-stop",
    [REQUEST_ACKNOWLEDGE] = "acknowledge",
    [REQUEST_SEEN_CLEAR] = "seen-clear",
    [REQUEST_SIGNAL_STOP] = "signal-stop",
    [REQUEST_SIGNAL_PROCEED] = "signal-proceed",
    [REQUEST_POWER_OFF] = "power-off",
    [REQUEST_POWER_ON] = "power-on",
    [REQUEST_HORN_ON] = "horn-on",
    [REQUEST_HORN_OFF] = "horn-off",
};

static const char *const answer_texts[] = {
    [ANSWER_NONE] = "nothing was requested",
    [ANSWER_GRANTED] = "granted",
    [ANSWER_ALREADY] = "granted; nothing to do",
    [ANSWER_NO_SUCH] = "the bridge has no such track or end",
    [ANSWER_FAULT] = "a fault is latched: fix its cause, then acknowledge it",
    [ANSWER_UNPROVED] = "the contacts have not yet proved where the span is",
    [ANSWER_NOT_LINED] = "the span is not lined for rail: lower it first",
    [ANSWER_POWER_OFF] = "the track power is off",
    [ANSWER_NOT_HELD] = "the span can be jogged only while it is held or open",
    [ANSWER_LET_GO] = "the throttle was released, or its run is over: start again",
    [ANSWER_NOT_SAFE] =
        "signals, sections, approach locking or the span lock are not proved as the lift requires",
    [ANSWER_NOT_WANTED] =
        "seen clear is accepted only while an opening, or a span held or open, waits for it",
    [ANSWER_TOO_OLD] = "the bridge was not watched for a while, and seen clear may be older than "
                       "that: look, and report it again in two seconds",
    [ANSWER_CAUSE_STANDS] = "the cause of the fault is still present",
};

static const char *const wait_texts[BRIDGE_WAITS] = {
    [WAIT_NONE] = "nothing",
    [WAIT_PLACE] = "contacts to prove where the span is",
    [WAIT_SIGNAL_PROOF] = "home signal to be proved at stop",
    [WAIT_APPROACH_LOCK] = "approach locking to release",
    [WAIT_STOP_SECTION] = "stop section to be clear",
    [WAIT_SPAN_SECTION] = "span section to be clear",
    [WAIT_RUN_OUT] = "time for any train to leave the span",
    [WAIT_SEEN_CLEAR] = "someone to report the span seen clear",
    [WAIT_POWER_PROOF] = "section to be proved dead",
    [WAIT_POWER] = "power to return in the section",
    [WAIT_POWER_REQUEST] = "track power to be switched on",
    [WAIT_WARNING] = "warning to end",
    [WAIT_LOCK_WITHDRAWN] = "span lock to be proved withdrawn",
    [WAIT_HAND_UNLOCK] = "span lock to be withdrawn by hand",
    [WAIT_TRAVEL] = "span to finish moving",
    [WAIT_HAND_TRAVEL] = "span to be moved by hand",
    [WAIT_SEATED] = "span to be seated",
    [WAIT_LOCKED] = "span lock to be proved driven",
    [WAIT_HAND_LOCK] = "span lock to be driven by hand",
    [WAIT_RAILS] = "rails to be proved in line",
    [WAIT_REQUEST] = "request to raise or lower",
    [WAIT_ACKNOWLEDGMENT] = "cause to be fixed and acknowledged",
};

const char *bridge_phase_name(enum bridge_phase phase) {
    return phase_names[phase];
}

const char *bridge_goal_name(enum bridge_goal goal) {
    return goal_names[goal];
}

const char *bridge_fault_name(enum bridge_fault fault) {
    return faults[fault].name;
}

const char *bridge_request_name(enum bridge_request_kind kind) {
    return request_names[kind];
}

const char *bridge_fault_text(enum bridge_fault fault) {
    return faults[fault].text;
}

const char *bridge_answer_text(enum bridge_answer answer) {
    return answer_texts[answer];
}

const char *bridge_wait_text(enum bridge_wait wait) {
    return wait_texts[wait];
}

/* Whose place says where it waits; the others wait for the bridge as a whole. */
enum wait_place { OF_BRIDGE = 0, OF_TRACK, OF_END };
static const enum wait_place wait_places[BRIDGE_WAITS] = {
    [WAIT_SIGNAL_PROOF] = OF_END,   [WAIT_APPROACH_LOCK] = OF_END, [WAIT_STOP_SECTION] = OF_END,
    [WAIT_SPAN_SECTION] = OF_TRACK, [WAIT_RUN_OUT] = OF_TRACK,     [WAIT_SEEN_CLEAR] = OF_TRACK,
    [WAIT_POWER_PROOF] = OF_TRACK,  [WAIT_POWER] = OF_TRACK,
};

void bridge_wait_words(const struct bridge_waiting *waiting, const char *track, const char *end,
                       char *words, size_t size) {
    const char *text = waiting->what == WAIT_NONE ? "" : bridge_wait_text(waiting->what);
    if (wait_places[waiting->what] == OF_END) {
        snprintf(words, size, "%s (%s, %s)", text, track, end);
    } else if (wait_places[waiting->what] == OF_TRACK) {
        snprintf(words, size, "%s (%s)", text, track);
    } else {
        snprintf(words, size, "%s", text);
    }
}

bool bridge_answer_is_granted(enum bridge_answer answer) {
    return answer == ANSWER_NONE || answer == ANSWER_GRANTED || answer == ANSWER_ALREADY;
}
