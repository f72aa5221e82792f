#include "protocol/lcc/node/heard.h"

#include <string.h>

static void drop_oldest(struct lcc_heard_queue *queue) {
    queue->others--;
    memmove(&queue->other[0], &queue->other[1], queue->others * sizeof queue->other[0]);
}

static bool has(const struct lcc_heard_queue *queue, const struct lcc_heard *heard) {
    for (unsigned i = 0; i < queue->others; i++) {
        if (queue->other[i].want == heard->want && queue->other[i].link == heard->link) {
            return true;
        }
    }
    return false;
}

void lcc_heard_add(struct lcc_heard_queue *queue, const struct lcc_heard *heard, bool is_stop) {
    if (is_stop) {
        queue->stops += !queue->is_stop_heard[heard->want];
        queue->is_stop_heard[heard->want] = true;
        queue->stop[heard->want] = *heard;
        return;
    }
    if (has(queue, heard)) {
        return;
    }
    if (queue->others == LCC_HEARD_MAX) {
        drop_oldest(queue);
    }
    queue->other[queue->others++] = *heard;
}

static bool take_stop(struct lcc_heard_queue *queue, struct lcc_heard *heard) {
    for (unsigned i = 0; i < LCC_WANTED_MAX && queue->stops > 0; i++) {
        if (queue->is_stop_heard[i]) {
            queue->is_stop_heard[i] = false;
            queue->stops--;
            *heard = queue->stop[i];
            return true;
        }
    }
    return false;
}

bool lcc_heard_take(struct lcc_heard_queue *queue, uint64_t now_us, struct lcc_heard *heard) {
    if (take_stop(queue, heard)) {
        return true;
    }
    while (queue->others > 0) {
        *heard = queue->other[0];
        drop_oldest(queue);
        if (now_us - heard->at_us <= LCC_STALE_US) {
            return true;
        }
    }
    return false;
}
