/* The diagram of a timetable, as SVG: distance over time, trains, boats and openings. */
#include "plots/svg.h"
#include "tools/drawtender/timetable/timetable_words.h"

#include <math.h>

/* One row: a panel of the line with the bridge in its middle, and below it one of the river. */
enum {
    WIDTH = 1120,
    LEFT = 70,
    RIGHT = 20,
    HEAD = 50,
    ROW = 210,
    RAIL = 100, /* height of the panel */
    RIVER = 50,
    BETWEEN = 10,
    SPAN = 10, /* half of what the bridge takes of the panel */
    HOUR_S = 3600,
    ROW_S = 4 * HOUR_S,
    TICK_S = 900,
    RUN_S = 300,   /* from a panel's edge to the bridge */
    LETTERS = 7,   /* size of a name's */
    LABEL_TOP = 2, /* so that the lowest stays above the boats that wait */
    LABEL_ROW = 7, /* boats come in company: their names stand one below the other */
    LABEL_ROWS = 3,
};

struct row {
    FILE *out;
    int32_t from, to; /* s */
    double top;
};

static double x_of(const struct row *row, double time_s) {
    return LEFT + (time_s - row->from) * (WIDTH - LEFT - RIGHT) / (row->to - row->from);
}

static double mix(double from, double to, double part) {
    return from + (to - from) * part;
}

/* A stroke from one time and place to another, as far as it lies in the row. */
static void stroke(const struct row *row, enum svg_line line, struct svg_at from,
                   struct svg_at to) {
    if (to.x < row->from || from.x > row->to) {
        return;
    }
    double length = to.x - from.x;
    double first = from.x < row->from ? (row->from - from.x) / length : 0;
    double last = to.x > row->to ? (row->to - from.x) / length : 1;
    svg_line(row->out, line,
             (struct svg_at){x_of(row, mix(from.x, to.x, first)), mix(from.y, to.y, first)},
             (struct svg_at){x_of(row, mix(from.x, to.x, last)), mix(from.y, to.y, last)});
}

/* Comes to the bridge at `at`, may wait, goes on at `goes`, and is through `takes` later. */
static void string_line(const struct row *row, enum svg_line line, const int32_t time[3],
                        const double place[4]) {
    const double at = time[0];
    const double goes = time[1];
    const double through = time[1] + time[2];
    stroke(row, line, (struct svg_at){at - RUN_S, place[0]}, (struct svg_at){at, place[1]});
    stroke(row, line, (struct svg_at){at, place[1]}, (struct svg_at){goes, place[1]});
    stroke(row, line, (struct svg_at){goes, place[1]}, (struct svg_at){through, place[2]});
    stroke(row, line, (struct svg_at){through, place[2]},
           (struct svg_at){through + RUN_S, place[3]});
}

/* Beside the run from place[0] to place[1] that begins a string line, and not across it. */
static void label(const struct row *row, int32_t at, const double place[2], double y,
                  const char *name) {
    double begin = at - RUN_S;
    bool is_upward = place[1] < place[0];
    double far = (is_upward ? y - LETTERS : y) - place[0];
    double way = fmin(far / (place[1] - place[0]), 1);
    if (begin >= row->from && begin < row->to) {
        struct svg_at beside = {x_of(row, begin + way * RUN_S) + LETTERS / 2.0, y};
        svg_text(row->out, beside, SVG_START, LETTERS, name);
    }
}

static void put_trains(const struct row *row, const struct timetable *timetable) {
    const double middle = row->top + RAIL / 2.0;
    for (size_t i = 0; i < timetable->plan.trains; i++) {
        const struct plan_train *train = &timetable->plan.train[i];
        const double way = timetable->train_call[i].end == 0 ? 1 : -1;
        const int32_t time[] = {train->at, train->goes_at, train->takes};
        const double place[] = {middle - way * RAIL / 2, middle - way * SPAN, middle + way * SPAN,
                                middle + way * RAIL / 2};
        string_line(row, SVG_SOLID, time, place);
        label(row, train->at, place, place[0] + (way > 0 ? 9 : -3), timetable->train_call[i].name);
    }
}

static void put_boats(const struct row *row, const struct timetable *timetable) {
    const double top = row->top + RAIL + BETWEEN;
    for (size_t i = 0; i < timetable->plan.boats; i++) {
        const struct plan_boat *boat = &timetable->plan.boat[i];
        const int32_t time[] = {boat->at, boat->passes_at, boat->takes};
        const double place[] = {top, top + RIVER / 2.0 - SPAN / 2.0, top + RIVER / 2.0 + SPAN / 2.0,
                                top + RIVER};
        string_line(row, SVG_DASHED, time, place);
        label(row, boat->at, place, top + LABEL_TOP + LABEL_ROW * (double)(i % LABEL_ROWS),
              timetable->boat_call[i].name);
    }
}

