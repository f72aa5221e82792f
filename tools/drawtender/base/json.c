#include "tools/drawtender/base/json.h"

#include "base/text/utf8.h"
#include "tools/drawtender/client/words.h"

#include <string.h>

static void add_words(cJSON *object, const char *name, const char *words) {
    if (words != NULL && words[0] != '\0') {
        cJSON_AddStringToObject(object, name, words);
    } else {
        cJSON_AddNullToObject(object, name);
    }
}

static void add_phase(cJSON *object, const struct picture *picture) {
    add_words(object, "phase", picture->phase);
    add_words(object, "goal", picture->goal);
    add_words(object, "waits_for", picture->waits_for);
}

static void add_fault(cJSON *object, const struct picture *picture) {
    if (picture->fault[0] == '\0') {
        cJSON_AddNullToObject(object, "fault");
        return;
    }
    cJSON *fault = cJSON_AddObjectToObject(object, "fault");
    add_words(fault, "name", picture->fault);
    add_words(fault, "words", picture->fault_words);
}

/* cJSON prints a number that is none, such as a current not measured, as null. */
static void add_motion(cJSON *object, const struct picture *picture) {
    if (!picture->has_motion) {
        cJSON_AddNullToObject(object, "motion");
        return;
    }
    cJSON *motion = cJSON_AddObjectToObject(object, "motion");
    cJSON_AddNumberToObject(motion, "position", picture->motion.position);
    cJSON_AddNumberToObject(motion, "speed", picture->motion.speed);
    add_words(motion, "unit", picture->motion.unit);
    cJSON_AddNumberToObject(motion, "current_a", picture->motion.current_a);
    cJSON_AddNumberToObject(motion, "volts", picture->motion.volts);
}

static void add_power(cJSON *object, const struct picture *picture) {
    if (picture->has_power) {
        cJSON_AddBoolToObject(object, "power", picture->is_power_on);
    } else {
        cJSON_AddNullToObject(object, "power");
    }
}

static void add_lock(cJSON *object, const struct picture_device *device) {
    if (!device->is_locked) {
        cJSON_AddNullToObject(object, "lock");
        return;
    }
    cJSON *lock = cJSON_AddObjectToObject(object, "lock");
    cJSON_AddNumberToObject(lock, "session", device->lock_session);
    cJSON_AddNumberToObject(lock, "left_s", device->lock_left_s);
}

/* "values" has null for a port not told, up to the last one told. */
static void add_values(cJSON *object, const struct picture_device *device) {
    cJSON *values = cJSON_AddArrayToObject(object, "values");
    unsigned ports = 0;
    for (unsigned port = 0; port < PICTURE_PORTS_MAX; port++) {
        ports = device->is_known[port] ? port + 1 : ports;
    }
    for (unsigned port = 0; port < ports; port++) {
        cJSON *value =
            device->is_known[port] ? cJSON_CreateNumber(device->value[port]) : cJSON_CreateNull();
        cJSON_AddItemToArray(values, value);
    }
}

static void add_device(cJSON *object, const struct picture_device *device) {
    cJSON_AddStringToObject(object, "group", srcp_group_name(device->group));
    cJSON_AddNumberToObject(object, "address", device->address);
    add_words(object, "label", device->label);
    add_words(object, "shows", words_of(device));
    add_values(object, device);
    add_lock(object, device);
}

/* "S3,S4" */
static void add_invariants(cJSON *object, const char *invariants) {
    cJSON *list = cJSON_AddArrayToObject(object, "invariants");
    for (const char *at = invariants; *at != '\0';) {
        size_t length = strcspn(at, ",");
        char name[PICTURE_WORD_SIZE];
        snprintf(name, sizeof name, "%.*s", (int)length, at);
        cJSON_AddItemToArray(list, cJSON_CreateString(name));
        at += length + (at[length] == ',');
    }
}

static void add_guards(cJSON *object, const struct picture *picture) {
    cJSON *guards = cJSON_AddArrayToObject(object, "guards");
    for (size_t i = 0; i < picture->guards; i++) {
        const struct picture_guard *guard = &picture->guard[i];
        cJSON *json = cJSON_CreateObject();
        add_words(json, "how", guard->how);
        add_invariants(json, guard->invariants);
        add_words(json, "words", guard->words);
        cJSON_AddItemToArray(guards, json);
    }
}

cJSON *json_state(const struct picture *picture) {
    cJSON *object = cJSON_CreateObject();
    cJSON_AddNumberToObject(object, "bus", picture->bus);
    add_phase(object, picture);
    add_fault(object, picture);
    add_motion(object, picture);
    add_power(object, picture);
    cJSON *devices = cJSON_AddArrayToObject(object, "devices");
    for (size_t i = 0; i < picture->devices; i++) {
        cJSON *device = cJSON_CreateObject();
        add_device(device, &picture->device[i]);
        cJSON_AddItemToArray(devices, device);
    }
    add_guards(object, picture);
    return object;
}

static void add_refusal(cJSON *object, const struct picture_refusal *refusal) {
    cJSON_AddNumberToObject(object, "session", refusal->session);
    add_words(object, "reason", refusal->reason);
}

static void add_change(cJSON *object, const struct picture *picture,
                       const struct picture_change *change) {
    switch (change->kind) {
    case PICTURE_NOTHING:
    case PICTURE_MARK:
        break;
    case PICTURE_DEVICE:
    case PICTURE_LOCK:
        add_device(object, change->device);
        break;
    case PICTURE_PHASE:
        add_phase(object, picture);
        break;
    case PICTURE_MOTION:
        add_motion(object, picture);
        break;
    case PICTURE_FAULT:
        add_fault(object, picture);
        break;
    case PICTURE_POWER:
        add_power(object, picture);
        break;
    case PICTURE_REFUSED:
        add_refusal(object, &picture->refusal);
        break;
    case PICTURE_TRAIN:
        add_words(object, "words", picture->train_words);
        break;
    }
}

cJSON *json_change(const struct picture *picture, const struct picture_change *change,
                   uint64_t time_us) {
    static const char *const events[] = {
        [PICTURE_NOTHING] = "nothing", [PICTURE_DEVICE] = "device",   [PICTURE_LOCK] = "lock",
        [PICTURE_PHASE] = "phase",     [PICTURE_MOTION] = "motion",   [PICTURE_FAULT] = "fault",
        [PICTURE_POWER] = "power",     [PICTURE_REFUSED] = "refused", [PICTURE_TRAIN] = "train",
        [PICTURE_MARK] = "mark",
    };
    cJSON *object = cJSON_CreateObject();
    cJSON_AddNumberToObject(object, "time", (double)(time_us / 1000) / 1000.0);
    cJSON_AddStringToObject(object, "event", events[change->kind]);
    add_change(object, picture, change);
    return object;
}

bool json_print(FILE *out, cJSON *object) {
    char *line = cJSON_PrintUnformatted(object);
    if (line != NULL) {
        utf8_clean(line); /* JSON is UTF-8 (RFC 8259, 8.1), whatever a file is called */
    }
    bool is_printed = line != NULL && fprintf(out, "%s\n", line) >= 0 && fflush(out) == 0;
    cJSON_free(line);
    cJSON_Delete(object);
    return is_printed;
}
