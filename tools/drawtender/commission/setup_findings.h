/* setup_findings.h: what is wrong with a bridge that is being set up, told from what was seen when
 * a contact was worked or the lift nudged. Pure: tables alone. */
#ifndef TOOLS_DRAWTENDER_SETUP_FINDINGS_H
#define TOOLS_DRAWTENDER_SETUP_FINDINGS_H

#include <stdbool.h>

enum finding {
    FINDING_GOOD = 0,
    /* a contact */
    FINDING_INVERTED,
    FINDING_SWAPPED,
    FINDING_TIED,
    FINDING_NEVER_MAKES,
    FINDING_ALWAYS_MADE,
    /* the lift */
    FINDING_MOTOR_REVERSED,
    FINDING_MOTOR_HELD_FAST,
    FINDING_MOTOR_DEAD,
    FINDING_CURRENT_DEAD,
    FINDING_ONE_WAY_ONLY,
    FINDINGS
};

/* A contact worked by hand: what it read then, and when let go; and whether another one changed
 * with it. */
struct findings_contact {
    bool read_when_made;
    bool read_when_away;
    bool has_other_changed;
};
enum finding findings_of_contact(const struct findings_contact *seen);

enum findings_current { CURRENT_UNKNOWN = 0, CURRENT_NONE, CURRENT_FLOWS };

/* The lift nudged up and down: which way the span went, 1 up, -1 down, 0 not seen to move. A nudge
 * down that was not needed counts as 0. */
struct findings_nudge {
    int went_when_up;
    int went_when_down;
    enum findings_current current;
};
enum finding findings_of_nudge(const struct findings_nudge *seen);

/* Whether this reading is a current at all: a motor that turns takes at least its no-load current,
 * of which a fifth is asked for (judgement, no source). NAN: no reading. */
enum findings_current findings_current(double current_a, double no_load_a);

/* What it is, and what to mend; static storage. */
const char *finding_text(enum finding finding);
const char *finding_remedy(enum finding finding);

/* What a contact must read with the span seated and locked, by its name in the device map
 * ("seated", "rail-1"): 1 made, 0 open; -1: no such contact. */
int findings_seated_reading(const char *contact);

#endif
