#include "protocol/lcc/node/spaces.h"

#include "protocol/lcc/identifier.h"
#include "protocol/lcc/node/events.h"

static uint32_t size_of(const struct lcc_node_setup *setup, uint8_t space) {
    uint32_t events = lcc_events_count(setup) * LCC_EVENT_BYTES;
    switch (space) {
    case LCC_SPACE_CDI:
        return (uint32_t)setup->cdi_bytes;
    case LCC_SPACE_CONFIGURATION:
        return events < LCC_CONFIGURATION_BYTES_MIN ? LCC_CONFIGURATION_BYTES_MIN : events;
    case LCC_SPACE_MADE:
        return LCC_MADE_BYTES;
    case LCC_SPACE_NAMED:
        return LCC_NAMED_BYTES;
    }
    return 0;
}

struct lcc_space lcc_spaces_of(const struct lcc_node_setup *setup, uint8_t space) {
    uint32_t size = size_of(setup, space);
    return (struct lcc_space){
        .is_there = size > 0, .is_read_only = size > 0, .highest = size > 0 ? size - 1 : 0};
}

static uint8_t event_byte(const struct lcc_node_setup *setup, uint32_t at) {
    uint8_t bytes[LCC_EVENT_BYTES];
    unsigned i = at / LCC_EVENT_BYTES;
    if (i >= lcc_events_count(setup)) {
        return 0;
    }
    lcc_put(bytes, lcc_events_id(setup, i), sizeof bytes);
    return bytes[at % LCC_EVENT_BYTES];
}

unsigned lcc_spaces_read(const struct lcc_node_setup *setup, uint8_t space, uint32_t address,
                         unsigned count, uint8_t *data) {
    uint32_t size = size_of(setup, space);
    uint8_t made[LCC_MADE_BYTES], named[LCC_NAMED_BYTES];
    lcc_identification_made(&setup->identification, made);
    lcc_identification_named(&setup->identification, named);
    unsigned read = 0;
    for (; read < count && address < size && read < size - address; read++) {
        uint32_t at = address + read;
        data[read] = space == LCC_SPACE_CDI             ? (uint8_t)setup->cdi[at]
                     : space == LCC_SPACE_CONFIGURATION ? event_byte(setup, at)
                     : space == LCC_SPACE_MADE          ? made[at]
                                                        : named[at];
    }
    return read;
}
