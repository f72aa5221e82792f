/* nodes_wire.h: what passes between the driver "nodes" and the bus that carries its events. Neither
 * knows the other: who makes both fills in the functions, and hands on what is said. */
#ifndef IO_NODES_WIRE_H
#define IO_NODES_WIRE_H

#include "io/nodes/nodes_point.h"

#include <stdbool.h>
#include <stdint.h>

struct nodes;

struct nodes_wire {
    /* The bus, as nodes.c asks it. */
    void *context;
    unsigned bridge;
    bool (*is_up)(const struct nodes_wire *wire);                    /* somebody may hear */
    bool (*may_send)(const struct nodes_wire *wire);                 /* the node has an alias */
    bool (*identify)(const struct nodes_wire *wire, uint64_t event); /* false: not now */
    void (*command)(const struct nodes_wire *wire, unsigned command, bool is_on);
    void (*exchange)(const struct nodes_wire *wire, int limit_ms); /* where no loop runs */
    void (*crash_off)(const struct nodes_wire *wire); /* async-signal-safe: all commands */

    struct nodes *nodes; /* NULL: not open */
};

/* What the driver is given, under its name. */
struct nodes_given {
    const struct nodes_setup *setup;
    struct nodes_wire *wire;
};

/* Another node has said something of an event. */
void nodes_wire_said(const struct nodes_wire *wire, enum nodes_word word, uint64_t event,
                     uint16_t source);

/* That was all for now, or the bus is lost or back: the bridge looks if it matters. */
void nodes_wire_woke(const struct nodes_wire *wire);

#endif
