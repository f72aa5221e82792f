#include "tools/drawtender/hand/hand.h"

void hand_begin(struct hand *hand) {
    *hand = (struct hand){.permille = HAND_FULL / 2};
}

static void push(struct hand *hand, int way, uint64_t until_ms) {
    if (way != hand->way) {
        hand->is_spent = false;
    }
    hand->way = way;
    hand->until_ms = until_ms;
}

void hand_key(struct hand *hand, int way, uint64_t now_ms) {
    bool is_repeated = way == hand->way;
    push(hand, way, now_ms + (is_repeated ? HAND_NEXT_MS : HAND_FIRST_MS));
}

void hand_line(struct hand *hand, int way, unsigned permille, uint64_t now_ms) {
    hand->permille = permille;
    push(hand, way, now_ms + HAND_LINE_MS);
}

void hand_rest(struct hand *hand) {
    push(hand, 0, 0);
}

void hand_set(struct hand *hand, int permille) {
    hand->permille = permille < HAND_LEAST  ? HAND_LEAST
                     : permille > HAND_FULL ? HAND_FULL
                                            : (unsigned)permille;
    hand->next_ms = 0;
}

enum hand_ask hand_due(struct hand *hand, uint64_t now_ms, bool *has_lapsed) {
    *has_lapsed = hand->way != 0 && now_ms >= hand->until_ms;
    if (*has_lapsed) {
        hand_rest(hand);
    }
    int wanted = hand->is_spent ? 0 : hand->way;
    if (hand->running != 0 && hand->running != wanted) {
        hand->running = 0;
        return HAND_LET_GO;
    }
    if (wanted == 0 || (hand->running != 0 && now_ms < hand->next_ms)) {
        return HAND_NOTHING;
    }
    bool begins = hand->running == 0;
    hand->running = wanted;
    hand->next_ms = now_ms + HAND_REFRESH_MS;
    return !begins ? HAND_HOLD : wanted > 0 ? HAND_UP : HAND_DOWN;
}

void hand_refused(struct hand *hand) {
    hand->is_spent = hand->running != 0;
    hand->running = 0;
}

int hand_wait_ms(const struct hand *hand, uint64_t now_ms) {
    if (hand->way == 0) {
        return -1;
    }
    bool holds_on = hand->running != 0 && hand->next_ms < hand->until_ms;
    uint64_t at_ms = holds_on ? hand->next_ms : hand->until_ms;
    return at_ms > now_ms ? (int)(at_ms - now_ms) : 0;
}
