/* names.h: the core's enums in words, lower case, static storage. One table each. */
#ifndef CORE_NAMES_H
#define CORE_NAMES_H

#include "core/data/request.h"
#include "core/data/state.h"

#include <stdbool.h>
#include <stddef.h>

/* One word, hyphens within: "lined", "emergency-stop". */
const char *bridge_phase_name(enum bridge_phase phase);
const char *bridge_goal_name(enum bridge_goal goal);
const char *bridge_fault_name(enum bridge_fault fault);
const char *bridge_request_name(enum bridge_request_kind kind);

/* A clause for people: "the motor is stalled". */
const char *bridge_fault_text(enum bridge_fault fault);
const char *bridge_answer_text(enum bridge_answer answer);
const char *bridge_wait_text(enum bridge_wait wait);

/* The same with its place, as far as it has one: "stop section to be clear (main, west)". `track`,
 * `end`: the names of waiting->track and waiting->end. "" for WAIT_NONE. */
void bridge_wait_words(const struct bridge_waiting *waiting, const char *track, const char *end,
                       char *words, size_t size);

/* Also where nothing was requested, or nothing had to be changed. */
bool bridge_answer_is_granted(enum bridge_answer answer);

#endif
