#include "io/line_label.h"

#include <stdio.h>

static const struct line_track numbered[BRIDGE_TRACKS_MAX] = {
    {"track 1", {"end 1", "end 2"}},
    {"track 2", {"end 1", "end 2"}},
    {"track 3", {"end 1", "end 2"}},
    {"track 4", {"end 1", "end 2"}},
};

static const char *when_words(enum line_when when) {
    switch (when) {
    case LINE_WHEN_ON:
        return "";
    case LINE_WHEN_RAISE:
        return ", raise";
    case LINE_WHEN_LOWER:
        return ", lower";
    case LINE_WHEN_DRIVEN:
        return ", drive";
    case LINE_WHEN_WITHDRAWN:
        return ", withdraw";
    case LINE_WHEN_RED:
        return ", red";
    case LINE_WHEN_FLASHING:
        return ", flashing";
    case LINE_WHEN_GREEN:
        return ", green";
    }
    return "";
}

void line_label(const struct line_track tracks[], unsigned line, enum line_when when,
                char label[LINE_LABEL_SIZE]) {
    char name[LINE_NAME_SIZE];
    lines_output_name(tracks != NULL ? tracks : numbered, line, name);
    snprintf(label, LINE_LABEL_SIZE, "%s%s", name, when_words(when));
}
