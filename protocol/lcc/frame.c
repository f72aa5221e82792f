#include "protocol/lcc/frame.h"

#include "protocol/lcc/identifier.h"

#include <string.h>

/* Bits of the id. */
enum {
    SENT_AS_ONE = 0x10000000,
    IS_MESSAGE = 0x08000000,
    FORMAT_SHIFT = 24, /* three bits; of a control frame the number of a CID */
    FIELD_SHIFT = 12,  /* twelve bits */
    FIELD = 0xFFF,
    FORMAT = 7
};

enum format {
    FORMAT_CONTROL = 0, /* of control frames: RID, AMD, AME, AMR */
    FORMAT_MESSAGE = 1,
    FORMAT_DATAGRAM_ONLY,
    FORMAT_DATAGRAM_FIRST,
    FORMAT_DATAGRAM_MIDDLE,
    FORMAT_DATAGRAM_LAST,
    FORMAT_STREAM = 7
};

enum { FIELD_RESERVE = 0x700, FIELD_DEFINE, FIELD_ENQUIRE, FIELD_RESET };
enum { CHECK_FIRST = 7, CHECK_LAST = 4, ADDRESS_PRESENT = 0x008, ADDRESS_BYTES = 2 };

static void read_control(unsigned format, uint16_t field, struct lcc_frame_head *head) {
    if (format >= CHECK_LAST) {
        head->kind = LCC_FRAME_CHECK;
        head->check = format;
        head->check_bits = field;
    } else if (format == FORMAT_CONTROL && field >= FIELD_RESERVE && field <= FIELD_RESET) {
        static const enum lcc_frame_kind kinds[] = {LCC_FRAME_RESERVE, LCC_FRAME_DEFINE,
                                                    LCC_FRAME_ENQUIRE, LCC_FRAME_RESET};
        head->kind = kinds[field - FIELD_RESERVE];
    }
}

static void read_addressed(const struct lcc_frame *frame, struct lcc_frame_head *head) {
    if (frame->length < ADDRESS_BYTES) {
        return;
    }
    head->kind = LCC_FRAME_ADDRESSED;
    head->part = (enum lcc_part)(frame->data[0] >> 4 & 3); /* the two bits above are ignored */
    head->destination = (uint16_t)lcc_get(frame->data, ADDRESS_BYTES) & FIELD;
    head->payload += ADDRESS_BYTES;
    head->payload_length -= ADDRESS_BYTES;
}

static void read_message(const struct lcc_frame *frame, unsigned format, uint16_t field,
                         struct lcc_frame_head *head) {
    static const enum lcc_part parts[] = {LCC_PART_ONLY, LCC_PART_FIRST, LCC_PART_MIDDLE,
                                          LCC_PART_LAST};
    switch (format) {
    case FORMAT_MESSAGE:
        head->mti = field;
        if (field & ADDRESS_PRESENT) {
            read_addressed(frame, head);
        } else {
            head->kind = LCC_FRAME_GLOBAL;
        }
        break;
    case FORMAT_DATAGRAM_ONLY:
    case FORMAT_DATAGRAM_FIRST:
    case FORMAT_DATAGRAM_MIDDLE:
    case FORMAT_DATAGRAM_LAST:
        head->kind = LCC_FRAME_DATAGRAM;
        head->destination = field;
        head->part = parts[format - FORMAT_DATAGRAM_ONLY];
        break;
    case FORMAT_STREAM:
        head->kind = LCC_FRAME_STREAM;
        head->destination = field;
        break;
    }
}

void lcc_frame_read(const struct lcc_frame *frame, struct lcc_frame_head *head) {
    unsigned format = frame->id >> FORMAT_SHIFT & FORMAT;
    uint16_t field = frame->id >> FIELD_SHIFT & FIELD;
    *head = (struct lcc_frame_head){.source = (uint16_t)(frame->id & FIELD),
                                    .payload = frame->data,
                                    .payload_length = frame->length};
    if (frame->id & IS_MESSAGE) {
        read_message(frame, format, field, head);
    } else {
        read_control(format, field, head);
    }
}

static struct lcc_frame make(uint32_t kind, unsigned format, unsigned field, uint16_t source,
                             const uint8_t *data, unsigned length) {
    struct lcc_frame frame = {.id = SENT_AS_ONE | kind | format << FORMAT_SHIFT |
                                    field << FIELD_SHIFT | source,
                              .length = (uint8_t)length};
    if (length > 0) {
        memcpy(frame.data, data, length);
    }
    return frame;
}

static struct lcc_frame with_node(unsigned field, uint64_t node, uint16_t alias) {
    uint8_t id[LCC_NODE_BYTES];
    lcc_put(id, node, sizeof id);
    return make(0, FORMAT_CONTROL, field, alias, id, sizeof id);
}

struct lcc_frame lcc_frame_check(unsigned check, uint64_t node, uint16_t alias) {
    unsigned bits = (unsigned)(node >> 12 * (check - CHECK_LAST)) & FIELD;
    return make(0, check, bits, alias, NULL, 0);
}

struct lcc_frame lcc_frame_reserve(uint16_t alias) {
    return make(0, FORMAT_CONTROL, FIELD_RESERVE, alias, NULL, 0);
}

struct lcc_frame lcc_frame_define(uint64_t node, uint16_t alias) {
    return with_node(FIELD_DEFINE, node, alias);
}

struct lcc_frame lcc_frame_reset(uint64_t node, uint16_t alias) {
    return with_node(FIELD_RESET, node, alias);
}

struct lcc_frame lcc_frame_global(uint16_t mti, uint16_t source, const uint8_t *content,
                                  unsigned length) {
    return make(IS_MESSAGE, FORMAT_MESSAGE, mti & FIELD, source, content, length);
}

struct lcc_frame lcc_frame_addressed(uint16_t mti, uint16_t source, uint16_t destination,
                                     enum lcc_part part, const uint8_t *content, unsigned length) {
    uint8_t data[LCC_FRAME_BYTES];
    lcc_put(data, (uint64_t)part << 12 | destination, ADDRESS_BYTES);
    if (length > 0) {
        memcpy(data + ADDRESS_BYTES, content, length);
    }
    return make(IS_MESSAGE, FORMAT_MESSAGE, mti & FIELD, source, data, ADDRESS_BYTES + length);
}

struct lcc_frame lcc_frame_datagram(uint16_t source, uint16_t destination, enum lcc_part part,
                                    const uint8_t *content, unsigned length) {
    static const enum format formats[] = {[LCC_PART_ONLY] = FORMAT_DATAGRAM_ONLY,
                                          [LCC_PART_FIRST] = FORMAT_DATAGRAM_FIRST,
                                          [LCC_PART_LAST] = FORMAT_DATAGRAM_LAST,
                                          [LCC_PART_MIDDLE] = FORMAT_DATAGRAM_MIDDLE};
    return make(IS_MESSAGE, formats[part], destination, source, content, length);
}
