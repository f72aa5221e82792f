/* condition.h: what of a bridge its sounds and scenes follow: contacts as believed after
 * debouncing, what is put out, and the phase. Told of a step, never used to decide one. Pure. */
#ifndef EFFECTS_CONDITION_H
#define EFFECTS_CONDITION_H

#include "core/data/view.h"

#include <stdbool.h>
#include <stdint.h>

/* X(identifier, word in the configuration, when it holds) */
#define CONDITION_LIST(X)                                                                          \
    X(ALWAYS, "always", "always")                                                                  \
    X(HORN, "horn", "the horn's output is on, blast by blast")                                     \
    X(WARNING, "warning", "the warning before a movement runs")                                    \
    X(MOVING, "moving", "the lift is driven")                                                      \
    X(RAISING, "raising", "the lift is driven up")                                                 \
    X(LOWERING, "lowering", "the lift is driven down")                                             \
    X(LOCKING, "lock-moving", "the lock bar is driven, either way")                                \
    X(SEATED, "seated", "the span is proved seated")                                               \
    X(LOCKED, "locked", "the span is proved locked")                                               \
    X(LINED, "lined", "the bridge is lined for rail")                                              \
    X(OPEN, "open", "the span is open")                                                            \
    X(HELD, "held", "the span is held on its way")                                                 \
    X(FAULT, "fault", "a fault is latched")                                                        \
    X(TRAIN, "train", "a train is on a stop or span section")                                      \
    X(RIVER_GREEN, "river-green", "the river lights are green")                                    \
    X(RIVER_FLASHING, "river-flashing", "the river lights flash red")

#define CONDITION_IDENTIFIER(id, word, help) CONDITION_##id,
enum condition { CONDITION_LIST(CONDITION_IDENTIFIER) CONDITIONS };
#undef CONDITION_IDENTIFIER

/* A bit for each condition. */
typedef uint32_t condition_set;

/* What must hold, and what must not. */
struct condition_wanted {
    condition_set all, none;
};

/* Returns those that hold. */
condition_set condition_of(const struct bridge_view *view);

/* Returns whether `holding` is what is wanted. */
bool condition_is_met(const struct condition_wanted *wanted, condition_set holding);

#endif
