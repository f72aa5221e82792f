#include "stand/contact.h"

#include "io/wired/time_left.h"

static uint32_t settles_us(const struct contact *contact, const struct contact_setup *setup) {
    return contact->reading == LEVEL_ON ? setup->press_us : setup->release_us;
}

static enum contact_news lose(struct contact *contact) {
    bool is_new = !contact->is_lost;
    *contact = (struct contact){.is_lost = true};
    return is_new ? CONTACT_LOST : CONTACT_NO_NEWS;
}

/* The first reading that is believed: a button that is pressed now may have been so for hours. */
static enum contact_news find(struct contact *contact, const struct contact_setup *setup) {
    bool was_lost = contact->is_lost;
    contact->is_known = true;
    contact->is_lost = false;
    contact->is_armed = setup->is_switch || contact->reading == LEVEL_OFF;
    return was_lost ? CONTACT_FOUND : CONTACT_NO_NEWS;
}

static enum contact_news see_released(struct contact *contact) {
    enum contact_news news = contact->is_pressed ? CONTACT_RELEASED
                             : contact->is_stuck ? CONTACT_FREED
                                                 : CONTACT_NO_NEWS;
    contact->is_armed = true;
    contact->is_pressed = contact->is_stuck = false;
    return news;
}

static enum contact_news see_pressed(struct contact *contact, const struct contact_setup *setup,
                                     uint64_t now_us) {
    if (contact->is_armed) {
        contact->is_armed = false;
        contact->is_pressed = true;
        return CONTACT_PRESSED;
    }
    if (!contact->is_stuck && setup->stuck_us > 0 &&
        now_us - contact->since_us >= setup->stuck_us) {
        contact->is_stuck = true;
        contact->is_pressed = false;
        return CONTACT_STUCK;
    }
    return CONTACT_NO_NEWS;
}

enum contact_news contact_look(struct contact *contact, const struct contact_setup *setup,
                               enum level reading, uint64_t now_us) {
    if (reading == LEVEL_UNKNOWN) {
        return lose(contact);
    }
    if (reading != contact->reading) {
        contact->reading = reading;
        contact->since_us = now_us;
    }
    if (now_us - contact->since_us < settles_us(contact, setup)) {
        return CONTACT_NO_NEWS;
    }
    if (!contact->is_known) {
        enum contact_news news = find(contact, setup);
        if (news != CONTACT_NO_NEWS) {
            return news;
        }
    }
    return reading == LEVEL_OFF ? see_released(contact) : see_pressed(contact, setup, now_us);
}

uint32_t contact_wake_us(const struct contact *contact, const struct contact_setup *setup,
                         uint64_t now_us) {
    uint32_t settle_us = time_left_us(contact->since_us, settles_us(contact, setup), now_us);
    if (contact->reading == LEVEL_UNKNOWN) {
        return UINT32_MAX;
    }
    if (settle_us > 0) {
        return settle_us;
    }
    bool may_stick = contact->reading == LEVEL_ON && !contact->is_stuck && setup->stuck_us > 0;
    return may_stick ? time_left_us(contact->since_us, setup->stuck_us, now_us) : UINT32_MAX;
}
