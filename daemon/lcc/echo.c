#include "lcc/echo.h"

#include <string.h>

/* FNV-1a, public domain; any spread would do. */
static unsigned set_of(const struct lcc_frame *frame) {
    uint32_t sum = (2166136261u ^ frame->id) * 16777619u;
    for (unsigned i = 0; i < frame->length; i++) {
        sum = (sum ^ frame->data[i]) * 16777619u;
    }
    return (sum ^ sum >> 16) % ECHO_SETS;
}

static bool is_same(const struct lcc_frame *a, const struct lcc_frame *b) {
    return a->id == b->id && a->length == b->length && memcmp(a->data, b->data, a->length) == 0;
}

/* Where it is among those of its sum, or else the place of the oldest of them: frames that go round
 * by turns must not drive one another out. */
static struct echo_frame *place_of(struct echo *echo, const struct lcc_frame *frame) {
    struct echo_frame *set = echo->seen[set_of(frame)];
    struct echo_frame *oldest = &set[0];
    for (unsigned i = 0; i < ECHO_PLACES; i++) {
        if (set[i].is_there && is_same(&set[i].frame, frame)) {
            return &set[i];
        }
        oldest = set[i].at_us < oldest->at_us ? &set[i] : oldest;
    }
    oldest->is_there = false;
    return oldest;
}

const struct echo_frame *echo_find(struct echo *echo, const struct lcc_frame *frame, unsigned link,
                                   uint64_t now_us) {
    struct echo_frame *seen = place_of(echo, frame);
    if (seen->is_there && seen->link != link && now_us - seen->at_us < ECHO_US) {
        return seen;
    }
    *seen = (struct echo_frame){.frame = *frame, .link = link, .is_there = true, .at_us = now_us};
    return NULL;
}

/* A loop lasts as long as they go on coming. */
bool echo_count(struct echo_count *count, uint64_t now_us) {
    bool was_loop = count->is_loop && now_us - count->last_us < 10 * (uint64_t)ECHO_US;
    if (count->count == 0 || now_us - count->since_us >= ECHO_US) {
        count->count = 0;
        count->since_us = now_us;
    }
    count->count++;
    count->last_us = now_us;
    count->is_loop = was_loop || count->count >= ECHO_LOOP;
    return count->is_loop && !was_loop;
}

bool echo_is_dropped(const struct echo_count *count, const struct lcc_frame *frame) {
    return count->is_loop || frame->length > 0;
}
