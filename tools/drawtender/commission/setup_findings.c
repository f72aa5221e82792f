#include "tools/drawtender/commission/setup_findings.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

enum { NO = 0, YES = 1, ANY = 2 };

static bool is_like(int wanted, bool seen) {
    return wanted == ANY || (wanted == YES) == seen;
}

/* The first row that fits. */
static const struct {
    int when_made, when_away, other;
    enum finding finding;
} contact_rows[] = {
    {YES, NO, NO, FINDING_GOOD},
    {YES, NO, YES, FINDING_TIED},
    {NO, YES, ANY, FINDING_INVERTED},
    {ANY, ANY, YES, FINDING_SWAPPED}, /* it stays as it is, and another one changes instead */
    {NO, NO, NO, FINDING_NEVER_MAKES},
    {YES, YES, NO, FINDING_ALWAYS_MADE},
};

enum finding findings_of_contact(const struct findings_contact *seen) {
    for (size_t i = 0; i < sizeof contact_rows / sizeof contact_rows[0]; i++) {
        if (is_like(contact_rows[i].when_made, seen->read_when_made) &&
            is_like(contact_rows[i].when_away, seen->read_when_away) &&
            is_like(contact_rows[i].other, seen->has_other_changed)) {
            return contact_rows[i].finding;
        }
    }
    return FINDING_GOOD; /* the rows leave nothing out */
}

enum { EITHER = 9 };

/* By the current, where the span went as asked or not at all. */
static const struct {
    int up, down;
    int current;
    enum finding finding;
} nudge_rows[] = {
    {-1, EITHER, EITHER, FINDING_MOTOR_REVERSED},    {EITHER, 1, EITHER, FINDING_MOTOR_REVERSED},
    {1, EITHER, CURRENT_NONE, FINDING_CURRENT_DEAD}, {1, EITHER, EITHER, FINDING_GOOD},
    {0, -1, EITHER, FINDING_ONE_WAY_ONLY},           {0, 0, CURRENT_NONE, FINDING_MOTOR_DEAD},
    {0, 0, EITHER, FINDING_MOTOR_HELD_FAST},
};

enum finding findings_of_nudge(const struct findings_nudge *seen) {
    for (size_t i = 0; i < sizeof nudge_rows / sizeof nudge_rows[0]; i++) {
        if ((nudge_rows[i].up == EITHER || nudge_rows[i].up == seen->went_when_up) &&
            (nudge_rows[i].down == EITHER || nudge_rows[i].down == seen->went_when_down) &&
            (nudge_rows[i].current == EITHER || nudge_rows[i].current == (int)seen->current)) {
            return nudge_rows[i].finding;
        }
    }
    return FINDING_GOOD; /* the rows leave nothing out */
}

enum findings_current findings_current(double current_a, double no_load_a) {
    if (isnan(current_a)) {
        return CURRENT_UNKNOWN;
    }
    return fabs(current_a) > no_load_a / 5 ? CURRENT_FLOWS : CURRENT_NONE;
}

static const struct {
    const char *text;
    const char *remedy;
} words[FINDINGS] = {
    [FINDING_GOOD] = {"correct", ""},
    [FINDING_INVERTED] = {"wrong polarity: it reads open when made, and made when open",
                          "use its other terminal (a made contact must read made, so that a broken "
                          "wire reads open), or invert that input's polarity"},
    [FINDING_SWAPPED] = {"swapped: it does not change, and another contact changes instead",
                         "swap the two wires, or the two input numbers"},
    [FINDING_TIED] = {"tied together: another contact changes with it",
                      "look for a short between the two wires, or one input used for both"},
    [FINDING_NEVER_MAKES] = {"never reads made",
                             "look for a broken wire, a missing common, a wrong input number, or a "
                             "contact that is not reached"},
    [FINDING_ALWAYS_MADE] = {"always reads made",
                             "look for a short circuit, a stuck contact, or a wrong input number"},
    [FINDING_MOTOR_REVERSED] = {"the motor is reversed: driven up, the span goes down",
                                "swap the motor's two wires"},
    [FINDING_MOTOR_HELD_FAST] =
        {"the motor is driven but the span does not move",
         "look for a lock bar in the way, a brake that does not release, a jam, a motor that "
         "drives the span into its seat, or a starting effort that is too low"},
    [FINDING_MOTOR_DEAD] = {"no current flows and the span does not move",
                            "check the supply, its fuse, the emergency stop's contact, the motor's "
                            "wires and the current sensor"},
    [FINDING_CURRENT_DEAD] =
        {"dead current sensor: the span moves but no current is read",
         "check the sensor's wiring and scale; without it a stall goes unnoticed"},
    [FINDING_ONE_WAY_ONLY] = {"the span goes down but not up",
                              "check the relay or half bridge for up, and whether the span is too "
                              "heavy for the starting effort"},
};

const char *finding_text(enum finding finding) {
    return words[finding].text;
}

const char *finding_remedy(enum finding finding) {
    return words[finding].remedy;
}

int findings_seated_reading(const char *contact) {
    static const struct {
        const char *contact;
        int reading;
    } rows[] = {{"seated", 1},        {"nearly-seated", 1}, {"nearly-open", 0}, {"open", 0},
                {"within-travel", 1}, {"locked", 1},        {"withdrawn", 0},   {"stop-circuit", 1},
                {"rail-1", 1},        {"rail-2", 1},        {"rail-3", 1},      {"rail-4", 1}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (strcmp(rows[i].contact, contact) == 0) {
            return rows[i].reading;
        }
    }
    return -1;
}
