/* performance.h: a session script carried out, line by line, on a server.
 * Whatever ends it early, the spans it may have moved are then asked to stop where they are, or to
 * lower, over a new connection: the old one may be waiting for something, or be gone. If it is this
 * process that ends, another asks (dead_man.h). */
#ifndef TOOLS_DRAWTENDER_PERFORMANCE_H
#define TOOLS_DRAWTENDER_PERFORMANCE_H

#include "tools/drawtender/client/progress.h"
#include "tools/drawtender/session/script.h"
#include "tools/drawtender/tool.h"

enum { PERFORMANCE_BUSES_MAX = 8 };

struct performance {
    struct tool *tool;
    const struct script *script;
    struct progress progress;
    int interrupt;                  /* descriptor that ends it when readable; -1: none */
    enum script_failure on_failure; /* as the script says up to here */
    size_t failed;                  /* lines, where the script goes on after them */
    size_t buses;                   /* that the script moves something on */
    unsigned bus[PERFORMANCE_BUSES_MAX];
    int32_t span[PERFORMANCE_BUSES_MAX]; /* address of the span there */
};

/* Finds the spans, and opens the sessions of tool->link. Fills tool->error if not. */
enum outcome performance_begin(struct performance *performance, struct tool *tool,
                               const struct script *script);

/* All steps; fills tool->result or tool->error: file, line, and what came. */
enum outcome performance_run(struct performance *performance);

#endif
