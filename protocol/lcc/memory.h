/* memory.h: commands of Memory Configuration S, 22 Jul 2024, out of datagrams, and the replies into
 * them. */
#ifndef PROTOCOL_LCC_MEMORY_H
#define PROTOCOL_LCC_MEMORY_H

#include "protocol/lcc/message.h"

enum {
    LCC_MEMORY = 0x20, /* the first byte of such a datagram */
    LCC_MEMORY_BYTES_MAX = 64,
    LCC_SPACE_CDI = 0xFF,
    LCC_SPACE_ALL = 0xFE,
    LCC_SPACE_CONFIGURATION = 0xFD,
    LCC_SPACE_MADE = 0xFC,  /* who made the node, and what it is */
    LCC_SPACE_NAMED = 0xFB, /* what its owner calls it */
};

/* Get Options: what is offered, and which lengths can be written. */
enum {
    LCC_OFFERS_UNALIGNED_READ = 0x4000,
    LCC_OFFERS_READ_MADE = 0x0800,
    LCC_OFFERS_READ_NAMED = 0x0400,
    LCC_LENGTHS_ALL = 0xE2,
};

enum lcc_memory_kind {
    LCC_MEMORY_UNKNOWN = 0, /* no such command, or one that is not offered here: 1041 */
    LCC_MEMORY_ILL_FORMED,  /* too short, too long, or a count of 0 or more than 64: 1080 */
    LCC_MEMORY_READ,
    LCC_MEMORY_WRITE,
    LCC_MEMORY_WRITE_MASKED,
    LCC_MEMORY_OPTIONS,
    LCC_MEMORY_SPACE,
    LCC_MEMORY_LOCK,
    LCC_MEMORY_UPDATE_COMPLETE,
    LCC_MEMORY_RESET,
};

struct lcc_memory_command {
    enum lcc_memory_kind kind;
    uint8_t command; /* the byte as it came */
    uint8_t space;
    uint32_t address;
    unsigned count;      /* bytes to read or to write; of a masked write each with its mask */
    const uint8_t *data; /* to write: within the datagram */
    uint64_t node;       /* LOCK: who wants it; 0 lets go */
};

struct lcc_space {
    bool is_there;
    bool is_read_only;
    uint32_t highest; /* address */
};

/* Reads a datagram whose first byte is LCC_MEMORY. */
void lcc_memory_read(const uint8_t *datagram, unsigned length, struct lcc_memory_command *command);

/* The replies, written into a datagram. Each returns its length. */
unsigned lcc_memory_reply_read(const struct lcc_memory_command *command, const uint8_t *data,
                               unsigned count, uint8_t reply[LCC_DATAGRAM_MAX]);
unsigned lcc_memory_reply_failed(const struct lcc_memory_command *command, enum lcc_error error,
                                 uint8_t reply[LCC_DATAGRAM_MAX]);
unsigned lcc_memory_reply_options(uint16_t offers, uint8_t highest, uint8_t lowest,
                                  uint8_t reply[LCC_DATAGRAM_MAX]);
unsigned lcc_memory_reply_space(uint8_t space, const struct lcc_space *what,
                                uint8_t reply[LCC_DATAGRAM_MAX]);
unsigned lcc_memory_reply_lock(uint64_t holder, uint8_t reply[LCC_DATAGRAM_MAX]);

/* For tests: a command, as a node that asks writes it. Returns its length. */
unsigned lcc_memory_ask_read(uint8_t space, uint32_t address, unsigned count,
                             uint8_t datagram[LCC_DATAGRAM_MAX]);

#endif
