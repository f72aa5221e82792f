#include "records/queue.h"

#include "base/invariant.h"

#include <stdatomic.h>
#include <stdlib.h>

struct queue {
    unsigned room;
    struct item *item;
    atomic_uint put; /* counts of all that ever passed; they wrap as room does */
    atomic_uint taken;
};

struct queue *queue_new(unsigned room) {
    struct queue *queue = calloc(1, sizeof *queue);
    if (queue == NULL) {
        return NULL;
    }
    queue->room = room;
    queue->item = calloc(room, sizeof *queue->item);
    if (queue->item == NULL) {
        free(queue);
        return NULL;
    }
    return queue;
}

void queue_free(struct queue *queue) {
    if (queue != NULL) {
        free(queue->item);
        free(queue);
    }
}

struct item *queue_room(struct queue *queue) {
    unsigned put = atomic_load_explicit(&queue->put, memory_order_relaxed);
    unsigned taken = atomic_load_explicit(&queue->taken, memory_order_acquire);
    return put - taken < queue->room ? &queue->item[put & (queue->room - 1)] : NULL;
}

bool queue_put(struct queue *queue) {
    INVARIANT(queue_room(queue) != NULL);
    unsigned put = atomic_fetch_add_explicit(&queue->put, 1, memory_order_release) + 1;
    return put - atomic_load_explicit(&queue->taken, memory_order_relaxed) == queue->room / 2;
}

const struct item *queue_oldest(struct queue *queue) {
    unsigned taken = atomic_load_explicit(&queue->taken, memory_order_relaxed);
    unsigned put = atomic_load_explicit(&queue->put, memory_order_acquire);
    return put != taken ? &queue->item[taken & (queue->room - 1)] : NULL;
}

void queue_drop(struct queue *queue) {
    INVARIANT(queue_oldest(queue) != NULL);
    atomic_fetch_add_explicit(&queue->taken, 1, memory_order_release);
}
