#include "core/timing.h"

#include "core/data/inputs.h"

struct lapse lapse_of(uint32_t dt_us, uint32_t late_us) {
    return (struct lapse){dt_us, countdown(dt_us, late_us)};
}

bool lapse_is_gap(struct lapse lapse) {
    return lapse.us - lapse.seen_us > LATE_MOST_US;
}

uint32_t countdown(uint32_t left_us, uint32_t dt_us) {
    return left_us > dt_us ? left_us - dt_us : 0;
}

bool watch_step(struct watch *watch, bool condition, uint32_t limit_us, uint32_t dt_us) {
    if (!condition) {
        watch->left_us = 0;
    } else if (!watch->is_running) {
        watch->left_us = limit_us;
    } else {
        watch->left_us = countdown(watch->left_us, dt_us);
    }
    watch->is_running = condition;
    return watch_has_expired(watch);
}

bool watch_has_expired(const struct watch *watch) {
    return watch->is_running && watch->left_us == 0;
}

/* Readings come and go, and none has held yet. */
static void stay_unsettled(struct debounced *contact, uint32_t dt_us) {
    if (contact->unsettled_us == 0) {
        contact->unsettled_us = BRIDGE_UNSETTLED_MAX_US;
        return;
    }
    contact->unsettled_us = countdown(contact->unsettled_us, dt_us);
    if (contact->unsettled_us == 0) {
        contact->believed = LEVEL_UNKNOWN;
    }
}

enum level debounce_step(struct debounced *contact, enum level reading, uint32_t hold_us,
                         struct lapse lapse) {
    if (reading == LEVEL_UNKNOWN) {
        contact->believed = LEVEL_UNKNOWN;
        contact->candidate = LEVEL_UNKNOWN;
        contact->left_us = 0;
        contact->unsettled_us = 0;
        return LEVEL_UNKNOWN;
    }
    if (reading != contact->candidate) {
        contact->candidate = reading;
        contact->left_us = hold_us;
    } else {
        contact->left_us = countdown(contact->left_us, lapse.seen_us);
    }
    if (contact->left_us == 0) {
        contact->believed = contact->candidate;
        contact->unsettled_us = 0;
    } else if (contact->believed != LEVEL_UNKNOWN) {
        stay_unsettled(contact, lapse.us);
    }
    return contact->believed;
}

bool debounce_is_on(const struct debounced *contact) {
    return contact->believed == LEVEL_ON;
}

/* A condition that has just gone away may come back: only the time after this look counts. */
static void ease(struct lasting_watch *lasting, uint32_t dt_us) {
    if (!lasting->watch.is_running) {
        lasting->ease_us = countdown(lasting->ease_us, dt_us);
    }
    lasting->watch.is_running = false;
    lasting->watch.left_us = lasting->ease_us > 0 ? lasting->watch.left_us : 0;
}

static void count_lasting(struct lasting_watch *lasting, uint32_t limit_us, uint32_t dt_us) {
    struct watch *watch = &lasting->watch;
    if (watch->is_running) {
        watch->left_us = countdown(watch->left_us, dt_us);
    } else if (lasting->ease_us == 0) {
        watch->left_us = limit_us;
    }
    watch->is_running = true;
    lasting->ease_us = limit_us;
}

bool lasting_step(struct lasting_watch *lasting, enum lasting told, uint32_t limit_us,
                  uint32_t dt_us) {
    switch (told) {
    case LASTING_CLEAR:
        *lasting = (struct lasting_watch){0};
        break;
    case LASTING_KEEP:
        lasting->watch.is_running = false;
        break;
    case LASTING_EASE:
        ease(lasting, dt_us);
        break;
    case LASTING_COUNT:
        count_lasting(lasting, limit_us, dt_us);
        break;
    }
    return watch_has_expired(&lasting->watch);
}

uint32_t countdown_wake_us(uint32_t left_us) {
    return left_us > 0 ? left_us : UINT32_MAX;
}

uint32_t watch_wake_us(const struct watch *watch) {
    return countdown_wake_us(watch->left_us);
}

uint32_t debounce_wake_us(const struct debounced *contact) {
    return countdown_wake_us(contact->left_us);
}

uint32_t sooner_us(uint32_t one_us, uint32_t other_us) {
    return one_us < other_us ? one_us : other_us;
}

uint32_t added_us(uint32_t one_us, uint32_t other_us) {
    return one_us > UINT32_MAX - other_us ? UINT32_MAX : one_us + other_us;
}
