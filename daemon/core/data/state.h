/* state.h: all that a bridge remembers. Timers are countdowns that stop at zero, never clock times.
 */
#ifndef CORE_STATE_H
#define CORE_STATE_H

#include "core/data/level.h"
#include "core/data/outputs.h"
#include "core/data/setup.h"

#include <stdbool.h>
#include <stdint.h>

enum bridge_phase {
    PHASE_UNPROVED = 0,
    PHASE_LINED,
    PHASE_CLEARING,
    PHASE_CUTTING,
    PHASE_WARNING,
    PHASE_UNLOCKING,
    PHASE_RAISING,
    PHASE_OPEN,
    PHASE_LOWERING,
    PHASE_SEATING,
    PHASE_LOCKING,
    PHASE_PROVING,
    PHASE_HELD,
    PHASE_FAULT,
    BRIDGE_PHASES
};

enum bridge_goal { GOAL_NONE = 0, GOAL_UP, GOAL_DOWN };

enum bridge_fault {
    FAULT_NONE = 0,
    FAULT_EMERGENCY_STOP, /* asked by a client */
    FAULT_STOP_CIRCUIT,   /* the hard-wired stop */
    FAULT_DEVICE_LOST,
    FAULT_INPUT_LOST,    /* S5: missing or too old */
    FAULT_CONTRADICTION, /* S5 */
    FAULT_PROOF_LOST,    /* seated, locked or rails lost while lined or proving */
    FAULT_OVERRUN,       /* S8: a train where none may be */
    FAULT_SIGNAL_UNPROVED,
    FAULT_POWER_UNPROVED,
    FAULT_LOCK_UNPROVED,
    FAULT_RAILS_UNPROVED,
    FAULT_STALL,
    FAULT_BINDING,
    FAULT_NO_MOVEMENT,
    FAULT_OVERSPEED,
    FAULT_OVERTRAVEL,
    FAULT_TRAVEL_TIME,
    FAULT_SEAT_TIME,
    FAULT_DRIFT,
    FAULT_LATE, /* nobody looked for too long while lift or lock were driven */
    BRIDGE_FAULTS
};

/* What the sequence waits for, and where. */
enum bridge_wait {
    WAIT_NONE = 0,
    WAIT_PLACE,         /* contacts must prove where the span is */
    WAIT_SIGNAL_PROOF,  /* track, end */
    WAIT_APPROACH_LOCK, /* track, end */
    WAIT_STOP_SECTION,  /* track, end: occupied */
    WAIT_SPAN_SECTION,  /* track: occupied */
    WAIT_RUN_OUT,       /* track: not watched whole; time for any train to leave it */
    WAIT_SEEN_CLEAR,    /* track: the same, where nothing but a person's word will do */
    WAIT_POWER_PROOF,   /* track */
    WAIT_POWER,         /* track, end: switched on, yet proved dead */
    WAIT_POWER_REQUEST, /* lined, and nobody has asked for track power */
    WAIT_WARNING,
    WAIT_LOCK_WITHDRAWN,
    WAIT_HAND_UNLOCK, /* a lock bar without a drive */
    WAIT_TRAVEL,
    WAIT_HAND_TRAVEL, /* a span without a lift */
    WAIT_SEATED,
    WAIT_LOCKED,
    WAIT_HAND_LOCK, /* a lock bar without a drive */
    WAIT_RAILS,
    WAIT_REQUEST,        /* held */
    WAIT_ACKNOWLEDGMENT, /* fault */
    BRIDGE_WAITS
};

struct bridge_waiting {
    enum bridge_wait what;
    unsigned track;
    unsigned end;
};

/* A condition that must hold for a while: starts when the condition does, and expires at zero. */
struct watch {
    bool is_running;
    uint32_t left_us;
};

/* A watch that a pause does not wipe out: it keeps what it has counted until the condition has been
 * away for as long as the watch itself. */
struct lasting_watch {
    struct watch watch;
    uint32_t ease_us; /* left of that time; 0: nothing is kept */
};

/* A contact that must hold its reading for a while before it is believed. One that never holds any
 * is not believed for ever what it last held. */
struct debounced {
    enum level believed;
    enum level candidate;
    uint32_t left_us;
    uint32_t unsettled_us; /* left until a belief is given up; 0: it is settled, or there is none */
};

/* As believed after debouncing; what the invariants are about. */
struct bridge_contacts {
    struct debounced seated, nearly_seated, open, nearly_open, within_travel, locked, withdrawn;
    struct debounced rail[BRIDGE_RAILS_MAX];
};

