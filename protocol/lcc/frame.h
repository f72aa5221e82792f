/* frame.h: one frame of the bus, and what its 29-bit id says. CAN Frame Transfer S and Message
 * Network S section 7, both of 22 Jul 2024. Any id and any data can be read. */
#ifndef PROTOCOL_LCC_FRAME_H
#define PROTOCOL_LCC_FRAME_H

#include <stdbool.h>
#include <stdint.h>

enum { LCC_FRAME_BYTES = 8, LCC_ALIAS_MAX = 0xFFF };

struct lcc_frame {
    uint32_t id; /* 29 bits; the highest is reserved, sent as 1 and not looked at */
    uint8_t length;
    uint8_t data[LCC_FRAME_BYTES];
};

enum lcc_frame_kind {
    LCC_FRAME_OTHER = 0, /* reserved, or of another protocol: to be ignored */
    LCC_FRAME_CHECK,     /* CID: some node claims the alias that is the frame's source */
    LCC_FRAME_RESERVE,   /* RID */
    LCC_FRAME_DEFINE,    /* AMD: the data is the node id */
    LCC_FRAME_ENQUIRE,   /* AME: of everybody, or of the node id in the data */
    LCC_FRAME_RESET,     /* AMR */
    LCC_FRAME_GLOBAL,    /* a message to everybody; all data is its content */
    LCC_FRAME_ADDRESSED, /* a message to one node, or a part of it; content after two bytes */
    LCC_FRAME_DATAGRAM,  /* a datagram to one node, or a part of it; all data is its content */
    LCC_FRAME_STREAM,    /* a piece of a stream to one node */
};

enum lcc_part { LCC_PART_ONLY = 0, LCC_PART_FIRST, LCC_PART_LAST, LCC_PART_MIDDLE };

/* What a frame says of itself. Members that its kind does not have are 0. */
struct lcc_frame_head {
    enum lcc_frame_kind kind;
    uint16_t source;      /* alias, as all frames have it; 0 is no node's */
    uint16_t destination; /* alias */
    uint16_t mti;         /* the low 12 bits, which are all that travels */
    enum lcc_part part;
    unsigned check;         /* CHECK: 7, 6, 5, 4 */
    uint16_t check_bits;    /* CHECK: 12 bits of the node id */
    const uint8_t *payload; /* within the frame */
    unsigned payload_length;
};

/* Fills `head`. An addressed message too short for its destination is LCC_FRAME_OTHER. */
void lcc_frame_read(const struct lcc_frame *frame, struct lcc_frame_head *head);

/* The frames that a node sends of itself; `check` is 7, 6, 5 or 4. */
struct lcc_frame lcc_frame_check(unsigned check, uint64_t node, uint16_t alias);
struct lcc_frame lcc_frame_reserve(uint16_t alias);
struct lcc_frame lcc_frame_define(uint64_t node, uint16_t alias);
struct lcc_frame lcc_frame_reset(uint64_t node, uint16_t alias);

/* The parts of messages; `length` bytes of content: at most 8, of an addressed message 6. */
struct lcc_frame lcc_frame_global(uint16_t mti, uint16_t source, const uint8_t *content,
                                  unsigned length);
struct lcc_frame lcc_frame_addressed(uint16_t mti, uint16_t source, uint16_t destination,
                                     enum lcc_part part, const uint8_t *content, unsigned length);
struct lcc_frame lcc_frame_datagram(uint16_t source, uint16_t destination, enum lcc_part part,
                                    const uint8_t *content, unsigned length);

#endif
