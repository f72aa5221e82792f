#include "tools/drawtender/sizing_plots.h"

#include "tools/drawtender/leaf_plot.h"
#include "tools/drawtender/plot.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { POINTS = 128 };

static void begin(const struct sizing_report *report, struct plot *plot, char *title, size_t size,
                  const char *what) {
    static const char *const x_names[] = {"opening, deg", "height, mm"};
    snprintf(title, size, "%s: %s", report->net->name, what);
    plot->title = title;
    plot->x_name = x_names[report->given->chain.lift.kind == LIFT_VERTICAL];
}

static struct plot_curve *add_curve(struct plot_panel *panel, const char *name,
                                    enum svg_line line) {
    struct plot_curve *curve = &panel->curve[panel->curves++];
    curve->name = name;
    curve->line = line;
    return curve;
}

static void add_point(struct plot_curve *curve, double x, double y) {
    curve->point[curve->points++] = (struct svg_at){x, y};
}

/* What one of the curves over the opening shows. */
typedef double value_of(const struct sizing_point *point);

static double moment(const struct sizing_point *point) {
    return point->moment;
}
static double torque_up(const struct sizing_point *point) {
    return 1000 * point->up.torque_n_m;
}
static double torque_down(const struct sizing_point *point) {
    return 1000 * point->down.torque_n_m;
}
static double current_up(const struct sizing_point *point) {
    return point->up.current_a;
}
static double current_down(const struct sizing_point *point) {
    return point->down.current_a;
}
static double voltage_up(const struct sizing_point *point) {
    return point->up.voltage_v;
}
static double voltage_down(const struct sizing_point *point) {
    return point->down.voltage_v;
}

static void add_over_opening(const struct sizing_report *report, struct plot_panel *panel,
                             const char *name, enum svg_line line, value_of *value) {
    struct plot_curve *curve = add_curve(panel, name, line);
    double travel = report->given->chain.lift.travel;
    for (int i = 0; i < POINTS; i++) {
        struct sizing_point point = sizing_at(report->given, travel * i / (POINTS - 1));
        add_point(curve, sizing_report_shown(report, point.position), value(&point));
    }
}

static void add_level(const struct sizing_report *report, struct plot_panel *panel,
                      const char *name, double level) {
    struct plot_curve *curve = add_curve(panel, name, SVG_DOTTED);
    add_point(curve, 0, level);
    add_point(curve, sizing_report_shown(report, report->given->chain.lift.travel), level);
}

void sizing_plots_torque(FILE *out, const struct sizing_report *report) {
    static struct plot plot; /* too large for the stack */
    char title[128];
    plot = (struct plot){.about = "imbalance above 0 closes; motor with the most friction",
                         .panels = 2};
    begin(report, &plot, title, sizeof title, "imbalance and motor torque over the opening");
    bool is_vertical = report->given->chain.lift.kind == LIFT_VERTICAL;
    plot.panel[0].y_name = is_vertical ? "imbalance, N" : "imbalance, N m";
    add_over_opening(report, &plot.panel[0], "gravity on the span", SVG_SOLID, moment);
    plot.panel[1].y_name = "motor torque, mN m";
    add_over_opening(report, &plot.panel[1], "raising", SVG_SOLID, torque_up);
    add_over_opening(report, &plot.panel[1], "lowering", SVG_DASHED, torque_down);
    plot_write(out, &plot);
}

/* At what current the binding watch would act, as the daemon has it. */
static void add_binding(const struct sizing_report *report, struct plot_panel *panel,
                        const char *name, enum svg_line line, bool is_down) {
    const struct motion_setup *motion = &report->net->setup.motion;
    struct plot_curve *curve = add_curve(panel, name, line);
    double travel = report->given->chain.lift.travel;
    for (int i = 0; i < MOTION_PLACES; i++) {
        add_point(curve, sizing_report_shown(report, travel * i / (MOTION_PLACES - 1)),
                  motion->expected_a[is_down][i] + motion->binding_a);
    }
}

