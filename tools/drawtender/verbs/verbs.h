/* verbs.h: what the tool can be told to do. A verb is a line of VERB_LIST, a row in verbs.c and a
 * function; from them come reading, help, and the table in tools/README.md. */
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
    bool is_local; /* needs no running daemon: its help omits the options that find one */
};

extern const struct verb verbs[VERBS];

/* Each in a file of its name, verb_<name>.c; those that ask once are together in verb_ask.c. Fills
 * tool->result, or tool->error. What it connects, run_verb() closes. */
#define X(id, function, name) enum outcome verb_##function(struct tool *tool);
VERB_LIST(X)
#undef X

/* Calls the verb's function. */
enum outcome verbs_run(enum verb_id id, struct tool *tool);

#endif
