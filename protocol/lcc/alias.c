#include "protocol/lcc/alias.h"

enum { CHECK_FIRST = 7, CHECK_LAST = 4 };

static const uint64_t mask = 0xFFFFFFFFFFFF;

uint16_t lcc_alias_of_seed(uint64_t seed) {
    return (uint16_t)((seed >> 36 ^ seed >> 24 ^ seed >> 12 ^ seed) & LCC_ALIAS_MAX);
}

uint64_t lcc_alias_next_seed(uint64_t seed) {
    return (513 * seed + 0x1B0CA37A4BA9) & mask;
}

/* Takes the first alias from this seed on that is not 0. */
static void draw(struct lcc_alias *alias, uint64_t seed) {
    while (lcc_alias_of_seed(seed) == 0) {
        seed = lcc_alias_next_seed(seed);
    }
    alias->seed = seed;
    alias->alias = lcc_alias_of_seed(seed);
    alias->check = CHECK_FIRST;
    alias->state = LCC_ALIAS_ASKING;
}

void lcc_alias_start(struct lcc_alias *alias, uint64_t node) {
    *alias = (struct lcc_alias){.node = node};
    draw(alias, node);
}

static uint64_t rest_us(unsigned tries) {
    uint64_t us = LCC_ALIAS_REST_US;
    for (unsigned i = LCC_ALIAS_TRIES; i < tries && us < LCC_ALIAS_REST_MAX_US; i++) {
        us *= 2;
    }
    return us < LCC_ALIAS_REST_MAX_US ? us : LCC_ALIAS_REST_MAX_US;
}

static void begin_anew(struct lcc_alias *alias, uint64_t now_us) {
    draw(alias, lcc_alias_next_seed(alias->seed));
    if (alias->tries < UINT16_MAX) {
        alias->tries++;
    }
    if (alias->tries >= LCC_ALIAS_TRIES) {
        alias->state = LCC_ALIAS_RESTING;
        alias->until_us = now_us + rest_us(alias->tries);
    }
}

static bool ask(struct lcc_alias *alias, uint64_t now_us, struct lcc_frame *frame) {
    *frame = lcc_frame_check(alias->check, alias->node, alias->alias);
    if (alias->check-- == CHECK_LAST) {
        alias->state = LCC_ALIAS_WAITING;
        alias->until_us = now_us + LCC_ALIAS_WAIT_US;
    }
    return true;
}

bool lcc_alias_next(struct lcc_alias *alias, uint64_t now_us, struct lcc_frame *frame) {
    switch (alias->state) {
    case LCC_ALIAS_NONE:
    case LCC_ALIAS_PERMITTED:
        return false;
    case LCC_ALIAS_RESTING:
        if (now_us < alias->until_us) {
            return false;
        }
        alias->state = LCC_ALIAS_ASKING;
        return ask(alias, now_us, frame);
    case LCC_ALIAS_ASKING:
        return ask(alias, now_us, frame);
    case LCC_ALIAS_WAITING:
        if (now_us < alias->until_us) {
            return false;
        }
        alias->state = LCC_ALIAS_RESERVED;
        *frame = lcc_frame_reserve(alias->alias);
        return true;
    case LCC_ALIAS_RESERVED:
        alias->state = LCC_ALIAS_PERMITTED;
        alias->tries = 0;
        *frame = lcc_frame_define(alias->node, alias->alias);
        return true;
    }
    return false;
}

uint64_t lcc_alias_due_us(const struct lcc_alias *alias) {
    switch (alias->state) {
    case LCC_ALIAS_NONE:
    case LCC_ALIAS_PERMITTED:
        break;
    case LCC_ALIAS_RESTING:
    case LCC_ALIAS_WAITING:
        return alias->until_us;
    case LCC_ALIAS_ASKING:
    case LCC_ALIAS_RESERVED:
        return 0;
    }
    return UINT64_MAX;
}

enum lcc_alias_answer lcc_alias_take(struct lcc_alias *alias, uint64_t now_us,
                                     const struct lcc_frame_head *head, uint16_t *lost) {
    bool is_held = alias->state == LCC_ALIAS_RESERVED || alias->state == LCC_ALIAS_PERMITTED;
    if (alias->state == LCC_ALIAS_NONE || alias->state == LCC_ALIAS_RESTING ||
        head->source != alias->alias) {
        return LCC_ALIAS_FINE;
    }
    if (is_held && head->kind == LCC_FRAME_CHECK) {
        return LCC_ALIAS_DEFEND;
    }
    bool was_permitted = alias->state == LCC_ALIAS_PERMITTED;
    *lost = alias->alias;
    begin_anew(alias, now_us);
    return was_permitted ? LCC_ALIAS_LOST : LCC_ALIAS_FINE;
}
