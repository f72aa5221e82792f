/* message.h: whole messages, their types and codes, and their way into frames. Message Network S,
 * Datagram Transport S and Event Transport S; dates in README.md. */
#ifndef PROTOCOL_LCC_MESSAGE_H
#define PROTOCOL_LCC_MESSAGE_H

#include "protocol/lcc/frame.h"

#include <stdbool.h>
#include <stdint.h>

/* The types of messages that a node here sends or understands. All others are numbers. */
enum lcc_mti {
    LCC_INITIALIZED = 0x0100,
    LCC_INITIALIZED_SIMPLE = 0x0101,
    LCC_VERIFY_ADDRESSED = 0x0488,
    LCC_VERIFY_GLOBAL = 0x0490,
    LCC_VERIFIED = 0x0170,
    LCC_VERIFIED_SIMPLE = 0x0171,
    LCC_REJECTED = 0x0068, /* Optional Interaction Rejected */
    LCC_TERMINATED = 0x00A8,
    LCC_PROTOCOLS_INQUIRY = 0x0828,
    LCC_PROTOCOLS_REPLY = 0x0668,
    LCC_IDENTIFY_CONSUMER = 0x08F4,
    LCC_CONSUMER_RANGE = 0x04A4,
    LCC_CONSUMER_VALID = 0x04C4, /* the next two: invalid, and, after a gap, unknown */
    LCC_CONSUMER_INVALID = 0x04C5,
    LCC_CONSUMER_UNKNOWN = 0x04C7,
    LCC_IDENTIFY_PRODUCER = 0x0914,
    LCC_PRODUCER_RANGE = 0x0524,
    LCC_PRODUCER_VALID = 0x0544,
    LCC_PRODUCER_INVALID = 0x0545,
    LCC_PRODUCER_UNKNOWN = 0x0547,
    LCC_IDENTIFY_EVENTS = 0x0970,
    LCC_IDENTIFY_EVENTS_ADDRESSED = 0x0968,
    LCC_LEARN_EVENT = 0x0594,
    LCC_EVENT_REPORT = 0x05B4,
    LCC_NODE_INFORMATION_REQUEST = 0x0DE8,
    LCC_NODE_INFORMATION_REPLY = 0x0A08,
    LCC_DATAGRAM = 0x1C48,
    LCC_DATAGRAM_OK = 0x0A28,
    LCC_DATAGRAM_REJECTED = 0x0A48,
};

/* Message Network S and Datagram Transport S: upper digit 1 permanent, 2 temporary. */
enum lcc_error {
    LCC_NO_ERROR = 0,
    LCC_PERMANENT = 0x1000,
    LCC_SUBCOMMAND_UNKNOWN = 0x1041,
    LCC_TYPE_UNKNOWN = 0x1042, /* of a datagram or stream */
    LCC_MTI_UNKNOWN = 0x1043,
    LCC_ARGUMENTS_WRONG = 0x1080,
    LCC_SPACE_UNKNOWN = 0x1081,
    LCC_ADDRESS_OUTSIDE = 0x1082,
    LCC_READ_ONLY = 0x1083,
    LCC_TEMPORARY = 0x2000,
    LCC_BUSY = 0x2020,
    LCC_NO_FIRST_PART = 0x2041,
    LCC_PARTS_MIXED = 0x2042, /* a first part before the message before was ended */
    LCC_TRANSFER = 0x2080,
};
enum { LCC_IS_TEMPORARY = 0x2000 };

/* Protocol Support, as the upper three of six bytes (Message Network S). */
enum {
    LCC_SUPPORTS_DATAGRAM = 0x400000,
    LCC_SUPPORTS_MEMORY = 0x100000,
    LCC_SUPPORTS_EVENTS = 0x040000,
    LCC_SUPPORTS_ACDI = 0x004000,
    LCC_SUPPORTS_NODE_INFORMATION = 0x001000,
    LCC_SUPPORTS_CDI = 0x000800,
    LCC_PROTOCOLS_BYTES = 3
};

enum {
    LCC_DATAGRAM_MAX = 72,
    LCC_MESSAGE_MAX = 256, /* content; no message that a node here knows is longer */
    LCC_FRAMES_MAX = (LCC_MESSAGE_MAX + 5) / 6
};

struct lcc_message {
    uint16_t mti;         /* of datagrams LCC_DATAGRAM, else the 12 bits that travelled */
    uint16_t source;      /* alias */
    uint16_t destination; /* alias; 0: everybody */
    const uint8_t *content;
    unsigned length;
};

bool lcc_mti_is_addressed(uint16_t mti);

/* Writes the frames of a message whose content is not longer than its type allows: 8 bytes if it
 * is global, LCC_DATAGRAM_MAX, or LCC_MESSAGE_MAX. Returns how many; 0: too long, or more than
 * `most`. */
unsigned lcc_message_frames(const struct lcc_message *message, struct lcc_frame *frames,
                            unsigned most);

#endif
