#include "tools/drawtender/client/picture.h"

#include "protocol/code.h"
#include "tools/drawtender/commission/default_label.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void picture_start(struct picture *picture, unsigned bus) {
    memset(picture, 0, sizeof *picture);
    picture->bus = bus;
}

/* Copies what fits. */
static void keep(char *out, size_t size, struct srcp_text text) {
    size_t length = text.length < size - 1 ? text.length : size - 1;
    for (size_t i = 0; i < length; i++) {
        out[i] = text.at[i] == '\t' ? ' ' : text.at[i];
    }
    out[length] = '\0';
}

static bool take_number(struct srcp_text *rest, int32_t *number) {
    return srcp_text_number(srcp_text_word(rest), number);
}

const struct picture_device *picture_find(const struct picture *picture, enum srcp_group group,
                                          int32_t address) {
    for (size_t i = 0; i < picture->devices; i++) {
        const struct picture_device *device = &picture->device[i];
        if (device->group == group && device->address == address) {
            return device;
        }
    }
    return NULL;
}

const struct picture_device *picture_labelled(const struct picture *picture, enum srcp_group group,
                                              const char *label) {
    for (size_t i = 0; i < picture->devices; i++) {
        const struct picture_device *device = &picture->device[i];
        if (device->group == group && strcmp(device->label, label) == 0) {
            return device;
        }
    }
    return NULL;
}

const char *picture_place(const struct picture_device *device, const char *kind) {
    size_t length = strlen(kind);
    bool is_of_kind = strncmp(device->label, kind, length) == 0 && device->label[length] == ' ';
    return is_of_kind ? device->label + length + 1 : NULL;
}

int32_t picture_value(const struct picture_device *device, unsigned port, int32_t otherwise) {
    if (device == NULL || port >= PICTURE_PORTS_MAX || !device->is_known[port]) {
        return otherwise;
    }
    return device->value[port];
}

bool picture_is_phase(const struct picture *picture, const char *phase) {
    return strcmp(picture->phase, phase) == 0;
}

bool picture_is_faulted(const struct picture *picture) {
    return picture_is_phase(picture, "fault");
}

/* The device, made if it is new; NULL if the picture is full. */
static struct picture_device *device_at(struct picture *picture, enum srcp_group group,
                                        int32_t address) {
    const struct picture_device *found = picture_find(picture, group, address);
    if (found != NULL) {
        return &picture->device[found - picture->device];
    }
    if (picture->devices == PICTURE_DEVICES_MAX) {
        return NULL;
    }
    struct picture_device *device = &picture->device[picture->devices++];
    *device = (struct picture_device){.group = group, .address = address};
    default_label(group, address, device->label, sizeof device->label);
    return device;
}

/* 101 INFO <bus> GA|FB <address> <protocol> [<words>] */
static struct picture_change fold_setup(struct picture *picture, enum srcp_group group,
                                        struct srcp_text rest) {
    struct picture_change change = {.kind = PICTURE_NOTHING};
    int32_t address;
    if (!take_number(&rest, &address)) {
        return change;
    }
    struct picture_device *device = device_at(picture, group, address);
    srcp_text_word(&rest); /* the device's protocol */
    if (device != NULL && rest.length > 0) {
        keep(device->label, sizeof device->label, rest);
    }
    return change;
}

/* 100 INFO <bus> GA <address> <port> <value>; 100 INFO <bus> FB <address> <value> */
static struct picture_change fold_value(struct picture *picture, enum srcp_group group,
                                        struct srcp_text rest) {
    struct picture_change change = {.kind = PICTURE_NOTHING};
    int32_t address;
    int32_t port = 0;
    int32_t value;
    if (!take_number(&rest, &address) || (group == SRCP_GA && !take_number(&rest, &port)) ||
        !take_number(&rest, &value) || port < 0 || port >= PICTURE_PORTS_MAX) {
        return change;
    }
    struct picture_device *device = device_at(picture, group, address);
    if (device == NULL || (device->is_known[port] && device->value[port] == value)) {
        return change;
    }
    device->is_known[port] = true;
    device->value[port] = value;
    return (struct picture_change){PICTURE_DEVICE, device, (unsigned)port};
}

