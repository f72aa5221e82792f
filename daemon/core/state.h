/* state.h: all that a bridge remembers. Timers are countdowns that stop at zero, never clock times.
 */
#ifndef CORE_STATE_H
#define CORE_STATE_H

#include "core/level.h"
#include "core/setup.h"

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
    FAULT_NO_MOVEMENT,
    FAULT_OVERSPEED,
    FAULT_OVERTRAVEL,
    FAULT_TRAVEL_TIME,
    FAULT_SEAT_TIME,
    FAULT_DRIFT,
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
    WAIT_POWER_PROOF,   /* track */
    WAIT_WARNING,
    WAIT_LOCK_WITHDRAWN,
    WAIT_TRAVEL,
    WAIT_SEATED,
    WAIT_LOCKED,
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

/* A contact that must hold its reading for a while before it is believed. */
struct debounced {
    enum level believed;
    enum level candidate;
    uint32_t left_us;
};

struct track_end_state {
    uint32_t approach_lock_us;   /* left of approach locking; 0: released */
    uint32_t stop_clear_us;      /* left until the stop section is believed clear; 0: clear */
    uint32_t signal_unproved_us; /* left until a signal not proved at stop is a fault */
    uint32_t power_unproved_us;  /* left until a stop section not proved dead is a fault */
    bool is_proceed_wanted;
    bool shows_proceed; /* as last put out */
    bool is_powered;    /* as last put out */
    bool is_occupied;   /* as seen in this step: stop section */
    bool is_approached; /* as seen in this step: approach section, or no detector there */
};

struct track_state {
    struct track_end_state end[TRACK_ENDS];
    uint32_t span_clear_us;
    uint32_t power_unproved_us;
    bool is_powered;
    bool is_occupied; /* as seen in this step: span section */
};

struct motion_state {
    double position_frac;    /* measured, or estimated and anchored by contacts */
    bool is_known;           /* position_frac rests on a reading or a contact since the start */
    double speed_frac_s;     /* as commanded; positive raises */
    double measured_frac_s;  /* from two readings; 0 without a sensor */
    double watch_frac;       /* where the no-movement watch began */
    double rest_frac;        /* where the span came to rest */
    uint32_t no_movement_us; /* counts down while driven */
    uint32_t stall_us;       /* counts down while the current is too high */
};

/* Horn: the pattern being sounded. */
enum horn_signal { HORN_SILENT = 0, HORN_OPENING, HORN_CLOSING };

struct horn_state {
    enum horn_signal signal;
    unsigned element; /* of the pattern; blasts and gaps alternate */
    uint32_t left_us; /* of this element */
};

/* As believed after debouncing; what the invariants are about. */
struct bridge_contacts {
    struct debounced seated, nearly_seated, open, nearly_open, within_travel, locked, withdrawn;
    struct debounced rail[BRIDGE_RAILS_MAX];
};

struct bridge_state {
    enum bridge_phase phase;
    enum bridge_goal goal;
    enum bridge_fault fault; /* first cause while phase is PHASE_FAULT */
    uint32_t phase_left_us;  /* of the phase's longest time */
    uint32_t warning_left_us;
    uint32_t push_left_us;
    bool is_power_wanted;
    bool is_cut; /* this opening has cut the track power */
    bool is_horn_asked;
    bool is_position_lost; /* a measured position with no reading in this step */
    bool is_overtravelled;
    uint32_t openings; /* whole cycles since the start; wraps */
    struct bridge_contacts contacts;
    struct track_state track[BRIDGE_TRACKS_MAX];
    struct motion_state motion;
    struct horn_state horn;
};

#endif
