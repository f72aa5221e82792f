/* verbs.h: what the tool can be told to do. One table; adding a verb is one row and one function.
 */
#ifndef TOOLS_DRAWTENDER_VERBS_H
#define TOOLS_DRAWTENDER_VERBS_H

#include "tools/drawtender/tool.h"

#include <stddef.h>

struct verb {
    const char *name;
    const char *words; /* what must or may follow it, for the help */
    const char *what;  /* what it does, for the help */
    size_t words_min, words_max;
    /* Fills tool->said, or tool->error. What it connects, tool_run() closes. */
    enum outcome (*run)(struct tool *tool);
};

extern const struct verb verbs[];
extern const size_t verbs_count;

/* NULL: no such verb. */
const struct verb *verbs_find(const char *name);

/* Each in a file of its name, verb_<name>.c; those that ask once are together in verb_ask.c. */
enum outcome verb_balance(struct tool *tool);
enum outcome verb_commission(struct tool *tool);
enum outcome verb_state(struct tool *tool);
enum outcome verb_follow(struct tool *tool);
enum outcome verb_raise(struct tool *tool);
enum outcome verb_lower(struct tool *tool);
enum outcome verb_stop(struct tool *tool);
enum outcome verb_emergency_stop(struct tool *tool);
enum outcome verb_acknowledge(struct tool *tool);
enum outcome verb_power(struct tool *tool);
enum outcome verb_signal(struct tool *tool);
enum outcome verb_send(struct tool *tool);
enum outcome verb_perform(struct tool *tool);
enum outcome verb_plan(struct tool *tool);
enum outcome verb_reckon(struct tool *tool);
enum outcome verb_logbook(struct tool *tool);
enum outcome verb_opening(struct tool *tool);
enum outcome verb_serviced(struct tool *tool);
enum outcome verb_replay(struct tool *tool);
enum outcome verb_wait(struct tool *tool);

#endif