/* Grey while the bridge is not lined, hatched while it is open. */
static void put_openings(const struct row *row, const struct plan *plan) {
    const double bottom = row->top + RAIL + BETWEEN + RIVER;
    for (size_t i = 0; i < plan->openings; i++) {
        const struct plan_opening *opening = &plan->opening[i];
        if (opening->lined <= row->from || opening->start >= row->to) {
            continue;
        }
        double from = x_of(row, opening->start > row->from ? opening->start : row->from);
        double to = x_of(row, opening->lined < row->to ? opening->lined : row->to);
        const struct svg_at corner[] = {
            {from, row->top}, {to, row->top}, {to, bottom}, {from, bottom}};
        svg_polygon(row->out, SVG_THIN, true, corner, 4);
        int32_t closing = opening->lined - plan->closing_s;
        int32_t open = opening->open > row->from ? opening->open : row->from;
        int32_t closed = closing < row->to ? closing : row->to;
        if (closed > open) {
            svg_hatched(row->out, &(struct svg_box){x_of(row, open), row->top + RAIL / 2.0 - SPAN,
                                                    x_of(row, closed) - x_of(row, open), 2 * SPAN});
        }
    }
}

static void put_frame(const struct row *row, const struct timetable *timetable) {
    const double middle = row->top + RAIL / 2.0;
    const double bottom = row->top + RAIL + BETWEEN + RIVER;
    for (int32_t time = row->from; time <= row->to; time += TICK_S) {
        svg_line(row->out, SVG_GRID, (struct svg_at){x_of(row, time), row->top},
                 (struct svg_at){x_of(row, time), bottom});
        if (time % HOUR_S == 0) {
            char clock[16];
            timetable_clock(time, clock);
            clock[5] = '\0'; /* hours and minutes */
            svg_text(row->out, (struct svg_at){x_of(row, time), bottom + 14}, SVG_MIDDLE, 10,
                     clock);
        }
    }
    const struct svg_box boxes[] = {{LEFT, row->top, WIDTH - LEFT - RIGHT, RAIL},
                                    {LEFT, row->top, WIDTH - LEFT - RIGHT, RAIL + BETWEEN + RIVER}};
    svg_rectangle(row->out, SVG_THIN, &boxes[0]);
    svg_rectangle(row->out, SVG_THIN, &boxes[1]);
    svg_text(row->out, (struct svg_at){LEFT - 6, row->top + 9}, SVG_END, 10,
             timetable->ends > 0 ? timetable->end[0] : "line");
    svg_text(row->out, (struct svg_at){LEFT - 6, middle + 3}, SVG_END, 10, "bridge");
    svg_text(row->out, (struct svg_at){LEFT - 6, row->top + RAIL}, SVG_END, 10,
             timetable->ends > 1 ? timetable->end[1] : "");
    svg_text(row->out, (struct svg_at){LEFT - 6, bottom - RIVER / 2.0 + 3}, SVG_END, 10, "river");
}

static void widen(int32_t *from, int32_t *to, int32_t first, int32_t last) {
    *from = first < *from ? first : *from;
    *to = last > *to ? last : *to;
}

static int32_t hour_before(int32_t time) {
    int32_t over = (time % HOUR_S + HOUR_S) % HOUR_S;
    return time - over;
}

/* Whole hours around all that happens. */
static void find_range(const struct plan *plan, int32_t *from, int32_t *to) {
    *from = INT32_MAX;
    *to = INT32_MIN;
    for (size_t i = 0; i < plan->trains; i++) {
        const struct plan_train *train = &plan->train[i];
        widen(from, to, train->at - RUN_S, train->goes_at + train->takes + RUN_S);
    }
    for (size_t i = 0; i < plan->boats; i++) {
        widen(from, to, plan->boat[i].at - RUN_S, plan->boat[i].passes_at + plan->boat[i].takes);
    }
    for (size_t i = 0; i < plan->openings; i++) {
        widen(from, to, plan->opening[i].start, plan->opening[i].lined);
    }
    if (*from > *to) {
        *from = *to = 0;
    }
    *from = hour_before(*from);
    *to = hour_before(*to) + HOUR_S;
}

void timetable_diagram(FILE *out, const struct timetable *timetable) {
    int32_t from;
    int32_t to;
    find_range(&timetable->plan, &from, &to);
    int32_t row_s = to - from < ROW_S ? to - from : ROW_S;
    int32_t rows = (to - from + row_s - 1) / row_s;
    svg_begin(out, WIDTH, HEAD + rows * ROW, "Trains over the bridge and boats under it",
              "Place over time. Solid: trains. Dashed: boats. Level: waiting. Grey: not lined for "
              "rail. Hatched: open for the river.");
    svg_text(out, (struct svg_at){LEFT, 20}, SVG_START, 14,
             "Trains over the bridge (solid) and boats under it (dashed)");
    svg_text(out, (struct svg_at){LEFT, 36}, SVG_START, 10,
             "Model time. Grey: not lined for rail; hatched: open for the river");
    for (int32_t i = 0; i < rows; i++) {
        struct row row = {.out = out,
                          .from = from + i * row_s,
                          .to = from + (i + 1) * row_s,
                          .top = HEAD + i * (double)ROW};
        put_openings(&row, &timetable->plan);
        put_frame(&row, timetable);
        put_trains(&row, timetable);
        put_boats(&row, timetable);
    }
    svg_end(out);
}
