/* alias.h: how a node comes by its alias. CAN Frame Transfer S, 22 Jul 2024; the
 * generator is that of its Technical Note.
 *
 *   asking (7, 6, 5, 4) ──► waiting ──200 ms──► RID ──► AMD ──► permitted
 *        ▲   somebody has it: the next alias  │                    │ somebody uses it: AMR
 *        └────────────────────────────────────┴────────────────────┘
 *
 * Time comes in as an argument, microseconds of any clock that does not run backwards. */
#ifndef PROTOCOL_LCC_ALIAS_H
#define PROTOCOL_LCC_ALIAS_H

#include "protocol/lcc/frame.h"

/* At least 200 ms (S); a little more for clocks that differ. */
enum { LCC_ALIAS_WAIT_US = 210000 };

/* Where one alias after the other is taken, something is wrong, as where a hub sends frames back
 * to their sender: after so many the node rests before it tries the next, twice as long each time
 * (ours). */
enum { LCC_ALIAS_TRIES = 8, LCC_ALIAS_REST_US = 1000000, LCC_ALIAS_REST_MAX_US = 30000000 };

enum lcc_alias_state {
    LCC_ALIAS_NONE = 0, /* not started */
    LCC_ALIAS_RESTING,  /* before the next try */
    LCC_ALIAS_ASKING,
    LCC_ALIAS_WAITING,
    LCC_ALIAS_RESERVED, /* RID is out, AMD is not */
    LCC_ALIAS_PERMITTED,
};

/* All zero is one that is not started. */
struct lcc_alias {
    enum lcc_alias_state state;
    uint64_t node;
    uint64_t seed;
    uint16_t alias;    /* 0: none */
    unsigned check;    /* the CID that is next: 7, 6, 5, 4 */
    unsigned tries;    /* aliases that were taken, in a row */
    uint64_t until_us; /* of resting and waiting */
};

/* What the node owes to a frame that came. */
enum lcc_alias_answer {
    LCC_ALIAS_FINE = 0, /* nothing */
    LCC_ALIAS_DEFEND,   /* RID */
    LCC_ALIAS_LOST,     /* AMR of the alias it had; all that waited under it must be dropped */
};

/* The alias of a seed, and the seed after it. An alias may be 0, which is to be passed over. */
uint16_t lcc_alias_of_seed(uint64_t seed);
uint64_t lcc_alias_next_seed(uint64_t seed);

/* Begins as after power on, with the first alias of the node's sequence. */
void lcc_alias_start(struct lcc_alias *alias, uint64_t node);

/* Fills the next frame that is to be sent. Returns false if none is due now. The frame counts as
 * sent. */
bool lcc_alias_next(struct lcc_alias *alias, uint64_t now_us, struct lcc_frame *frame);

/* When lcc_alias_next() will have a frame; UINT64_MAX: not by time alone. */
uint64_t lcc_alias_due_us(const struct lcc_alias *alias);

/* Looks at a frame of another node. On LCC_ALIAS_LOST `*lost` is the alias that was permitted. */
enum lcc_alias_answer lcc_alias_take(struct lcc_alias *alias, uint64_t now_us,
                                     const struct lcc_frame_head *head, uint16_t *lost);

#endif
