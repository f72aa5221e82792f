/* contact.h: what one contact of the stand says: debounced, and believed pressed only once it has
 * been seen released. A contact that cannot be read, or that stays pressed for too long, counts as
 * released, and must be seen so before it counts again.
 * Pure; times in microseconds. */
#ifndef STAND_CONTACT_H
#define STAND_CONTACT_H

#include "core/data/level.h"

#include <stdbool.h>
#include <stdint.h>

struct contact_setup {
    uint32_t press_us, release_us; /* a reading must hold so long to be believed */
    uint32_t stuck_us;             /* pressed for so long it is stuck; 0: it may be */
    bool is_switch;                /* its position counts at the start, too */
};

/* All zero is the start. */
struct contact {
    enum level reading;
    uint64_t since_us; /* since when it reads so */
    bool is_known;     /* a reading has been believed since it could be read */
    bool is_armed;     /* the next reading of ON is a press */
    bool is_pressed;
    bool is_stuck;
    bool is_lost; /* it could not be read, and that has been told */
};

enum contact_news {
    CONTACT_NO_NEWS = 0,
    CONTACT_PRESSED,
    CONTACT_RELEASED,
    CONTACT_STUCK, /* counts as released */
    CONTACT_FREED, /* released after it was stuck */
    CONTACT_LOST,  /* cannot be read: counts as released */
    CONTACT_FOUND  /* can be read again */
};

/* Takes one reading: ON is pressed. Returns what is new; to be called again with the same reading
 * until nothing is. */
enum contact_news contact_look(struct contact *contact, const struct contact_setup *setup,
                               enum level reading, uint64_t now_us);

/* Returns the time until the contact changes by itself; UINT32_MAX: never. */
uint32_t contact_wake_us(const struct contact *contact, const struct contact_setup *setup,
                         uint64_t now_us);

#endif
