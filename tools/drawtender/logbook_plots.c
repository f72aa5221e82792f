#include "tools/drawtender/logbook_plots.h"

#include "records/trace.h"
#include "tools/drawtender/moment.h"
#include "tools/drawtender/plot.h"

#include <ctype.h>
#include <errno.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static struct plot_curve *add_curve(struct plot_panel *panel, const char *name,
                                    enum svg_line line) {
    struct plot_curve *curve = &panel->curve[panel->curves++];
    curve->name = name;
    curve->line = line;
    return curve;
}

static void add_point(struct plot_curve *curve, double x, double y) {
    if (curve->points < PLOT_POINTS_MAX && isfinite(y)) {
        curve->point[curve->points++] = (struct svg_at){x, y};
    }
}

static bool write_file(const struct logbook *logbook, const char *folder, const char *what,
                       const struct plot *plot, struct error *error) {
    char path[512];
    char name[LOGBOOK_NAME_SIZE];
    snprintf(name, sizeof name, "%s", logbook->name);
    for (char *at = name; *at != '\0'; at++) {
        bool is_plain = isascii((unsigned char)*at) && isalnum((unsigned char)*at);
        *at = (char)(is_plain ? tolower((unsigned char)*at) : '-');
    }
    snprintf(path, sizeof path, "%s/%s-%s.svg", folder, name, what);
    FILE *file = fopen(path, "w");
    if (file == NULL) {
        return error_set(error, path, "%.120s: %s", path, strerror(errno));
    }
    plot_write(file, plot);
    bool is_written = ferror(file) == 0;
    is_written = fclose(file) == 0 && is_written;
    return is_written || error_set(error, path, "%.120s: not all was written", path);
}

/* --- all of them; where there are more than points, some of them */

static double seconds(uint64_t from_us, uint64_t to_us) {
    return to_us > from_us ? (double)(to_us - from_us) * 1e-6 : NAN;
}

bool logbook_plots_openings(const struct logbook *logbook, const char *folder,
                            struct error *error) {
    static struct plot plot; /* too large for the stack */
    char title[128];
    snprintf(title, sizeof title, "%s: openings of the record", logbook->name);
    plot = (struct plot){
        .title = title, .about = "the oldest at the left", .x_name = "opening", .panels = 2};
    plot.panel[0].y_name = "time, s";
    plot.panel[1].y_name = "current, A";
    struct plot_curve *open = add_curve(&plot.panel[0], "from request to open", SVG_SOLID);
    struct plot_curve *trains = add_curve(&plot.panel[0], "trains waited", SVG_DASHED);
    struct plot_curve *most = add_curve(&plot.panel[1], "most", SVG_SOLID);
    struct plot_curve *mean = add_curve(&plot.panel[1], "mean", SVG_DASHED);
    size_t every = logbook->openings / PLOT_POINTS_MAX + 1;
    for (size_t i = 0; i < logbook->openings; i += every) {
        const struct logbook_opening *opening = &logbook->opening[i];
        double x = (double)i + 1;
        add_point(open, x, seconds(opening->asked_us, opening->open_us));
        add_point(trains, x, (double)opening->trains_us * 1e-6);
        add_point(most, x, opening->most_a);
        add_point(mean, x, opening->mean_a);
    }
    return write_file(logbook, folder, "openings", &plot, error);
}

/* --- one of them */

struct drawing {
    const struct logbook *logbook;
    uint64_t from_us, every_us, next_us;
    double most_a; /* since the last point: a peak between two points is not lost */
    struct plot_curve *position, *current;
};

static void take_point(void *context, const struct trace_point *point) {
    struct drawing *drawing = context;
    drawing->most_a = fmax(drawing->most_a, point->current_a);
    if (point->at_us < drawing->next_us) {
        return;
    }
    double x = (double)(point->at_us - drawing->from_us) * 1e-6;
    add_point(drawing->position, x, point->position_frac * drawing->logbook->travel);
    add_point(drawing->current, x, drawing->most_a);
    drawing->next_us = point->at_us + drawing->every_us;
    drawing->most_a = NAN;
}

bool logbook_plots_opening(const struct logbook *logbook, const struct logbook_opening *opening,
                           struct store *store, const char *folder, struct error *error) {
    static struct plot plot;
    char title[128];
    char about[128];
    char y_name[32];
    char asked[MOMENT_SIZE];
    moment_write(opening->asked_us, asked);
    snprintf(title, sizeof title, "%s: opening %" PRId64, logbook->name, opening->number);
    snprintf(about, sizeof about, "asked for at %s; %s", asked,
             logbook_outcome_name(opening->outcome));
    snprintf(y_name, sizeof y_name, "%s, %s", "position", logbook->unit);
    plot = (struct plot){.title = title, .about = about, .x_name = "time, s", .panels = 2};
    plot.panel[0].y_name = y_name;
    plot.panel[1].y_name = "current, A";
    struct drawing drawing = {.logbook = logbook,
                              .from_us = opening->asked_us,
                              .every_us =
                                  (opening->ended_us - opening->asked_us) / (PLOT_POINTS_MAX - 1),
                              .most_a = NAN,
                              .position = add_curve(&plot.panel[0], "position", SVG_SOLID),
                              .current = add_curve(&plot.panel[1], "motor", SVG_SOLID)};
    if (!logbook_trace(store, logbook->bus, opening->asked_us, opening->ended_us, &drawing,
                       take_point, error)) {
        return false;
    }
    char what[48];
    snprintf(what, sizeof what, "opening-%" PRId64, opening->number);
    return write_file(logbook, folder, what, &plot, error);
}
