#include "bridge/wiring_drawing.h"

#include "bridge/wiring_rows.h"
#include "plots/svg.h"

#include <string.h>

/* Columns, from the computer's terminals to the return wire, and rows; in user units. */
enum {
    WIDTH = 820,
    MARGIN = 20,
    TERMINALS = 190, /* right edge of the computer */
    PART = 250,      /* left edge of what is drawn */
    PART_END = 330,
    RETURN = 400, /* 0 V */
    WORDS = 420,
    HEAD = 70,
    ROW = 30,
    MOTOR_HEIGHT = 210,
    TEXT = 12
};

struct drawing {
    FILE *out;
    double y;         /* of the row */
    double motor_top; /* of the rows that lead to the power stage; 0: none so far */
    double motor_end;
    double return_end; /* lowest row that leads to 0 V */
};

static void line(const struct drawing *drawing, double x, double y, double to_x, double to_y) {
    svg_line(drawing->out, SVG_SOLID, (struct svg_at){x, y}, (struct svg_at){to_x, to_y});
}

static void text(const struct drawing *drawing, double x, double y, const char *words) {
    svg_text(drawing->out, (struct svg_at){x, y}, SVG_START, TEXT, words);
}

static void box(const struct drawing *drawing, double x, double y, double width, double height) {
    svg_rectangle(drawing->out, SVG_SOLID, &(struct svg_box){x, y, width, height});
}

/* Open, as it is when nothing is proved; `x` to `to_x`. */
static void contact(const struct drawing *drawing, double x, double to_x, double y) {
    double gap = (to_x - x - 24) / 2;
    line(drawing, x, y, x + gap, y);
    line(drawing, to_x - gap, y, to_x, y);
    line(drawing, x + gap, y, to_x - gap - 2, y - 10);
    svg_circle(drawing->out, SVG_SOLID, (struct svg_at){x + gap, y}, 2.5);
    svg_circle(drawing->out, SVG_SOLID, (struct svg_at){to_x - gap, y}, 2.5);
}

static void box_with_words(const struct drawing *drawing, double x, double y, double width,
                           const char *words) {
    box(drawing, x, y - 10, width, 20);
    svg_text(drawing->out, (struct svg_at){x + width / 2, y + 4}, SVG_MIDDLE, TEXT - 1, words);
}

/* What is drawn between terminal and return wire. */
static void part(struct drawing *drawing, const struct wiring_row *row) {
    const char *name = "";
    switch (row->part) {
    case WIRING_CONTACT:
        if (row->is_to_supply) {
            contact(drawing, TERMINALS, RETURN - 40, drawing->y);
            text(drawing, RETURN - 36, drawing->y + 4, "+");
        } else {
            contact(drawing, TERMINALS, RETURN, drawing->y);
            drawing->return_end = drawing->y;
        }
        return;
    case WIRING_MOTOR:
        line(drawing, TERMINALS, drawing->y, PART, drawing->y);
        drawing->motor_top = drawing->motor_top > 0 ? drawing->motor_top : drawing->y;
        drawing->motor_end = drawing->y;
        return;
    case WIRING_MEASURED:
        name = "sensor";
        break;
    case WIRING_SERVO:
        name = "servo";
        break;
    case WIRING_OUTPUT:
        name = "driver";
        break;
    case WIRING_HEARTBEAT:
        name = "watchdog";
        break;
    }
    line(drawing, TERMINALS, drawing->y, PART, drawing->y);
    box_with_words(drawing, PART, drawing->y, PART_END - PART, name);
    line(drawing, PART_END, drawing->y, RETURN, drawing->y);
    drawing->return_end = drawing->y;
}

static void draw_row(const struct wiring_row *row, void *context) {
    struct drawing *drawing = context;
    char words[160];
    snprintf(words, sizeof words, "%s: %s; safe: %s", row->signal, row->on, row->safe);
    part(drawing, row);
    svg_circle(drawing->out, SVG_SOLID, (struct svg_at){TERMINALS, drawing->y}, 3);
    svg_text(drawing->out, (struct svg_at){TERMINALS - 8, drawing->y + 4}, SVG_END, TEXT,
             row->terminal);
    text(drawing, WORDS, drawing->y + 4, words);
    drawing->y += ROW;
}

static void count_row(const struct wiring_row *row, void *context) {
    (void)row;
    ++*(unsigned *)context;
}

