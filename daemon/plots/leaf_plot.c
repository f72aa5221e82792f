#include "plots/leaf_plot.h"

#include "plots/plot.h"
#include "plots/sizing_words.h"
#include "plots/svg.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* In user units. */
enum {
    WIDTH = 760,
    LEFT = 70,
    RIGHT = 30,
    BOTTOM = 56,
    TALLEST = 620,
    HATCH = 12,
    LINE = 16,
    STAGES = 4, /* seated, two on the way, open */
    PATH = 49   /* points of a path */
};

struct view {
    const struct sizing_report *report;
    struct point corner[SIZING_OUTLINE_MAX]; /* seated, from the axis */
    unsigned corners;
    bool has_outline;
    double left_m, right_m, low_m, high_m; /* what is shown */
    double per_m, top;                     /* user units */
};

static bool is_from_above(const struct view *view) {
    return view->report->given->chain.lift.kind == LIFT_SWING;
}

/* Heights count from the room's level where it is known. */
static double axis_height(const struct view *view) {
    const struct sizing_given *given = view->report->given;
    return given->has_room && !is_from_above(view) ? given->room.axis_height_m : 0;
}

static void take_corners(struct view *view) {
    const struct sizing_given *given = view->report->given;
    view->has_outline = given->outline_points > 0;
    view->corners = given->outline_points;
    memcpy(view->corner, given->outline, sizeof view->corner);
    if (view->has_outline) {
        return;
    }
    if (given->has_counterweight && given->chain.lift.kind != LIFT_VERTICAL) {
        view->corner[view->corners++] = given->counterweight;
    }
    view->corner[view->corners++] = (struct point){0, 0};
    if (!isnan(given->toe_x_m)) {
        view->corner[view->corners++] = (struct point){given->toe_x_m, 0};
    }
}

static void include(struct view *view, double x_m, double y_m) {
    if (isfinite(x_m)) {
        view->left_m = fmin(view->left_m, x_m);
        view->right_m = fmax(view->right_m, x_m);
    }
    if (isfinite(y_m)) {
        view->low_m = fmin(view->low_m, y_m);
        view->high_m = fmax(view->high_m, y_m);
    }
}

/* Of the counterweight of a vertical lift. */
static struct point weight_place_of(const struct view *view, unsigned corner, double part) {
    const struct sizing_given *given = view->report->given;
    struct point at =
        sizing_weight_moved(given->weight_outline[corner], part * given->chain.lift.travel);
    at.y_m += axis_height(view);
    return at;
}

static struct point place_of(const struct view *view, unsigned corner, double part) {
    const struct sizing_given *given = view->report->given;
    struct point at = sizing_moved(given, view->corner[corner], part * given->chain.lift.travel);
    at.y_m += axis_height(view);
    return at;
}

static void fit(struct view *view) {
    const struct sizing_given *given = view->report->given;
    view->left_m = view->low_m = INFINITY;
    view->right_m = view->high_m = -INFINITY;
    include(view, 0, axis_height(view));
    for (unsigned i = 0; i < view->corners * PATH; i++) {
        struct point at = place_of(view, i / PATH, (i % PATH) / (PATH - 1.0));
        include(view, at.x_m, at.y_m);
    }
    for (unsigned i = 0; i < 2 * given->weight_points; i++) {
        struct point at = weight_place_of(view, i / 2, i % 2);
        include(view, at.x_m, at.y_m);
    }
    if (given->chain.lift.kind == LIFT_STRUT) {
        struct point pinion = given->chain.lift.strut.pinion;
        include(view, pinion.x_m, pinion.y_m + axis_height(view));
    }
    if (given->has_room && !is_from_above(view)) {
        include(view, given->room.wall_x_m, given->room.ceiling_m);
        include(view, NAN, given->room.floor_m);
    }
    double narrow = (view->high_m - view->low_m) / 2 - (view->right_m - view->left_m);
    view->left_m -= fmax(narrow, 0) / 2; /* room for words beside what is tall */
    view->right_m += fmax(narrow, 0) / 2;
    double margin = 0.04 * fmax(view->right_m - view->left_m, view->high_m - view->low_m) + 0.01;
    view->left_m -= margin;
    view->right_m += 3 * margin; /* and the labels */
    view->low_m -= margin;
    view->high_m += margin;
    view->per_m = fmin((WIDTH - LEFT - RIGHT) / (view->right_m - view->left_m),
                       TALLEST / (view->high_m - view->low_m));
}

