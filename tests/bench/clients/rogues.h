/* rogues.h: clients that mean no good, for as long as it takes; each call runs until killed. */
#ifndef BENCH_ROGUES_H
#define BENCH_ROGUES_H

#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>

/* What they have done so far; may lie in memory that processes share. */
struct rogues_tally {
    atomic_uint_fast64_t knocks; /* connections that came and left */
    atomic_uint_fast64_t lines;  /* handfuls of lines that the flood got rid of */
};

/* Connects and leaves, so many times a second at most. */
void rogues_knock(unsigned port, unsigned a_second, struct rogues_tally *tally);

/* Sends lines, good and bad, as fast as they are taken, and reads few of the answers. */
void rogues_flood(unsigned port, unsigned clients, struct rogues_tally *tally);

/* Half-open handshakes, and listeners that never read. */
void rogues_dawdle(unsigned port, unsigned clients);

/* Connections that are kept, and do nothing. */
void rogues_hoard(unsigned port, unsigned clients);

/* Connects and says this, which is half of something, and nothing more; `comes_again`: each that is
 * ended connects anew at once. Each connection is counted as a knock. */
void rogues_hold(unsigned port, unsigned clients, const char *says, bool comes_again,
                 struct rogues_tally *tally);

#endif
