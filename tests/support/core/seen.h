/* seen.h: what the inputs and outputs so far prove, with clocks of its own: written down apart from
 * the core's code, and never by what the core believes. invariants.h judges by it. */
#ifndef SUPPORT_SEEN_H
#define SUPPORT_SEEN_H

#include "core/bridge.h"

/* Something that must be so for a while. */
struct judged_while {
    bool was_so;
    uint32_t for_us;
};

/* A contact that must hold for a while before it is believed. */
struct judged_contact {
    enum level reading;
    enum level believed;
    uint32_t held_for_us;
    struct judged_while unsettled; /* readings come and go, and none has held */
};

/* What this step's inputs prove, of all tracks together. False means not proved. */
struct proved {
    bool is_seated, is_locked, is_withdrawn, are_rails, is_open;
    bool is_span; /* seated, locked and in line */
    bool are_signals_at_stop, is_released, are_sections_clear, are_sections_dead;
    bool are_detectors_clear; /* as are_sections_clear, but for what nothing watches */
    bool is_occupied;         /* a train is seen on a stop or span section */
    bool is_coming[BRIDGE_TRACKS_MAX][TRACK_ENDS]; /* seen in the approach, by a detector there */
    bool is_distrusted; /* S5: the inputs of this step cannot be trusted */
};

struct seen_end {
    struct judged_while approach_clear, stop_clear;
    struct judged_while told_stop, told_off; /* where no proof is fitted */
    uint32_t lock_left_us;                   /* approach locking */
    bool was_doubtful;                       /* whether the signal is at stop */
    bool is_just_left;                       /* approach clear, and not for long; no memory */
};

struct seen_track {
    struct seen_end end[TRACK_ENDS];
    struct judged_while span_clear;
    struct judged_while told_off;
    struct judged_while running_out; /* signals at stop, power on: trains leave */
    bool has_run_out;                /* nothing can be there any more */
};

/* What must be remembered from step to step. */
struct seen {
    bool has_begun;
    bool was_lost;                /* the device, in the step before */
    struct bridge_outputs before; /* outputs of the step before; zero at the start */
    struct judged_contact seated, locked, withdrawn, open, nearly_seated, nearly_open;
    struct judged_contact within_travel;
    struct judged_contact rail[BRIDGE_RAILS_MAX];
    struct judged_while driven_in, driven_out; /* the bar, where a contact is missing */
    bool is_bar_in, is_bar_out;                /* believed by that time */
    uint32_t word_left_us;                     /* somebody said that the span is seen clear */
    uint32_t word_barred_left_us;              /* what is said may be older than a gap */
    struct seen_track track[BRIDGE_TRACKS_MAX];
    struct proved proved; /* by the last step; no memory */
};

/* One step as it is judged. */
struct looked {
    struct seen *seen;
    const struct bridge_setup *setup;
    const struct bridge_inputs *in;
    const struct bridge_request *request;
    uint32_t dt_us;
};

/* Takes in one step's inputs and request; fills seen->proved. Zero `seen` before the first. */
void seen_observe(const struct looked *look);

/* Takes in what the step put out: `out` is the next step's `before`. */
void seen_remember(const struct looked *look, const struct bridge_outputs *out);

/* Of one place, as of this step. */
bool seen_is_at_stop(const struct looked *look, unsigned track, unsigned end);
bool seen_is_stop_dead(const struct looked *look, unsigned track, unsigned end);
bool seen_is_stop_clear(const struct looked *look, unsigned track, unsigned end);
bool seen_is_span_dead(const struct looked *look, unsigned track);
bool seen_is_span_clear(const struct looked *look, unsigned track);
/* The span section and every stop section have a detector. */
bool seen_is_watched_whole(const struct track_setup *track);
/* Where not every section has a detector: time has run out, or somebody's word was given. */
bool seen_has_run_out(const struct looked *look, unsigned track);

#endif
