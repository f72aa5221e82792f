/* hand_input.h: the keys of a terminal, or the lines of a pipe, as what they do to a hand. Pure. */
#ifndef TOOLS_DRAWTENDER_HAND_INPUT_H
#define TOOLS_DRAWTENDER_HAND_INPUT_H

#include "base/error.h"
#include "tools/drawtender/hand/hand.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { HAND_LINE_SIZE = 64 };

struct hand_input {
    bool is_line; /* lines, not keys */
    int escape;   /* how much of an arrow key's sequence has come */
    char line[HAND_LINE_SIZE];
    size_t filled;
    bool has_left; /* q, quit, the end */
};

/* Takes what came. Keys: arrows up and down (or u and d) push, right and left (or + and -) more and
 * less, 1 to 9 and 0 that many tenths, q and Ctrl-D leave, any other lets go. Lines: "up PERCENT",
 * "down PERCENT", "rest", "quit"; an empty one and one that begins with # do nothing. Returns
 * false, with the hand at rest, and fills `error` for a line that is none of these. */
bool hand_input_take(struct hand_input *input, struct hand *hand, const char *bytes, size_t length,
                     uint64_t now_ms, struct error *error);

#endif
