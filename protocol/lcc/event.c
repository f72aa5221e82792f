#include "protocol/lcc/event.h"

uint64_t lcc_event_of_node(uint64_t node, uint16_t suffix) {
    return node << 16 | suffix;
}
