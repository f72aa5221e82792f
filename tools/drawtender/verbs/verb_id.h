/* verb_id.h: the verbs by number and name. */
#ifndef TOOLS_DRAWTENDER_VERB_ID_H
#define TOOLS_DRAWTENDER_VERB_ID_H

#include <stdint.h>

/* In the order in which the help lists them. */
/* clang-format off */
#define VERB_LIST(X) \
    X(STATE, "state") \
    X(FOLLOW, "follow") \
    X(RAISE, "raise") \
    X(LOWER, "lower") \
    X(STOP, "stop") \
    X(EMERGENCY_STOP, "emergency-stop") \
    X(ACKNOWLEDGE, "acknowledge") \
    X(SEEN_CLEAR, "seen-clear") \
    X(POWER, "power") \
    X(SIGNAL, "signal") \
    X(WAIT, "wait") \
    X(SEND, "send") \
    X(DESCRIBE, "describe") \
    X(RECKON, "reckon") \
    X(MEASURE, "measure") \
    X(BALANCE, "balance") \
    X(COMMISSION, "commission") \
    X(EVENTS, "events") \
    X(LOGBOOK, "logbook") \
    X(OPENING, "opening") \
    X(SERVICED, "serviced") \
    X(REPLAY, "replay") \
    X(PERFORM, "perform") \
    X(PLAN, "plan")
/* clang-format on */

enum verb_id {
#define X(id, name) VERB_##id,
    VERB_LIST(X)
#undef X
        VERBS
};

extern const char *const verb_names[VERBS];

/* Returns the verb of this name, or VERBS. */
enum verb_id verb_id_find(const char *name);

/* Returns the name nearest to a misspelt one, or NULL if none is near. */
const char *verb_id_nearest(const char *name);

/* Returns the verb's bit in a row of options. */
uint64_t verb_id_bit(enum verb_id id);

#endif