static struct svg_at on_paper(const struct view *view, double x_m, double y_m) {
    return (struct svg_at){LEFT + (x_m - view->left_m) * view->per_m,
                           view->top + (view->high_m - y_m) * view->per_m};
}

static double bottom_of(const struct view *view) {
    return view->top + (view->high_m - view->low_m) * view->per_m;
}

static double right_of(const struct view *view) {
    return LEFT + (view->right_m - view->left_m) * view->per_m;
}

/* --- what stands around --- */

static void put_room(FILE *out, const struct view *view) {
    const struct outline_room *room = &view->report->given->room;
    double width = right_of(view) - LEFT;
    if (!view->report->given->has_room || is_from_above(view)) {
        return;
    }
    if (isfinite(room->ceiling_m)) {
        struct svg_at at = on_paper(view, view->left_m, room->ceiling_m);
        svg_line(out, SVG_SOLID, at, (struct svg_at){right_of(view), at.y});
        svg_hatched(out, &(struct svg_box){at.x, at.y - HATCH, width, HATCH});
        svg_text(out, (struct svg_at){right_of(view) - 6, at.y + 14}, SVG_END, 12, "ceiling");
    }
    if (isfinite(room->floor_m)) {
        struct svg_at at = on_paper(view, view->left_m, room->floor_m);
        svg_line(out, SVG_SOLID, at, (struct svg_at){right_of(view), at.y});
        svg_hatched(out, &(struct svg_box){at.x, at.y, width, HATCH});
        svg_text(out, (struct svg_at){right_of(view) - 6, at.y - 6}, SVG_END, 12, "floor");
    }
    if (isfinite(room->wall_x_m)) {
        struct svg_at at = on_paper(view, room->wall_x_m, view->high_m);
        svg_line(out, SVG_SOLID, at, (struct svg_at){at.x, bottom_of(view)});
        svg_hatched(out, &(struct svg_box){at.x - HATCH, at.y, HATCH, bottom_of(view) - view->top});
        svg_text_upward(out, (struct svg_at){at.x + 14, view->top + 60}, 12, "wall");
    }
}

static void put_axes(FILE *out, const struct view *view) {
    double range = fmax(view->right_m - view->left_m, view->high_m - view->low_m);
    struct units_unit unit = units_unit(&view->report->units, UNITS_DISTANCE);
    double shown_step = plot_step(range * unit.per_si, 10);
    double step = shown_step / unit.per_si;
    char text[48];
    double bottom = bottom_of(view);
    for (double x = ceil(view->left_m / step) * step; x <= view->right_m; x += step) {
        struct svg_at at = on_paper(view, x, view->low_m);
        svg_line(out, SVG_GRID, (struct svg_at){at.x, view->top}, at);
        plot_number(x * unit.per_si, shown_step, text, sizeof text);
        svg_text(out, (struct svg_at){at.x, bottom + 18}, SVG_MIDDLE, 12, text);
    }
    for (double y = ceil(view->low_m / step) * step; y <= view->high_m; y += step) {
        struct svg_at at = on_paper(view, view->left_m, y);
        svg_line(out, SVG_GRID, at, (struct svg_at){right_of(view), at.y});
        plot_number(y * unit.per_si, shown_step, text, sizeof text);
        svg_text(out, (struct svg_at){LEFT - 8, at.y + 4}, SVG_END, 12, text);
    }
    svg_rectangle(out, SVG_THIN,
                  &(struct svg_box){LEFT, view->top, right_of(view) - LEFT, bottom - view->top});
    snprintf(text, sizeof text, "from the axis toward the toe, %s", unit.name);
    svg_text(out, (struct svg_at){(LEFT + right_of(view)) / 2, bottom + 38}, SVG_MIDDLE, 13, text);
    snprintf(text, sizeof text, "%s, %s",
             is_from_above(view)             ? "across"
             : view->report->given->has_room ? "height"
                                             : "above the axis",
             unit.name);
    svg_text_upward(out, (struct svg_at){20, (view->top + bottom) / 2}, 13, text);
}

