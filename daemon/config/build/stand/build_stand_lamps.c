/* The lamps of a stand: what each shows, and where it is lit. */
#include "base/text/near.h"
#include "config/build/stand/build_stand.h"

#include <string.h>

static void set_rows(struct standing *standing) {
    struct stand_setup *setup = standing->setup;
    setup->rows = standing->written->rows.list.count;
    for (unsigned i = 0; i < setup->rows; i++) {
        const struct written_row *written = &standing->written->rows.item[i];
        struct stand_row *row = &setup->row[i];
        memcpy(row->name, written->name, sizeof row->name);
        memcpy(row->device, written->device, sizeof row->device);
        row->kind = (enum stand_row_kind)(written->kind < 0 ? 0 : written->kind);
        row->places = written->places;
        row->hertz = written->hertz;
        row->brightness = written->brightness;
        row->is_inversed = written->is_inversed;
        for (unsigned other = 0; other < i; other++) {
            if (strcmp(row->name, setup->row[other].name) == 0 ||
                strcmp(row->device, setup->row[other].device) == 0) {
                build_error(standing->build, build_place("/stand/rows/%u", i).text,
                            "has the name or the device of row %u", other);
            }
        }
    }
}

/* A detector of a section, or the output of a home signal. Returns whether it is one. */
static bool set_line(const struct standing *standing, unsigned i, struct stand_lamp *lamp) {
    enum { APPROACH, STANDING, STOP };
    const char *shows = standing->written->lamps.item[i].shows;
    struct place place = build_place("/stand/lamps/%u/shows", i);
    size_t length = strlen(shows);
    unsigned line = 0;
    if (length > 7 && strcmp(shows + length - 7, ".signal") == 0) {
        if (!build_find_output(standing->build, place.text, shows, &line)) {
            return false;
        }
        unsigned within = (line - LINES_OWN_OUTPUTS) % LINES_TRACK_OUTPUTS;
        lamp->track = (line - LINES_OWN_OUTPUTS) / LINES_TRACK_OUTPUTS;
        lamp->end = within / 2;
        lamp->kind = STAND_LAMP_SIGNAL;
        return true;
    }
    if (!build_find_input(standing->build, place.text, shows, &line)) {
        return false;
    }
    unsigned within =
        line < LINES_OWN_LEVELS ? STANDING : (line - LINES_OWN_LEVELS) % LINES_TRACK_LEVELS;
    bool is_span = within == TRACK_ENDS * LINES_END_LEVELS;
    unsigned what = is_span ? APPROACH : within % LINES_END_LEVELS;
    if (line >= LINES_LEVELS || line < LINES_OWN_LEVELS || (what != APPROACH && what != STOP) ||
        within > TRACK_ENDS * LINES_END_LEVELS) {
        return build_error(standing->build, place.text,
                           "wanted a section, or a home signal (\"shows\" says which)");
    }
    lamp->track = (line - LINES_OWN_LEVELS) / LINES_TRACK_LEVELS;
    lamp->end = is_span ? 0 : within / LINES_END_LEVELS;
    lamp->kind = is_span            ? STAND_LAMP_SPAN_SECTION
                 : what == APPROACH ? STAND_LAMP_APPROACH
                                    : STAND_LAMP_STOP_SECTION;
    return true;
}

static void set_shown(const struct standing *standing, unsigned i, struct stand_lamp *lamp) {
    static const char *const words[] = {STAND_LAMP_ROWS(STAND_LAMP_WORD)};
    const char *shows = standing->written->lamps.item[i].shows;
    for (unsigned kind = 0; kind < STAND_LAMP_OF_BRIDGE; kind++) {
        if (strcmp(words[kind], shows) == 0) {
            lamp->kind = (enum stand_lamp_kind)kind;
            return;
        }
    }
    bool is_line = shows[0] != '\0' && set_line(standing, i, lamp);
    if (is_line && lamp->kind == STAND_LAMP_SIGNAL &&
        !standing->build->net->setup.track[lamp->track].end[lamp->end].has_signal_proof) {
        build_warning(standing->build, build_place("/stand/lamps/%u/shows", i).text,
                      "this signal has no proof: whether it is at stop nobody knows, and its lamp "
                      "says so");
    }
}

static void set_place(const struct standing *standing, unsigned i, struct stand_lamp *lamp) {
    const struct written_lamp *written = &standing->written->lamps.item[i];
    struct place place = build_place("/stand/lamps/%u/place", i);
    struct near near = near_begin(written->row);
    const struct stand_setup *setup = standing->setup;
    for (lamp->row = 0; lamp->row < setup->rows; lamp->row++) {
        if (written->row[0] == '\0' || strcmp(setup->row[lamp->row].name, written->row) == 0) {
            break;
        }
        near_offer(&near, setup->row[lamp->row].name);
    }
    lamp->place = written->place;
    if (lamp->row == setup->rows) {
        lamp->row = 0;
        lamp->place = 0;
        build_error(standing->build, build_place("/stand/lamps/%u/row", i).text,
                    near.best != NULL ? "there is no row \"%s\" (did you mean \"%s\"?)"
                                      : "there is no row \"%s\"",
                    written->row, near.best);
        return;
    }
    if (lamp->place >= setup->row[lamp->row].places) {
        build_error(standing->build, place.text, "the row has %u places, counted from 0",
                    setup->row[lamp->row].places);
    }
    for (unsigned other = 0; other < i; other++) {
        const struct stand_lamp *one = &setup->lamp[other];
        if (!one->pin.is_used && one->row == lamp->row && one->place == lamp->place) {
            build_error(standing->build, place.text, "is the place of lamp %u already", other);
        }
    }
}

void build_stand_lamps(struct standing *standing) {
    set_rows(standing);
    standing->setup->lamps = standing->written->lamps.list.count;
    for (unsigned i = 0; i < standing->setup->lamps; i++) {
        const struct written_lamp *written = &standing->written->lamps.item[i];
        struct stand_lamp *lamp = &standing->setup->lamp[i];
        lamp->colour = (enum stand_colour)(written->colour < 0 ? 0 : written->colour);
        set_shown(standing, i, lamp);
        if (written->pin.is.is_given == (written->place != FIELD_NO_NUMBER)) {
            build_error(standing->build, build_place("/stand/lamps/%u", i).text,
                        "wanted either a \"pin\" or a \"place\" in a row");
        } else if (written->pin.is.is_given) {
            build_pins_set(&standing->pins, build_place("/stand/lamps/%u/pin", i).text,
                           &written->pin, &lamp->pin);
        } else {
            set_place(standing, i, lamp);
        }
    }
}