/* <code> INFO <bus> LOCK GA <address> [<duration> <session-id>] */
static struct picture_change fold_lock(struct picture *picture, int32_t code,
                                       struct srcp_text rest) {
    struct picture_change change = {.kind = PICTURE_NOTHING};
    enum srcp_group group;
    int32_t address;
    int32_t duration_s = 0;
    int32_t session = 0;
    if (!srcp_group_named(srcp_text_word(&rest), &group) || !take_number(&rest, &address) ||
        (group != SRCP_GA && group != SRCP_FB)) {
        return change;
    }
    if (code == SRCP_INFO && (!take_number(&rest, &duration_s) || !take_number(&rest, &session))) {
        return change;
    }
    struct picture_device *device = device_at(picture, group, address);
    if (device == NULL) {
        return change;
    }
    device->is_locked = code == SRCP_INFO;
    device->lock_session = session;
    device->lock_left_s = duration_s;
    return (struct picture_change){.kind = PICTURE_LOCK, .device = device};
}

static struct picture_change fold_power(struct picture *picture, struct srcp_text rest) {
    struct srcp_text word = srcp_text_word(&rest);
    bool is_on = srcp_text_is(word, "ON");
    if (!is_on && !srcp_text_is(word, "OFF")) {
        return (struct picture_change){.kind = PICTURE_NOTHING};
    }
    bool has_changed = !picture->has_power || picture->is_power_on != is_on;
    picture->has_power = true;
    picture->is_power_on = is_on;
    return (struct picture_change){.kind = has_changed ? PICTURE_POWER : PICTURE_NOTHING};
}

/* PHASE <bus> <phase> <goal> <free text or "-"> */
static enum picture_change_kind fold_phase(struct picture *picture, struct srcp_text rest) {
    struct srcp_text phase = srcp_text_word(&rest);
    struct srcp_text goal = srcp_text_word(&rest);
    if (phase.length == 0 || goal.length == 0) {
        return PICTURE_NOTHING;
    }
    picture->has_phase = true;
    keep(picture->phase, sizeof picture->phase, phase);
    keep(picture->goal, sizeof picture->goal, goal);
    keep(picture->waits_for, sizeof picture->waits_for,
         srcp_text_is(rest, "-") ? (struct srcp_text){0} : rest);
    return PICTURE_PHASE;
}

/* A number, or NAN for "-" and for anything else. */
static double measure(struct srcp_text word) {
    char digits[32];
    keep(digits, sizeof digits, word);
    char *end = NULL;
    double value = strtod(digits, &end);
    return end == digits || *end != '\0' || !isfinite(value) ? NAN : value;
}

/* MOTION <bus> <position> <unit> <speed> <unit>/s <current> A <volts> V <bound>; older daemons end
 * at A */
static enum picture_change_kind fold_motion(struct picture *picture, struct srcp_text rest) {
    struct picture_motion *motion = &picture->motion;
    motion->position = measure(srcp_text_word(&rest));
    keep(motion->unit, sizeof motion->unit, srcp_text_word(&rest));
    motion->speed = measure(srcp_text_word(&rest));
    srcp_text_word(&rest); /* its unit */
    motion->current_a = measure(srcp_text_word(&rest));
    srcp_text_word(&rest); /* A */
    motion->volts = measure(srcp_text_word(&rest));
    srcp_text_word(&rest); /* V */
    motion->is_slowed = srcp_text_is(srcp_text_word(&rest), "slowed");
    picture->has_motion = true;
    return PICTURE_MOTION;
}

/* FAULT <bus> <name> <words>; FAULT <bus> none - */
static enum picture_change_kind fold_fault(struct picture *picture, struct srcp_text rest) {
    struct srcp_text name = srcp_text_word(&rest);
    if (name.length == 0) {
        return PICTURE_NOTHING;
    }
    if (srcp_text_is(name, "none")) {
        name = rest = (struct srcp_text){0};
    }
    keep(picture->fault, sizeof picture->fault, name);
    keep(picture->fault_words, sizeof picture->fault_words, rest);
    return PICTURE_FAULT;
}

