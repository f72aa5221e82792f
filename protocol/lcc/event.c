#include "protocol/lcc/event.h"

uint64_t lcc_event_range(uint64_t base, unsigned bits) {
    uint64_t low = bits >= 64 ? UINT64_MAX : (UINT64_C(1) << bits) - 1;
    bool is_next_bit_set = bits < 64 && (base >> bits & 1) != 0;
    return is_next_bit_set ? base & ~low : base | low;
}

uint64_t lcc_event_of_node(uint64_t node, uint16_t suffix) {
    return node << 16 | suffix;
}
