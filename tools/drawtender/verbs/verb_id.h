/* verb_id.h: the verbs by number and name. */
#ifndef TOOLS_DRAWTENDER_VERB_ID_H
#define TOOLS_DRAWTENDER_VERB_ID_H

#include <stdint.h>

/* Each with its function, verb_<...>(), and its name, in the order in which the help lists them. */
/* clang-format off */
#define VERB_LIST(X) \
    X(STATE, state, "state") \
    X(FOLLOW, follow, "follow") \
    X(RAISE, raise, "raise") \
    X(LOWER, lower, "lower") \
    X(HAND, hand, "hand") \
    X(STOP, stop, "stop") \
    X(EMERGENCY_STOP, emergency_stop, "emergency-stop") \
    X(ACKNOWLEDGE, acknowledge, "acknowledge") \
    X(SEEN_CLEAR, seen_clear, "seen-clear") \
    X(POWER, power, "power") \
    X(SIGNAL, signal, "signal") \
    X(WAIT, wait, "wait") \
    X(SEND, send, "send") \
    X(DESCRIBE, describe, "describe") \
    X(RECKON, reckon, "reckon") \
    X(MEASURE, measure, "measure") \
    X(BALANCE, balance, "balance") \
    X(COMMISSION, commission, "commission") \
    X(EVENTS, events, "events") \
    X(LOGBOOK, logbook, "logbook") \
    X(OPENING, opening, "opening") \
    X(SERVICED, serviced, "serviced") \
    X(REPLAY, replay, "replay") \
    X(PERFORM, perform, "perform") \
    X(PLAN, plan, "plan")
/* clang-format on */

enum verb_id {
#define X(id, function, name) VERB_##id,
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
