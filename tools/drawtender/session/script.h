/* script.h: a session script: lines of the protocol as they go out, and a few words of its own.
 *
 *   # a comment                    a whole line
 *   SET, GET, WAIT, ...            a line of the protocol, checked as protocol/request.h does
 *   include FILE                   inserts another file, relative to the one that names it
 *   repeat N ... end               the lines between, N times (1 to 1000)
 *   expect TIME BUS FB ADDRESS VALUE LABEL         the device has the value within the time
 *   expect TIME BUS GA ADDRESS PORT VALUE LABEL
 *   pause TIME                     nothing, for so long in model time
 *   say WORDS                      shown to whoever runs it
 *   on failure stop|lower|go on    what a failed line from here on leads to
 *
 * Pure: files come through a function of the caller's. Bounded: see the limits below. */
#ifndef TOOLS_DRAWTENDER_SCRIPT_H
#define TOOLS_DRAWTENDER_SCRIPT_H

#include "base/error.h"
#include "tools/drawtender/session/script_step.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
    SCRIPT_INCLUDES_MAX = 8,  /* one within another */
    SCRIPT_FILES_MAX = 64,    /* read in all */
    SCRIPT_REPEATS_MAX = 8,   /* one within another */
    SCRIPT_REPEAT_MAX = 1000, /* times */
    SCRIPT_STEPS_MAX = 20000, /* all repeats written out */
};

struct script {
    size_t steps, room;
    struct script_step *step;
    size_t texts, text_room;
    char **text;
};

/* Returns a file's text, for the reader to free(), or NULL and `error`. */
typedef char *script_reader(void *context, const char *path, struct error *error);

/* Reads a script whole. Returns false and fills `error`, whose `where` is "file:line"; then
 * nothing is left to free. Otherwise script_free(). */
bool script_read(struct script *script, const char *path, script_reader *reader, void *context,
                 struct error *error);
void script_free(struct script *script);

#endif
