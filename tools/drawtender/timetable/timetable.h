/* timetable.h: trains over the bridge and boats under it, as a CSV file says, in model time.
 * Pure. The columns, in any order, named in the first record:
 *
 *   what     train, boat, traffic; opening, closing, approach, train-delay, boat-wait, clock
 *   name     of a train, boat or kind of traffic
 *   at       HH:MM or HH:MM:SS; a train: at its home signal; traffic: from when
 *   takes    on or under the bridge: "90s", "3 min"; or how long the time is that `what` names; of
 *            clock the number of model seconds in one of the layout, 1 to 2000
 *   track    of a train; where there is but one, empty
 *   from     the end that a train comes from; empty: where the first one comes from
 *   until    traffic: until when
 *   boats    traffic: how many; each comes at a second of its own between both, all seconds being
 *            as likely: as independent boats do whose number is known
 *
 * opening, closing and approach are the layout's times; all other times are model time. */
#ifndef TOOLS_DRAWTENDER_TIMETABLE_H
#define TOOLS_DRAWTENDER_TIMETABLE_H

#include "tools/drawtender/timetable/bridge_times.h"
#include "tools/drawtender/timetable/plan.h"

enum { TIMETABLE_NAME_SIZE = 48 };

struct timetable_call {
    int32_t at, takes;
    unsigned track; /* index into the names */
    unsigned end;
    unsigned line; /* of the file */
    char name[TIMETABLE_NAME_SIZE];
};

struct timetable {
    struct plan plan; /* its times in model seconds; its trains and boats are filled too */
    struct plan_train train[PLAN_TRAINS_MAX];
    struct plan_boat boat[PLAN_BOATS_MAX];
    struct timetable_call train_call[PLAN_TRAINS_MAX]; /* the same order */
    struct timetable_call boat_call[PLAN_BOATS_MAX];
    size_t tracks, ends;
    char track[PLAN_TRACKS_MAX][TIMETABLE_NAME_SIZE];
    char end[2][TIMETABLE_NAME_SIZE];
    struct bridge_times times; /* of the bridge, as planned with */
    unsigned clock;            /* model to layout time */
    int32_t boat_wait_s;       /* beyond this a boat's waiting is a conflict */
};

/* Reads a file's text. `seed` makes the random traffic: the same seed, the same boats, on every
 * machine. `better` (may be NULL) goes before the file's own times of the bridge. Returns false and
 * fills `error`, whose `where` is "line N" (or empty). */
bool timetable_read(struct timetable *timetable, const char *text, uint32_t seed,
                    const struct bridge_times *better, struct error *error);

/* Plans it; as plan_make(), with the train's name and line in the error. */
bool timetable_plan(struct timetable *timetable, struct error *error);

/* "18:04:30"; beyond a day the hours go on. `out` has 16 bytes. */
void timetable_clock(int32_t time_s, char out[16]);

#endif
