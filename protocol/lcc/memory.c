#include "protocol/lcc/memory.h"

#include "protocol/lcc/identifier.h"

#include <string.h>

enum {
    WRITE = 0x00,
    WRITE_MASKED = 0x08,
    READ = 0x40,
    REPLY = 0x10,  /* added to the command */
    FAILED = 0x08, /* added to the reply */
    SPACE_BITS = 3,
    OPTIONS = 0x80,
    OPTIONS_REPLY = 0x82,
    SPACE = 0x84,
    SPACE_ABSENT = 0x86,
    SPACE_PRESENT = 0x87,
    LOCK = 0x88,
    LOCK_REPLY = 0x8A,
    UPDATE_COMPLETE = 0xA8,
    RESET = 0xA9,
    FLAG_READ_ONLY = 1
};

enum { ADDRESS_AT = 2, SPACE_AT = 6 };

/* Takes address and space, and leaves `*at` behind them. Returns false if they are not all there.
 */
static bool take_place(const uint8_t *datagram, unsigned length, struct lcc_memory_command *command,
                       unsigned *at) {
    unsigned which = command->command & SPACE_BITS;
    *at = which == 0 ? SPACE_AT + 1 : SPACE_AT;
    if (length < *at) {
        return false;
    }
    command->address = (uint32_t)lcc_get(datagram + ADDRESS_AT, 4);
    command->space = which == 0 ? datagram[SPACE_AT] : (uint8_t)(0xFC + which);
    return true;
}

static enum lcc_memory_kind take_read(const uint8_t *datagram, unsigned length,
                                      struct lcc_memory_command *command) {
    unsigned at;
    if (!take_place(datagram, length, command, &at) || length != at + 1) {
        return LCC_MEMORY_ILL_FORMED;
    }
    command->count = datagram[at];
    return command->count >= 1 && command->count <= LCC_MEMORY_BYTES_MAX ? LCC_MEMORY_READ
                                                                         : LCC_MEMORY_ILL_FORMED;
}

static enum lcc_memory_kind take_write(const uint8_t *datagram, unsigned length, unsigned each,
                                       struct lcc_memory_command *command) {
    unsigned at;
    if (!take_place(datagram, length, command, &at) || length == at || (length - at) % each != 0 ||
        length - at > LCC_MEMORY_BYTES_MAX) {
        return LCC_MEMORY_ILL_FORMED;
    }
    command->data = datagram + at;
    command->count = (length - at) / each;
    return each == 1 ? LCC_MEMORY_WRITE : LCC_MEMORY_WRITE_MASKED;
}

static enum lcc_memory_kind take_space(const uint8_t *datagram, unsigned length,
                                       struct lcc_memory_command *command) {
    if (length < 3) {
        return LCC_MEMORY_ILL_FORMED;
    }
    command->space = datagram[2];
    return LCC_MEMORY_SPACE;
}

static enum lcc_memory_kind take_lock(const uint8_t *datagram, unsigned length,
                                      struct lcc_memory_command *command) {
    if (length < 2 + LCC_NODE_BYTES) {
        return LCC_MEMORY_ILL_FORMED;
    }
    command->node = lcc_get(datagram + 2, LCC_NODE_BYTES);
    return LCC_MEMORY_LOCK;
}

static enum lcc_memory_kind kind_of(const uint8_t *datagram, unsigned length,
                                    struct lcc_memory_command *command) {
    switch (command->command & ~SPACE_BITS) {
    case READ:
        return take_read(datagram, length, command);
    case WRITE:
        return take_write(datagram, length, 1, command);
    case WRITE_MASKED:
        return take_write(datagram, length, 2, command);
    }
    switch (command->command) {
    case OPTIONS:
        return LCC_MEMORY_OPTIONS;
    case SPACE:
        return take_space(datagram, length, command);
    case LOCK:
        return take_lock(datagram, length, command);
    case UPDATE_COMPLETE:
        return LCC_MEMORY_UPDATE_COMPLETE;
    case RESET:
        return LCC_MEMORY_RESET;
    }
    return LCC_MEMORY_UNKNOWN;
}

void lcc_memory_read(const uint8_t *datagram, unsigned length, struct lcc_memory_command *command) {
    *command = (struct lcc_memory_command){.kind = LCC_MEMORY_ILL_FORMED};
    if (length >= 2) {
        command->command = datagram[1];
        command->kind = kind_of(datagram, length, command);
    }
}

/* Writes what a reply repeats of the command. Returns how many bytes. */
static unsigned put_place(const struct lcc_memory_command *command, uint8_t added, uint8_t *reply) {
    reply[0] = LCC_MEMORY;
    reply[1] = (uint8_t)(command->command + added);
    lcc_put(reply + ADDRESS_AT, command->address, 4);
    if ((command->command & SPACE_BITS) != 0) {
        return SPACE_AT;
    }
    reply[SPACE_AT] = command->space;
    return SPACE_AT + 1;
}

unsigned lcc_memory_reply_read(const struct lcc_memory_command *command, const uint8_t *data,
                               unsigned count, uint8_t reply[LCC_DATAGRAM_MAX]) {
    unsigned at = put_place(command, REPLY, reply);
    memcpy(reply + at, data, count);
    return at + count;
}

unsigned lcc_memory_reply_failed(const struct lcc_memory_command *command, enum lcc_error error,
                                 uint8_t reply[LCC_DATAGRAM_MAX]) {
    /* A masked write has FAILED's bit already; its failure is told as a write's. */
    struct lcc_memory_command plain = *command;
    plain.command &= (uint8_t)~FAILED;
    unsigned at = put_place(&plain, REPLY + FAILED, reply);
    lcc_put(reply + at, error, 2);
    return at + 2;
}

unsigned lcc_memory_reply_options(uint16_t offers, uint8_t highest, uint8_t lowest,
                                  uint8_t reply[LCC_DATAGRAM_MAX]) {
    const uint8_t options[] = {LCC_MEMORY,
                               OPTIONS_REPLY,
                               (uint8_t)(offers >> 8),
                               (uint8_t)(offers & 0xFF),
                               LCC_LENGTHS_ALL,
                               highest,
                               lowest};
    memcpy(reply, options, sizeof options);
    return sizeof options;
}

unsigned lcc_memory_reply_space(uint8_t space, const struct lcc_space *what,
                                uint8_t reply[LCC_DATAGRAM_MAX]) {
    reply[0] = LCC_MEMORY;
    reply[1] = what->is_there ? SPACE_PRESENT : SPACE_ABSENT;
    reply[2] = space;
    lcc_put(reply + 3, what->highest, 4);
    reply[7] = what->is_read_only ? FLAG_READ_ONLY : 0;
    return 8;
}

unsigned lcc_memory_reply_lock(uint64_t holder, uint8_t reply[LCC_DATAGRAM_MAX]) {
    reply[0] = LCC_MEMORY;
    reply[1] = LOCK_REPLY;
    lcc_put(reply + 2, holder, LCC_NODE_BYTES);
    return 2 + LCC_NODE_BYTES;
}

unsigned lcc_memory_ask_read(uint8_t space, uint32_t address, unsigned count,
                             uint8_t datagram[LCC_DATAGRAM_MAX]) {
    bool is_short = space > 0xFC;
    datagram[0] = LCC_MEMORY;
    datagram[1] = (uint8_t)(READ + (is_short ? space - 0xFC : 0));
    lcc_put(datagram + ADDRESS_AT, address, 4);
    unsigned at = SPACE_AT;
    if (!is_short) {
        datagram[at++] = space;
    }
    datagram[at++] = (uint8_t)count;
    return at;
}
