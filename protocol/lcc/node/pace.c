#include "protocol/lcc/node/pace.h"

uint64_t lcc_pace_due_us(const struct lcc_pace *pace) {
    return pace->used_us > pace->ahead_us ? pace->used_us - pace->ahead_us : 0;
}

void lcc_pace_count(struct lcc_pace *pace, uint64_t now_us) {
    pace->used_us = (pace->used_us > now_us ? pace->used_us : now_us) + pace->each_us;
}
