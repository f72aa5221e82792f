#include "stand/desk.h"

#include "core/timing.h"

#include <stddef.h>

void desk_init(struct desk *desk, const struct stand_setup *setup) {
    *desk = (struct desk){.setup = setup};
}

/* A stop is believed at once: what is stopped for a moment's noise does no harm. */
static struct contact_setup setup_of(const struct stand_control *control) {
    bool is_stop = control->kind == STAND_STOP || control->kind == STAND_EMERGENCY_STOP;
    return (struct contact_setup){.press_us = is_stop ? 0 : control->debounce_us,
                                  .release_us = control->debounce_us,
                                  .stuck_us = control->stuck_us,
                                  .is_switch = stand_control_is_switch(control->kind)};
}

/* The contact of an emergency stop is made while nobody presses it: whatever else it reads, a
 * broken wire and a dead chip too, is a stop. */
static enum level pressed_level(const struct stand_control *control, enum level reading) {
    if (control->kind != STAND_EMERGENCY_STOP) {
        return reading;
    }
    return reading == LEVEL_ON ? LEVEL_OFF : LEVEL_ON;
}

static enum bridge_request_kind asked_by(enum stand_control_kind kind, enum contact_news what) {
#define ASKS(name, word, asks) asks,
    static const enum bridge_request_kind pressed[] = {STAND_CONTROL_ROWS(ASKS)};
#undef ASKS
    bool is_end = what == CONTACT_RELEASED || what == CONTACT_STUCK || what == CONTACT_LOST;
    if (kind == STAND_HORN && is_end) {
        return REQUEST_HORN_OFF;
    }
    return what == CONTACT_PRESSED ? pressed[kind] : REQUEST_NONE;
}

bool desk_look(struct desk *desk, unsigned control, enum level reading, uint64_t now_us,
               struct desk_news *news) {
    const struct stand_control *setup = &desk->setup->control[control];
    const struct contact_setup contact = setup_of(setup);
    news->what =
        contact_look(&desk->contact[control], &contact, pressed_level(setup, reading), now_us);
    news->asks = asked_by(setup->kind, news->what);
    bool is_settled = news->what == CONTACT_NO_NEWS && desk->contact[control].is_known;
    if (setup->kind == STAND_LOCAL && is_settled) {
        desk->is_local = desk->contact[control].is_pressed;
    }
    return news->what != CONTACT_NO_NEWS;
}

bool desk_is_pressed(const struct desk *desk, enum stand_control_kind kind) {
    for (unsigned i = 0; i < desk->setup->controls; i++) {
        if (desk->setup->control[i].kind == kind && desk->contact[i].is_pressed) {
            return true;
        }
    }
    return false;
}

bool desk_has(const struct desk *desk, enum stand_control_kind kind) {
    for (unsigned i = 0; i < desk->setup->controls; i++) {
        if (desk->setup->control[i].kind == kind) {
            return true;
        }
    }
    return false;
}

bool desk_is_always_allowed(enum bridge_request_kind kind) {
    return bridge_request_is_stop(kind) || kind == REQUEST_HORN_OFF;
}

/* Whoever acknowledges while the mushroom is still in would have a bridge that may be moved by
 * anybody, and a person at the stand who relies on it. */
static const char *refuses_while_stopped(const struct desk *desk) {
    return desk_is_pressed(desk, STAND_EMERGENCY_STOP)
               ? "the emergency stop of its stand is pressed, or its wire is broken"
               : NULL;
}

const char *desk_refuses_itself(const struct desk *desk, enum bridge_request_kind kind) {
    if (desk_is_always_allowed(kind)) {
        return NULL;
    }
    if (desk_has(desk, STAND_KEY_SWITCH) && !desk_is_pressed(desk, STAND_KEY_SWITCH)) {
        return "the stand's key switch is off: it only observes";
    }
    return refuses_while_stopped(desk);
}

const char *desk_refuses_others(const struct desk *desk, enum bridge_request_kind kind) {
    if (desk_is_always_allowed(kind)) {
        return NULL;
    }
    if (desk->is_local) {
        return "its stand is switched to local; only a stop acts";
    }
    return refuses_while_stopped(desk);
}

uint32_t desk_wake_us(const struct desk *desk, uint64_t now_us) {
    uint32_t wake_us = UINT32_MAX;
    for (unsigned i = 0; i < desk->setup->controls; i++) {
        const struct contact_setup contact = setup_of(&desk->setup->control[i]);
        wake_us = sooner_us(wake_us, contact_wake_us(&desk->contact[i], &contact, now_us));
    }
    return wake_us;
}
