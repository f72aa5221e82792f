/* lines.h: every line between a bridge and the world, by number and by name: what is read of it
 * (inputs) and what is done to it (outputs). Two lists; a name may stand in both: the output
 * "main.west.signal" is the home signal, the input of that name its proof.
 * Pure: static tables. */
#ifndef CORE_LINES_H
#define CORE_LINES_H

#include "core/data/inputs.h"
#include "core/data/outputs.h"
#include "core/data/setup.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    LINES_OWN_LEVELS = 8 + BRIDGE_RAILS_MAX, /* the bridge's own */
    LINES_END_LEVELS = 5,                    /* of one end of a track */
    LINES_SPAN_LEVELS = 2,                   /* of a track on the span */
    LINES_TRACK_LEVELS = TRACK_ENDS * LINES_END_LEVELS + LINES_SPAN_LEVELS,
    LINES_LEVELS = LINES_OWN_LEVELS + BRIDGE_TRACKS_MAX * LINES_TRACK_LEVELS,
    LINE_STOP_CIRCUIT = 7,
    LINE_POSITION = LINES_LEVELS, /* the two inputs that are not levels */
    LINE_CURRENT,
    LINES_INPUTS,

    LINE_LIFT = 0, /* outputs */
    LINE_BRAKE,
    LINE_LOCK,
    LINE_HORN,
    LINE_RIVER,
    LINES_OWN_OUTPUTS,
    LINES_TRACK_OUTPUTS = TRACK_ENDS * 2 + 1,
    LINES_OUTPUTS = LINES_OWN_OUTPUTS + BRIDGE_TRACKS_MAX * LINES_TRACK_OUTPUTS,

    LINE_NAME_SIZE = 112
};

/* What a track and its ends are called: the configuration's names. */
struct line_track {
    const char *name;
    const char *end[TRACK_ENDS];
};

/* A set of lines: a bit each, by number. */
struct line_set {
    uint64_t inputs;
    uint64_t outputs;
};

/* The level with this number, 0..LINES_LEVELS-1. */
enum level *lines_level(struct bridge_inputs *inputs, unsigned number);

/* How many levels are numbered with this many tracks. */
unsigned lines_levels(unsigned tracks);

/* "seated", "rail-2", "main.span", "main.west.approach", "position"; into `name`. `tracks` names
 * all tracks that are in use. */
void lines_input_name(const struct line_track *tracks, unsigned number, char name[LINE_NAME_SIZE]);

/* "lift", "main.west.signal", "main.span-power"; into `name`. */
void lines_output_name(const struct line_track *tracks, unsigned number, char name[LINE_NAME_SIZE]);

/* The number of the output that shows proceed, feeds a stop section, feeds the span section. */
unsigned lines_signal(unsigned track, unsigned end);
unsigned lines_stop_power(unsigned track, unsigned end);
unsigned lines_span_power(unsigned track);

/* The input that proves such an output at its safe value; false: there is none for this output. */
bool lines_proof(unsigned output, unsigned *input);

/* Whether an output is on: the lift or the lock driven either way, the river lights green. */
bool lines_is_on(const struct bridge_outputs *outputs, unsigned number);

/* When an output of more than two states wants one of its devices on. */
enum line_when {
    LINE_WHEN_ON = 0,
    LINE_WHEN_RAISE,
    LINE_WHEN_LOWER,
    LINE_WHEN_DRIVEN,
    LINE_WHEN_WITHDRAWN,
    LINE_WHEN_RED,
    LINE_WHEN_FLASHING,
    LINE_WHEN_GREEN
};

/* Whether that device of the output is on. */
bool lines_wants_on(const struct bridge_outputs *outputs, unsigned number, enum line_when when);

/* Every line that a bridge of this setup has, and those that it cannot do without: all but horn,
 * brake and river lights. */
struct line_set lines_there(const struct bridge_setup *setup);
struct line_set lines_needed(const struct bridge_setup *setup);

/* Sets every reading to "none": levels unknown, measures not a number. */
void lines_forget(struct bridge_inputs *inputs);

/* Copies the readings of the lines in `set`, a mask of inputs. */
void lines_take(struct bridge_inputs *to, const struct bridge_inputs *from, uint64_t set);

#endif