struct track_end_state {
    uint32_t approach_lock_us;    /* left of approach locking; 0: released */
    struct watch approach_clear;  /* expired: the approach section is believed clear */
    struct watch stop_clear;      /* expired: the stop section is believed clear */
    struct watch signal_unproved; /* at stop, or nobody knows; expired: a fault */
    struct watch power_unproved;  /* expired: a fault */
    struct watch told_stop;       /* no signal proof; expired: long enough to count as one */
    struct watch told_off;        /* no power proof; expired: long enough to count as one */
    bool is_proceed_wanted;
    bool shows_proceed; /* as last put out */
    bool is_powered;    /* as last put out: the stop section */
    bool is_occupied;   /* as seen in this step: the stop section */
    bool is_approached; /* as seen in this step: the approach section, or no detector there */
    bool is_just_left;  /* as seen in this step: it has come to read clear, not yet believed so */
};

struct track_state {
    struct track_end_state end[TRACK_ENDS];
    struct watch span_clear;
    struct watch power_unproved;
    struct watch told_off; /* as of an end */
    struct watch run_out;  /* not watched whole; expired: no train can be there any more */
    bool is_powered;       /* as last put out: the span section */
    bool is_fresh;         /* power came in this step: signals may follow in the next */
    bool is_occupied;      /* as seen in this step: the span section */
};

struct motion_state {
    double position_frac; /* measured, or estimated and anchored by contacts */
    bool is_known;       /* position_frac rests on a reading or a contact since the start; without a
                            sensor also since the last acknowledged fault */
    int direction;       /* as last put out: 1 raises, -1 lowers, 0 at rest */
    double speed_frac_s; /* as commanded; never negative */
    double measured_frac_s; /* over the last whole window; 0 without a sensor */
    double window_frac;     /* where the speed window began */
    double window_s;        /* how long it has run */
    double watch_frac[2];   /* where the no-movement watch began: on the way up [0], down [1] */
    double watch_effort[2]; /* the most effort that has been tried since then */
    double rest_frac;       /* where the span came to rest, or to be held still */
    uint32_t settle_us;     /* left until it must have come to rest */
    struct lasting_watch no_movement[2]; /* up, down */
    struct lasting_watch stall;
    struct watch binding;
};

/* The lock's drive, and what its time stands for where a contact is missing. */
struct lock_state {
    enum lock_drive put_out; /* as last put out */
    struct watch driven;     /* no locked contact; expired: believed locked */
    struct watch withdrawn;  /* no withdrawn contact; expired: believed withdrawn */
};

enum horn_signal { HORN_SILENT = 0, HORN_OPENING, HORN_CLOSING };

/* The horn signal being sounded: blasts and gaps alternate. */
struct horn_state {
    enum horn_signal signal;
    unsigned element; /* of the signal: which blast or gap is under way */
    uint32_t left_us; /* of that element */
};

/* Set-up moves the held span by hand, a little at a time. */
struct jog_state {
    int direction; /* 1 up, -1 down */
    double effort_most;
    uint32_t left_us; /* 0: none */
};

/* A person runs the span by a throttle: from the request until the span is open, or down on its
 * seat, or the hand lets go. */
struct throttle_state {
    double share; /* of full speed, or of full effort; 0: the span is not run by hand */
    bool is_voltage;
    uint32_t left_us; /* until it counts as let go */
};

struct bridge_state {
    enum bridge_phase phase;
    enum bridge_goal goal;
    enum bridge_fault fault;  /* first cause while the phase is PHASE_FAULT */
    struct watch phase_limit; /* the phase's longest time, where it has one */
    uint32_t warning_left_us;
    uint32_t push_left_us;
    uint32_t seen_clear_left_us;  /* a person's word that sections are clear; 0: none holds */
    uint32_t word_barred_left_us; /* such a word may be older than a gap; 0: one is taken */
    struct lock_state lock;
    struct jog_state jog;           /* in PHASE_HELD alone */
    struct throttle_state throttle; /* from PHASE_CLEARING to PHASE_SEATING */
    bool is_power_wanted;
    bool is_cut; /* the track power is cut until the next PHASE_LINED */
    bool is_horn_asked;
    bool has_opened;   /* since it was last lined */
    bool has_given_up; /* the last opening: trains did not clear in time */
    uint32_t openings; /* whole cycles since the start; wraps */
    struct bridge_contacts contacts;
    struct track_state track[BRIDGE_TRACKS_MAX];
    struct motion_state motion;
    struct horn_state horn;
};

#endif
