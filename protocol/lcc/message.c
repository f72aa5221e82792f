#include "protocol/lcc/message.h"

enum { ADDRESS_PRESENT = 0x008, ADDRESSED_BYTES = 6 };

bool lcc_mti_is_addressed(uint16_t mti) {
    return (mti & ADDRESS_PRESENT) != 0;
}

static enum lcc_part part_of(unsigned i, unsigned count) {
    if (count == 1) {
        return LCC_PART_ONLY;
    }
    return i == 0 ? LCC_PART_FIRST : i + 1 == count ? LCC_PART_LAST : LCC_PART_MIDDLE;
}

unsigned lcc_message_frames(const struct lcc_message *message, struct lcc_frame *frames,
                            unsigned most) {
    bool is_datagram = message->mti == LCC_DATAGRAM;
    bool is_global = !lcc_mti_is_addressed(message->mti);
    unsigned room = is_datagram || is_global ? LCC_FRAME_BYTES : ADDRESSED_BYTES;
    unsigned longest = is_datagram ? (unsigned)LCC_DATAGRAM_MAX
                       : is_global ? (unsigned)LCC_FRAME_BYTES
                                   : (unsigned)LCC_MESSAGE_MAX;
    unsigned count = message->length == 0 ? 1 : (message->length + room - 1) / room;
    if (message->length > longest || count > most) {
        return 0;
    }
    for (unsigned i = 0; i < count; i++) {
        const uint8_t *at = message->content + (message->length == 0 ? 0 : i * room);
        unsigned left = message->length - i * room;
        unsigned length = left < room ? left : room;
        enum lcc_part part = part_of(i, count);
        frames[i] = is_datagram ? lcc_frame_datagram(message->source, message->destination, part,
                                                     at, length)
                    : is_global ? lcc_frame_global(message->mti, message->source, at, length)
                                : lcc_frame_addressed(message->mti, message->source,
                                                      message->destination, part, at, length);
    }
    return count;
}
