/* assembly.h: puts messages together that come in several frames, of several senders at once, in
 * bounded memory. Message Network S section 7, Datagram Transport S. */
#ifndef PROTOCOL_LCC_ASSEMBLY_H
#define PROTOCOL_LCC_ASSEMBLY_H

#include "protocol/lcc/message.h"

enum { LCC_ASSEMBLY_SLOTS = 8 };

/* A message that is not whole after so long gives its place to another (S: not under 3 s). */
enum { LCC_ASSEMBLY_US = 3000000 };

enum lcc_assembled {
    LCC_ASSEMBLED_PART = 0, /* taken, and more must come; or no part of a message at all */
    LCC_ASSEMBLED_WHOLE,
    LCC_ASSEMBLED_NO_FIRST, /* a middle or last part of nothing */
    LCC_ASSEMBLED_MIXED,    /* a first or only part within a message, which is dropped with it */
    LCC_ASSEMBLED_TOO_LONG, /* dropped */
    LCC_ASSEMBLED_NO_ROOM,  /* too many senders at once: dropped */
};

struct lcc_assembly_slot {
    bool is_used;
    uint16_t source, mti;
    uint64_t since_us; /* when its last part came */
    unsigned length;
    uint8_t content[LCC_MESSAGE_MAX];
};

/* All zero is empty; nothing to free. */
struct lcc_assembly {
    struct lcc_assembly_slot slot[LCC_ASSEMBLY_SLOTS];
};

/* Takes a message's frame (any other is LCC_ASSEMBLED_PART). On LCC_ASSEMBLED_WHOLE `message` is
 * filled; its content points into the frame or the assembly, and is good until either changes. */
enum lcc_assembled lcc_assembly_take(struct lcc_assembly *assembly, uint64_t now_us,
                                     const struct lcc_frame *frame, struct lcc_message *message);

/* Drops what one node has begun: its alias is gone. */
void lcc_assembly_forget(struct lcc_assembly *assembly, uint16_t source);

#endif
