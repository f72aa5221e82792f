/* log_queue.h: lines on their way from any thread to the one that writes them: a ring of bounded
 * room without a lock, so that no thread ever waits for another, whatever their priorities. Lines
 * that find no room are counted. (A bounded queue with a turn number in each place; common
 * practice, no source.) */
#ifndef BASE_LOG_QUEUE_H
#define BASE_LOG_QUEUE_H

#include "base/log_level.h"

#include <stdatomic.h>
#include <stdbool.h>
#include <time.h>

enum { LOG_WORDS_SIZE = 512, LOG_QUEUE_ROOM = 256 /* a power of two */ };

struct log_entry {
    struct timespec at; /* the real-time clock's */
    enum log_level level;
    char words[LOG_WORDS_SIZE];
};

struct log_queue {
    struct {
        atomic_uint turn; /* of the put that may fill it; one more: filled */
        unsigned lost;    /* lines before this one that found no room */
        struct log_entry entry;
    } place[LOG_QUEUE_ROOM];
    atomic_uint put;
    unsigned taken; /* the one taker's */
    atomic_uint lost;
};

/* Nobody may use it meanwhile. */
void log_queue_clear(struct log_queue *queue);

/* From any thread. Returns false where there was no room: the line is lost, and counted. */
bool log_queue_put(struct log_queue *queue, const struct log_entry *entry);

/* From one thread. `lost`: lines that found no room before it. Returns false: nothing there. */
bool log_queue_take(struct log_queue *queue, struct log_entry *entry, unsigned *lost);

/* Takes the count of the lines lost since the last one that found room. */
unsigned log_queue_lost(struct log_queue *queue);

#endif
