#include "tools/drawtender/lcc/bus_type.h"

#include "protocol/lcc/message.h"

#include <stddef.h>

/* Types that a node here neither sends nor understands are numbers. */
static const struct bus_type types[] = {
    {LCC_INITIALIZED, "Initialization Complete", BUS_NODE},
    {LCC_INITIALIZED_SIMPLE, "Initialization Complete (simple node)", BUS_NODE},
    {LCC_VERIFY_ADDRESSED, "Verify Node ID", BUS_NODE},
    {LCC_VERIFY_GLOBAL, "Verify Node ID", BUS_NODE},
    {LCC_VERIFIED, "Verified Node ID", BUS_NODE},
    {LCC_VERIFIED_SIMPLE, "Verified Node ID (simple node)", BUS_NODE},
    {LCC_REJECTED, "Optional Interaction Rejected", BUS_ERROR},
    {LCC_TERMINATED, "Terminate Due to Error", BUS_ERROR},
    {LCC_PROTOCOLS_INQUIRY, "Protocol Support Inquiry", BUS_BYTES},
    {LCC_PROTOCOLS_REPLY, "Protocol Support Reply", BUS_PROTOCOLS},
    {LCC_IDENTIFY_CONSUMER, "Identify Consumer", BUS_EVENT},
    {LCC_CONSUMER_RANGE, "Consumer Range Identified", BUS_RANGE},
    {LCC_CONSUMER_VALID, "Consumer Identified valid", BUS_EVENT},
    {LCC_CONSUMER_INVALID, "Consumer Identified invalid", BUS_EVENT},
    {LCC_CONSUMER_UNKNOWN, "Consumer Identified unknown", BUS_EVENT},
    {LCC_IDENTIFY_PRODUCER, "Identify Producer", BUS_EVENT},
    {LCC_PRODUCER_RANGE, "Producer Range Identified", BUS_RANGE},
    {LCC_PRODUCER_VALID, "Producer Identified valid", BUS_EVENT},
    {LCC_PRODUCER_INVALID, "Producer Identified invalid", BUS_EVENT},
    {LCC_PRODUCER_UNKNOWN, "Producer Identified unknown", BUS_EVENT},
    {LCC_IDENTIFY_EVENTS, "Identify Events", BUS_BYTES},
    {LCC_IDENTIFY_EVENTS_ADDRESSED, "Identify Events", BUS_BYTES},
    {LCC_LEARN_EVENT, "Learn Event", BUS_EVENT},
    {LCC_EVENT_REPORT, "Event Report", BUS_EVENT},
    {0xF16, "Event Report with payload, first frame", BUS_EVENT},
    {0xF15, "Event Report with payload, middle frame", BUS_BYTES},
    {0xF14, "Event Report with payload, last frame", BUS_BYTES},
    {LCC_NODE_INFORMATION_REQUEST, "Simple Node Information Request", BUS_BYTES},
    {LCC_NODE_INFORMATION_REPLY, "Simple Node Information Reply", BUS_STRINGS},
    {LCC_DATAGRAM, "Datagram", BUS_BYTES},
    {LCC_DATAGRAM_OK, "Datagram Received OK", BUS_CONFIRM},
    {LCC_DATAGRAM_REJECTED, "Datagram Rejected", BUS_ERROR},
    {0xCC8, "Stream Initiate Request", BUS_BYTES},
    {0x868, "Stream Initiate Reply", BUS_BYTES},
    {0x888, "Stream Data Proceed", BUS_BYTES},
    {0x8A8, "Stream Data Complete", BUS_BYTES},
    {0x5EB, "Train Control Command", BUS_BYTES},
    {0x1E9, "Train Control Reply", BUS_BYTES},
    {0x948, "Remote Button Request", BUS_BYTES},
    {0x549, "Remote Button Reply", BUS_BYTES},
};

const struct bus_type *bus_type_find(uint16_t mti) {
    for (size_t i = 0; i < sizeof types / sizeof types[0]; i++) {
        if (types[i].mti == mti) {
            return &types[i];
        }
    }
    return NULL;
}

const char *bus_type_error(uint16_t code) {
    static const struct {
        uint16_t code;
        const char *what;
    } errors[] = {
        {LCC_PERMANENT, "permanent error"},
        {0x1020, "source not permitted"},
        {0x1030, "not found"},
        {0x1040, "not implemented"},
        {LCC_SUBCOMMAND_UNKNOWN, "unknown subcommand"},
        {LCC_TYPE_UNKNOWN, "unknown type of datagram or stream"},
        {LCC_MTI_UNKNOWN, "unknown type of message"},
        {LCC_ARGUMENTS_WRONG, "invalid arguments"},
        {LCC_SPACE_UNKNOWN, "unknown memory space"},
        {LCC_ADDRESS_OUTSIDE, "address out of bounds"},
        {LCC_READ_ONLY, "read-only"},
        {LCC_TEMPORARY, "temporary error"},
        {0x2010, "time-out"},
        {0x2011, "time-out before the last frame"},
        {LCC_BUSY, "busy"},
        {0x2040, "unexpected"},
        {LCC_NO_FIRST_PART, "no first frame"},
        {LCC_PARTS_MIXED, "first frame within another message"},
        {LCC_TRANSFER, "transfer error"},
    };
    for (size_t i = 0; i < sizeof errors / sizeof errors[0]; i++) {
        if (errors[i].code == code) {
            return errors[i].what;
        }
    }
    return NULL;
}

const char *bus_type_memory(uint8_t command) {
    static const struct {
        uint8_t first, last;
        const char *what;
    } commands[] = {
        {0x00, 0x03, "write"},
        {0x08, 0x0B, "write under mask"},
        {0x10, 0x13, "write reply"},
        {0x18, 0x1B, "write failed"},
        {0x20, 0x23, "write stream"},
        {0x40, 0x43, "read"},
        {0x50, 0x53, "read reply"},
        {0x58, 0x5B, "read failed"},
        {0x60, 0x63, "read stream"},
        {0x80, 0x80, "get options"},
        {0x82, 0x82, "options"},
        {0x84, 0x84, "get space information"},
        {0x86, 0x86, "space not there"},
        {0x87, 0x87, "space information"},
        {0x88, 0x88, "lock"},
        {0x8A, 0x8A, "lock holder"},
        {0x8C, 0x8C, "get unique event id"},
        {0x8D, 0x8D, "unique event id"},
        {0xA0, 0xA0, "unfreeze"},
        {0xA1, 0xA1, "freeze"},
        {0xA8, 0xA8, "update complete"},
        {0xA9, 0xA9, "reset"},
        {0xAA, 0xAA, "factory reset"},
    };
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        if (command >= commands[i].first && command <= commands[i].last) {
            return commands[i].what;
        }
    }
    return NULL;
}
