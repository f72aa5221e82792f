#include "plots/logbook_plots.h"

#include "base/text/moment.h"
#include "plots/plot.h"
#include "plots/plot_file.h"
#include "records/codec/trace.h"

#include <inttypes.h>
#include <math.h>

/* --- all of them; where there are more than points, some of them */

static double seconds(uint64_t from_us, uint64_t to_us) {
    return to_us > from_us ? (double)(to_us - from_us) * 1e-6 : NAN;
}

void logbook_plots_draw_openings(FILE *out, const struct logbook *logbook) {
    static struct plot plot; /* too large for the stack */
    char title[128];
    snprintf(title, sizeof title, "%s: openings of the record", logbook->name);
    plot = (struct plot){.title = title,
                         .about = "the oldest at the left",
                         .x_name = "opening",
                         .x_step_least = 1,
                         .panels = 2};
    plot.panel[0].y_name = "time, s";
    plot.panel[1].y_name = "current, A";
    struct plot_curve *open = plot_add_curve(&plot.panel[0], "from request to open", SVG_SOLID);
    struct plot_curve *trains = plot_add_curve(&plot.panel[0], "trains waited", SVG_DASHED);
    struct plot_curve *most = plot_add_curve(&plot.panel[1], "most", SVG_SOLID);
    struct plot_curve *mean = plot_add_curve(&plot.panel[1], "mean", SVG_DASHED);
    size_t every = logbook->openings / PLOT_POINTS_MAX + 1;
    for (size_t i = 0; i < logbook->openings; i += every) {
        const struct logbook_opening *opening = &logbook->opening[i];
        double x = (double)i + 1;
        plot_add_point(open, x, seconds(opening->asked_us, opening->open_us));
        plot_add_point(trains, x, (double)opening->trains_us * 1e-6);
        plot_add_point(most, x, opening->most_a);
        plot_add_point(mean, x, opening->mean_a);
    }
    plot_write(out, &plot);
}

/* --- one of them */

struct drawing {
    const struct logbook *logbook;
    int64_t run;
    uint64_t from_us, every_us, next_us;
    uint64_t last_us; /* of the newest point; 0: none yet */
    double most_a;    /* since the last point: a peak between two points is not lost */
    struct plot_curve *position, *current;
};

static void draw_point(struct drawing *drawing, uint64_t at_us, double position_frac) {
    double x = (double)(at_us - drawing->from_us) * 1e-6;
    plot_add_point(drawing->position, x, position_frac * drawing->logbook->travel);
    plot_add_point(drawing->current, x, drawing->most_a);
    drawing->next_us = at_us + drawing->every_us;
    drawing->most_a = NAN;
}

/* Nothing is recorded of a span at rest but its first and last moment: what the later point shows
 * held since the earlier one, else a line would slope from a movement's last current over the whole
 * rest. */
static void draw_rest(struct drawing *drawing, const struct trace_point *point) {
    if (!isnan(drawing->most_a)) {
        draw_point(drawing, drawing->last_us, point->position_frac);
    }
    drawing->most_a = point->current_a;
    draw_point(drawing, drawing->last_us + TRACE_EVERY_US, point->position_frac);
}

static void take_point(void *context, const struct trace_point *point) {
    enum { REST_LEAST_US = 5 * TRACE_EVERY_US };
    struct drawing *drawing = context;
    if (point->run != drawing->run) {
        return; /* of another, whose clock was set back in between */
    }
    if (drawing->last_us != 0 && point->at_us > drawing->last_us + REST_LEAST_US) {
        draw_rest(drawing, point);
    }
    drawing->last_us = point->at_us;
    drawing->most_a = fmax(drawing->most_a, point->current_a);
    if (point->at_us >= drawing->next_us) {
        draw_point(drawing, point->at_us, point->position_frac);
    }
}

bool logbook_plots_draw_opening(FILE *out, const struct logbook *logbook,
                                const struct logbook_opening *opening, struct store *store,
                                struct error *error) {
    static struct plot plot;
    char title[128];
    char about[128];
    char y_name[32];
    char asked[MOMENT_SIZE];
    moment_write(opening->asked_us, asked);
    snprintf(title, sizeof title, "%s: opening %" PRId64, logbook->name, opening->number);
    snprintf(about, sizeof about, "requested at %s; %s", asked,
             logbook_outcome_name(opening->outcome));
    snprintf(y_name, sizeof y_name, "%s, %s", "position", logbook->unit);
    plot = (struct plot){.title = title, .about = about, .x_name = "time, s", .panels = 2};
    plot.panel[0].y_name = y_name;
    plot.panel[1].y_name = "current, A";
    struct drawing drawing = {.logbook = logbook,
                              .run = opening->run,
                              .from_us = opening->asked_us,
                              .every_us =
                                  (opening->ended_us - opening->asked_us) / (PLOT_POINTS_MAX - 1),
                              .most_a = NAN,
                              .position = plot_add_curve(&plot.panel[0], "position", SVG_SOLID),
                              .current = plot_add_curve(&plot.panel[1], "motor", SVG_SOLID)};
    if (!logbook_trace(store, logbook->bus, opening->asked_us, opening->ended_us, &drawing,
                       take_point, error)) {
        return false;
    }
    plot_write(out, &plot);
    return true;
}

/* --- as files */

struct drawn {
    const struct logbook *logbook;
    const struct logbook_opening *opening;
    struct store *store;
};

static bool draw_openings(FILE *out, const void *context, struct error *error) {
    (void)error;
    logbook_plots_draw_openings(out, context);
    return true;
}

static bool draw_opening(FILE *out, const void *context, struct error *error) {
    const struct drawn *drawn = context;
    return logbook_plots_draw_opening(out, drawn->logbook, drawn->opening, drawn->store, error);
}

bool logbook_plots_openings(const struct logbook *logbook, const char *folder,
                            struct error *error) {
    return plot_file_write(folder, logbook->name, "openings", draw_openings, logbook, error);
}

bool logbook_plots_opening(const struct logbook *logbook, const struct logbook_opening *opening,
                           struct store *store, const char *folder, struct error *error) {
    const struct drawn drawn = {logbook, opening, store};
    char what[48];
    snprintf(what, sizeof what, "opening-%" PRId64, opening->number);
    return plot_file_write(folder, logbook->name, what, draw_opening, &drawn, error);
}
