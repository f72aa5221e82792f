/* verdict.h: whether a lift does what is asked of it, each point with its margin. Words are made
 * elsewhere, from these numbers. Pure: no I/O, no allocation.
 *
 * A calculated verdict is not a proof: measure on the layout. A locking worm is not a brake. */
#ifndef MECHANICS_VERDICT_H
#define MECHANICS_VERDICT_H

#include "mechanics/doubt.h"
#include "mechanics/sizing.h"

#include <stdbool.h>

enum verdict_about {
    VERDICT_CEILING,        /* least gap, m, against the gap wanted; at: position; index: corner */
    VERDICT_FLOOR,          /* the same */
    VERDICT_WALL,           /* the same */
    VERDICT_WEIGHT_CEILING, /* the same of a vertical lift's counterweight */
    VERDICT_WEIGHT_FLOOR,
    VERDICT_WEIGHT_WALL,
    VERDICT_ARM,     /* least lever arm of a strut, of its greatest; at: position */
    VERDICT_TIPPING, /* of a swing span: its centre of gravity off the pivot, m */
    VERDICT_SEAT,    /* what the seat carries, N, against what is wanted */
    VERDICT_HEEL,    /* the same of a swing span's other end */
    VERDICT_HOLD, /* margin of what holds with the motor off, backdrive.h; at: position; index: part
                   */
    VERDICT_TORQUE,      /* greatest motor torque of its stall torque; at: position */
    VERDICT_VOLTAGE,     /* of the motor at full speed against the supply's, V */
    VERDICT_SUPPLY,      /* greatest current against the supply's, A */
    VERDICT_STALL_WATCH, /* its current between what moving takes and what a stall takes, A */
    VERDICT_RAISING,     /* time against the travel limit, s */
    VERDICT_LOWERING,
    VERDICT_STOP_SECTION,  /* length against what the worst train needs, m; index: end */
    VERDICT_APPROACH,      /* the same */
    VERDICT_APPROACH_LOCK, /* time against what the worst train takes to stop, s; index: end */
    VERDICT_ABOUTS
};

enum verdict_state {
    VERDICT_GOOD,
    VERDICT_BAD,
    VERDICT_UNKNOWN,
    VERDICT_UNSURE, /* the value may be off by more than the margin either way */
};

/* What is missing to judge, or to judge well: bits. */
enum verdict_need {
    VERDICT_NEEDS_OUTLINE = 1 << 0,
    VERDICT_NEEDS_ROOM = 1 << 1,
    VERDICT_NEEDS_TOE = 1 << 2,
    VERDICT_NEEDS_SEAT_WANTED = 1 << 3,
    VERDICT_NEEDS_SUPPLY_CURRENT = 1 << 4,
    VERDICT_NEEDS_FRICTION = 1 << 5, /* reckoned as nothing */
    VERDICT_NEEDS_TRAINS = 1 << 6,   /* of the end's track */
    VERDICT_NEEDS_STOP_LENGTH = 1 << 7,
    VERDICT_NEEDS_APPROACH_LENGTH = 1 << 8,
    VERDICT_NEEDS_WEIGHT_OUTLINE = 1 << 9,
    VERDICT_NEEDS_HEEL = 1 << 10,
    VERDICT_NEEDS_REST_TORQUE = 1 << 11, /* the motor holds by what it is taken to have */
    VERDICT_NEEDS_LIFT = 1 << 12,
    VERDICT_NEEDS_LEAF = 1 << 13,
    VERDICT_NEEDS_DRIVE = 1 << 14,
    VERDICT_NEEDS_MOTOR = 1 << 15,
    VERDICT_NEEDS_SUPPLY = 1 << 16,
};
enum { VERDICT_NEEDS_COUNT = 17 };

/* Least margin of what holds: friction may fall so many times, as by vibration, before the span
 * moves (a judgement, no source). Greatest share of the stall
 * torque for more than moments: common practice for brushed motors, no source. The least arm is
 * LIFT_STRUT_LEAST_ARM. */
#define VERDICT_HOLD_LEAST 1.5
/* How much nearer to the pivot than where it tips over a swing span's centre of gravity must be: a
 * judgement, no source. */
#define VERDICT_TIPPING_LEAST 1.5
#define VERDICT_TORQUE_MOST 0.3

struct verdict {
    enum verdict_about about;
    enum verdict_state state;
    double value;
    double least, most; /* what is wanted of the value; -INFINITY, INFINITY: no bound */
    double margin;      /* to the nearer bound, < 0 exactly if BAD; NAN if UNKNOWN */
    double at;          /* position; NAN: none */
    unsigned index;
    unsigned needs;     /* enum verdict_need */
    struct doubt doubt; /* of the margin; filled by whoever knows what may be off */
};

enum { VERDICTS_MAX = 24 + 3 * SIZING_ENDS_MAX };
struct verdicts {
    unsigned count;
    struct verdict verdict[VERDICTS_MAX];
};

/* Only what applies to the kind of lift, in the order of the enum. `sizing` of the same; not read
 * for a span moved by hand. */
struct verdicts verdicts_of(const struct sizing_given *given, const struct sizing *sizing);

bool verdicts_are_good(const struct verdicts *verdicts); /* none is BAD */

#endif
