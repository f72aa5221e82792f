/* Ticks, texts and lines of the plots. */
#include "plots/plot.h"
#include "support/check.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static void steps_are_round_and_few(void **state) {
    (void)state;
    static const struct {
        double range;
        unsigned most;
        double step;
    } rows[] = {{75, 12, 10}, {90, 12, 10},     {82, 8, 20},   {1, 6, 0.2},
                {6, 6, 1},    {0.042, 6, 0.01}, {1e6, 5, 2e5}, {51.7, 12, 5}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        double step = plot_step(rows[i].range, rows[i].most);
        if (!(fabs(step - rows[i].step) <= 1e-9 * step)) {
            fail_msg("%g by %u: found %g, wanted %g", rows[i].range, rows[i].most, step,
                     rows[i].step);
        }
        assert_true(rows[i].range / step <= rows[i].most);
    }
}

static void numbers_have_as_many_decimals_as_their_step(void **state) {
    (void)state;
    static const struct {
        double value, step;
        const char *text;
    } rows[] = {{20, 10, "20"},       {0.4, 0.2, "0.4"},    {1, 0.5, "1.0"},
                {0.04, 0.02, "0.04"}, {-1e-17, 0.2, "0.0"}, {-10, 5, "-10"}};
    for (size_t i = 0; i < COUNT(rows); i++) {
        char text[32];
        plot_number(rows[i].value, rows[i].step, text, sizeof text);
        assert_string_equal(text, rows[i].text);
    }
}

static char *drawn(void (*draw)(FILE *out)) {
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);
    assert_non_null(out);
    draw(out);
    fclose(out);
    return text;
}

static void draw_names(FILE *out) {
    svg_begin(out, 10, 10, "a<b>&\"c\"\t", "d&e");
    svg_text(out, (struct svg_at){1, 2}, SVG_START, 3, "<script>");
    svg_end(out);
}

static void names_cannot_break_out_of_their_text(void **state) {
    (void)state;
    char *text = drawn(draw_names);
    assert_non_null(strstr(text, "<title>a&lt;b&gt;&amp;&quot;c&quot; </title>"));
    assert_non_null(strstr(text, "<desc>d&amp;e</desc>"));
    assert_non_null(strstr(text, ">&lt;script&gt;</text>"));
    free(text);
}

static void draw_gaps(FILE *out) {
    const struct svg_at points[] = {{NAN, 1}, {1, 2}, {3, INFINITY}, {4, 5}};
    svg_curve(out, SVG_SOLID, points, COUNT(points));
    svg_line(out, SVG_SOLID, points[0], points[1]);
    svg_circle(out, SVG_SOLID, points[2], 1);
}

static void what_is_no_number_is_left_out(void **state) {
    (void)state;
    char *text = drawn(draw_gaps);
    assert_non_null(strstr(text, "d=\"M1.00 2.00L4.00 5.00\""));
    assert_null(strstr(text, "nan"));
    assert_null(strstr(text, "inf"));
    assert_null(strstr(text, "circle"));
    free(text);
}

/* Told apart without colour: no two lines have the same dashes and width. */
static void draw_lines(FILE *out) {
    for (int line = SVG_SOLID; line <= SVG_GRID; line++) {
        svg_line(out, (enum svg_line)line, (struct svg_at){0, 0}, (struct svg_at){1, 1});
    }
}

static void lines_differ_in_print(void **state) {
    (void)state;
    char *text = drawn(draw_lines);
    char *lines[8] = {0};
    size_t count = 0;
    char *rest = NULL;
    for (char *line = strtok_r(text, "\n", &rest); line != NULL;
         line = strtok_r(NULL, "\n", &rest)) {
        for (size_t i = 0; i < count; i++) {
            assert_string_not_equal(strstr(lines[i], "stroke-width"), strstr(line, "stroke-width"));
        }
        lines[count++] = line;
    }
    assert_int_equal(count, SVG_GRID + 1);
    free(text);
}

static void draw_flat(FILE *out) {
    static const struct plot plot = {
        .title = "t",
        .about = "a",
        .x_name = "x",
        .panels = 1,
        .panel = {{.y_name = "y",
                   .curves = 1,
                   .curve = {{.name = "c", .point = {{0, 0}, {10, 0}}, .points = 2}}}}};
    plot_write(out, &plot);
}

static void a_curve_of_noughts_has_an_axis_too(void **state) {
    (void)state;
    char *text = drawn(draw_flat);
    assert_non_null(strstr(text, ">0.4</text>"));
    assert_non_null(strstr(text, ">-0.4</text>"));
    assert_null(strstr(text, "nan"));
    free(text);
}

/* Three openings, a current that is a little below nought at rest. */
static void draw_counted(FILE *out) {
    static const struct plot plot = {
        .title = "t",
        .about = "a",
        .x_name = "opening",
        .x_step_least = 1,
        .panels = 1,
        .panel = {{.y_name = "y",
                   .curves = 1,
                   .curve = {{.name = "c", .point = {{1, -0.04}, {2, 5}, {3, 4}}, .points = 3}}}}};
    plot_write(out, &plot);
}

static void things_are_counted_whole_and_noise_makes_no_tick(void **state) {
    (void)state;
    char *text = drawn(draw_counted);
    assert_null(strstr(text, ">1.2</text>"));
    assert_null(strstr(text, ">2.5</text>"));
    assert_non_null(strstr(text, ">2</text>"));
    assert_null(strstr(text, ">-1</text>"));
    assert_null(strstr(text, "<circle "));
    free(text);
}

static void draw_one(FILE *out) {
    static const struct plot plot = {
        .title = "t",
        .about = "a",
        .x_name = "opening",
        .x_step_least = 1,
        .panels = 1,
        .panel = {{.y_name = "y",
                   .curves = 1,
                   .curve = {{.name = "c", .point = {{1, 5}}, .points = 1}}}}};
    plot_write(out, &plot);
}

static void one_thing_alone_has_its_tick(void **state) {
    (void)state;
    char *text = drawn(draw_one);
    assert_non_null(strstr(text, ">1</text>"));
    assert_non_null(strstr(text, "<path d=\"M407.00"));   /* the middle */
    assert_non_null(strstr(text, "<circle cx=\"407.00")); /* one point makes no line */
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steps_are_round_and_few),
        cmocka_unit_test(numbers_have_as_many_decimals_as_their_step),
        cmocka_unit_test(names_cannot_break_out_of_their_text),
        cmocka_unit_test(what_is_no_number_is_left_out),
        cmocka_unit_test(lines_differ_in_print),
        cmocka_unit_test(a_curve_of_noughts_has_an_axis_too),
        cmocka_unit_test(things_are_counted_whole_and_noise_makes_no_tick),
        cmocka_unit_test(one_thing_alone_has_its_tick),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
