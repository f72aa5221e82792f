/* link_lock.h: the LOCK that keeps other clients of the server away from an accessory that a link
 * commands. Taken before the first command that is not the safe one, renewed at half its time.
 * Pure; times in microseconds. */
#ifndef IO_LINK_LOCK_H
#define IO_LINK_LOCK_H

#include "io/link/link_points.h"

#include <stdbool.h>
#include <stdint.h>

struct link_lock {
    unsigned bus;     /* on the other server */
    unsigned address; /* of the GA that it locks */
    bool is_held;
    bool is_refused; /* somebody else holds it, or there is no such lock */
    int32_t holder;  /* the other session that has it, as INFO told last; 0: none is known */
    uint64_t due_us; /* to be asked for, or renewed */
};

/* Not held, and wanted now: a new connection. */
void link_lock_restart(struct link_lock *lock, uint64_t now_us);

/* "SET 2 LOCK GA 21 10" */
void link_lock_set(const struct link_lock *lock, uint32_t lock_s, char line[LINK_LINE_SIZE]);

/* The reply to it. */
void link_lock_answered(struct link_lock *lock, bool is_taken, uint32_t lock_s, uint64_t beat_us,
                        uint64_t now_us);

enum { LINK_LOCK_WORDS_SIZE = 160 };

/* Why it is refused, for the log: "GA 21 on bus 2 cannot be locked: ...". */
void link_lock_words(const struct link_lock *lock, char words[LINK_LOCK_WORDS_SIZE]);

/* Takes in a line of the INFO session: it has ended, or somebody other than `session` has it. */
void link_lock_told(struct link_lock *lock, const struct srcp_answer *answer, int32_t session,
                    uint64_t now_us);

#endif
