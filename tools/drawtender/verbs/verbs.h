/* verbs.h: what the tool can be told to do. A verb is a name in `enum verb_id`, a row in verbs.c
 * and a function; from the row come reading, help, and the table in tools/README.md. */
#ifndef TOOLS_DRAWTENDER_VERBS_H
#define TOOLS_DRAWTENDER_VERBS_H

#include "tools/drawtender/tool.h"
#include "tools/drawtender/verbs/verb_id.h"

#include <stddef.h>

enum { VERB_FORMS = 4, VERB_EXITS = 2, VERB_EXAMPLES = 3 };

struct verb {
    /* Each way to use it is a line of the help: the words that follow its name, and what it does.
     */
    struct verb_form {
        const char *words; /* capitals: to be filled in; [ ]: may be left out */
        const char *what;
    } form[VERB_FORMS];
    const char *waits;   /* for what it waits; NULL: it does not */
    const char *details; /* more, for its own help; NULL: nothing */
    const char *example[VERB_EXAMPLES];
    struct verb_exit {
        enum outcome outcome;
        const char *what; /* what this exit code means here, beside its usual meaning */
    } exit[VERB_EXITS];   /* OUTCOME_DONE ends the list */
    size_t words_min, words_max;
    /* Fills tool->said, or tool->error. What it connects, run_verb() closes. */
    enum outcome (*run)(struct tool *tool);
};

extern const struct verb verbs[VERBS];

/* Each in a file of its name, verb_<name>.c; those that ask once are together in verb_ask.c. */
enum outcome verb_balance(struct tool *tool);
enum outcome verb_commission(struct tool *tool);
enum outcome verb_describe(struct tool *tool);
enum outcome verb_state(struct tool *tool);
enum outcome verb_follow(struct tool *tool);
enum outcome verb_raise(struct tool *tool);
enum outcome verb_lower(struct tool *tool);
enum outcome verb_stop(struct tool *tool);
enum outcome verb_emergency_stop(struct tool *tool);
enum outcome verb_acknowledge(struct tool *tool);
enum outcome verb_seen_clear(struct tool *tool);
enum outcome verb_power(struct tool *tool);
enum outcome verb_signal(struct tool *tool);
enum outcome verb_send(struct tool *tool);
enum outcome verb_perform(struct tool *tool);
enum outcome verb_plan(struct tool *tool);
enum outcome verb_measure(struct tool *tool);
enum outcome verb_reckon(struct tool *tool);
enum outcome verb_events(struct tool *tool);
enum outcome verb_logbook(struct tool *tool);
enum outcome verb_opening(struct tool *tool);
enum outcome verb_serviced(struct tool *tool);
enum outcome verb_replay(struct tool *tool);
enum outcome verb_wait(struct tool *tool);

#endif
