#include "base/log_queue.h"

void log_queue_clear(struct log_queue *queue) {
    for (unsigned i = 0; i < LOG_QUEUE_ROOM; i++) {
        atomic_store(&queue->place[i].turn, i);
    }
    atomic_store(&queue->put, 0);
    queue->taken = 0;
    atomic_store(&queue->lost, 0);
}

bool log_queue_put(struct log_queue *queue, const struct log_entry *entry) {
    unsigned put = atomic_load_explicit(&queue->put, memory_order_relaxed);
    for (;;) {
        unsigned turn =
            atomic_load_explicit(&queue->place[put % LOG_QUEUE_ROOM].turn, memory_order_acquire);
        int ahead = (int)(turn - put);
        if (ahead < 0) { /* still filled from the round before */
            atomic_fetch_add(&queue->lost, 1);
            return false;
        }
        if (ahead > 0) { /* another thread was quicker */
            put = atomic_load_explicit(&queue->put, memory_order_relaxed);
        } else if (atomic_compare_exchange_weak_explicit(
                       &queue->put, &put, put + 1, memory_order_relaxed, memory_order_relaxed)) {
            break;
        }
    }
    queue->place[put % LOG_QUEUE_ROOM].lost = log_queue_lost(queue);
    queue->place[put % LOG_QUEUE_ROOM].entry = *entry;
    atomic_store_explicit(&queue->place[put % LOG_QUEUE_ROOM].turn, put + 1, memory_order_release);
    return true;
}

bool log_queue_take(struct log_queue *queue, struct log_entry *entry, unsigned *lost) {
    unsigned place = queue->taken % LOG_QUEUE_ROOM;
    unsigned turn = atomic_load_explicit(&queue->place[place].turn, memory_order_acquire);
    if (turn != queue->taken + 1) {
        return false;
    }
    *lost = queue->place[place].lost;
    *entry = queue->place[place].entry;
    atomic_store_explicit(&queue->place[place].turn, queue->taken + LOG_QUEUE_ROOM,
                          memory_order_release);
    queue->taken++;
    return true;
}

unsigned log_queue_lost(struct log_queue *queue) {
    return atomic_exchange(&queue->lost, 0);
}
