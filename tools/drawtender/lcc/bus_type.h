/* bus_type.h: the types of messages on an LCC bus by name, and what their content is. Message
 * Network S, Event Transport S, Datagram Transport S; editions in protocol/lcc/README.md. Pure. */
#ifndef TOOLS_DRAWTENDER_BUS_TYPE_H
#define TOOLS_DRAWTENDER_BUS_TYPE_H

#include <stdint.h>

enum bus_content {
    BUS_BYTES = 0, /* nothing that is told otherwise than as bytes */
    BUS_NODE,      /* a node id, or nothing */
    BUS_EVENT,
    BUS_RANGE,     /* of events */
    BUS_ERROR,     /* a code, then the type that it answers, if any */
    BUS_PROTOCOLS, /* flags */
    BUS_CONFIRM,   /* flags of a datagram's confirmation, or nothing */
    BUS_STRINGS,   /* Simple Node Information */
};

struct bus_type {
    uint16_t mti; /* the 12 bits that travel; LCC_DATAGRAM */
    const char *name;
    enum bus_content content;
};

/* Returns the type's row, or NULL for one that has no name here. */
const struct bus_type *bus_type_find(uint16_t mti);

/* Returns what an error code means, or NULL. Static storage. */
const char *bus_type_error(uint16_t code);

/* Returns the name of a Memory Configuration command by its byte, or NULL. Static storage. */
const char *bus_type_memory(uint8_t command);

#endif
