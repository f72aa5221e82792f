#include "tools/drawtender/hand/hand_text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void put_measure(char *out, size_t size, int digits, double value, const char *unit) {
    if (isnan(value)) {
        snprintf(out, size, "? %s", unit);
    } else {
        snprintf(out, size, "%.*f %s", digits, value, unit);
    }
}

/* The contact at which the span is, as far as one is made. */
static const char *contact(const struct picture *picture) {
    static const char *const labels[] = {"contact open", "contact seated", "contact nearly-open",
                                         "contact nearly-seated"};
    for (size_t i = 0; i < sizeof labels / sizeof labels[0]; i++) {
        if (picture_value(picture_labelled(picture, SRCP_FB, labels[i]), 0, 0) == 1) {
            return labels[i];
        }
    }
    return NULL;
}

static bool is_driven(const struct picture *picture) {
    return picture_is_phase(picture, "raising") || picture_is_phase(picture, "lowering") ||
           picture_is_phase(picture, "seating");
}

/* What the bridge does before it moves: the news of it may still be on its way. */
static const char *order(const struct picture *picture) {
    bool is_at_rest = picture_is_phase(picture, "lined") || picture_is_phase(picture, "held") ||
                      picture_is_phase(picture, "open");
    return is_at_rest || picture->waits_for[0] == '\0' ? "asked" : picture->waits_for;
}

const char *hand_text_bound(const struct hand *hand, const struct picture *picture) {
    if (picture->fault[0] != '\0') {
        return picture->fault_words;
    }
    if (hand->is_spent) {
        return "over, refused or stopped: let go first";
    }
    if (hand->running == 0) {
        return "at rest";
    }
    if (!is_driven(picture)) {
        return order(picture);
    }
    const char *made = contact(picture);
    return made != NULL                ? made
           : picture->motion.is_slowed ? "slow zone, or place not known"
                                       : "as you ask";
}

void hand_text(const struct hand *hand, bool is_voltage, const struct picture *picture, char *out,
               size_t size) {
    static const char *const ways[] = {"down", "rest", "up"};
    const struct picture_motion *motion = &picture->motion;
    char position[48], speed[48] = "", volts[48], current[48];
    put_measure(position, sizeof position, 1, motion->position, motion->unit);
    put_measure(volts, sizeof volts, 1, motion->volts, "V");
    put_measure(current, sizeof current, 2, motion->current_a, "A");
    if (is_driven(picture)) {
        put_measure(speed, sizeof speed, 2, motion->speed, motion->unit);
        snprintf(speed + strlen(speed), sizeof speed - strlen(speed), "/s ");
    }
    snprintf(out, size, "%s %u%% %s | %s %s %s%s %s | %s", ways[hand->way + 1], hand->permille / 10,
             is_voltage ? "voltage" : "speed", picture->phase, position, speed, volts, current,
             hand_text_bound(hand, picture));
}