/* --- what moves --- */

/* The corner farthest from the axis on the toe's side: it is what people look at. */
static unsigned toe_of(const struct view *view) {
    unsigned toe = 0;
    for (unsigned i = 1; i < view->corners; i++) {
        toe = view->corner[i].x_m > view->corner[toe].x_m ? i : toe;
    }
    return toe;
}

static void put_stage(FILE *out, const struct view *view, unsigned stage) {
    static const enum svg_line lines[STAGES] = {SVG_SOLID, SVG_THIN, SVG_THIN, SVG_DASHED};
    double part = stage / (STAGES - 1.0);
    struct svg_at at[SIZING_OUTLINE_MAX];
    for (unsigned i = 0; i < view->corners; i++) {
        struct point place = place_of(view, i, part);
        at[i] = on_paper(view, place.x_m, place.y_m);
    }
    if (view->has_outline) {
        svg_polygon(out, lines[stage], stage == 0, at, view->corners);
    } else {
        svg_curve(out, lines[stage], at, view->corners);
    }
}

static void put_weight(FILE *out, const struct view *view) {
    unsigned corners = view->report->given->weight_points;
    for (unsigned is_open = 0; corners > 0 && is_open <= 1; is_open++) {
        struct svg_at at[SIZING_OUTLINE_MAX];
        for (unsigned i = 0; i < corners; i++) {
            struct point place = weight_place_of(view, i, is_open);
            at[i] = on_paper(view, place.x_m, place.y_m);
        }
        svg_polygon(out, is_open ? SVG_DASHED : SVG_SOLID, !is_open, at, corners);
    }
}

static void label_stage(FILE *out, const struct view *view, unsigned stage) {
    double part = stage / (STAGES - 1.0);
    struct point toe = place_of(view, toe_of(view), part);
    struct svg_at at = on_paper(view, toe.x_m, toe.y_m);
    char text[48];
    struct units_unit unit = sizing_report_position(view->report);
    snprintf(text, sizeof text, "%.*f %s%s", unit.per_si < 50 ? 1 : 0,
             part * view->report->given->chain.lift.travel * unit.per_si, unit.name,
             stage == 0            ? ", seated"
             : stage == STAGES - 1 ? ", open"
                                   : "");
    if (stage == 0 || view->report->given->chain.lift.kind == LIFT_VERTICAL) {
        svg_label(out, (struct svg_at){at.x - 8, at.y + (stage == 0 ? 26 : -6)}, SVG_END, 12, text);
        return;
    }
    /* Outward, off the span. */
    bool is_left = at.x < on_paper(view, 0, 0).x;
    svg_label(out, (struct svg_at){at.x + (is_left ? -10 : 10), at.y + 14},
              is_left ? SVG_END : SVG_START, 12, text);
}

static void put_path(FILE *out, const struct view *view, unsigned corner) {
    struct svg_at at[PATH];
    for (unsigned i = 0; i < PATH; i++) {
        struct point place = place_of(view, corner, i / (PATH - 1.0));
        at[i] = on_paper(view, place.x_m, place.y_m);
    }
    svg_curve(out, SVG_DOTTED, at, PATH);
}

/* Those that decide about the clearances; without a verdict on them, the toe's. */
static void put_paths(FILE *out, const struct view *view) {
    const struct verdicts *verdicts = &view->report->verdicts;
    bool has_any = false;
    for (unsigned i = 0; i < verdicts->count; i++) {
        const struct verdict *verdict = &verdicts->verdict[i];
        if (verdict->about <= VERDICT_WALL && verdict->state != VERDICT_UNKNOWN) {
            put_path(out, view, verdict->index);
            has_any = true;
        }
    }
    if (!has_any && view->corners > 0) {
        put_path(out, view, toe_of(view));
    }
}

