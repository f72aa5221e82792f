#include "plots/plot.h"

#include <math.h>
#include <string.h>

/* In user units; about the width of a page. */
enum {
    WIDTH = 760,
    LEFT = 78,
    RIGHT = 24,
    TOP = 66,
    PANEL = 232,
    BETWEEN = 40,
    BOTTOM = 52,
    TICK = 5,
    TICKS_X = 12,
    TICKS_Y = 6
};

/* A sensor's noise about nought is not worth a tick below it: this part of the range. */
#define NOISE 0.02

/* Where a range of values is drawn. */
struct scale {
    double least, most, step;
    double at, length; /* of `least`; < 0: toward smaller coordinates */
};

double plot_step(double range, unsigned most) {
    double step = pow(10, floor(log10(range / most)));
    static const double factors[] = {1, 2, 5, 10};
    for (size_t i = 0; i < sizeof factors / sizeof factors[0]; i++) {
        if (range / (step * factors[i]) <= most) {
            return step * factors[i];
        }
    }
    return step * 10;
}

void plot_number(double value, double step, char *out, size_t size) {
    int decimals = step < 0.9999 ? (int)ceil(-log10(step) - 1e-9) : 0;
    snprintf(out, size, "%.*f", decimals, fabs(value) < step / 1000 ? 0.0 : value);
}

/* Ends on ticks. */
static void round_out(struct scale *scale, unsigned ticks) {
    double range = scale->most - scale->least;
    if (!(range > 0)) {
        range = fmax(fabs(scale->most), 1);
        scale->least -= range / 2;
        scale->most += range / 2;
    }
    scale->most += scale->most > 0 ? 0.03 * range : 0; /* no curve along the frame */
    scale->least = scale->least > -NOISE * range ? fmax(scale->least, 0) : scale->least;
    scale->step = plot_step(range, ticks);
    scale->least = floor(scale->least / scale->step + 1e-9) * scale->step;
    scale->most = ceil(scale->most / scale->step - 1e-9) * scale->step;
}

static void include(struct scale *scale, double value) {
    if (isfinite(value)) {
        scale->least = fmin(scale->least, value);
        scale->most = fmax(scale->most, value);
    }
}

static double place(const struct scale *scale, double value) {
    return scale->at + (value - scale->least) / (scale->most - scale->least) * scale->length;
}

static struct scale x_scale(const struct plot *plot) {
    struct scale scale = {INFINITY, -INFINITY, 0, LEFT, WIDTH - LEFT - RIGHT};
    for (size_t p = 0; p < plot->panels; p++) {
        for (size_t c = 0; c < plot->panel[p].curves; c++) {
            const struct plot_curve *curve = &plot->panel[p].curve[c];
            for (size_t i = 0; i < curve->points; i++) {
                include(&scale, curve->point[i].x);
            }
        }
    }
    /* The x axis ends where the curves do. */
    scale.step = fmax(plot_step(fmax(scale.most - scale.least, 1e-9), TICKS_X), plot->x_step_least);
    if (scale.most - scale.least < 1e-9) { /* one point: in the middle */
        scale.least -= scale.step / 2;
        scale.most += scale.step / 2;
    }
    return scale;
}

static struct scale y_scale(const struct plot_panel *panel, double top) {
    struct scale scale = {0, 0, 0, top + PANEL, -PANEL}; /* nought is always on it */
    for (size_t c = 0; c < panel->curves; c++) {
        for (size_t i = 0; i < panel->curve[c].points; i++) {
            include(&scale, panel->curve[c].point[i].y);
        }
    }
    round_out(&scale, TICKS_Y);
    return scale;
}

static void put_x_axis(FILE *out, const struct scale *x, double top, const char *name) {
    double bottom = top + PANEL;
    for (double value = ceil(x->least / x->step - 1e-9) * x->step;
         value <= x->most + x->step * 1e-6; value += x->step) {
        char text[32];
        double at = place(x, value);
        svg_line(out, SVG_GRID, (struct svg_at){at, top}, (struct svg_at){at, bottom});
        svg_line(out, SVG_THIN, (struct svg_at){at, bottom}, (struct svg_at){at, bottom + TICK});
        plot_number(value, x->step, text, sizeof text);
        svg_text(out, (struct svg_at){at, bottom + 18}, SVG_MIDDLE, 12, text);
    }
    if (name != NULL) {
        svg_text(out, (struct svg_at){LEFT + x->length / 2, bottom + 38}, SVG_MIDDLE, 13, name);
    }
}

