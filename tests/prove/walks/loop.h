/* loop.h: a bridge in a world that obeys it: the span goes where it is driven, the bar too, trains
 * heed the signals (or overrun one that is put to stop in their face, while approach locking still
 * runs), what is to be done by hand is done when the bridge waits for it. One event a step. What
 * happens in the end if it can is called fair; what may happen or not, as trains and operators
 * like, is not. */
#ifndef PROVE_LOOP_H
#define PROVE_LOOP_H

#include "prove/moves/choices.h"
#include "prove/scenes/node.h"
#include "prove/scenes/scene.h"

#include <stdbool.h>
#include <stdint.h>

enum loop_event {
    EVENT_STEP, /* nothing but one more step */
    EVENT_LIFT,
    EVENT_BAR,
    EVENT_WARNING, /* these end a countdown */
    EVENT_HORN,
    EVENT_PUSH,
    EVENT_JOG_END,
    EVENT_SETTLE,
    EVENT_SPAN_CLEAR,
    EVENT_STOP_CLEAR,
    EVENT_APPROACH_LOCK,
    EVENT_RUN_OUT,   /* whatever was on an unwatched track has left it */
    EVENT_TOLD_STOP, /* long enough, where no proof is fitted */
    EVENT_TOLD_OFF,
    EVENT_BAR_TIME, /* driven for as long as the bar takes, where a contact is missing */
    EVENT_WORD,     /* somebody looks, and says that the span is seen clear; it is */
    EVENT_TRAIN,    /* goes on, or stands */
    EVENT_GIVE_UP,  /* the time to clear ends while a train stands on a section without power */
    EVENTS_FAIR,
    EVENT_ARRIVAL = EVENTS_FAIR,
    EVENT_OVERRUN,
    EVENT_RAISE,
    EVENT_LOWER,
    EVENT_STOP,
    EVENT_JOG_UP,
    EVENT_JOG_DOWN,
    EVENT_THROTTLE_UP, /* and held on, until it is let go */
    EVENT_THROTTLE_DOWN,
    EVENT_LET_GO,
    EVENT_WORD_OVER,
    EVENT_TIME_OUT, /* trains that could did not clear in time */
    EVENT_RESTART,
    EVENTS
};

enum train {
    TRAIN_NONE,
    TRAIN_COMING,
    TRAIN_TRUSTING, /* has seen its signal at proceed, and may be too close to stop */
    TRAIN_STANDING,
    TRAIN_ON_STOP,
    TRAIN_ON_SPAN,
    TRAIN_LEAVING
};

enum asked { ASKED_NOTHING, ASKED_UP, ASKED_DOWN };

/* The world, and the node of the bridge in it. Small numbers, so that Spin can keep it as bytes. */
struct loop {
    struct packed node;
    uint8_t place;       /* enum place */
    uint8_t rest;        /* enum place: where the core holds that the span came to rest */
    uint8_t bar;         /* enum bar */
    uint8_t lock;        /* enum lock_drive: as last put out */
    uint8_t is_settling; /* the core's countdown runs */
    uint8_t asked;       /* enum asked: what was granted and is not reached yet */
    uint8_t train[BRIDGE_TRACKS_MAX][TRACK_ENDS]; /* by the end that it comes from */
    uint8_t padding[2];                           /* zero: a loop is compared by its bytes */
};

/* Seated and locked, or open and unlocked, or between. */
void loop_start(const struct scene *scene, enum place place, struct loop *loop);

/* Whether the event can happen now, at that place of a track (0, 0 for the others). */
bool loop_can(const struct scene *scene, const struct loop *loop, enum loop_event event,
              unsigned track, unsigned end);

/* Lets it happen and takes a step. Returns NULL, or what is wrong: an invariant, a fault where
 * nothing failed, or something that no input may show: what is driven, powered or shown though
 * trains, span or bar are not where they should be. */
const char *loop_go(const struct scene *scene, struct loop *loop, enum loop_event event,
                    unsigned track, unsigned end);

/* The core's phase now. */
enum bridge_phase loop_phase(const struct scene *scene, const struct loop *loop);

/* Whether there is such an event with this bridge at all. */
bool loop_event_is_there(const struct scene *scene, enum loop_event event, unsigned track);

/* Events that concern a track, or an end of it, or neither. */
bool loop_event_is_of_track(enum loop_event event);
bool loop_event_is_of_end(enum loop_event event);

#endif
