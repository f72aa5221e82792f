/* request.h: what somebody asks of a bridge, and what the bridge answers. */
#ifndef CORE_REQUEST_H
#define CORE_REQUEST_H

enum bridge_request_kind {
    REQUEST_NONE = 0,
    REQUEST_RAISE,
    REQUEST_LOWER,
    REQUEST_STOP,           /* stop here; resumable either way (S9) */
    REQUEST_EMERGENCY_STOP, /* safe state, latched (S9) */
    REQUEST_ACKNOWLEDGE,    /* a fault whose cause is gone */
    REQUEST_SIGNAL_STOP,    /* track, end */
    REQUEST_SIGNAL_PROCEED, /* track, end */
    REQUEST_POWER_OFF,
    REQUEST_POWER_ON,
    REQUEST_HORN_ON,
    REQUEST_HORN_OFF,
};

struct bridge_request {
    enum bridge_request_kind kind;
    unsigned track;
    unsigned end;
};

enum bridge_answer {
    ANSWER_NONE = 0, /* nothing was asked */
    ANSWER_GRANTED,
    ANSWER_ALREADY,      /* granted, and nothing to change */
    ANSWER_NO_SUCH,      /* no such track, end or drive: a mistake of the caller's */
    ANSWER_FAULT,        /* refused: a fault is latched */
    ANSWER_UNPROVED,     /* refused: not known where the span is */
    ANSWER_NOT_LINED,    /* refused: the span is not lined for rail */
    ANSWER_POWER_OFF,    /* refused: the track power is off */
    ANSWER_CAUSE_STANDS, /* acknowledgment refused: the cause of the fault is still there */
};

#endif
