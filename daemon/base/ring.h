/* ring.h: from the control loop to a thread beside it: a ring of a fixed number of items of one
 * size. One thread puts, one takes; neither ever waits for the other. */
#ifndef BASE_RING_H
#define BASE_RING_H

#include <stdbool.h>
#include <stddef.h>

struct ring;

/* `room` is a power of two; `size` the bytes of an item, which begins zeroed. NULL: no memory, or
 * no descriptor. */
struct ring *ring_new(unsigned room, size_t size);
void ring_free(struct ring *ring);

/* Where the next item goes, or NULL: the ring is full. It is handed over by ring_put(), which
 * returns whether it filled half of the ring: then the taker is to come at once. */
void *ring_room(struct ring *ring);
bool ring_put(struct ring *ring);

/* The oldest item, or NULL: none. It is given back by ring_drop(). */
const void *ring_oldest(struct ring *ring);
void ring_drop(struct ring *ring);

/* Wakes the taker, now or as soon as it waits; never waits itself. */
void ring_wake(struct ring *ring);

/* The taker's: rests until it is woken, `most_ms` at the longest; -1: however long it takes. */
void ring_wait(struct ring *ring, int most_ms);

#endif
