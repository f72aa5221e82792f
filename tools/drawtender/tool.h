/* tool.h: what a verb works with. */
#ifndef TOOLS_DRAWTENDER_TOOL_H
#define TOOLS_DRAWTENDER_TOOL_H

#include "base/error.h"
#include "tools/drawtender/client/bridge_link.h"
#include "tools/drawtender/options.h"
#include "tools/drawtender/outcome.h"

#include <stdbool.h>
#include <stdio.h>

/* Where the tool writes; the caller's. */
struct tool_streams {
    int in; /* descriptor; 0, as it is when nothing is said: standard input */
    FILE *out;
    FILE *err;
    bool is_terminal; /* `err` is one, and lines on it may be redrawn */
    unsigned columns; /* of the terminal */
};

/* What verbs work with. */
struct tool {
    const struct tool_options *options;
    struct tool_streams streams;
    struct bridge_link link;
    struct error error; /* why the outcome is not OUTCOME_DONE */
    char result[256];   /* the result in a line, for OUTCOME_DONE; may be empty */
    bool has_printed;   /* the verb has printed all itself: run_verb() adds only an error */
};

#endif
