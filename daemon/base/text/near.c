#include "base/text/near.h"

#include <ctype.h>
#include <string.h>

enum { WORD_MAX = 63 };

static size_t least(size_t a, size_t b) {
    return a < b ? a : b;
}

static int lower(const char *text, size_t at) {
    return tolower((unsigned char)text[at]);
}

size_t near_distance(const char *a, const char *b) {
    size_t a_length = strlen(a);
    size_t b_length = strlen(b);
    if (a_length > WORD_MAX || b_length > WORD_MAX) {
        return a_length > b_length ? a_length : b_length;
    }
    /* Three rows of the table: two letters ago, one letter ago, this one. */
    size_t rows[3][WORD_MAX + 1];
    size_t *before = rows[0], *last = rows[1], *row = rows[2];
    for (size_t j = 0; j <= b_length; j++) {
        row[j] = j;
    }
    for (size_t i = 1; i <= a_length; i++) {
        size_t *spare = before;
        before = last;
        last = row;
        row = spare;
        row[0] = i;
        for (size_t j = 1; j <= b_length; j++) {
            bool is_same = lower(a, i - 1) == lower(b, j - 1);
            row[j] = least(least(last[j], row[j - 1]) + 1, last[j - 1] + (is_same ? 0 : 1));
            if (i > 1 && j > 1 && lower(a, i - 1) == lower(b, j - 2) &&
                lower(a, i - 2) == lower(b, j - 1)) {
                row[j] = least(row[j], before[j - 2] + 1);
            }
        }
    }
    return row[b_length];
}

struct near near_begin(const char *word) {
    return (struct near){.word = word, .best = NULL, .distance = strlen(word) / 3 + 1};
}

void near_offer(struct near *near, const char *candidate) {
    size_t distance = near_distance(near->word, candidate);
    /* Every letter changed is another word, not a slip. */
    if (distance <= near->distance && distance < strlen(candidate) &&
        (near->best == NULL || distance < near->distance)) {
        near->best = candidate;
        near->distance = distance;
    }
}
