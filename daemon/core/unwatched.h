/* unwatched.h: what stands for the detectors of a track that is not watched whole, where S3 and S4
 * ask whether its sections are clear: the time that the slowest train takes to leave them, or a
 * person's word for this one opening. Pure.
 * Two approach detectors do not stand for them: they tell no direction, so that a train that comes
 * to the far one and backs away looks like one that has left. */
#ifndef CORE_UNWATCHED_H
#define CORE_UNWATCHED_H

#include "core/data/inputs.h"
#include "core/data/setup.h"
#include "core/data/state.h"
#include "core/timing.h"
#include "core/track.h"

#include <stdbool.h>
#include <stdint.h>

/* The span section or the stop section of a used end has no detector. */
bool unwatched_is(const struct track_setup *track);

/* Counts the time, and lets the word lapse. After track_observe(). */
void unwatched_observe(const struct bridge_setup *setup, struct bridge_state *state,
                       const struct bridge_inputs *inputs, struct lapse lapse);

/* Keeps what the word has said where the power is off now: nothing can drive in any more. After
 * track_command(). */
void unwatched_command(const struct bridge_setup *setup, struct bridge_state *state);

/* One word, one time, one opening: it has ended, by the span lined or by a fault. Without power
 * that follows, a train may coast onto a dead stop section, unseen. */
void unwatched_forget(struct bridge_state *state);

/* No unwatched track is left in which a train may be, or a word says so. */
bool unwatched_all_run_out(const struct bridge_setup *setup, const struct bridge_state *state);

/* The same without the word; where it is not so, the first track that time alone will not clear
 * goes to `where`, else the first of those that it will. */
bool unwatched_all_timed_out(const struct bridge_setup *setup, const struct bridge_state *state,
                             struct track_place *where);

/* The time of this track runs, or will with the next look. */
bool unwatched_will_time_do(const struct bridge_setup *setup, const struct bridge_state *state,
                            const struct bridge_inputs *inputs, unsigned track);

/* The phase is one in which a word is taken. */
bool unwatched_takes_word(const struct bridge_state *state);

/* The time until the next of these times is over, or until the next look where a word would be
 * taken; UINT32_MAX: neither. */
uint32_t unwatched_wake_us(const struct bridge_setup *setup, const struct bridge_state *state);

#endif