static void put_y_axis(FILE *out, const struct scale *y, const struct plot_panel *panel) {
    for (double value = y->least; value <= y->most + y->step * 1e-6; value += y->step) {
        char text[32];
        double at = place(y, value);
        svg_line(out, SVG_GRID, (struct svg_at){LEFT, at}, (struct svg_at){WIDTH - RIGHT, at});
        svg_line(out, SVG_THIN, (struct svg_at){LEFT - TICK, at}, (struct svg_at){LEFT, at});
        plot_number(value, y->step, text, sizeof text);
        svg_text(out, (struct svg_at){LEFT - 9, at + 4}, SVG_END, 12, text);
    }
    if (y->least < 0 && y->most > 0) {
        double zero = place(y, 0);
        svg_line(out, SVG_THIN, (struct svg_at){LEFT, zero}, (struct svg_at){WIDTH - RIGHT, zero});
    }
    svg_text_upward(out, (struct svg_at){22, y->at + y->length / 2}, 13, panel->y_name);
}

/* Above the panel, from the left: a sample of each line and its name. */
static void put_legend(FILE *out, const struct plot_panel *panel, double top) {
    double at = LEFT;
    for (size_t c = 0; c < panel->curves; c++) {
        const struct plot_curve *curve = &panel->curve[c];
        svg_line(out, curve->line, (struct svg_at){at, top - 10},
                 (struct svg_at){at + 30, top - 10});
        svg_text(out, (struct svg_at){at + 36, top - 6}, SVG_START, 12, curve->name);
        at += 52 + 6.2 * (double)strlen(curve->name);
    }
}

static void put_curves(FILE *out, const struct plot_panel *panel, const struct scale *x,
                       const struct scale *y) {
    for (size_t c = 0; c < panel->curves; c++) {
        const struct plot_curve *curve = &panel->curve[c];
        struct svg_at at[PLOT_POINTS_MAX];
        for (size_t i = 0; i < curve->points; i++) {
            at[i] = (struct svg_at){place(x, curve->point[i].x), place(y, curve->point[i].y)};
        }
        svg_curve(out, curve->line, at, curve->points);
        if (curve->points == 1) { /* one point makes no line */
            svg_circle(out, curve->line, at[0], 3);
        }
    }
}

struct plot_curve *plot_add_curve(struct plot_panel *panel, const char *name, enum svg_line line) {
    struct plot_curve *curve = &panel->curve[panel->curves++];
    curve->name = name;
    curve->line = line;
    return curve;
}

void plot_add_point(struct plot_curve *curve, double x, double y) {
    if (curve->points < PLOT_POINTS_MAX && isfinite(x) && isfinite(y)) {
        curve->point[curve->points++] = (struct svg_at){x, y};
    }
}

void plot_write(FILE *out, const struct plot *plot) {
    double height = TOP + (double)plot->panels * (PANEL + BETWEEN) - BETWEEN + BOTTOM;
    struct scale x = x_scale(plot);
    svg_begin(out, WIDTH, height, plot->title, plot->about);
    svg_text(out, (struct svg_at){LEFT, 22}, SVG_START, 16, plot->title);
    svg_text(out, (struct svg_at){LEFT, 40}, SVG_START, 12, plot->about);
    for (size_t p = 0; p < plot->panels; p++) {
        const struct plot_panel *panel = &plot->panel[p];
        double top = TOP + (double)p * (PANEL + BETWEEN);
        struct scale y = y_scale(panel, top);
        put_x_axis(out, &x, top, p + 1 == plot->panels ? plot->x_name : NULL);
        put_y_axis(out, &y, panel);
        svg_rectangle(out, SVG_THIN, &(struct svg_box){LEFT, top, x.length, PANEL});
        put_curves(out, panel, &x, &y);
        put_legend(out, panel, top);
    }
    svg_end(out);
}
