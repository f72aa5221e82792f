/* builder.h: what a builder tells of the bridge beyond what moves it, each topic as its own sums
 * want it. NAN stands for what nobody has said. Pure: no I/O, no allocation. */
#ifndef MECHANICS_BUILDER_H
#define MECHANICS_BUILDER_H

#include "mechanics/drive/backlash.h"
#include "mechanics/drive/duty.h"
#include "mechanics/hold/bump.h"
#include "mechanics/lift/rope.h"
#include "mechanics/loads/axis.h"
#include "mechanics/loads/seats.h"

#include <stdbool.h>

enum { BUILDER_TRACKS_MAX = 4 };

/* What ends a stall: the first of these that the bridge has. */
enum builder_watch { BUILDER_WATCH_STALL, BUILDER_WATCH_NO_MOVEMENT, BUILDER_WATCH_TRAVEL };

struct builder_given {
    struct heat heat;
    struct duty duty;
    enum builder_watch stall_watch;
    double stall_watch_s; /* until it acts on a motor that was stalled from the start */
    double lead_m;        /* from the supply to the motor, one way */
    double wire_mm2;      /* NAN: to be proposed */

    unsigned teeth; /* of the pinion; unset of a vertical lift */
    double module_m;
    double face_m;   /* width of its teeth */
    double tooth_pa; /* bending that they bear */
    struct axis_bearings bearings;
    unsigned trains; /* the heaviest of each track */
    struct seats_train train[BUILDER_TRACKS_MAX];

    double push_n;           /* of a hand, at the toe of the open leaf */
    struct bump_tower tower; /* mass_kg NAN: not known */

    struct backlash backlash;
    double scale; /* 12: the prototype is 12 times as large */
    double prototype_opening_s;
    double prototype_leaf_m; /* from axis to toe; NAN: not known */
    double joint_m;          /* by so much rails may differ at a joint */
    double stiffness_n_m2;   /* of the leaf, all girders together; NAN: not known */
    double leaf_n_m;         /* its own weight as an even load from axis to toe */
    struct rope rope;        /* of a vertical lift */
    bool is_track_toothed;   /* of a rolling lift: teeth or pins keep it from slipping */
    double track_mu;

    double overhang_m;     /* of the rail beyond the toe's seat */
    double tolerance_frac; /* contacts and measured position, of the travel */
};

#endif
