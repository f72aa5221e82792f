/* truth.h: whether a row of the table of guards is true of the compiled core: what it calls proved
 * blocks when the proof is withheld, what it calls by time waits for that time and no longer, what
 * it calls by word waits for the word, and what it calls not guarded happens. */
#ifndef GUARDS_TRUTH_H
#define GUARDS_TRUTH_H

#include "core/words/guards.h"

#include <stdbool.h>

/* There is a check for rows of this sort: the others do not occur. */
bool truth_is_checked(enum guard_thing thing, enum guard how);

/* The setup must be sound. Returns NULL, or what the core did instead. */
const char *truth_broken(const struct bridge_setup *setup, const struct guard_row *row);

#endif
