/* sizing.h: what is known of a bridge, and what its lift does over its travel: the sums behind a
 * sizing report. Whether that is good enough is judged in verdict.h. Pure: no I/O, no allocation.
 * SI units. NAN stands for what nobody has said. */
#ifndef MECHANICS_SIZING_H
#define MECHANICS_SIZING_H

#include "mechanics/balance/pockets.h"
#include "mechanics/balance/slides.h"
#include "mechanics/balance/swing.h"
#include "mechanics/builder.h"
#include "mechanics/lift/backdrive.h"
#include "mechanics/lift/chain.h"
#include "mechanics/lift/travel.h"
#include "mechanics/room/outline.h"
#include "mechanics/trains/train_stop.h"

#include <stdbool.h>

enum { SIZING_OUTLINE_MAX = 32, SIZING_ENDS_MAX = 8 };

/* Parts of a powered lift that may not be known: bits. */
enum sizing_part {
    SIZING_LIFT = 1 << 0,
    SIZING_LEAF = 1 << 1,
    SIZING_DRIVE = 1 << 2,
    SIZING_MOTOR = 1 << 3,
    SIZING_SUPPLY = 1 << 4,
    SIZING_OF_MOTOR = SIZING_MOTOR | SIZING_SUPPLY, /* without these the rest has its sums */
};

/* One end of a track, and the worst train that comes from there. */
struct sizing_end {
    bool is_used;
    bool has_train;
    struct train braked; /* under control */
    struct train dead;   /* once its power is cut */
    double stop_m;       /* of the stop section */
    double approach_m;
    double approach_lock_s;
};

struct sizing_given {
    bool is_hand;     /* moved by hand: chain, law and watches are unset */
    unsigned missing; /* of the chain, which then has no such part; law and watches are set if only
                         motor and supply are missing */
    struct chain chain;
    struct travel_law law;
    struct backdrive_stop stop;
    bool is_rest_assumed; /* nobody measured what the motor holds with */
    double supply_a;
    double travel_limit_s;
    bool has_current_sensor;
    double stall_a;   /* the stall watch's current */
    double stalled_a; /* what the motor takes when stalled while it creeps, as far as it gets it */

    unsigned outline_points; /* 0: not given; corners in order around all that moves */
    struct point outline[SIZING_OUTLINE_MAX];
    unsigned weight_points; /* of a vertical lift's counterweight, which is not in `outline` */
    struct point weight_outline[SIZING_OUTLINE_MAX];
    bool has_room;
    struct outline_room room;
    double least_gap_m; /* wanted all round */

    double toe_x_m;
    double toe_least_n, toe_most_n; /* wanted on the seat; of a vertical lift on all seats; of a
                                       swing span at each end */
    struct swing_stand stand;       /* of a swing span */
    double wanted_angle_rad;        /* alpha, balance.h */
    bool is_angle_assumed;          /* nobody asked for this one */
    bool has_counterweight;
    double counterweight_kg;
    struct point counterweight;
    unsigned pockets;
    struct pocket pocket[POCKETS_MAX];
    unsigned pocket_blocks[POCKETS_MAX]; /* in it now; the balance counts them */
    unsigned slides;
    struct slide slide[SLIDES_MAX];
    double slide_now_m[SLIDES_MAX]; /* where it is; the balance counts it there */

    struct sizing_end end[SIZING_ENDS_MAX];
    struct builder_given builder;
};

/* The motor moving the span one way, with the most running friction, at full speed. */
struct sizing_effort {
    double torque_n_m;
    double current_a;
    double voltage_v;
};

/* The span at one position. NAN where it is not known or has no meaning. */
struct sizing_point {
    double position;
    double rack_travel_m;
    double arm;
    double moment;    /* N.m; N for a vertical lift */
    double highest_m; /* of the outlines, from the level that the room is measured from */
    double lowest_m;
    double rearmost_m; /* x from the axis's seated place */
    struct sizing_effort up, down;
};
struct sizing_point sizing_at(const struct sizing_given *given, double position);

/* Where a point of the outline is, from the axis's seated place: turned, rolled or lifted. */
struct point sizing_moved(const struct sizing_given *given, struct point seated, double position);

/* The same of the counterweight of a vertical lift, which comes down as the span rises. */
struct point sizing_weight_moved(struct point seated, double position);

/* Values of the whole lift; NAN, or nought with the travel's times INFINITY, where something is
 * missing. Not for a span moved by hand. */
struct sizing {
    struct chain_demand demand;
    double motor_rad_s;     /* at full speed */
    struct motor_best best; /* at the supply's voltage */
    double torque_share;    /* greatest torque of what the motor has when stalled */
    double arm_share;       /* least lever arm of the greatest */
    double arm_position;
    double seat_n;         /* what the seat carries, drive slack; NAN: the toe is not known */
    double worm_margin;    /* worm_lock_margin(); NAN: no worm */
    struct backdrive hold; /* with the motor off */
    struct swing swing;    /* of a swing span, else unset */
    struct travel up, down;
};
struct sizing sizing_of(const struct sizing_given *given);

#endif
