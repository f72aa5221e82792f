#include "core/words/guard_words.h"

#include <stdio.h>
#include <string.h>

/* "%": where its place goes */
static const char *const conditions[GUARD_THINGS] = {
    [GUARD_SIGNAL] = "home signal % at stop",
    [GUARD_APPROACH] = "train before signal % stopped, or through",
    [GUARD_STOP_DEAD] = "stop section % without power",
    [GUARD_STOP_TRAINS] = "trains on stop section %",
    [GUARD_STOP_LEFT] = "stop section % clear before the lock is withdrawn",
    [GUARD_STOP_FREE] = "stop section % clear before a signal shows proceed",
    [GUARD_STOP_COMES] = "train that enters stop section % while the span is away",
    [GUARD_SPAN_DEAD] = "span section % without power",
    [GUARD_SPAN_TRAINS] = "trains on span section %",
    [GUARD_SPAN_LEFT] = "span section % clear before the lock is withdrawn",
    [GUARD_SPAN_FREE] = "span section % clear before a signal shows proceed",
    [GUARD_SPAN_COMES] = "train that enters span section % while the span is away",
    [GUARD_SEATED] = "span seated",
    [GUARD_LOCKED] = "span locked",
    [GUARD_RAILS] = "rail ends in line",
    [GUARD_WITHDRAWN] = "lock withdrawn",
    [GUARD_HAND_LOCK] = "lock bar worked by hand",
    [GUARD_HAND_LIFT] = "span lifted by hand",
    [GUARD_SEAT_STICKS] = "seated contact that sticks made",
    [GUARD_OPEN] = "span fully open",
    [GUARD_OPEN_FAILS] = "lift that runs past open",
    [GUARD_BLOCKED] = "lift that is blocked",
    [GUARD_PLACE] = "position of the span after a start",
    [GUARD_STOP] = "stop that needs no network",
};

const char *guard_name(enum guard guard) {
    static const char *const names[GUARD_SORTS] = {"proved", "by-time", "by-word", "not-guarded"};
    return names[guard];
}

const char *guard_text(enum guard guard) {
    static const char *const texts[GUARD_SORTS] = {"proved", "by time", "by a person's word",
                                                   "not guarded"};
    return texts[guard];
}

/* Puts words at the end of those that are there. */
static void append(char *words, size_t size, const char *more) {
    size_t used = strlen(words);
    snprintf(words + used, size - used, "%s", more);
}

static bool differ_in_place_alone(const struct guard_row *one, const struct guard_row *other) {
    return one->thing == other->thing && one->rests_on == other->rests_on &&
           one->time_us == other->time_us;
}

/* "main west, main east": of the row and of those like it. */
static void append_places(const struct guards *guards, unsigned row,
                          const struct line_track tracks[BRIDGE_TRACKS_MAX], char *words,
                          size_t size) {
    const struct guard_row *first = &guards->row[row];
    for (unsigned i = row; i < guards->rows; i++) {
        const struct guard_row *each = &guards->row[i];
        if (differ_in_place_alone(first, each)) {
            append(words, size, i > row ? ", " : "");
            append(words, size, tracks[each->track].name);
            append(words, size, guard_is_of_end(each->thing) ? " " : "");
            append(words, size,
                   guard_is_of_end(each->thing) ? tracks[each->track].end[each->end] : "");
        }
    }
}

static void tell_invariants(const struct guard_row *row, char *words, size_t size) {
    words[0] = '\0';
    for (unsigned number = 1; number <= 9; number++) {
        if ((row->invariants & 1u << number) != 0) {
            char name[] = {'S', (char)('0' + number), '\0'};
            append(words, size, words[0] != '\0' ? "," : "");
            append(words, size, name);
        }
    }
}

static void tell_condition(const struct guards *guards, unsigned row,
                           const struct line_track tracks[BRIDGE_TRACKS_MAX], char *words,
                           size_t size) {
    const char *text = conditions[guards->row[row].thing];
    const char *hole = strchr(text, '%');
    size_t before = hole != NULL ? (size_t)(hole - text) : strlen(text);
    snprintf(words, size, "%.*s", (int)before, text);
    if (hole != NULL) {
        append_places(guards, row, tracks, words, size);
        append(words, size, hole + 1);
    }
}

bool guards_describe(const struct guards *guards, unsigned row,
                     const struct line_track tracks[BRIDGE_TRACKS_MAX], struct guard_words *words) {
    const struct guard_row *told = &guards->row[row];
    for (unsigned i = 0; i < row; i++) {
        if (differ_in_place_alone(&guards->row[i], told)) {
            return false;
        }
    }
    tell_invariants(told, words->invariants, sizeof words->invariants);
    tell_condition(guards, row, tracks, words->condition, sizeof words->condition);
    snprintf(words->rests_on, sizeof words->rests_on, "%s", told->rests_on);
    if (told->how == GUARD_BY_TIME) {
        char time[32];
        snprintf(time, sizeof time, ", %.4g s", told->time_us / 1e6);
        append(words->rests_on, sizeof words->rests_on, time);
    }
    return true;
}
