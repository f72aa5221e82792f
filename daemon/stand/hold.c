#include "stand/hold.h"

#include "io/wired/time_left.h"

#include <math.h>

/* A smaller change waits for the next hold: a potentiometer's noise must not become requests. */
static const double share_told = 0.02;

static bool begin(struct hold *hold, const struct hold_setup *setup, double share, uint64_t now_us,
                  struct bridge_request *request) {
    hold->is_armed = false;
    hold->direction = share > 0 ? 1 : -1;
    hold->share = fabs(share);
    hold->asked_us = now_us;
    *request =
        (struct bridge_request){.kind = share > 0 ? REQUEST_THROTTLE_UP : REQUEST_THROTTLE_DOWN,
                                .share = fmin(fabs(share), 1),
                                .is_voltage = setup->is_voltage};
    return true;
}

/* No share at all lets go. */
static bool let_go(struct hold *hold, const struct hold_setup *setup,
                   struct bridge_request *request) {
    hold->direction = 0;
    *request =
        (struct bridge_request){.kind = REQUEST_THROTTLE_HOLD, .is_voltage = setup->is_voltage};
    return true;
}

static bool hold_on(struct hold *hold, const struct hold_setup *setup, double share,
                    uint64_t now_us, struct bridge_request *request) {
    bool is_due = now_us - hold->asked_us >= setup->refresh_us;
    if (!is_due && fabs(share - hold->share) < share_told) {
        return false;
    }
    hold->share = share;
    hold->asked_us = now_us;
    *request = (struct bridge_request){
        .kind = REQUEST_THROTTLE_HOLD, .share = fmin(share, 1), .is_voltage = setup->is_voltage};
    return true;
}

bool hold_look(struct hold *hold, const struct hold_setup *setup, double share, uint64_t now_us,
               struct bridge_request *request) {
    bool is_at_rest = fabs(share) < setup->dead_share;
    bool is_same_way = share * hold->direction >= setup->dead_share;
    if (hold->direction != 0 && !is_same_way) {
        hold->is_armed = is_at_rest;
        return let_go(hold, setup, request);
    }
    if (hold->direction != 0) {
        return hold_on(hold, setup, fabs(share), now_us, request);
    }
    /* Without a reading it is neither at rest nor away from it. */
    hold->is_armed = !isnan(share) && (is_at_rest || hold->is_armed);
    return hold->is_armed && !is_at_rest && begin(hold, setup, share, now_us, request);
}

void hold_answered(struct hold *hold, bool is_granted) {
    if (!is_granted) {
        hold->direction = 0;
    }
}

uint32_t hold_wake_us(const struct hold *hold, const struct hold_setup *setup, uint64_t now_us) {
    return hold->direction == 0 ? UINT32_MAX
                                : time_left_us(hold->asked_us, setup->refresh_us, now_us);
}
