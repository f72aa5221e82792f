/* plot.h: diagrams of curves: axes with units and round ticks, a legend, panels one above another
 * over the same x axis. */
#ifndef PLOTS_PLOT_H
#define PLOTS_PLOT_H

#include "plots/svg.h"

#include <stddef.h>
#include <stdio.h>

enum { PLOT_POINTS_MAX = 512, PLOT_CURVES_MAX = 5, PLOT_PANELS_MAX = 2 };

struct plot_curve {
    const char *name; /* for the legend */
    enum svg_line line;
    struct svg_at point[PLOT_POINTS_MAX]; /* as measured, y up */
    size_t points;
};

struct plot_panel {
    const char *y_name; /* with its unit: "torque, mN m" */
    size_t curves;
    struct plot_curve curve[PLOT_CURVES_MAX];
};

struct plot {
    const char *title;
    const char *about; /* under the title */
    const char *x_name;
    double x_step_least; /* of the ticks: 1 where x counts things; 0: any */
    size_t panels;
    struct plot_panel panel[PLOT_PANELS_MAX];
};

/* A curve without points yet; the panel must have room for it. */
struct plot_curve *plot_add_curve(struct plot_panel *panel, const char *name, enum svg_line line);

/* Left out where either is not finite, and what is beyond PLOT_POINTS_MAX. */
void plot_add_point(struct plot_curve *curve, double x, double y);

void plot_write(FILE *out, const struct plot *plot);

/* A round step (1, 2 or 5 times a power of ten) that cuts `range` (> 0) into at most `most` parts.
 */
double plot_step(double range, unsigned most);

/* "0.5", "20", as many decimals as the step needs. */
void plot_number(double value, double step, char *out, size_t size);

#endif
