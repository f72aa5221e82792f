/* crowd.h: many clients of a server in one process. */
#ifndef BENCH_CROWD_H
#define BENCH_CROWD_H

#include <stdint.h>

/* CROWD_PANEL: listens to the events of a panel. */
enum crowd_kind { CROWD_BARE = 0, CROWD_COMMAND, CROWD_INFO, CROWD_PANEL };

struct crowd_member {
    int fd;
    uint64_t lines; /* heard so far */
    uint64_t left;  /* still to be asked */
};

struct crowd {
    int poll;
    unsigned count;
    struct crowd_member *member;
};

/* Connects them all and shakes hands; CROWD_BARE: no handshake. */
void crowd_open(struct crowd *crowd, unsigned port, unsigned count, enum crowd_kind kind);
void crowd_close(struct crowd *crowd);

/* Everyone asks `each` times, with `depth` lines in flight; returns the seconds it took. */
double crowd_ask(struct crowd *crowd, const char *line, unsigned depth, uint64_t each);

/* Until everyone has heard so many lines since crowd_forget(). Ends the program where someone has
 * heard more: then not all of them were what was waited for. */
void crowd_hear(struct crowd *crowd, uint64_t lines);
void crowd_forget(struct crowd *crowd);

/* Until nothing has come for so long, then forgets: whatever else there was to hear is over. */
void crowd_settle(struct crowd *crowd, int silence_ms);

/* Asks, or only listens, until the process is killed. */
void crowd_go_on(struct crowd *crowd, const char *line, unsigned depth);

#endif