void sizing_plots_current(FILE *out, const struct sizing_report *report) {
    static struct plot plot;
    char title[128];
    plot = (struct plot){
        .about = "at full speed, with the most friction; binding, stall: where the watches act",
        .panels = 2};
    begin(report, &plot, title, sizeof title, "current and voltage over the opening");
    plot.panel[0].y_name = "current, A";
    add_over_opening(report, &plot.panel[0], "raising", SVG_SOLID, current_up);
    add_over_opening(report, &plot.panel[0], "lowering", SVG_DASHED, current_down);
    if (report->given->has_current_sensor) {
        add_binding(report, &plot.panel[0], "binding, raising", SVG_THIN, false);
        add_binding(report, &plot.panel[0], "binding, lowering", SVG_CHAIN, true);
        add_level(report, &plot.panel[0], "stall", report->given->stall_a);
    }
    plot.panel[1].y_name = "voltage, V";
    add_over_opening(report, &plot.panel[1], "raising", SVG_SOLID, voltage_up);
    add_over_opening(report, &plot.panel[1], "lowering", SVG_DASHED, voltage_down);
    add_level(report, &plot.panel[1], "supply", report->given->chain.supply_v);
    plot_write(out, &plot);
}

static void add_travel(const struct sizing_report *report, struct plot *plot, const char *name,
                       enum svg_line line, const struct travel *travel) {
    double whole = report->given->chain.lift.travel;
    struct plot_curve *position = add_curve(&plot->panel[0], name, line);
    struct plot_curve *speed = add_curve(&plot->panel[1], name, line);
    for (int i = 0; i < TRAVEL_MOMENTS; i++) {
        const struct travel_moment *moment = &travel->moment[i];
        add_point(position, moment->time_s,
                  sizing_report_shown(report, moment->position_frac * whole));
        add_point(speed, moment->time_s, sizing_report_shown(report, moment->speed_frac_s * whole));
    }
    add_point(speed, travel->duration_s, 0); /* at rest */
}

void sizing_plots_speed(FILE *out, const struct sizing_report *report) {
    static struct plot plot;
    char title[128];
    bool is_vertical = report->given->chain.lift.kind == LIFT_VERTICAL;
    plot = (struct plot){.about = "the motor turns evenly; the span is slower where the lever arm "
                                  "is longer",
                         .panels = 2};
    begin(report, &plot, title, sizeof title, "position and speed over time");
    plot.x_name = "time, s";
    plot.panel[0].y_name = is_vertical ? "height, mm" : "opening, deg";
    plot.panel[1].y_name = is_vertical ? "speed, mm/s" : "speed, deg/s";
    add_travel(report, &plot, "opening", SVG_SOLID, &report->sizing.up);
    add_travel(report, &plot, "closing", SVG_DASHED, &report->sizing.down);
    plot_write(out, &plot);
}

/* --- files --- */

static void name_file(const struct sizing_report *report, const char *folder, const char *what,
                      char *path, size_t size) {
    char name[NET_NAME_SIZE];
    snprintf(name, sizeof name, "%s", report->net->name);
    for (char *at = name; *at != '\0'; at++) {
        bool is_plain = isascii((unsigned char)*at) && isalnum((unsigned char)*at);
        *at = (char)(is_plain ? tolower((unsigned char)*at) : '-');
    }
    snprintf(path, size, "%s/%s-%s.svg", folder, name, what);
}

static bool write_file(const char *path, const struct sizing_report *report,
                       void (*write)(FILE *out, const struct sizing_report *report),
                       struct error *error) {
    FILE *file = fopen(path, "w");
    if (file == NULL) {
        return error_set(error, path, "%.120s: %s", path, strerror(errno));
    }
    write(file, report);
    bool is_written = ferror(file) == 0;
    is_written = fclose(file) == 0 && is_written;
    return is_written || error_set(error, path, "%.120s: not all was written", path);
}

bool sizing_plots_write(const struct sizing_report *report, const char *folder,
                        struct error *error) {
    static const struct {
        const char *what;
        void (*write)(FILE *out, const struct sizing_report *report);
    } plots[] = {{"leaf", leaf_plot_write},
                 {"torque", sizing_plots_torque},
                 {"current", sizing_plots_current},
                 {"speed", sizing_plots_speed}};
    for (size_t i = 0; !report->given->is_hand && i < sizeof plots / sizeof plots[0]; i++) {
        char path[512];
        name_file(report, folder, plots[i].what, path, sizeof path);
        if (!write_file(path, report, plots[i].write, error)) {
            return false;
        }
    }
    return true;
}
