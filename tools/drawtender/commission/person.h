/* person.h: somebody at the terminal, asked one thing after another, while the bridge is watched.
 *
 * At a terminal only what is typed after a question answers it: an Enter pressed too early must not
 * move the span. What comes before is dropped, but not unheard: a q, or the word stop, is leaving
 * whenever it is typed, a movement that goes on included. A pipe is read one line a question, and
 * nothing of it is dropped: whoever writes a script knows what will be asked.
 *
 * Ctrl-C, the end of the input or a lost server all count as leaving. */
#ifndef TOOLS_DRAWTENDER_PERSON_H
#define TOOLS_DRAWTENDER_PERSON_H

#include "tools/drawtender/client/bridge_link.h"

#include <stdbool.h>
#include <stdio.h>
#include <termios.h>

enum { PERSON_LINE_SIZE = 128, PERSON_LEFT = -1 };

struct person {
    int in;
    FILE *out;
    int interrupt; /* as of interrupt_catch() */
    struct bridge_link
        *link; /* kept up to date, and its readings shown, while something is asked */
    bool has_left;
    bool is_interrupted;
    bool is_lost; /* the server is */
    char held[PERSON_LINE_SIZE];
    size_t filled, taken;
    int32_t shown[PICTURE_DEVICES_MAX]; /* readings as last told */
    const char *asked;                  /* the question that a line is to answer; NULL: none */

    bool is_terminal;        /* `in` is one */
    struct termios as_found; /* the terminal's settings */
    bool is_keyed;           /* it gives single keys, without Enter and echo */
    bool has_dropped;        /* keys that answered nothing, since the last question */
    bool is_told_of_it;
    size_t stop_letters; /* of "stop", the last of what was dropped */
};

/* `link` is open. Readings as they are now count as told. A terminal gives single keys from now on,
 * unless a line is asked for. */
void person_begin(struct person *person, int in, FILE *out, int interrupt,
                  struct bridge_link *link);
/* Leaves the terminal as it was found. */
void person_end(struct person *person);

/* Prints `question` and takes a line, without its end. "q", "quit" and "stop" are leaving. Returns
 * false for a person who has left. */
bool person_line(struct person *person, const char *question, char line[PERSON_LINE_SIZE]);

/* Asks until an Enter comes alone: an s too many must release nothing. Returns false for a person
 * who has left. */
bool person_enter(struct person *person, const char *question);

/* Asks until the answer is this word: for what an Enter too many must not do. Returns false for a
 * person who has left. */
bool person_word(struct person *person, const char *question, const char *word);

/* Asks until the answer is yes or no. Returns false for a person who has left. */
bool person_yes(struct person *person, const char *question, bool *is_yes);

/* Prints words that end with a line end, and begins to take keys for them. Returns false for a
 * person who has left. */
bool person_ask_for_keys(struct person *person, const char *words);

/* Returns the next key, or PERSON_LEFT. At a terminal the repetitions of it that wait already are
 * dropped, or a key that was let go would go on to move the span. */
int person_key(struct person *person);

/* Returns the descriptor on which somebody may be heard while nothing is asked; -1: a pipe, which
 * holds answers to come. */
int person_watched(const struct person *person);

/* Takes what has come while nothing is asked: an interrupt, a q, a stop, keys that answer nothing.
 * Returns false for a person who has left. */
bool person_overhear(struct person *person);

/* Tells all raw readings, or those that have changed since they were last told. */
void person_show_readings(struct person *person, bool is_all);

#endif
