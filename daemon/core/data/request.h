/* request.h: what somebody asks of a bridge, and what the bridge answers. */
#ifndef CORE_REQUEST_H
#define CORE_REQUEST_H

#include <stdbool.h>

enum bridge_request_kind {
    REQUEST_NONE = 0,
    REQUEST_RAISE,
    REQUEST_LOWER,
    REQUEST_STOP,   /* stop here; resumable either way (S9) */
    REQUEST_JOG_UP, /* held or open: creep for JOG_US, then rest (effort_most) */
    REQUEST_JOG_DOWN,
    REQUEST_THROTTLE_UP, /* raise by hand: no faster than share, and only while it is held */
    REQUEST_THROTTLE_DOWN,
    REQUEST_THROTTLE_HOLD,  /* the hand is still there; share may be another, and 0 lets go */
    REQUEST_EMERGENCY_STOP, /* safe state, latched (S9) */
    REQUEST_ACKNOWLEDGE,    /* a fault whose cause is gone */
    REQUEST_SEEN_CLEAR,     /* a person sees no train where no detector would tell (S3) */
    REQUEST_SIGNAL_STOP,    /* track, end */
    REQUEST_SIGNAL_PROCEED, /* track, end */
    REQUEST_POWER_OFF,
    REQUEST_POWER_ON,
    REQUEST_HORN_ON,
    REQUEST_HORN_OFF,
};

/* A jog is a dead man's handle: it ends by itself unless it is asked for again. Longer than the
 * pause of a keyboard between two repeats of a key that is held; short enough that the span creeps
 * only a little further after the hand has let go (judgement, no source). */
enum { JOG_US = 400000 };

/* A throttle that is not held for this long is let go, and the span rests. Some refreshes may be
 * late over a wireless network; short enough that a span at full speed goes a few degrees
 * (judgement, no source). */
enum { THROTTLE_US = 500000 };

/* Below this share a throttle counts as let go: the watches over the movement would have to wait
 * more than twenty times as long (judgement, no source). */
#define THROTTLE_SHARE_LEAST 0.05

/* A person's word that span and stop sections are clear holds for this long: time to walk to the
 * bridge's button, too short for a train to be fetched by hand (judgement, no source). */
enum { SEEN_CLEAR_US = 20000000 };

/* After a gap in the looks no such word is taken for this long: one that has waited in a socket
 * meanwhile may be as old as the gap, and is read in far less once the loop goes round again
 * (judgement, no source). */
enum { WORD_BARRED_US = 2000000 };

struct bridge_request {
    enum bridge_request_kind kind;
    unsigned track; /* of a signal; otherwise 0 */
    unsigned end;
    double effort_most; /* jog: at most this share of the supply; 0, and above it: as for creep */
    double share;       /* throttle: THROTTLE_SHARE_LEAST..1 of full speed, or of full effort */
    bool is_voltage;    /* throttle: share is of the effort, not of the speed */
};

/* A hand lets go of its throttle: brings to rest what it runs, and nothing else. */
static inline bool bridge_request_lets_go(const struct bridge_request *request) {
    return request->kind == REQUEST_THROTTLE_HOLD && request->share == 0;
}

/* One of the two stops, which nobody may keep away (S9). */
static inline bool bridge_request_is_stop(enum bridge_request_kind kind) {
    return kind == REQUEST_STOP || kind == REQUEST_EMERGENCY_STOP;
}

/* Brings to rest, and never sets anything going: whoever holds a lock (S9). */
static inline bool bridge_request_rests(const struct bridge_request *request) {
    return bridge_request_is_stop(request->kind) || bridge_request_lets_go(request);
}

enum bridge_answer {
    ANSWER_NONE = 0, /* nothing was requested */
    ANSWER_GRANTED,
    ANSWER_ALREADY,      /* granted, and nothing to change */
    ANSWER_NO_SUCH,      /* no such track, end or drive: a mistake of the caller's */
    ANSWER_FAULT,        /* refused: a fault is latched */
    ANSWER_UNPROVED,     /* refused: not known where the span is */
    ANSWER_NOT_LINED,    /* refused: the span is not lined for rail */
    ANSWER_POWER_OFF,    /* refused: the track power is off */
    ANSWER_NOT_HELD,     /* refused: jogging is for a span that is held, or open */
    ANSWER_LET_GO,       /* refused: no throttle is in the hand that could be held on */
    ANSWER_NOT_SAFE,     /* refused: what the lift needs is not proved (S3) */
    ANSWER_NOT_WANTED,   /* refused: nothing is waiting for that report */
    ANSWER_TOO_OLD,      /* refused: nobody looked for a while, and the report may be older */
    ANSWER_CAUSE_STANDS, /* acknowledgment refused: the cause of the fault is still present */
};

#endif
