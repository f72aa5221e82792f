/* event.h: events that the standards name, and runs of events. Event Identifiers S, 22 Jul 2024. */
#ifndef PROTOCOL_LCC_EVENT_H
#define PROTOCOL_LCC_EVENT_H

#include <stdbool.h>
#include <stdint.h>

#define LCC_EMERGENCY_OFF UINT64_C(0x010000000000FFFF)
#define LCC_EMERGENCY_OFF_CLEARED UINT64_C(0x010000000000FFFE)
#define LCC_EMERGENCY_STOP UINT64_C(0x010000000000FFFD)
#define LCC_EMERGENCY_STOP_CLEARED UINT64_C(0x010000000000FFFC)
#define LCC_DUPLICATE_NODE UINT64_C(0x0101000000000201)
#define LCC_DEFAULT_CLOCK UINT64_C(0x0101000001000000)

/* Returns the event that stands for 2^bits events from `base` on, a multiple of 2^bits. */
uint64_t lcc_event_range(uint64_t base, unsigned bits);

/* Returns the event of a node's own: its id, and two bytes (Event Identifiers S). */
uint64_t lcc_event_of_node(uint64_t node, uint16_t suffix);

#endif
