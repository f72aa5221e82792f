#include "plots/sizing_plots.h"

#include "plots/builder_plots.h"
#include "plots/leaf_plot.h"
#include "plots/plot.h"
#include "plots/plot_file.h"

#include <stdio.h>
#include <string.h>

enum { POINTS = 128 };

/* What must outlive the drawing of a plot. */
struct titles {
    char title[128];
    char x_name[24], y_name[2][24];
};

static bool is_vertical(const struct sizing_report *report) {
    return report->given->chain.lift.kind == LIFT_VERTICAL;
}

static void begin(const struct sizing_report *report, struct plot *plot, struct titles *titles,
                  const char *what) {
    snprintf(titles->title, sizeof titles->title, "%s: %s", report->net->name, what);
    snprintf(titles->x_name, sizeof titles->x_name, "%s, %s",
             is_vertical(report) ? "height" : "opening", sizing_report_position(report).name);
    plot->title = titles->title;
    plot->x_name = titles->x_name;
}

/* "imbalance, N m"; returns how many of this unit are one of SI. */
static double name_y(struct plot *plot, struct titles *titles, unsigned panel, const char *what,
                     struct units_unit unit) {
    snprintf(titles->y_name[panel], sizeof titles->y_name[panel], "%s, %s", what, unit.name);
    plot->panel[panel].y_name = titles->y_name[panel];
    return unit.per_si;
}

/* What one of the curves over the opening shows. */
typedef double value_of(const struct sizing_point *point);

static double moment(const struct sizing_point *point) {
    return point->moment;
}
static double torque_up(const struct sizing_point *point) {
    return point->up.torque_n_m;
}
static double torque_down(const struct sizing_point *point) {
    return point->down.torque_n_m;
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
                             const char *name, enum svg_line line, value_of *value, double per_si) {
    struct plot_curve *curve = plot_add_curve(panel, name, line);
    double travel = report->given->chain.lift.travel;
    double place = sizing_report_position(report).per_si;
    for (int i = 0; i < POINTS; i++) {
        struct sizing_point point = sizing_at(report->given, travel * i / (POINTS - 1));
        plot_add_point(curve, point.position * place, value(&point) * per_si);
    }
}

static void add_level(const struct sizing_report *report, struct plot_panel *panel,
                      const char *name, double level) {
    struct plot_curve *curve = plot_add_curve(panel, name, SVG_DOTTED);
    plot_add_point(curve, 0, level);
    plot_add_point(curve, report->given->chain.lift.travel * sizing_report_position(report).per_si,
                   level);
}

void sizing_plots_torque(FILE *out, const struct sizing_report *report) {
    static struct plot plot; /* too large for the stack */
    struct titles titles;
    plot = (struct plot){.about = "imbalance above 0 closes; motor with the most friction",
                         .panels = 2};
    begin(report, &plot, &titles, "imbalance and motor torque over the opening");
    double per_si =
        name_y(&plot, &titles, 0, "imbalance",
               units_unit(&report->units, is_vertical(report) ? UNITS_FORCE : UNITS_MOMENT));
    add_over_opening(report, &plot.panel[0], "gravity on the span", SVG_SOLID, moment, per_si);
    per_si =
        name_y(&plot, &titles, 1, "motor torque", units_unit(&report->units, UNITS_MOTOR_TORQUE));
    add_over_opening(report, &plot.panel[1], "raising", SVG_SOLID, torque_up, per_si);
    add_over_opening(report, &plot.panel[1], "lowering", SVG_DASHED, torque_down, per_si);
    plot_write(out, &plot);
}

/* At what current the binding watch would act, as the daemon has it. */
static void add_binding(const struct sizing_report *report, struct plot_panel *panel,
                        const char *name, enum svg_line line, bool is_down) {
    const struct motion_setup *motion = &report->net->setup.motion;
    struct plot_curve *curve = plot_add_curve(panel, name, line);
    double travel = report->given->chain.lift.travel * sizing_report_position(report).per_si;
    for (int i = 0; i < MOTION_PLACES; i++) {
        plot_add_point(curve, travel * i / (MOTION_PLACES - 1),
                       motion->expected_a[is_down][i] + motion->binding_a);
    }
}

