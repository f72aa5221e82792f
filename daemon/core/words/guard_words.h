/* guard_words.h: the rows of guards.h as words for people. */
#ifndef CORE_GUARD_WORDS_H
#define CORE_GUARD_WORDS_H

#include "core/words/guards.h"
#include "core/words/lines.h"

#include <stdbool.h>

/* "proved", "by-time", "by-word", "not-guarded"; and the same for people. */
const char *guard_name(enum guard guard);
const char *guard_text(enum guard guard);

/* What a row says of itself beyond its own words, cut where it does not fit. */
struct guard_words {
    char invariants[24]; /* "S3,S4" */
    char condition[640]; /* "home signal main west, main east at stop" */
    char rests_on[160];  /* "commanded to stop continuously, 3 s" */
};

/* Makes the words of a row together with those that differ from it in their place alone. Returns
 * false where an earlier row has told of it so. `tracks` names all tracks in use. */
bool guards_describe(const struct guards *guards, unsigned row,
                     const struct line_track tracks[BRIDGE_TRACKS_MAX], struct guard_words *words);

#endif