/* REFUSED <bus> <group> <addr> <session-id> <reason in words> */
static enum picture_change_kind fold_refused(struct picture *picture, struct srcp_text rest) {
    srcp_text_word(&rest);
    srcp_text_word(&rest);
    int32_t session;
    if (!take_number(&rest, &session)) {
        return PICTURE_NOTHING;
    }
    picture->refusal.session = session;
    keep(picture->refusal.reason, sizeof picture->refusal.reason, rest);
    return PICTURE_REFUSED;
}

/* TRAIN <bus> <words> */
static enum picture_change_kind fold_train(struct picture *picture, struct srcp_text rest) {
    keep(picture->train_words, sizeof picture->train_words, rest);
    return PICTURE_TRAIN;
}

/* GUARD <bus> <how> <invariants> <words> */
static enum picture_change_kind fold_guard(struct picture *picture, struct srcp_text rest) {
    struct srcp_text how = srcp_text_word(&rest);
    struct srcp_text invariants = srcp_text_word(&rest);
    if (rest.length > 0 && picture->guards < PICTURE_GUARDS_MAX) {
        struct picture_guard *guard = &picture->guard[picture->guards++];
        keep(guard->how, sizeof guard->how, how);
        keep(guard->invariants, sizeof guard->invariants, invariants);
        keep(guard->words, sizeof guard->words, rest);
    }
    return PICTURE_NOTHING;
}

static const struct {
    const char *type;
    enum picture_change_kind (*fold)(struct picture *picture, struct srcp_text rest);
} messages[] = {{"PHASE", fold_phase}, {"MOTION", fold_motion}, {"FAULT", fold_fault},
                {"TRAIN", fold_train}, {"GUARD", fold_guard},   {"REFUSED", fold_refused}};

/* 100 INFO 0 GM <send-to-id> <reply-to-id> <type> <words> */
static struct picture_change fold_message(struct picture *picture, struct srcp_text rest) {
    struct picture_change change = {.kind = PICTURE_NOTHING};
    srcp_text_word(&rest);
    srcp_text_word(&rest);
    struct srcp_text type = srcp_text_word(&rest);
    int32_t number;
    if (!take_number(&rest, &number)) {
        return change;
    }
    if (srcp_text_is(type, "MARK")) {
        picture->mark = number;
        change.kind = PICTURE_MARK;
        return change;
    }
    if (number < 1 || (unsigned)number != picture->bus) {
        return change;
    }
    for (size_t i = 0; i < sizeof messages / sizeof messages[0]; i++) {
        if (srcp_text_is(type, messages[i].type)) {
            change.kind = messages[i].fold(picture, rest);
        }
    }
    return change;
}

/* GA and FB: a lock and a value, but not the end of a device, which ours never have. */
static struct picture_change fold_device(struct picture *picture,
                                         const struct srcp_answer *answer) {
    if (answer->code == SRCP_INFO_INIT) {
        return fold_setup(picture, answer->group, answer->rest);
    }
    if (answer->code == SRCP_INFO) {
        return fold_value(picture, answer->group, answer->rest);
    }
    return (struct picture_change){.kind = PICTURE_NOTHING};
}

struct picture_change picture_fold(struct picture *picture, const struct srcp_answer *answer) {
    struct picture_change nothing = {.kind = PICTURE_NOTHING};
    if (answer->kind != SRCP_ANSWER_INFO || !answer->has_group) {
        return nothing;
    }
    if (answer->bus == 0) {
        return answer->group == SRCP_GM ? fold_message(picture, answer->rest) : nothing;
    }
    if (answer->bus != picture->bus) {
        return nothing;
    }
    switch (answer->group) {
    case SRCP_GA:
    case SRCP_FB:
        return fold_device(picture, answer);
    case SRCP_LOCK:
        return fold_lock(picture, answer->code, answer->rest);
    case SRCP_POWER:
        return answer->code == SRCP_INFO ? fold_power(picture, answer->rest) : nothing;
    case SRCP_GL:
    case SRCP_SM:
    case SRCP_TIME:
    case SRCP_SESSION:
    case SRCP_SERVER:
    case SRCP_DESCRIPTION:
    case SRCP_GM:
    case SRCP_GROUPS:
        break;
    }
    return nothing;
}
