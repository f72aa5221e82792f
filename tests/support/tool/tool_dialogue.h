/* tool_dialogue.h: the command-line tool in a process of its own, talked to as a person would: wait
 * for what it asks, then answer. */
#ifndef SUPPORT_TOOL_DIALOGUE_H
#define SUPPORT_TOOL_DIALOGUE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/types.h>

struct tool_dialogue {
    pid_t pid;
    int to, from;     /* of a terminal: the same */
    char said[65536]; /* all that it printed, standard error too */
    size_t filled, seen;
};

/* `arguments` without quotes, parted by single blanks; the port is added. */
void tool_dialogue_begin(struct tool_dialogue *dialogue, const char *arguments, uint16_t port);

/* The same at a terminal: it sees a person type. What it says comes with the keys that the terminal
 * echoes. */
void tool_dialogue_begin_at_terminal(struct tool_dialogue *dialogue, const char *arguments,
                                     uint16_t port);

/* Waits until it says this, after what was waited for before; fails the test if it ends first. */
void tool_dialogue_expect(struct tool_dialogue *dialogue, const char *words);
/* The same for whichever of `count` words comes first; returns its index. */
size_t tool_dialogue_any(struct tool_dialogue *dialogue, const char *const words[], size_t count);
/* The same for two; returns whether it is `words`. */
bool tool_dialogue_either(struct tool_dialogue *dialogue, const char *words, const char *others);
void tool_dialogue_answer(struct tool_dialogue *dialogue, const char *bytes);

/* Closes its input, if that is a pipe, and waits for its end; returns its exit status. */
int tool_dialogue_end(struct tool_dialogue *dialogue);

#endif