void sizing_plots_current(FILE *out, const struct sizing_report *report) {
    static struct plot plot;
    struct titles titles;
    plot = (struct plot){
        .about = "at full speed, with the most friction; binding, stall: where the watches act",
        .panels = 2};
    begin(report, &plot, &titles, "current and voltage over the opening");
    plot.panel[0].y_name = "current, A";
    add_over_opening(report, &plot.panel[0], "raising", SVG_SOLID, current_up, 1);
    add_over_opening(report, &plot.panel[0], "lowering", SVG_DASHED, current_down, 1);
    if (report->given->has_current_sensor) {
        add_binding(report, &plot.panel[0], "binding, raising", SVG_THIN, false);
        add_binding(report, &plot.panel[0], "binding, lowering", SVG_CHAIN, true);
        add_level(report, &plot.panel[0], "stall", report->given->stall_a);
    }
    plot.panel[1].y_name = "voltage, V";
    add_over_opening(report, &plot.panel[1], "raising", SVG_SOLID, voltage_up, 1);
    add_over_opening(report, &plot.panel[1], "lowering", SVG_DASHED, voltage_down, 1);
    add_level(report, &plot.panel[1], "supply", report->given->chain.supply_v);
    plot_write(out, &plot);
}

static void add_travel(const struct sizing_report *report, struct plot *plot, const char *name,
                       enum svg_line line, const struct travel *travel) {
    double whole = report->given->chain.lift.travel * sizing_report_position(report).per_si;
    struct plot_curve *position = plot_add_curve(&plot->panel[0], name, line);
    struct plot_curve *speed = plot_add_curve(&plot->panel[1], name, line);
    for (int i = 0; i < TRAVEL_MOMENTS; i++) {
        const struct travel_moment *moment = &travel->moment[i];
        plot_add_point(position, moment->time_s, moment->position_frac * whole);
        plot_add_point(speed, moment->time_s, moment->speed_frac_s * whole);
    }
    plot_add_point(speed, travel->duration_s, 0); /* at rest */
}

void sizing_plots_speed(FILE *out, const struct sizing_report *report) {
    static struct plot plot;
    struct titles titles;
    plot = (struct plot){.about = "the motor turns evenly; the span is slower where the lever arm "
                                  "is longer",
                         .panels = 2};
    begin(report, &plot, &titles, "position and speed over time");
    char per_second[16];
    struct units_unit place = sizing_report_position(report);
    snprintf(per_second, sizeof per_second, "%s/s", place.name);
    plot.x_name = "time, s";
    name_y(&plot, &titles, 0, is_vertical(report) ? "height" : "opening", place);
    name_y(&plot, &titles, 1, "speed", (struct units_unit){per_second, place.per_si});
    add_travel(report, &plot, "opening", SVG_SOLID, &report->sizing.up);
    add_travel(report, &plot, "closing", SVG_DASHED, &report->sizing.down);
    plot_write(out, &plot);
}

/* --- by name --- */

static const struct {
    const char *what;
    void (*write)(FILE *out, const struct sizing_report *report);
} plots[] = {{"leaf", leaf_plot_write},         {"torque", sizing_plots_torque},
             {"current", sizing_plots_current}, {"speed", sizing_plots_speed},
             {"loads", builder_plots_loads},    {"heat", builder_plots_heat}};
enum { PLOTS = sizeof plots / sizeof plots[0] };

bool sizing_plots_draw(FILE *out, const struct sizing_report *report, const char *what) {
    for (size_t i = 0; !report->given->is_hand && i < PLOTS; i++) {
        if (strcmp(what, plots[i].what) == 0) {
            plots[i].write(out, report);
            return true;
        }
    }
    return false;
}

struct named {
    const struct sizing_report *report;
    const char *what;
};

static bool draw_named(FILE *out, const void *context, struct error *error) {
    (void)error;
    const struct named *named = context;
    return sizing_plots_draw(out, named->report, named->what);
}

bool sizing_plots_write(const struct sizing_report *report, const char *folder,
                        struct error *error) {
    for (size_t i = 0; !report->given->is_hand && i < PLOTS; i++) {
        const struct named named = {report, plots[i].what};
        if (!plot_file_write(folder, report->net->name, named.what, draw_named, &named, error)) {
            return false;
        }
    }
    return true;
}
