/* person.h: somebody at the terminal, asked one thing after another, while the bridge is watched.
 * Reads a terminal or a pipe, so that a script can answer too. Ctrl-C, the end of the input or a
 * lost server all count as leaving. */
#ifndef TOOLS_DRAWTENDER_PERSON_H
#define TOOLS_DRAWTENDER_PERSON_H

#include "tools/drawtender/bridge_link.h"

#include <stdbool.h>
#include <stdio.h>

enum { PERSON_LINE_SIZE = 128, PERSON_LEFT = -1 };

struct person {
    int in;
    FILE *out;
    int interrupt;            /* as of interrupt_catch() */
    struct bridge_link *link; /* kept up to date, and its readings shown, while nothing is said */
    bool has_left;
    bool is_interrupted;
    bool is_lost; /* the server is */
    char held[PERSON_LINE_SIZE];
    size_t filled, taken;
    int32_t shown[PICTURE_DEVICES_MAX]; /* readings as last told; -1: not yet */
};

void person_begin(struct person *person, int in, FILE *out, int interrupt,
                  struct bridge_link *link);

/* The next character, or PERSON_LEFT. */
int person_key(struct person *person);

/* Prints `question` and takes a line, without its end. "q" and "quit" are leaving. False: left. */
bool person_line(struct person *person, const char *question, char line[PERSON_LINE_SIZE]);

/* Asks for a plain Enter. False: left. */
bool person_enter(struct person *person, const char *question);

/* Yes or no, asked until it is one of them. False: left. */
bool person_yes(struct person *person, const char *question, bool *is_yes);

/* Single keys, without Enter and echo, where the input is a terminal; and back. */
void person_keys_begin(struct person *person);
void person_keys_end(struct person *person);

/* Tells all raw readings, or those that have changed since they were last told. */
void person_show_readings(struct person *person, bool is_all);

#endif
