#include "tools/drawtender/base/text.h"

#include "tools/drawtender/client/words.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>
#include <time.h>

static void add(char *out, size_t size, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static void add(char *out, size_t size, const char *format, ...) {
    size_t used = strlen(out);
    va_list words;
    va_start(words, format);
    vsnprintf(out + used, size - used, format, words);
    va_end(words);
}

/* "12.4 deg, 2.00 deg/s, 1.27 A"; what was not measured is left out. */
static void motion_words(const struct picture_motion *motion, char *out, size_t size) {
    out[0] = '\0';
    if (isnan(motion->position)) {
        add(out, size, "position unknown");
    } else {
        add(out, size, "%.1f %s", motion->position, motion->unit);
    }
    if (!isnan(motion->speed)) {
        add(out, size, ", %.2f %s/s", motion->speed, motion->unit);
    }
    if (!isnan(motion->current_a)) {
        add(out, size, ", %.2f A", motion->current_a);
    }
}

static bool is_travelling(const struct picture *picture) {
    return picture_is_phase(picture, "raising") || picture_is_phase(picture, "lowering") ||
           picture_is_phase(picture, "seating");
}

void text_progress(const struct picture *picture, char *out, size_t size) {
    snprintf(out, size, "%s", picture->phase);
    if (is_travelling(picture) && picture->has_motion) {
        char motion[PICTURE_TEXT_SIZE];
        motion_words(&picture->motion, motion, sizeof motion);
        add(out, size, ": %s", motion);
    } else if (picture->waits_for[0] != '\0') {
        add(out, size, ": %s", picture->waits_for);
    }
}

static void fault_words(const struct picture *picture, char *out, size_t size) {
    snprintf(out, size, "%s", picture->fault[0] != '\0' ? picture->fault : "none");
    if (picture->fault[0] != '\0' && picture->fault_words[0] != '\0') {
        add(out, size, ": %s", picture->fault_words);
    }
}

/* "seated yes, locked yes", of all devices of a sort. */
static void list_inline(const struct picture *picture, enum words_sort sort, char *out,
                        size_t size) {
    out[0] = '\0';
    for (size_t i = 0; i < picture->devices; i++) {
        const struct picture_device *device = &picture->device[i];
        if (words_sort(device) == sort) {
            add(out, size, "%s%s %s", out[0] != '\0' ? ", " : "", words_name(device),
                words_of(device));
        }
    }
}

static void print_row(FILE *out, const char *name, const char *words) {
    if (words[0] != '\0') {
        fprintf(out, "  %-10s %s\n", name, words);
    }
}

/* One device a row, the name of the sort before the first alone. */
static void print_each(FILE *out, const char *name, const struct picture *picture,
                       enum words_sort sort) {
    for (size_t i = 0; i < picture->devices; i++) {
        const struct picture_device *device = &picture->device[i];
        if (words_sort(device) != sort) {
            continue;
        }
        char words[2 * PICTURE_TEXT_SIZE];
        snprintf(words, sizeof words, "%s %s (%s %d)", words_name(device), words_of(device),
                 srcp_group_name(device->group), (int)device->address);
        print_row(out, name, words);
        name = "";
    }
}

static void print_locks(FILE *out, const struct picture *picture) {
    const char *name = "locks";
    for (size_t i = 0; i < picture->devices; i++) {
        const struct picture_device *device = &picture->device[i];
        if (!device->is_locked) {
            continue;
        }
        char holder[32];
        words_holder(device, holder, sizeof holder);
        char words[2 * PICTURE_TEXT_SIZE];
        snprintf(words, sizeof words, "%s by %s", device->label, holder);
        if (device->lock_left_s > 0) {
            add(words, sizeof words, " for %d s", (int)device->lock_left_s);
        }
        print_row(out, name, words);
        name = "";
    }
}

static void print_guards(FILE *out, const struct picture *picture) {
    for (size_t i = 0; i < picture->guards; i++) {
        const struct picture_guard *guard = &picture->guard[i];
        char words[512];
        snprintf(words, sizeof words, "%s (%s) %s", guard->how, guard->invariants, guard->words);
        print_row(out, i == 0 ? "guards" : "", words);
    }
}

void text_state(FILE *out, const struct picture *picture) {
    char words[1024];
    bool has_goal = strcmp(picture->goal, "none") != 0;
    snprintf(words, sizeof words, "%s%s%s", picture->phase, has_goal ? ", goal " : "",
             has_goal ? picture->goal : "");
    print_row(out, "phase", words);
    print_row(out, "waits", picture->waits_for);
    fault_words(picture, words, sizeof words);
    print_row(out, "fault", words);
    if (picture->has_motion) {
        motion_words(&picture->motion, words, sizeof words);
        print_row(out, "position", words);
    }
    list_inline(picture, WORDS_CONTACT, words, sizeof words);
    print_row(out, "contacts", words);
    list_inline(picture, WORDS_GEAR, words, sizeof words);
    print_row(out, "gear", words);
    if (picture->has_power) {
        print_row(out, "power", picture->is_power_on ? "on" : "off");
    }
    print_each(out, "signals", picture, WORDS_SIGNAL);
    print_each(out, "sections", picture, WORDS_SECTION);
    print_locks(out, picture);
    print_guards(out, picture);
}

static bool device_change(const struct picture_change *change, char *out, size_t size) {
    const struct picture_device *device = change->device;
    const char *words = words_of(device);
    if (words != NULL && change->port == words_port(device)) {
        bool is_signal = words_sort(device) == WORDS_SIGNAL;
        snprintf(out, size, "%s%s: %s", is_signal ? "signal " : "", words_name(device), words);
        return true;
    }
    if (words_sort(device) == WORDS_OTHER) {
        snprintf(out, size, "%s port %u: %d", device->label, change->port,
                 (int)device->value[change->port]);
        return true;
    }
    return false;
}

static void lock_change(const struct picture_device *device, char *out, size_t size) {
    char holder[32];
    words_holder(device, holder, sizeof holder);
    snprintf(out, size, "%s: %s%s", device->label, device->is_locked ? "held by " : "not held",
             holder);
}

bool text_change(const struct picture *picture, const struct picture_change *change, char *out,
                 size_t size) {
    out[0] = '\0';
    switch (change->kind) {
    case PICTURE_NOTHING:
    case PICTURE_MARK:
        return false;
    case PICTURE_DEVICE:
        return device_change(change, out, size);
    case PICTURE_LOCK:
        lock_change(change->device, out, size);
        return true;
    case PICTURE_PHASE:
        snprintf(out, size, "%s, goal %s%s%s", picture->phase, picture->goal,
                 picture->waits_for[0] != '\0' ? ": " : "", picture->waits_for);
        return true;
    case PICTURE_MOTION:
        motion_words(&picture->motion, out, size);
        return true;
    case PICTURE_FAULT:
        add(out, size, "fault ");
        fault_words(picture, out + strlen(out), size - strlen(out));
        return true;
    case PICTURE_POWER:
        snprintf(out, size, "power: %s", picture->is_power_on ? "on" : "off");
        return true;
    case PICTURE_REFUSED:
        snprintf(out, size, "refused to session %d: %s", (int)picture->refusal.session,
                 picture->refusal.reason);
        return true;
    case PICTURE_TRAIN:
        snprintf(out, size, "train: %s", picture->train_words);
        return true;
    }
    return false;
}

void text_time(uint64_t time_us, char out[16]) {
    time_t seconds = (time_t)(time_us / 1000000);
    struct tm day;
    if (localtime_r(&seconds, &day) == NULL) {
        memset(&day, 0, sizeof day);
    }
    snprintf(out, 16, "%02u:%02u:%02u.%03u", (unsigned)day.tm_hour % 24u,
             (unsigned)day.tm_min % 60u, (unsigned)day.tm_sec % 61u,
             (unsigned)(time_us / 1000 % 1000));
}
