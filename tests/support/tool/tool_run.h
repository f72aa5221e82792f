/* tool_run.h: runs the command-line tool within a test and keeps what it printed. */
#ifndef SUPPORT_TOOL_RUN_H
#define SUPPORT_TOOL_RUN_H

#include "support/tool/tool_server.h"
#include "tools/drawtender/outcome.h"

#include <stdbool.h>
#include <stdint.h>

struct tool_run {
    uint16_t port;
    uint32_t reply_ms; /* longest time for a reply; 0: an hour */
    bool is_terminal;
    enum outcome outcome;
    char *out; /* tool_run_free() */
    char *err;
};

/* Plays `script` to a run of the tool; it must be played to its end. `reply_ms` 0: an hour. */
struct tool_run tool_run_against(const struct tool_server_step *script, const char *arguments,
                                 uint32_t reply_ms);

/* How the run ended, and words that must be in what it printed. Nothing but printable ASCII and
 * line ends may be there, unless it was a terminal. Frees the run. */
void tool_run_ends(struct tool_run run, enum outcome outcome, const char *out, const char *err);

/* Fails if `words` are not in `text`. */
void tool_run_says(const char *text, const char *words);

/* `arguments` is a command line without quotes: words parted by single blanks. */
void tool_run_words(struct tool_run *run, const char *arguments);
void tool_run_free(struct tool_run *run);

#endif
