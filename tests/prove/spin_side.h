/* spin_side.h: what the Promela models call: the explorer's moves, one at a time. Spin keeps the
 * node (c_track) and chooses the moves; nothing here is remembered from one call to the next but
 * for speed. */
#ifndef PROVE_SPIN_SIDE_H
#define PROVE_SPIN_SIDE_H

#include "prove/scenes/node.h"
#include "prove/walks/loop.h"

/* The node that Spin keeps. */
extern struct packed spin_node;

/* ---- bridge.pml: a world that may do anything */

/* The start of the scene that the environment has as SCENE; ends the program if there is none. */
void spin_begin(void);

/* How many moves the node has. */
unsigned spin_moves(void);

/* Takes the move; returns 1, or 0 with words on standard error if it broke an invariant. */
int spin_take(unsigned index);

/* ---- line.pml: a world that obeys. Its events are numbered, an event of each track and end by
 * itself; the fair ones come first. */

/* The world, and the bridge in it, that Spin keeps. */
extern struct loop spin_loop;

/* The start of that scene with the span at one of the four places, 0..3. */
void spin_loop_begin(int place);

/* How many events are fair, and how many there are: 31 at most. */
int spin_events_fair(void);
int spin_events(void);

/* Which events can happen now: a bit each. */
int spin_events_now(void);

/* Lets one happen; returns 1, or 0 with words on standard error if something is wrong. */
int spin_event(int number);

#endif
