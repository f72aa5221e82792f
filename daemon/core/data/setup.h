/* setup.h: what one bridge is made of, as the core needs to know it. Constant while the bridge
 * runs. Travel is counted in fractions of the whole: 0 seated, 1 fully open, so that leaves
 * (radians) and vertical lifts (metres) are the same to the core. Times in microseconds. */
#ifndef CORE_SETUP_H
#define CORE_SETUP_H

#include <stdbool.h>
#include <stdint.h>

enum { BRIDGE_TRACKS_MAX = 4, TRACK_ENDS = 2, BRIDGE_RAILS_MAX = 4, MOTION_PLACES = 17 };

/* No setting may hide a lost proof for longer than this (S5, S10); and a contact that chatters, so
 * that no reading holds, reads nothing after so long: longer than a train shakes the span, short
 * enough that a loose wire is not taken for a proof (a judgement, no source). */
enum { BRIDGE_DEBOUNCE_MAX_US = 500000, BRIDGE_UNSETTLED_MAX_US = 10000000 };

/* One end of one track, from the approach to the gap. */
struct track_end_setup {
    bool is_used; /* trains come from this end: there are a home signal and a stop section */
    bool has_approach_detector;
    bool has_standing_detector; /* tells that a train stands before the signal */
    bool has_stop_detector;
    bool has_signal_proof;     /* feedback: the home signal shows stop */
    bool has_stop_power_proof; /* feedback: the stop section is dead */
    bool is_automatic;         /* the home signal clears without being asked */
    uint32_t approach_lock_us; /* approach locking runs this long */
};

struct track_setup {
    struct track_end_setup end[TRACK_ENDS];
    bool has_span_detector;
    bool has_span_power_proof;
    /* The longest that the slowest train takes from the far end of the longest approach until its
     * whole length has left the span and the far stop section; 0: not known, so that where no
     * detector tells only a person's word will do. */
    uint32_t run_out_us;
};

/* How the span is moved, and when its movement is wrong. Fractions of the travel, of full effort.
 */
struct motion_setup {
    bool has_position;
    bool has_current;
    double full_speed_frac_s;
    double creep_speed_frac_s;
    double acceleration_frac_s2;
    double deceleration_frac_s2;
    double slow_zone_seat_frac;     /* from the seat to here: creep */
    double slow_zone_open_frac;     /* the last part before open: creep */
    double effort_start;            /* least effort that moves the span, 0..1 of the supply */
    double effort_full;             /* effort at full speed, 0..1 */
    double effort_push;             /* seating push, 0..1 */
    double position_tolerance_frac; /* how far contacts and position may differ */
    double overtravel_frac;         /* beyond 0 or 1 by more than this: overtravel */
    double drift_frac;              /* at rest, moved by more than this: drift */
    double no_movement_frac;        /* driven for no_movement_us, moved by less: no movement */
    double overspeed_ratio;         /* of the full speed */
    double stall_a;                 /* amperes */
    uint32_t stall_us;              /* stall_a for this long: stall */
    /* Most amperes that the motor should take on its way up [0] and down [1], at even places from
     * the seat to open, straight between them. More than this and binding_a for binding_us: the
     * lift binds. Needs has_current; 0 us: not watched. */
    double expected_a[2][MOTION_PLACES];
    double binding_a;
    uint32_t binding_us;
    uint32_t
        no_movement_us; /* also the longest time an end contact may stay made when leaving it */
    uint32_t travel_limit_us; /* longest time raising or lowering */
    uint32_t seat_limit_us;   /* longest time in the slow zone before the seat */
    uint32_t push_us;         /* length of the seating push */
};

struct bridge_setup {
    bool is_hand_lifted;    /* no lift and no lock drive: contacts alone drive the table */
    bool has_lock;          /* false: no lock bar; seated counts as locked, too */
    bool has_lock_drive;    /* false: the lock bar is worked by hand and only proved */
    bool has_nearly_seated; /* optional contacts */
    bool has_nearly_open;
    bool has_open;         /* required unless the position is measured */
    bool has_overtravel;   /* closed circuit: ON while the span is within its travel */
    bool has_stop_circuit; /* hard-wired emergency stop: ON while healthy */
    bool has_locked;       /* of the bar; both required of one worked by hand under a lift; where */
    bool has_withdrawn;    /* one is missing the drive's longest time stands for it */
    unsigned rails;        /* contacts that prove rail ends in line, 0..BRIDGE_RAILS_MAX */
    unsigned tracks;       /* 1..BRIDGE_TRACKS_MAX */
    struct track_setup track[BRIDGE_TRACKS_MAX];
    struct motion_setup motion;
    uint32_t debounce_us; /* a contact must hold this long to be believed; 0..500 ms */
    uint32_t clear_us;    /* a section must stay clear this long to be believed (49 CFR 236.309) */
    uint32_t proof_limit_us;    /* longest wait for a signal, power or rail proof */
    uint32_t lock_limit_us;     /* longest time of the lock bar's travel, either way */
    uint32_t clearing_limit_us; /* longest wait for trains to clear; then the opening is given up */
    uint32_t warning_us;     /* shortest warning before the lock is withdrawn or the span lowered */
    uint32_t short_blast_us; /* 33 CFR 83.32: about 1 s */
    uint32_t prolonged_blast_us; /* 33 CFR 83.32: 4 to 6 s */
    uint32_t blast_gap_us;
};

/* Whether the core can keep its invariants with this setup (required contacts present, counts,
 * speeds and times within sense). Returns NULL, or the first thing wrong in words (static storage).
 */
const char *bridge_setup_fault(const struct bridge_setup *setup);

#endif
