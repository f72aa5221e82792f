/* pace.h: so many frames a second, a few of them at once. */
#ifndef PROTOCOL_LCC_NODE_PACE_H
#define PROTOCOL_LCC_NODE_PACE_H

#include <stdbool.h>
#include <stdint.h>

struct lcc_pace {
    uint32_t each_us;  /* one frame takes so long */
    uint32_t ahead_us; /* as much as this may be sent ahead of its time */
    uint64_t used_us;  /* up to when the time is used */
};

/* Returns when one more may go. */
uint64_t lcc_pace_due_us(const struct lcc_pace *pace);

/* One goes. */
void lcc_pace_count(struct lcc_pace *pace, uint64_t now_us);

#endif