/* The power stage beside the rows that lead to it, and from it down to its supply. */
static void draw_stage(const struct drawing *drawing, double supply_y) {
    double top = drawing->motor_top - 12;
    double height = drawing->motor_end - top + 12;
    box(drawing, PART, top, PART_END - PART, height);
    text(drawing, PART + 6, top + height / 2 - 2, "power");
    text(drawing, PART + 6, top + height / 2 + 12, "stage");
    text(drawing, MARGIN, supply_y - 62, "In the motor's supply, with no software in between:");
}

/* Supply, fuse, emergency stop, watchdog relay, power stage, motor: in this order a fault of what
 * comes later is cut by what comes before. */
static void draw_supply(const struct drawing *drawing, double y) {
    text(drawing, MARGIN, y - 8, "+ supply");
    line(drawing, MARGIN, y, 110, y);
    box(drawing, 110, y - 7, 50, 14);
    line(drawing, 110, y, 160, y);
    text(drawing, 110, y + 24, "fuse, or limit");
    line(drawing, 160, y, 210, y);
    /* A closed contact with a mushroom head: pressing opens it. */
    line(drawing, 210, y, 290, y);
    svg_circle(drawing->out, SVG_SOLID, (struct svg_at){230, y}, 2.5);
    svg_circle(drawing->out, SVG_SOLID, (struct svg_at){270, y}, 2.5);
    line(drawing, 250, y, 250, y - 18);
    line(drawing, 236, y - 18, 264, y - 18);
    text(drawing, 206, y + 24, "emergency stop");
    text(drawing, 206, y + 40, "latches open when pressed");
    contact(drawing, 330, 430, y);
    line(drawing, 290, y, 330, y);
    text(drawing, 350, y + 24, "watchdog relay");
    text(drawing, 350, y + 40, "closed only while");
    text(drawing, 350, y + 56, "the heartbeat changes");
    line(drawing, 430, y, 510, y);
    box_with_words(drawing, 510, y, 90, "power stage");
    line(drawing, 600, y, 660, y);
    svg_circle(drawing->out, SVG_SOLID, (struct svg_at){680, y}, 20);
    svg_text(drawing->out, (struct svg_at){680, y + 5}, SVG_MIDDLE, TEXT + 2, "M");
    line(drawing, 700, y, 760, y);
    text(drawing, 740, y - 8, "0 V");
    text(drawing, MARGIN, y + 90,
         "Each output needs a resistor or a relay that holds its safe state while nothing drives "
         "the terminal.");
    text(drawing, MARGIN, y + 108,
         "Extra-low voltage only. No circuit here is a safety circuit: local codes and licensed "
         "practice come first.");
}

void wiring_drawing(FILE *out, const char *bridge, const struct wired_setup *setup,
                    const struct line_track tracks[BRIDGE_TRACKS_MAX]) {
    unsigned rows = 0;
    char title[LINE_NAME_SIZE + 16];
    wiring_rows(setup, tracks, count_row, &rows);
    double bottom = HEAD + rows * ROW;
    bool has_motor = setup->motor.kind != WIRED_MOTOR_NONE;
    struct drawing drawing = {.out = out, .y = HEAD};
    snprintf(title, sizeof title, "%.90s: wiring", bridge);
    svg_begin(out, WIDTH, bottom + (has_motor ? MOTOR_HEIGHT : MARGIN), title,
              "Terminals of the computer at the left, what is wired to each in the middle, its "
              "signal and safe state at the right; below, the motor's supply.");
    svg_text(out, (struct svg_at){MARGIN, 30}, SVG_START, TEXT + 4, title);
    text(&drawing, WORDS, 50, "line 6 is GPIO 6, not pin 6 of the header");
    wiring_rows(setup, tracks, draw_row, &drawing);
    box(&drawing, MARGIN, HEAD - ROW + 8, TERMINALS - MARGIN, bottom - HEAD + 6);
    if (drawing.return_end > 0) {
        line(&drawing, RETURN, HEAD - 14, RETURN, drawing.return_end);
        text(&drawing, RETURN - 10, HEAD - 20, "0 V");
    }
    if (has_motor) {
        double supply_y = bottom + 80;
        if (drawing.motor_top > 0) {
            draw_stage(&drawing, supply_y);
        }
        draw_supply(&drawing, supply_y);
    }
    svg_end(out);
}
