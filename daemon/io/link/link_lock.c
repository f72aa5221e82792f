#include "io/link/link_lock.h"

#include <inttypes.h>
#include <stdio.h>

void link_lock_restart(struct link_lock *lock, uint64_t now_us) {
    lock->is_held = lock->is_refused = false;
    lock->due_us = now_us;
}

void link_lock_set(const struct link_lock *lock, uint32_t lock_s, char line[LINK_LINE_SIZE]) {
    snprintf(line, LINK_LINE_SIZE, "SET %u LOCK GA %u %" PRIu32, lock->bus, lock->address, lock_s);
}

void link_lock_answered(struct link_lock *lock, bool is_taken, uint32_t lock_s, uint64_t beat_us,
                        uint64_t now_us) {
    lock->is_held = is_taken;
    lock->is_refused = !is_taken;
    lock->due_us = now_us + (is_taken ? (uint64_t)lock_s * 500000 : beat_us);
}

void link_lock_words(const struct link_lock *lock, char words[LINK_LOCK_WORDS_SIZE]) {
    int length = snprintf(words, LINK_LOCK_WORDS_SIZE, "GA %u on bus %u cannot be locked",
                          lock->address, lock->bus);
    if (lock->holder != 0) {
        snprintf(words + length, LINK_LOCK_WORDS_SIZE - (size_t)length,
                 ": session %" PRId32 " of that server holds it; is a second daemon running?",
                 lock->holder);
    }
}

/* Session 0 is the server itself: it shows a hold of its own, and bars nobody by it. */
void link_lock_told(struct link_lock *lock, const struct srcp_answer *answer, int32_t session,
                    uint64_t now_us) {
    struct srcp_text rest = answer->rest;
    int32_t address, duration_s, holder;
    if (!answer->has_group || answer->group != SRCP_LOCK || answer->bus != lock->bus ||
        !srcp_text_is(srcp_text_word(&rest), "GA") ||
        !srcp_text_number(srcp_text_word(&rest), &address) || address != (int32_t)lock->address) {
        return;
    }
    bool is_others = answer->code != 102 && srcp_text_number(srcp_text_word(&rest), &duration_s) &&
                     srcp_text_number(srcp_text_word(&rest), &holder) && holder != 0 &&
                     holder != session;
    lock->holder = is_others ? holder : 0;
    if (answer->code == 102 || is_others) {
        lock->is_held = false;
        lock->due_us = now_us;
    }
}
