#include "tools/drawtender/client/words.h"

#include <stdio.h>
#include <string.h>

struct words_row {
    enum srcp_group group;
    const char *kind; /* the first word of the label */
    enum words_sort sort;
    unsigned port;
    const char *one, *zero; /* for a value but 0, for 0 */
    const char *name;       /* instead of the label; NULL: the label */
};

static const struct words_row rows[] = {
    {SRCP_GA, "span", WORDS_SPAN, 0, NULL, NULL, NULL},
    {SRCP_GA, "lock", WORDS_GEAR, 1, "locked", "not locked", "span lock"},
    {SRCP_GA, "river", WORDS_GEAR, 1, "green", "red", "river lights"},
    {SRCP_GA, "horn", WORDS_GEAR, 0, "on", "off", NULL},
    {SRCP_GA, "signal", WORDS_SIGNAL, 1, "proceed", "stop", NULL},
    {SRCP_FB, "seated", WORDS_CONTACT, 0, "yes", "no", NULL},
    {SRCP_FB, "locked", WORDS_CONTACT, 0, "yes", "no", NULL},
    {SRCP_FB, "open", WORDS_CONTACT, 0, "yes", "no", NULL},
    {SRCP_FB, "moving", WORDS_CONTACT, 0, "yes", "no", NULL},
    {SRCP_FB, "lined", WORDS_CONTACT, 0, "yes", "no", NULL},
    {SRCP_FB, "fault", WORDS_CONTACT, 0, "yes", "no", NULL},
    {SRCP_FB, "approach", WORDS_SECTION, 0, "occupied", "clear", NULL},
    {SRCP_FB, "stop", WORDS_SECTION, 0, "occupied", "clear", NULL},
    {SRCP_FB, "span", WORDS_SECTION, 0, "occupied", "clear", NULL},
    {SRCP_FB, "section", WORDS_SECTION, 0, "occupied", "clear", NULL},
};

static const struct words_row *find(const struct picture_device *device) {
    size_t length = strcspn(device->label, " ");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (rows[i].group == device->group && strlen(rows[i].kind) == length &&
            strncmp(rows[i].kind, device->label, length) == 0) {
            return &rows[i];
        }
    }
    return NULL;
}

enum words_sort words_sort(const struct picture_device *device) {
    const struct words_row *row = find(device);
    return row != NULL ? row->sort : WORDS_OTHER;
}

unsigned words_port(const struct picture_device *device) {
    const struct words_row *row = find(device);
    return row != NULL ? row->port : 0;
}

const char *words_of(const struct picture_device *device) {
    const struct words_row *row = find(device);
    if (row == NULL || row->one == NULL) {
        return NULL;
    }
    if (!device->is_known[row->port]) {
        return "unknown";
    }
    return device->value[row->port] != 0 ? row->one : row->zero;
}

const char *words_name(const struct picture_device *device) {
    const struct words_row *row = find(device);
    if (row != NULL && row->name != NULL) {
        return row->name;
    }
    const char *place = picture_place(device, "signal");
    return device->group == SRCP_GA && place != NULL ? place : device->label;
}

void words_holder(const struct picture_device *device, char *out, size_t size) {
    if (!device->is_locked) {
        out[0] = '\0';
    } else if (device->lock_session == 0) {
        snprintf(out, size, "the bridge");
    } else {
        snprintf(out, size, "session %d", (int)device->lock_session);
    }
}
