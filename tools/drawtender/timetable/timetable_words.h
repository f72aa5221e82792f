/* timetable_words.h: a planned timetable for people, and as a session script. */
#ifndef TOOLS_DRAWTENDER_TIMETABLE_WORDS_H
#define TOOLS_DRAWTENDER_TIMETABLE_WORDS_H

#include "tools/drawtender/timetable/timetable.h"

#include <stdio.h>

/* What was planned with; openings, trains that wait, boats that wait. */
void timetable_words(FILE *out, const struct timetable *timetable);

/* Boats that wait beyond the limit, with the trains that they wait for; returns how many. */
size_t timetable_conflicts(FILE *out, const struct timetable *timetable);

/* Where the bridge's devices are on the server. */
struct timetable_bridge {
    unsigned bus;
    unsigned span;        /* GA */
    unsigned open, lined; /* FB */
};

/* The addresses that bridges have unless they are moved. */
struct timetable_bridge timetable_usual_bridge(unsigned bus);

/* Opens and closes at the planned times of the model clock. */
void timetable_script(FILE *out, const struct timetable *timetable,
                      const struct timetable_bridge *bridge);

/* A string-line diagram: place over time, trains above, boats below, openings across both. SVG,
 * black on white, rows of four hours. */
void timetable_diagram(FILE *out, const struct timetable *timetable);

#endif
