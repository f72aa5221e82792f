/* hand.h: a hand at a throttle of keys or lines: what is to be asked of the bridge, and when. Pure;
 * the time is an argument.
 *
 * A push lapses by itself: a key that is held repeats, and a script says its line again. So
 * whatever takes the hand away lets go. A run that came to its end without the hand, or was
 * refused, begins no other before the hand was at rest. */
#ifndef TOOLS_DRAWTENDER_HAND_H
#define TOOLS_DRAWTENDER_HAND_H

#include <stdbool.h>
#include <stdint.h>

enum {
    HAND_LEAST = 50,  /* thousandths: less lets go (protocol/README.md) */
    HAND_FULL = 1000, /* thousandths */
    HAND_FIRST_MS =
        700, /* a keyboard's pause before it repeats a key (common practice, no source) */
    HAND_NEXT_MS = 250,    /* between two repeats, some of them late */
    HAND_LINE_MS = 500,    /* as long as the bridge itself waits */
    HAND_REFRESH_MS = 100, /* several times within that */
};

struct hand {
    int way;           /* 1 up, -1 down, 0 at rest */
    unsigned permille; /* of full speed, or of the full voltage */
    uint64_t until_ms; /* when the push lapses */
    int running;       /* the way that was asked for, and not let go since */
    bool is_spent;     /* refused or over: until the hand was at rest */
    uint64_t next_ms;  /* when to hold on again */
};

enum hand_ask { HAND_NOTHING = 0, HAND_UP, HAND_DOWN, HAND_HOLD, HAND_LET_GO };

/* Half of full, at rest. */
void hand_begin(struct hand *hand);

/* A key of this way was pressed, or repeats. */
void hand_key(struct hand *hand, int way, uint64_t now_ms);

/* A line says where the hand is: for HAND_LINE_MS. */
void hand_line(struct hand *hand, int way, unsigned permille, uint64_t now_ms);

/* Lets go. */
void hand_rest(struct hand *hand);

/* Sets how far it is pushed, within its bounds; a hand that runs the span is asked so at once. */
void hand_set(struct hand *hand, int permille);

/* What is to be asked now; it counts as asked. `has_lapsed`: the push has, in this call. */
enum hand_ask hand_due(struct hand *hand, uint64_t now_ms, bool *has_lapsed);

/* The bridge refused what hand_due() said. */
void hand_refused(struct hand *hand);

/* Milliseconds until hand_due() may say something; -1: only once the hand moves. */
int hand_wait_ms(const struct hand *hand, uint64_t now_ms);

#endif
