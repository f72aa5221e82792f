#include "core/lock.h"

/* An absent contact does not deny anything. */
static bool is_off(bool is_present, const struct debounced *contact) {
    return !is_present || contact->believed == LEVEL_OFF;
}

bool lock_is_locked_by_time(const struct bridge_setup *setup) {
    return setup->has_lock_drive && !setup->has_locked;
}

static bool is_withdrawn_by_time(const struct bridge_setup *setup) {
    return setup->has_lock_drive && !setup->has_withdrawn;
}

/* At rest the bar stays where its drive has brought it, unless something speaks against that. */
static void count_drive(struct watch *watch, bool is_driving, bool is_denied, uint32_t limit_us,
                        uint32_t seen_us) {
    if (is_denied) {
        *watch = (struct watch){0};
    } else if (is_driving || !watch_has_expired(watch)) {
        watch_step(watch, is_driving, limit_us, seen_us);
    }
}

void lock_observe(const struct bridge_setup *setup, struct bridge_state *state,
                  struct lapse lapse) {
    struct lock_state *lock = &state->lock;
    const struct bridge_contacts *contacts = &state->contacts;
    bool is_resting = lock->put_out == LOCK_DRIVE_REST;
    /* On its way the bar leaves the other contact late: only at rest does it deny the time. */
    bool is_locked_denied = !debounce_is_on(&contacts->seated) ||
                            (is_resting && !is_off(setup->has_withdrawn, &contacts->withdrawn));
    bool is_withdrawn_denied = is_resting && !is_off(setup->has_locked, &contacts->locked);
    count_drive(&lock->driven, lock->put_out == LOCK_DRIVE_DRIVEN,
                !lock_is_locked_by_time(setup) || is_locked_denied ||
                    lock->put_out == LOCK_DRIVE_WITHDRAWN,
                setup->lock_limit_us, lapse.seen_us);
    count_drive(&lock->withdrawn, lock->put_out == LOCK_DRIVE_WITHDRAWN,
                !is_withdrawn_by_time(setup) || is_withdrawn_denied ||
                    lock->put_out == LOCK_DRIVE_DRIVEN,
                setup->lock_limit_us, lapse.seen_us);
}

void lock_put_out(const struct bridge_setup *setup, struct bridge_state *state,
                  enum lock_drive drive) {
    struct lock_state *lock = &state->lock;
    lock->put_out = drive;
    if (drive == LOCK_DRIVE_DRIVEN && lock_is_locked_by_time(setup)) {
        watch_step(&lock->driven, true, setup->lock_limit_us, 0);
    } else if (drive == LOCK_DRIVE_WITHDRAWN && is_withdrawn_by_time(setup)) {
        watch_step(&lock->withdrawn, true, setup->lock_limit_us, 0);
    }
}

bool lock_is_locked(const struct bridge_setup *setup, const struct bridge_state *state) {
    const struct bridge_contacts *contacts = &state->contacts;
    if (!setup->has_lock) {
        return debounce_is_on(&contacts->seated);
    }
    if (setup->has_locked) {
        return debounce_is_on(&contacts->locked);
    }
    return watch_has_expired(&state->lock.driven) &&
           is_off(setup->has_withdrawn, &contacts->withdrawn);
}

bool lock_is_withdrawn(const struct bridge_setup *setup, const struct bridge_state *state) {
    const struct bridge_contacts *contacts = &state->contacts;
    if (!setup->has_lock) {
        return true;
    }
    if (setup->has_withdrawn) {
        return debounce_is_on(&contacts->withdrawn);
    }
    return watch_has_expired(&state->lock.withdrawn) &&
           is_off(setup->has_locked, &contacts->locked);
}

void lock_forget(struct bridge_state *state) {
    state->lock.driven = (struct watch){0};
    state->lock.withdrawn = (struct watch){0};
}

static uint32_t limit_us(const struct bridge_setup *setup, bool is_by_time) {
    if (!setup->has_lock_drive) {
        return 0;
    }
    return is_by_time ? added_us(setup->lock_limit_us, setup->lock_limit_us) : setup->lock_limit_us;
}

uint32_t lock_driving_limit_us(const struct bridge_setup *setup) {
    return limit_us(setup, lock_is_locked_by_time(setup));
}

uint32_t lock_withdrawing_limit_us(const struct bridge_setup *setup) {
    return limit_us(setup, is_withdrawn_by_time(setup));
}

uint32_t lock_wake_us(const struct bridge_state *state) {
    return sooner_us(watch_wake_us(&state->lock.driven), watch_wake_us(&state->lock.withdrawn));
}
