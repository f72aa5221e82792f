/* trial.h: an ideal bridge (support/core/puppet.h) worked as a table of guards says, and lied to
 * where the table says that an input proves something. Time passes in steps of its own. */
#ifndef GUARDS_TRIAL_H
#define GUARDS_TRIAL_H

#include "core/words/guards.h"
#include "support/core/puppet.h"

#include <stdbool.h>
#include <stdint.h>

enum { TRIAL_STEP_US = 20000 };

struct trial {
    struct puppet puppet; /* first: the puppet's meddler finds the trial by it */
    const struct guard_row *row;
    bool is_lied_to;       /* what proves the row, or what it is about, reads wrong */
    bool asks_proceed;     /* a person asks every signal to show proceed when it may */
    bool gives_word;       /* and says that the span is seen clear, when that is waited for */
    bool works_by_hand;    /* and works bar and span when the bridge waits for it */
    bool is_hand_lowering; /* the hand lets the span down again */
    bool is_bar_forced;    /* and drives the bar wherever the span is */
    double blocked_frac;   /* the span does not get beyond this */
    bool was_let_on;       /* a signal has shown proceed, or a section had power */
    bool has_shown_proceed;
    bool has_been_driven; /* the lift, since the trial last zeroed it */
};

/* Seated and locked, nothing said yet. */
void trial_start(struct trial *trial, const struct bridge_setup *setup,
                 const struct guard_row *row);

/* One request, and time. */
enum bridge_answer trial_ask(struct trial *trial, enum bridge_request_kind kind);
void trial_step(struct trial *trial);
void trial_run_for(struct trial *trial, uint64_t time_us);

/* Returns whether the phase was reached before the limit. */
bool trial_run_to(struct trial *trial, enum bridge_phase phase, uint64_t limit_us);

/* How long this phase lasts from now on, or `limit_us` if it lasts longer. */
uint64_t trial_time_in(struct trial *trial, enum bridge_phase phase, uint64_t limit_us);

/* The bridge waits for this now. */
bool trial_waits_for(const struct trial *trial, enum bridge_wait what);

/* Until lined, with a person who does all that is wanted; signals that may show proceed do. Returns
 * whether it was reached. */
bool trial_line(struct trial *trial);

/* The same, and on to this phase of an opening, or of the closing after it. */
bool trial_open_to(struct trial *trial, enum bridge_phase phase);
bool trial_close_to(struct trial *trial, enum bridge_phase phase);

#endif
