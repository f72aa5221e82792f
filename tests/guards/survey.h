/* survey.h: combinations by the thousand, each read as a configuration and held against what must
 * come of it; some of them once more by the real program. */
#ifndef GUARDS_SURVEY_H
#define GUARDS_SURVEY_H

#include "core/words/guards.h"
#include "guards/combination.h"

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

/* All sets of the choices in `open`, each with those in `fixed`. */
struct share {
    const char *name;
    combination open, fixed;
};
enum { SURVEY_SHARES = 7, SURVEY_REASONS_MAX = 32 };
extern const struct share survey_shares[SURVEY_SHARES];

/* The n-th set of a share; how many there are. */
combination share_at(const struct share *share, uint32_t n);
uint32_t share_size(const struct share *share);

/* Why some were refused, in the program's own words. */
struct refusal_reason {
    char words[320]; /* "/contacts/open: nothing guards ..." */
    uint32_t count;
};

struct survey {
    struct share share;
    uint32_t looked_at, accepted, refused;
    uint32_t by_program;                      /* of these, looked at by the real program as well */
    uint64_t digest;                          /* of what came of each, in order */
    uint32_t rows[GUARD_THINGS][GUARD_SORTS]; /* of those accepted: those that have such a row */
    struct refusal_reason reasons[SURVEY_REASONS_MAX];
    char broken[512]; /* what was not as it must be, the first time; "": nothing */
};

/* Looks at every `step`-th set of a share, and lets the program at `daemon` (NULL: none) look at
 * every `daemon_step`-th of these. Returns whether all was as it must be. */
bool survey_run(const struct share *share, uint32_t step, const char *daemon, uint32_t daemon_step,
                struct survey *survey);

/* Counts a reason, a new one or one that is known. Returns false where there is no room. */
bool survey_count_reason(struct survey *survey, const char *words, uint32_t count);

/* "| every bridge | 8192 | 1200 | 6992 | 0123456789abcdef |", of one that looked at every set. */
void survey_line(const struct survey *survey, char line[256]);

/* Tables for README.md: a line for each share; over all of them a row for each condition, and one
 * for each reason to refuse. */
void survey_tables(FILE *out, const struct survey surveys[SURVEY_SHARES]);

#endif
