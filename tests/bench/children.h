/* children.h: the bench's other processes; all end with it. */
#ifndef BENCH_CHILDREN_H
#define BENCH_CHILDREN_H

#include <sys/types.h>

struct child {
    pid_t pid;
    unsigned port; /* of a server */
};

/* Runs `work` in a process of its own. */
struct child child_start(void (*work)(void *context), void *context);

/* The same for a server that writes a line with "port <number>" to the descriptor it is given. */
struct child child_serve(void (*work)(void *context, int report), void *context);

/* Ends the program if the child has ended by itself. */
void child_end(struct child child);

#endif
