#include "tools/drawtender/client/movement.h"

#include <string.h>

static const struct {
    const char *name, *phase, *goal, *arrived;
} table[] = {
    [MOVEMENT_UP] = {"raise", "open", "up", "open for the river"},
    [MOVEMENT_DOWN] = {"lower", "lined", "down", "lined for rail"},
};

/* Where a bridge that should rise is found without a goal when it has given up: back at its seat.
 */
static bool is_back_at_seat(const struct picture *picture) {
    static const char *const phases[] = {"lined", "proving", "locking", "unproved"};
    for (size_t i = 0; i < sizeof phases / sizeof phases[0]; i++) {
        if (picture_is_phase(picture, phases[i])) {
            return true;
        }
    }
    return false;
}

enum movement_end movement_judge(enum movement movement, const struct picture *picture) {
    bool has_goal = strcmp(picture->goal, table[movement].goal) == 0;
    bool has_none = strcmp(picture->goal, "none") == 0;
    if (picture_is_faulted(picture)) {
        return MOVEMENT_FAULTED;
    }
    if (picture_is_phase(picture, "held")) {
        return MOVEMENT_HELD;
    }
    if (!has_goal && !has_none) {
        return MOVEMENT_REVERSED;
    }
    if (picture_is_phase(picture, table[movement].phase) && has_none) {
        return MOVEMENT_ARRIVED;
    }
    if (movement == MOVEMENT_UP && has_none && is_back_at_seat(picture)) {
        return MOVEMENT_GIVEN_UP;
    }
    return MOVEMENT_GOES_ON;
}

const char *movement_name(enum movement movement) {
    return table[movement].name;
}

const char *movement_end_text(enum movement movement, enum movement_end end) {
    switch (end) {
    case MOVEMENT_GOES_ON:
        return "the bridge is moving";
    case MOVEMENT_ARRIVED:
        return table[movement].arrived;
    case MOVEMENT_FAULTED:
        return "a fault is latched";
    case MOVEMENT_HELD:
        return "the span is held in mid-travel: stopped by an operator, or abandoned";
    case MOVEMENT_REVERSED:
        return "someone requested the opposite movement";
    case MOVEMENT_GIVEN_UP:
        return "the bridge abandoned it: trains did not clear in time, or the span was returned";
    }
    return "";
}