static void put_axis(FILE *out, const struct view *view) {
    static const char *const names[] = {[LIFT_SECTOR] = "trunnion",
                                        [LIFT_STRUT] = "trunnion",
                                        [LIFT_ROLLING] = "roll centre",
                                        [LIFT_VERTICAL] = "",
                                        [LIFT_SWING] = "pivot"};
    enum lift_kind kind = view->report->given->chain.lift.kind;
    struct svg_at at = on_paper(view, 0, axis_height(view));
    if (kind == LIFT_VERTICAL) {
        return;
    }
    svg_circle(out, SVG_SOLID, at, 5);
    svg_line(out, SVG_THIN, (struct svg_at){at.x - 9, at.y}, (struct svg_at){at.x + 9, at.y});
    svg_line(out, SVG_THIN, (struct svg_at){at.x, at.y - 9}, (struct svg_at){at.x, at.y + 9});
    svg_label(out, (struct svg_at){at.x + 8, at.y + 22}, SVG_START, 12, names[kind]);
}

static void put_strut(FILE *out, const struct view *view) {
    const struct lift *lift = &view->report->given->chain.lift;
    if (lift->kind != LIFT_STRUT) {
        return;
    }
    struct point pinion = lift->strut.pinion;
    struct svg_at axis = on_paper(view, pinion.x_m, pinion.y_m + axis_height(view));
    for (int is_open = 0; is_open <= 1; is_open++) {
        struct point pin = point_turned(lift->strut.pin, is_open ? lift->travel : 0);
        struct svg_at at = on_paper(view, pin.x_m, pin.y_m + axis_height(view));
        svg_line(out, SVG_CHAIN, axis, at);
        svg_circle(out, SVG_THIN, at, 3);
    }
    svg_circle(out, SVG_SOLID, axis, 4);
    svg_label(out, (struct svg_at){axis.x + 8, axis.y - 8}, SVG_START, 12, "pinion");
}

/* --- the sheet --- */

/* Verdicts on the clearances, as lines under the title; returns how many. */
static unsigned put_words(FILE *out, const struct view *view) {
    const struct verdicts *verdicts = &view->report->verdicts;
    unsigned lines = 0;
    for (unsigned i = 0; i < verdicts->count; i++) {
        char words[256];
        if (verdicts->verdict[i].about > VERDICT_WEIGHT_WALL) {
            continue;
        }
        sizing_words_verdict(view->report, &verdicts->verdict[i], words, sizeof words);
        if (out != NULL) {
            svg_text(out, (struct svg_at){LEFT, 42 + LINE * lines}, SVG_START, 12, words);
        }
        lines++;
    }
    return lines;
}

void leaf_plot_write(FILE *out, const struct sizing_report *report) {
    struct view view = {.report = report};
    char title[128];
    take_corners(&view);
    fit(&view);
    view.top = 40 + LINE * put_words(NULL, &view);
    snprintf(title, sizeof title, "%s: positions of the span%s", report->net->name,
             is_from_above(&view) ? ", from above" : "");
    svg_begin(out, WIDTH, bottom_of(&view) + BOTTOM, title,
              "solid: seated; dashed: open; dotted: paths of the corners that come nearest");
    svg_text(out, (struct svg_at){LEFT, 22}, SVG_START, 16, title);
    put_words(out, &view);
    put_axes(out, &view);
    put_room(out, &view);
    for (unsigned stage = 0; stage < STAGES; stage++) {
        put_stage(out, &view, stage);
    }
    put_weight(out, &view);
    put_paths(out, &view);
    put_strut(out, &view);
    put_axis(out, &view);
    for (unsigned stage = 0; stage < STAGES && view.corners > 1; stage++) {
        label_stage(out, &view, stage);
    }
    if (!view.has_outline) {
        svg_text(out, (struct svg_at){LEFT + 8, view.top + 16}, SVG_START, 12,
                 "no outline is given: see \"outline\" of the leaf");
    }
    svg_end(out);
}
