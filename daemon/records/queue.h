/* queue.h: from the control loop to the writer: a ring of a fixed number of items. One thread puts,
 * one takes; neither ever waits for the other. */
#ifndef RECORDS_QUEUE_H
#define RECORDS_QUEUE_H

#include "records/item.h"

#include <stdbool.h>

struct queue;

/* `room` is a power of two. NULL: no memory. */
struct queue *queue_new(unsigned room);
void queue_free(struct queue *queue);

/* Where the next item goes, or NULL: the ring is full. It is handed over by queue_put(), which
 * returns whether it filled half of the ring: then the taker is to come at once. */
struct item *queue_room(struct queue *queue);
bool queue_put(struct queue *queue);

/* The oldest item, or NULL: none. It is given back by queue_drop(). */
const struct item *queue_oldest(struct queue *queue);
void queue_drop(struct queue *queue);

#endif
