/* catalog.h: every single fault of every input and output, and of what feeds and runs the bridge.
 */
#ifndef FAULTS_CATALOG_H
#define FAULTS_CATALOG_H

#include "faults/bridges.h"
#include "faults/closed.h"

enum fault_kind {
    FAULT_BY_WORDS = 0, /* a run-time command of the simulation switches it on */
    FAULT_POWER_LOSS,   /* no readings for a while, outputs dead, and the daemon starts anew */
    FAULT_KILLED        /* the daemon alone dies and starts anew */
};

enum { FAULT_WORDS_SIZE = 80 };

struct bridge_defect {
    enum fault_kind kind;
    char words[FAULT_WORDS_SIZE]; /* as sim_command takes it; its name in the table */
    const char *unseen;     /* what it does that no input shows, told in the table; NULL: nothing */
    uint32_t may_be_untrue; /* a bit for each untruth that follows from it, alone */
};

/* All that this bridge can have, in the order of the table; the count goes to `count`. Static
 * storage. */
const struct bridge_defect *catalog_defects(enum fault_bridge bridge, unsigned *count);

/* Lets it happen now. */
void catalog_strike(const struct bridge_defect *defect, struct closed *closed);

#endif
