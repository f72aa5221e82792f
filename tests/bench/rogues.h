/* rogues.h: clients that mean no good, for as long as it takes; each call runs until killed. */
#ifndef BENCH_ROGUES_H
#define BENCH_ROGUES_H

/* Connects and leaves, so many times a second. */
void rogues_knock(unsigned port, unsigned a_second);

/* Sends lines, good and bad, as fast as they are taken, and reads few of the answers. */
void rogues_flood(unsigned port, unsigned clients);

/* Half-open handshakes, and listeners that never read. */
void rogues_dawdle(unsigned port, unsigned clients);

#endif
