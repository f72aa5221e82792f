/* phases.h: a phase is what people are told of the bridge, and what the order of an opening stands
 * on: it must be so. */
#ifndef PROVE_PHASES_H
#define PROVE_PHASES_H

#include "prove/judges/judged.h"

/* Lined, open, on its way, about to move: as the phase says. */
judgement phases_are_true;

/* Power is never taken from a train: it goes off with trains away, or by a fault or a request. */
judgement phases_cut_no_train_off;

/* No phase outlasts its longest time, and no proof is awaited for longer than it may take. */
judgement phases_end_in_time;

/* The longest time of a phase; 0: it has none. */
uint32_t phases_longest_us(const struct bridge_setup *setup, enum bridge_phase phase);

/* The phase goes on, though it must not once its longest time is over. */
bool phases_is_overdue(const struct judged *j);

/* A train seen in one approach of a track holds the opposing home signal at stop, and keeps what it
 * was shown against a later one. */
judgement phases_meet_no_trains;

#endif
