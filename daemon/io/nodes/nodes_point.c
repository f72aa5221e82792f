#include "io/nodes/nodes_point.h"

void nodes_point_forget(struct nodes_point *point) {
    *point = (struct nodes_point){.event = {point->event[0], point->event[1]}, .must_ask = true};
}

static void confirm(struct nodes_point *point, enum level level, uint64_t now_us) {
    point->level = level;
    point->is_confirmed = true;
    point->confirmed_us = now_us;
}

/* What an answer says; false: nothing. That the contrary does not hold makes nothing clear. */
static bool level_of(enum nodes_word word, bool is_on, enum level *level) {
    if (!is_on) {
        *level = LEVEL_OFF;
        return word == NODES_HOLDS;
    }
    *level = word == NODES_HOLDS ? LEVEL_ON : word == NODES_HOLDS_NOT ? LEVEL_OFF : LEVEL_UNKNOWN;
    return true;
}

/* Two nodes that both produce an event must say the same of it. */
static void compare(struct nodes_point *point, enum level level, uint16_t source) {
    if (point->has_answer && point->source != source && point->answer != level) {
        point->is_disputed = point->is_disputed_anew = true;
    }
    point->has_answer = true;
    point->source = source;
    point->answer = level;
}

static void take_answer(struct nodes_point *point, enum level level, uint16_t source,
                        uint64_t now_us) {
    bool is_older = point->older > 0;
    point->awaited -= point->awaited > 0;
    point->older -= is_older;
    compare(point, level, source);
    if (is_older && level == LEVEL_ON) {
        point->must_ask = true;
        return;
    }
    confirm(point, level, now_us);
}

bool nodes_point_said(struct nodes_point *point, enum nodes_word word, uint64_t event,
                      uint16_t source, uint64_t now_us) {
    bool is_on = event == point->event[1];
    enum level before = point->level;
    bool was_disputed = point->is_disputed;
    bool had_to_ask = point->must_ask;
    enum level level;
    if (!is_on && event != point->event[0]) {
        return false;
    }
    if (word == NODES_REPORTS && is_on) {
        point->must_ask = true;
    } else if (word == NODES_REPORTS) {
        confirm(point, LEVEL_OFF, now_us);
    } else if (level_of(word, is_on, &level)) {
        take_answer(point, level, source, now_us);
    }
    return point->level != before || point->is_disputed != was_disputed ||
           (point->must_ask && !had_to_ask);
}

void nodes_point_doubt(struct nodes_point *point) {
    point->older = point->awaited;
    point->must_ask = true;
    if (point->level == LEVEL_ON) {
        point->level = LEVEL_UNKNOWN;
    }
}

uint64_t nodes_point_due_us(const struct nodes_point *point, uint32_t beat_us) {
    if (!point->was_asked) {
        return 0;
    }
    return point->asked_us + (point->must_ask ? (uint32_t)NODES_AGAIN_US : beat_us);
}

void nodes_point_asked(struct nodes_point *point, uint64_t now_us) {
    if (point->was_asked && now_us - point->asked_us > NODES_ANSWER_US) {
        point->awaited = point->older = 0; /* lost */
    }
    point->is_disputed = point->is_disputed_anew;
    point->is_disputed_anew = point->has_answer = false;
    point->was_asked = true;
    point->must_ask = false;
    point->asked_us = now_us;
    point->awaited++;
}

enum level nodes_point_level(const struct nodes_point *point, uint32_t stale_us, uint64_t now_us) {
    bool is_stale = !point->is_confirmed || now_us > nodes_point_stale_us(point, stale_us);
    return is_stale || point->is_disputed ? LEVEL_UNKNOWN : point->level;
}

uint64_t nodes_point_stale_us(const struct nodes_point *point, uint32_t stale_us) {
    return point->is_confirmed ? point->confirmed_us + stale_us : UINT64_MAX;
}
