/* rows.h: the rows of the findings: their list, one row, and how a topic adds one. Pure: no I/O, no
 * allocation. */
#ifndef MECHANICS_FINDINGS_ROWS_H
#define MECHANICS_FINDINGS_ROWS_H

#include "mechanics/verdict.h"

/* Topics in the order in which they are told: number, key, title. */
/* clang-format off */
#define FINDING_TOPIC_LIST(X) \
    X(HEAT, "heat", "Motor heat and duty, fuse and wire") \
    X(LOADS, "loads", "Loads on teeth, axis and seats") \
    X(HOLD, "hold", "A hand at the toe of the open leaf") \
    X(BACKLASH, "backlash", "Backlash of the gears") \
    X(STIFFNESS, "stiffness", "Stiffness of the leaf, and the rail joint") \
    X(SCALE, "scale", "Scale: what would look right (a proposal, never a limit)") \
    X(ROPES, "ropes", "Counterweight ropes") \
    X(SLIP, "slip", "Slip of the rolling segment")

/* clang-format on */

/* Rows in the order of their topics: number, topic, key, unit, what the value is, and what must be
 * known for it ("": nothing that might be missing). Units are SI, "degC" apart; "%" is a part of
 * one. */
/* clang-format off */
#define FINDING_LIST(X) \
    X(OPENINGS, HEAT, "openings", "", "openings of an evening", "") \
    X(COPPER_LOSS, HEAT, "copper-loss", "J", "heat in the winding from one opening", "") \
    X(OTHER_LOSS, HEAT, "other-loss", "J", "heat of friction and iron in the motor from it", "") \
    X(CURRENT_RMS, HEAT, "current-rms", "A", "current while moving, root of its mean square", "") \
    X(WINDING_EVENING, HEAT, "winding-evening", "degC", "hottest winding of the evening", "") \
    X(WINDING_ENDLESS, HEAT, "winding-endless", "degC", "hottest winding if openings went on for ever", "") \
    X(STALL_CURRENT, HEAT, "stall-current", "A", "current of a stalled motor at full effort", "") \
    X(STALL_WATCH_TIME, HEAT, "stall-watch-time", "s", "until the watch ends a stall, for the winding's sake", "/supply/current") \
    X(FUSE, HEAT, "fuse", "A", "fuse of the motor's lead, time-lag (your local code decides)", "") \
    X(WIRE, HEAT, "wire", "mm2", "copper wire of the lead", "") \
    X(LEAD_LOSS, HEAT, "lead-loss", "V", "lost in the lead at the greatest current", "") \
    X(SUPPLY_VOLTAGE, HEAT, "supply-voltage", "V", "voltage needed from the supply at full speed, lead included", "") \
    X(SUPPLY_RATING, HEAT, "supply-rating", "A", "current needed from the supply, with a quarter to spare", "/supply/current") \
    X(RACK_FORCE, LOADS, "rack-force", "N", "greatest force on rack or rope while moving", "") \
    X(JAM_FORCE, LOADS, "jam-force", "N", "the same in a jam, at all the current that the supply gives", "") \
    X(TOOTH_STRESS, LOADS, "tooth-stress", "Pa", "bending of the pinion's tooth while moving", "/drive/pinion/face width") \
    X(TOOTH_CARRIES, LOADS, "tooth-carries", "N", "force that the tooth carries", "") \
    X(AXIS_LOAD, LOADS, "axis-load", "N", "greatest load on all bearings of the axis while moving", "") \
    X(BEARING_PRESSURE, LOADS, "bearing-pressure", "Pa", "pressure in its bearings", "/leaf/bearings") \
    X(BEARING_FRICTION, LOADS, "bearing-friction", "N m", "their friction, if they are plain", "") \
    X(SEAT_MOST, LOADS, "seat-most", "N", "most on the toe's seat (one of a vertical lift), the heaviest trains on the span", "/tracks/0/trains/mass") \
    X(AXIS_MOST, LOADS, "axis-most", "N", "most on the axis, seated, the heaviest trains on the span", "/tracks/0/trains/mass") \
    X(SEAT_LEAST, LOADS, "seat-least", "N", "least on the toe's seat, a train behind the axis; below 0 the lock holds it down", "/tracks/0/trains/mass") \
    X(PUSH, HOLD, "push", "N", "reckoned with, square to the leaf", "/leaf/toe") \
    X(PUSH_TURNS, HOLD, "push-turns", "N", "turns the drive back (trunnion, gears, brushes and brake hold)", "") \
    X(PUSH_BREAKS, HOLD, "push-breaks", "N", "overloads the pinion's tooth", "/drive/pinion/face width") \
    X(PUSH_TIPS, HOLD, "push-tips", "N", "tips the tower along the track", "/tower") \
    X(PUSH_TIPS_SIDEWAYS, HOLD, "push-tips-sideways", "N", "tips it across the track", "/tower") \
    X(PLAY_RACK, BACKLASH, "play-rack", "m", "of all gears together, at rack or rope", "") \
    X(PLAY_TOE, BACKLASH, "play-toe", "m", "at the toe near the seat; a load on the seat takes it out, else the rail joint feels it", "/scale") \
    X(PLAY_TRAVEL, BACKLASH, "play-travel", "%", "of the travel, for contacts against a sensor on the motor's side", "") \
    X(PLAY_FALLS, BACKLASH, "play-falls", "m", "the toe falls through it where the balance changes sides", "") \
    X(STIFFNESS, STIFFNESS, "stiffness", "N m2", "of all girders together, E I", "") \
    X(TOE_SAG, STIFFNESS, "toe-sag", "m", "the toe sags before it meets its seat, held at the axis alone", "/leaf/girders") \
    X(BEND, STIFFNESS, "bend", "m", "the seated leaf bends under the heaviest trains", "/leaf/girders") \
    X(STEP, STIFFNESS, "step", "m", "step at the rail joint then", "/scale") \
    X(SCALE, SCALE, "scale", "", "the prototype is as many times as large", "/scale") \
    X(OPENING_RIGHT, SCALE, "opening-right", "s", "an opening like the prototype's would take", "") \
    X(OPENING_AS, SCALE, "opening-as", "s", "the model's opening is that of a prototype in", "") \
    X(TOE_SPEED_AS, SCALE, "toe-speed-as", "m/s", "its toe is as fast as a prototype's at", "") \
    X(LEAF_AS, SCALE, "leaf-as", "m", "its leaf is as long as a prototype's of", "") \
    X(LEAF_RIGHT, SCALE, "leaf-right", "m", "a leaf like the prototype's would measure", "") \
    X(MASS_AS, SCALE, "mass-as", "kg", "all that moves weighs as much as a prototype's of", "") \
    X(TRAIN_AS, SCALE, "train-as", "m/s", "the fastest train runs, by the clock, like a prototype at", "") \
    X(ROPE_TENSION, ROPES, "rope-tension", "N", "most that one carries", "/leaf/ropes") \
    X(ROPE_SAFETY, ROPES, "rope-safety", "", "breaking force by that", "/leaf/ropes/breaking") \
    X(ROPE_STRETCH, ROPES, "rope-stretch", "m", "it is longer for it by", "/leaf/ropes/diameter") \
    X(ROPE_SHEAVE, ROPES, "rope-sheave", "", "sheave by rope, in diameters", "/leaf/ropes/sheave") \
    X(SLIP_PUSH, SLIP, "slip-push", "N", "greatest push along the track", "") \
    X(SLIP, SLIP, "slip", "", "friction that it needs so as not to slip, or teeth", "")
