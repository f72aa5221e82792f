/* svg.h: writes one SVG file, element by element: black on white, for print. No scripts, no fonts
 * of its own. Lengths in user units, y down; numbers that are not finite are left out. */
#ifndef PLOTS_SVG_H
#define PLOTS_SVG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* Told apart by dashes as well as by width, never by colour alone. */
enum svg_line { SVG_SOLID, SVG_DASHED, SVG_DOTTED, SVG_CHAIN, SVG_THIN, SVG_GRID };

enum svg_align { SVG_START, SVG_MIDDLE, SVG_END };

struct svg_at {
    double x, y;
};

struct svg_box {
    double left, top, width, height;
};

/* Head, title and a white ground. `title` and `about` also for those who hear it. */
void svg_begin(FILE *out, double width, double height, const char *title, const char *about);
void svg_end(FILE *out);

void svg_line(FILE *out, enum svg_line line, struct svg_at from, struct svg_at to);
void svg_curve(FILE *out, enum svg_line line, const struct svg_at *points, size_t count);
/* Closed, with a light ground if `is_filled`. */
void svg_polygon(FILE *out, enum svg_line line, bool is_filled, const struct svg_at *points,
                 size_t count);
void svg_circle(FILE *out, enum svg_line line, struct svg_at centre, double radius);
void svg_rectangle(FILE *out, enum svg_line line, const struct svg_box *box);
/* Hatched at a slant: what stands in the way. */
void svg_hatched(FILE *out, const struct svg_box *box);

/* Plain text, escaped; `size` in user units. */
void svg_text(FILE *out, struct svg_at at, enum svg_align align, double size, const char *text);
/* The same with a white rim, for places where lines run. */
void svg_label(FILE *out, struct svg_at at, enum svg_align align, double size, const char *text);
void svg_text_upward(FILE *out, struct svg_at at, double size, const char *text);

#endif
