/* Whose turn it is: one request at a time, so that every reply has its request and nothing piles
 * up. */
#include "io/link/link_state.h"

static void ask(struct link *link, enum link_question what, unsigned which, const char *line) {
    link->asked = (struct link_asked){.what = what, .which = which, .since_us = link->now_us};
    link_session_send(link->session[SRCP_COMMAND_MODE], line);
}

/* ---- candidates: each sends at most one request and returns whether it did */

static bool send_device(struct link *link, unsigned i) {
    char line[LINK_LINE_SIZE];
    link_device_set(&link->device[i], line);
    ask(link, LINK_SETS, i, line);
    link->asked.is_on = link->device[i].is_wanted_on;
    return true;
}

static bool is_locked(const struct link *link, const struct link_device *device) {
    for (unsigned i = 0; i < link->locks && device->at.group == LINK_GA; i++) {
        const struct link_lock *lock = &link->lock[i];
        if (lock->bus == device->at.bus && lock->address == device->at.address) {
            return lock->is_held;
        }
    }
    return true; /* there is no lock on track power */
}

static bool switch_device(struct link *link, bool is_on) {
    for (unsigned i = 0; i < link->devices; i++) {
        const struct link_device *device = &link->device[i];
        if (device->step == LINK_DEVICE_TO_SEND && device->is_wanted_on == is_on &&
            (!is_on || is_locked(link, device))) {
            return send_device(link, i);
        }
    }
    return false;
}

static bool switch_off(struct link *link) {
    return switch_device(link, false);
}

static bool switch_on(struct link *link) {
    return switch_device(link, true);
}

static bool stop_train(struct link *link) {
    int train =
        link_brake_next(&link->brake, link->setup.trains, link->setup.beat_us, link->now_us);
    if (train < 0) {
        return false;
    }
    char line[LINK_LINE_SIZE];
    link_brake_set(&link->setup.train[train], line);
    ask(link, LINK_BRAKES, (unsigned)train, line);
    return true;
}

static bool take_lock(struct link *link) {
    for (unsigned i = 0; i < link->locks; i++) {
        if (link->now_us >= link->lock[i].due_us) {
            char line[LINK_LINE_SIZE];
            link_lock_set(&link->lock[i], link->setup.lock_s, line);
            ask(link, LINK_LOCKS, i, line);
            return true;
        }
    }
    return false;
}

static bool get_point(struct link *link, unsigned i) {
    char line[LINK_LINE_SIZE];
    link_point_get(&link->points.point[i], line);
    ask(link, LINK_GETS, i, line);
    return true;
}

static bool get_wanted_point(struct link *link) {
    for (unsigned i = 0; i < link->points.count; i++) {
        if (link->points.point[i].must_ask) {
            return get_point(link, i);
        }
    }
    return false;
}

static bool send_device_again(struct link *link) {
    for (unsigned i = 0; i < link->devices; i++) {
        if (link_device_is_due(&link->device[i], link->setup.beat_us, link->now_us)) {
            return send_device(link, i);
        }
    }
    return false;
}

/* The heartbeat: each value in its turn, so that each is compared with what INFO tells. */
static bool beat(struct link *link) {
    if (link->now_us < link->beat_at_us) {
        return false;
    }
    link->beat_at_us = link->now_us + link->setup.beat_us;
    for (unsigned i = 0; i < link->points.count; i++) {
        link->points.point[i].must_ask = link->points.point[i].is_doubted;
    }
    link->next_point = (link->next_point + 1) % link->points.count;
    return get_point(link, link->next_point);
}

/* One request is under way at a time, so this order says what waits for what: off before on, as at
 * every output; the train is stopped before locks are taken, which may need many tries; what the
 * bridge needs to know is read before what is only repeated, or compared. */
static bool (*const turns[])(struct link *link) = {
    switch_off, stop_train, take_lock, switch_on, get_wanted_point, send_device_again, beat,
};

void link_turn(struct link *link) {
    if (link->asked.what != LINK_ASKS_NOTHING || link->offs_awaited > 0) {
        return;
    }
    for (size_t i = 0; i < sizeof turns / sizeof turns[0] && !turns[i](link); i++) {
    }
}

/* The devices were all sent "off" in their order, perhaps more than once. */
static void off_answered(struct link *link, bool is_taken) {
    unsigned i = (link->devices - link->offs_awaited % link->devices) % link->devices;
    link->offs_awaited--;
    link_device_answered(&link->device[i], &link->points, false, is_taken, link->now_us);
}

void link_turn_answered(struct link *link, const struct srcp_answer *answer) {
    const struct link_asked asked = link->asked;
    bool is_taken = answer->kind == SRCP_ANSWER_OK;
    link->asked.what = LINK_ASKS_NOTHING;
    link->has_answered = true;
    switch (asked.what) {
    case LINK_ASKS_NOTHING:
        if (link->offs_awaited > 0) {
            off_answered(link, is_taken);
        } else {
            link->lost = "sent an unexpected reply";
        }
        break;
    case LINK_GETS:
        if (!link_point_answered(&link->points.point[asked.which], answer)) {
            link->lost = "sent a reply that does not match the request";
        }
        break;
    case LINK_SETS:
        link_device_answered(&link->device[asked.which], &link->points, asked.is_on, is_taken,
                             link->now_us);
        break;
    case LINK_LOCKS:
        link_lock_answered(&link->lock[asked.which], is_taken, link->setup.lock_s,
                           link->setup.beat_us, link->now_us);
        break;
    case LINK_BRAKES:
        link_brake_answered(&link->brake, asked.which, is_taken, link->now_us);
        break;
    }
}
