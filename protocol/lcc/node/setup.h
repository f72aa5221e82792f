/* setup.h: what a node is told at its start; constant while it runs. */
#ifndef PROTOCOL_LCC_NODE_SETUP_H
#define PROTOCOL_LCC_NODE_SETUP_H

#include "protocol/lcc/identification.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { LCC_FACTS_MAX = 72, LCC_WANTED_MAX = 112 };

/* Something that is so or not, and an event for either: the node produces both. */
struct lcc_fact {
    uint64_t event[2];    /* [1]: it has come to be so, [0]: it is so no more */
    const char *words[2]; /* the same for people */
    bool is_command;      /* wanted of other nodes: told before all else, and again when asked to */
};

/* An event that the node consumes. */
struct lcc_wanted {
    uint64_t event;
    const char *words;
    bool is_line;    /* its owner follows it frame by frame: it is never heard */
    bool is_stop;    /* never too old, never dropped, and first */
    bool is_for_all; /* acts whoever sends it; else only from a link that may ask */
};

struct lcc_node_setup {
    uint64_t id;
    struct lcc_identification identification;
    unsigned facts;
    struct lcc_fact fact[LCC_FACTS_MAX];
    unsigned wanted;
    struct lcc_wanted want[LCC_WANTED_MAX];
    uint64_t clock;   /* whose time it follows: the lowest event (../clock.h); 0: none */
    const char *cdi;  /* its description (cdi.h) */
    size_t cdi_bytes; /* with the zero at its end */
};

#endif
