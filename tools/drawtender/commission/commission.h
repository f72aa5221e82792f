/* commission.h: setting up a real bridge, step by step at the terminal. What the steps share; each
 * of them is in a file of its own, commission_<step>.c. Every step says what will move, waits for
 * the person, and can be left: then the span is asked to stop, and nothing has been written. */
#ifndef TOOLS_DRAWTENDER_COMMISSION_H
#define TOOLS_DRAWTENDER_COMMISSION_H

#include "config/config.h"
#include "tools/drawtender/commission/person.h"
#include "tools/drawtender/commission/setup_findings.h"
#include "tools/drawtender/tool.h"

#include <stdbool.h>

/* What was measured; NAN where it was not. */
struct commission_values {
    double starting_effort; /* least share of the supply that moved the span from rest */
    double seated;          /* where it rests on its seat, in the unit of the position */
    double open;
    double up_s, down_s; /* of a full run, without waiting and warning */
    double most_a;
};

struct commission {
    struct tool *tool;
    struct person person;
    const char *file;
    char *text; /* of the file */
    struct config config;
    struct config_report report;
    unsigned bridge; /* of the configuration */
    struct commission_values found;
};

/* A step went well; the bridge or the person ended it: `tool->error` says why. */
enum outcome commission_contacts(struct commission *commission);
enum outcome commission_direction(struct commission *commission);
enum outcome commission_start(struct commission *commission);
enum outcome commission_seat(struct commission *commission);
enum outcome commission_run_up(struct commission *commission);
enum outcome commission_open(struct commission *commission);
enum outcome commission_run_down(struct commission *commission);
enum outcome commission_write(struct commission *commission);

/* ---- what steps are made of */

/* Ports of the span, GA. */
enum {
    COMMISSION_LOWER = 0,
    COMMISSION_RAISE = 1,
    COMMISSION_STOP = 2,
    COMMISSION_EMERGENCY_STOP = 3,
    COMMISSION_ACKNOWLEDGE = 4,
    COMMISSION_JOG_UP = 5,
    COMMISSION_JOG_DOWN = 6,
    COMMISSION_SEEN_CLEAR = 7,
};

/* Prints words of the step. */
void commission_say(const struct commission *commission, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* "  seated: wrong polarity ...; use its other terminal ..." Returns whether it is good. */
bool commission_report(const struct commission *commission, const char *what, enum finding finding);

/* The outcome of a step that the person has left. */
enum outcome commission_left(struct commission *commission);

/* Sets a port of the span; the picture is up to date then. */
enum outcome commission_set(struct commission *commission, unsigned port, unsigned value);

/* Waits for one of the phases, NULL at the end; a fault ends it too (OUTCOME_FAULT, with its name).
 * Tells what the bridge waits for; where it is somebody's word, the person is asked and it is
 * given. Notes the greatest current on the way; `moving_s`, or NULL, gets the time from when the
 * span started to when it arrived. */
enum outcome commission_wait(struct commission *commission, const char *const phases[],
                             double *moving_s);

/* Sets `error` to how the bridge stands and what it waits for, behind `words`: OUTCOME_REFUSED. */
enum outcome commission_not_there(struct commission *commission, const char *words);

/* Jogs once and waits until the span rests again. Port as above; `permille` of the supply, or 1.
 * `moved_frac` gets how far of the travel it went (up is positive), by the position where it is
 * measured, else by the seated contact; `current_a` what it took, or NAN. */
enum outcome commission_nudge(struct commission *commission, unsigned port, unsigned permille,
                              double *moved_frac, double *current_a);

/* The person jogs with u and d until an Enter. */
enum outcome commission_jog(struct commission *commission, const char *question);

/* Moved by less than this share of the travel is not moved. */
extern const double commission_moved_frac;

/* A raw contact of the device map reads made; false too where there is none. */
bool commission_contact(const struct commission *commission, const char *name);

#endif
