/* program.h: the real drawtenderd, asked what it says of bridges: several in one configuration, for
 * each start of a program takes its time. */
#ifndef GUARDS_PROGRAM_H
#define GUARDS_PROGRAM_H

#include "config/config.h"
#include "guards/combination.h"

#include <stdbool.h>
#include <stdint.h>

enum { PROGRAM_BATCH = NET_BRIDGES_MAX, PROGRAM_WORDS_SIZE = 32768 };

/* What it must say of those of one kind: accepted, or refused. */
struct program_batch {
    unsigned bridges;
    combination chosen[PROGRAM_BATCH];
    char wanted[PROGRAM_BATCH][PROGRAM_WORDS_SIZE]; /* its table, or its complaints */
};

struct program {
    const char *daemon; /* NULL: nobody is asked */
    struct program_batch *accepted, *refused;
    uint32_t looked_at;
    combination chosen; /* of the first that it told otherwise of */
    char broken[256];
};

void program_begin(struct program *program, const char *daemon);

/* Takes one in; asks when there are enough. `config`: as the library has read it, NULL where it has
 * refused it for what is in `report`. */
void program_look(struct program *program, combination chosen, const struct config *config,
                  const struct config_report *report);

/* Asks for the rest, and frees what there is. */
void program_end(struct program *program);

#endif