/* clang-format on */

enum finding_topic {
#define X(id, key, title) FINDING_TOPIC_##id,
    FINDING_TOPIC_LIST(X)
#undef X
        FINDING_TOPICS
};

enum finding_about {
#define X(id, topic, key, unit, what, needs) FINDING_##id,
    FINDING_LIST(X)
#undef X
        FINDING_ABOUTS
};

struct finding {
    enum finding_about about;
    bool is_judged;           /* false: told only, state is GOOD */
    enum verdict_state state; /* UNKNOWN: the value, or what it is held against, is not known */
    double value;
    double least, most; /* -INFINITY, INFINITY: no bound */
    double margin;      /* to the nearer bound, < 0 exactly if BAD; NAN if not judged */
    double at;          /* position; NAN: none */
    struct doubt doubt; /* of the margin, or of the value that is told; filled as in verdict.h */
    const char *needs;  /* what is missing, where it is not what the list says; NULL: as there */
};

enum { FINDINGS_MAX = 160 };
struct findings {
    unsigned count;
    struct finding finding[FINDINGS_MAX];
};

unsigned findings_bad(const struct findings *findings);

enum finding_topic finding_topic(enum finding_about about);

/* For the topics' files. Each adds a row and returns it; a row that has no room is left out. A NAN
 * value makes a told row vanish and a judged row UNKNOWN. */
struct finding *findings_report(struct findings *findings, enum finding_about about, double value);
/* Told, but UNKNOWN if it is NAN. */
struct finding *findings_want(struct findings *findings, enum finding_about about, double value);
struct finding *findings_judge(struct findings *findings, enum finding_about about, double value,
                               double least, double most);

#endif
