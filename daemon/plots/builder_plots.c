#include "plots/builder_plots.h"

#include "plots/plot.h"

#include <math.h>

enum { POINTS = 128, SAMPLES = 481 };

static void add_loads(const struct sizing_report *report, struct plot *plot, const char *name,
                      enum svg_line line, int way) {
    struct plot_curve *rack = plot_add_curve(&plot->panel[0], name, line);
    struct plot_curve *axis = plot_add_curve(&plot->panel[1], name, line);
    const struct chain *chain = &report->given->chain;
    for (int i = 0; i < POINTS; i++) {
        double position = chain->lift.travel * i / (POINTS - 1);
        const struct chain_move move = {position, way, CHAIN_FROM_REST, 0};
        double shown = sizing_report_shown(report, position);
        plot_add_point(rack, shown, axis_rack_n(chain, &move));
        plot_add_point(axis, shown, axis_load_n(chain, &move));
    }
}

void builder_plots_loads(FILE *out, const struct sizing_report *report) {
    static struct plot plot; /* too large for the stack */
    char title[128];
    bool is_vertical = report->given->chain.lift.kind == LIFT_VERTICAL;
    plot = (struct plot){.about = "from rest, with the starting friction; below 0 it holds back",
                         .x_name = is_vertical ? "height, mm" : "opening, deg",
                         .panels = 2};
    snprintf(title, sizeof title, "%s: loads over the opening", report->net->name);
    plot.title = title;
    plot.panel[0].y_name = "rack or rope, N";
    plot.panel[1].y_name = "axis, N";
    add_loads(report, &plot, "raising", SVG_SOLID, CHAIN_UP);
    add_loads(report, &plot, "lowering", SVG_DASHED, CHAIN_DOWN);
    plot_write(out, &plot);
}

static void add_limit(struct plot_panel *panel, double end_min, double limit_c) {
    struct plot_curve *limit = plot_add_curve(panel, "limit", SVG_DOTTED);
    plot_add_point(limit, 0, limit_c);
    plot_add_point(limit, end_min, limit_c);
}

void builder_plots_heat(FILE *out, const struct sizing_report *report) {
    static struct plot plot;
    static struct duty_sample sample[SAMPLES];
    struct duty_run up, down;
    char title[128];
    const struct sizing *sizing = &report->sizing;
    const struct builder_given *builder = &report->given->builder;
    plot = (struct plot){.about =
                             "openings as in \"evening\"; measure your motor before you trust this",
                         .x_name = "time, min",
                         .panels = 1};
    snprintf(title, sizeof title, "%s: temperature of the motor", report->net->name);
    plot.title = title;
    plot.panel[0].y_name = "temperature, degC";
    struct plot_curve *winding = plot_add_curve(&plot.panel[0], "winding", SVG_SOLID);
    struct plot_curve *iron = plot_add_curve(&plot.panel[0], "case", SVG_DASHED);
    if (isfinite(sizing->up.duration_s) && isfinite(sizing->down.duration_s)) {
        duty_run(&report->given->chain, &sizing->up, CHAIN_UP, &up);
        duty_run(&report->given->chain, &sizing->down, CHAIN_DOWN, &down);
        double end_s = duty_evening_s(&builder->duty, &up, &down);
        unsigned count = duty_trace(&builder->heat, &builder->duty, &up, &down,
                                    end_s / (SAMPLES - 1), sample, SAMPLES);
        for (unsigned i = 0; i < count; i++) {
            plot_add_point(winding, sample[i].time_s / 60, sample[i].at.winding_c);
            plot_add_point(iron, sample[i].time_s / 60, sample[i].at.case_c);
        }
        add_limit(&plot.panel[0], end_s / 60, builder->heat.limit_c);
    }
    plot_write(out, &plot);
}
