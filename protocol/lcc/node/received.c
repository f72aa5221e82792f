#include "protocol/lcc/node/received.h"

#include <string.h>

static void drop_oldest(struct lcc_received_queue *queue) {
    queue->others--;
    memmove(&queue->other[0], &queue->other[1], queue->others * sizeof queue->other[0]);
}

static bool has(const struct lcc_received_queue *queue, const struct lcc_received *received) {
    for (unsigned i = 0; i < queue->others; i++) {
        if (queue->other[i].want == received->want && queue->other[i].link == received->link) {
            return true;
        }
    }
    return false;
}

void lcc_received_add(struct lcc_received_queue *queue, const struct lcc_received *received,
                      bool is_stop) {
    if (is_stop) {
        queue->stops += !queue->is_stop_received[received->want];
        queue->is_stop_received[received->want] = true;
        queue->stop[received->want] = *received;
        return;
    }
    if (has(queue, received)) {
        return;
    }
    if (queue->others == LCC_RECEIVED_MAX) {
        drop_oldest(queue);
    }
    queue->other[queue->others++] = *received;
}

static bool take_stop(struct lcc_received_queue *queue, struct lcc_received *received) {
    for (unsigned i = 0; i < LCC_WANTED_MAX && queue->stops > 0; i++) {
        if (queue->is_stop_received[i]) {
            queue->is_stop_received[i] = false;
            queue->stops--;
            *received = queue->stop[i];
            return true;
        }
    }
    return false;
}

bool lcc_received_take(struct lcc_received_queue *queue, uint64_t now_us,
                       struct lcc_received *received) {
    if (take_stop(queue, received)) {
        return true;
    }
    while (queue->others > 0) {
        *received = queue->other[0];
        drop_oldest(queue);
        if (now_us - received->at_us <= LCC_STALE_US) {
            return true;
        }
    }
    return false;
}
