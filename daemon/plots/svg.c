#include "plots/svg.h"

#include "base/text/xml.h"

#include <math.h>

static const char *style_of(enum svg_line line) {
    switch (line) {
    case SVG_SOLID:
        return "stroke=\"#000\" stroke-width=\"1.8\"";
    case SVG_DASHED:
        return "stroke=\"#000\" stroke-width=\"1.6\" stroke-dasharray=\"8 4\"";
    case SVG_DOTTED:
        return "stroke=\"#000\" stroke-width=\"1.6\" stroke-dasharray=\"1.5 3.5\"";
    case SVG_CHAIN:
        return "stroke=\"#000\" stroke-width=\"1.2\" stroke-dasharray=\"12 3 2 3\"";
    case SVG_THIN:
        return "stroke=\"#000\" stroke-width=\"0.8\"";
    case SVG_GRID:
        return "stroke=\"#bbb\" stroke-width=\"0.5\"";
    }
    return "";
}

void svg_begin(FILE *out, double width, double height, const char *title, const char *about) {
    fprintf(out,
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%.0f\" height=\"%.0f\" "
            "viewBox=\"0 0 %.0f %.0f\" role=\"img\" font-family=\"sans-serif\" fill=\"none\" "
            "stroke-linejoin=\"round\">\n<title>",
            width, height, width, height);
    xml_print(out, title);
    fputs("</title>\n<desc>", out);
    xml_print(out, about);
    fprintf(out,
            "</desc>\n<defs><pattern id=\"hatch\" width=\"7\" height=\"7\" "
            "patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">"
            "<path d=\"M0 0V7\" stroke=\"#000\" stroke-width=\"0.9\"/></pattern></defs>\n"
            "<rect width=\"%.0f\" height=\"%.0f\" fill=\"#fff\"/>\n",
            width, height);
}

void svg_end(FILE *out) {
    fputs("</svg>\n", out);
}

static bool is_finite(struct svg_at at) {
    return isfinite(at.x) && isfinite(at.y);
}

void svg_line(FILE *out, enum svg_line line, struct svg_at from, struct svg_at to) {
    if (is_finite(from) && is_finite(to)) {
        fprintf(out, "<path d=\"M%.2f %.2fL%.2f %.2f\" %s/>\n", from.x, from.y, to.x, to.y,
                style_of(line));
    }
}

static void put_points(FILE *out, const struct svg_at *points, size_t count) {
    bool is_first = true;
    for (size_t i = 0; i < count; i++) {
        if (is_finite(points[i])) {
            fprintf(out, "%s%.2f %.2f", is_first ? "M" : "L", points[i].x, points[i].y);
            is_first = false;
        }
    }
}

void svg_curve(FILE *out, enum svg_line line, const struct svg_at *points, size_t count) {
    fputs("<path d=\"", out);
    put_points(out, points, count);
    fprintf(out, "\" %s/>\n", style_of(line));
}

void svg_polygon(FILE *out, enum svg_line line, bool is_filled, const struct svg_at *points,
                 size_t count) {
    fputs("<path d=\"", out);
    put_points(out, points, count);
    fprintf(out, "%s\" %s%s/>\n", count > 0 ? "Z" : "", style_of(line),
            is_filled ? " fill=\"#e4e4e4\"" : "");
}

void svg_circle(FILE *out, enum svg_line line, struct svg_at centre, double radius) {
    if (is_finite(centre) && isfinite(radius)) {
        fprintf(out, "<circle cx=\"%.2f\" cy=\"%.2f\" r=\"%.2f\" %s/>\n", centre.x, centre.y,
                radius, style_of(line));
    }
}

static void put_box(FILE *out, const struct svg_box *box, const char *style) {
    fprintf(out, "<rect x=\"%.2f\" y=\"%.2f\" width=\"%.2f\" height=\"%.2f\" %s/>\n", box->left,
            box->top, fmax(box->width, 0), fmax(box->height, 0), style);
}

void svg_rectangle(FILE *out, enum svg_line line, const struct svg_box *box) {
    put_box(out, box, style_of(line));
}

void svg_hatched(FILE *out, const struct svg_box *box) {
    put_box(out, box, "fill=\"url(#hatch)\" stroke=\"none\"");
}

static void put_text(FILE *out, struct svg_at at, const char *attributes, const char *align,
                     double size, const char *text) {
    fprintf(out, "<text x=\"%.2f\" y=\"%.2f\" %s text-anchor=\"%s\" font-size=\"%.1f\">", at.x,
            at.y, attributes, align, size);
    xml_print(out, text);
    fputs("</text>\n", out);
}

static const char *const align_names[] = {
    [SVG_START] = "start", [SVG_MIDDLE] = "middle", [SVG_END] = "end"};

void svg_text(FILE *out, struct svg_at at, enum svg_align align, double size, const char *text) {
    put_text(out, at, "fill=\"#000\"", align_names[align], size, text);
}

void svg_label(FILE *out, struct svg_at at, enum svg_align align, double size, const char *text) {
    put_text(out, at, "stroke=\"#fff\" stroke-width=\"4\"", align_names[align], size, text);
    svg_text(out, at, align, size, text);
}

void svg_text_upward(FILE *out, struct svg_at at, double size, const char *text) {
    char turn[96];
    snprintf(turn, sizeof turn, "fill=\"#000\" transform=\"rotate(-90 %.2f %.2f)\"", at.x, at.y);
    put_text(out, at, turn, "middle", size, text);
}
