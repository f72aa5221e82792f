/* near.h: which of the known words somebody may have meant. */
#ifndef BASE_NEAR_H
#define BASE_NEAR_H

#include <stdbool.h>
#include <stddef.h>

/* Single-character insertions, deletions, replacements and swaps of neighbours that turn `a` into
 * `b` (optimal string alignment: Damerau 1964, CACM 7(3), from memory), letter case aside. Words
 * longer than 63 bytes are never near: the length of the longer is returned. */
size_t near_distance(const char *a, const char *b);

/* Keeps the nearest of the words offered one by one. */
struct near {
    const char *word; /* what was written */
    const char *best; /* the nearest so far, or NULL: none is near enough to be meant */
    size_t distance;
};

struct near near_begin(const char *word);
void near_offer(struct near *near, const char *candidate);

#endif
