#include "mechanics/balance/slides.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static const double seat_share = 1000;

static struct slide slide_in(struct example *example, const char *name, double step_m) {
    double n[5];
    assert_int_equal(example_in_list(example, name, n, 5), 5);
    return (struct slide){n[0], {n[1], n[2]}, {n[3], n[4]}, step_m};
}

static void along_rails(struct example *example) {
    enum { CASES = 3 };
    double wanted[2], x[CASES], y[CASES], one[CASES], two[CASES], sx[CASES], sy[CASES];
    const struct slide slides[] = {slide_in(example, "rail_one", 0),
                                   slide_in(example, "rail_two", 0)};
    const double now[] = {0.2, 0.1};
    example_in_list(example, "wanted", wanted, 2);
    example_in_list(example, "base_x", x, CASES);
    example_in_list(example, "base_y", y, CASES);
    for (int i = 0; i < CASES; i++) {
        const struct slides_aim aim = {x[i], y[i], wanted[0], wanted[1], seat_share};
        struct slides_answer answer = slides_search(slides, 2, now, &aim);
        one[i] = answer.place_m[0];
        two[i] = answer.place_m[1];
        sx[i] = answer.sx_kg_m;
        sy[i] = answer.sy_kg_m;
    }
    example_out_list(example, "place_one", one, CASES);
    example_out_list(example, "place_two", two, CASES);
    example_out_list(example, "Sx", sx, CASES);
    example_out_list(example, "Sy", sy, CASES);
}

static void in_rows(struct example *example) {
    double wanted[2], step = example_in(example, "step");
    const double now[] = {0.2, 0.1};
    example_in_list(example, "wanted", wanted, 2);
    const struct slides_aim aim = {example_in(example, "base_x"), example_in(example, "base_y"),
                                   wanted[0], wanted[1], seat_share};
    struct slide slides[] = {slide_in(example, "rail_one", step), slide_in(example, "rail_two", 0)};
    struct slides_answer answer = slides_search(slides, 2, now, &aim);
    example_out(example, "row", answer.place_m[0]);
    example_out(example, "rail", answer.place_m[1]);
    example_out(example, "row_rail_Sx", answer.sx_kg_m);
    slides[1].step_m = step;
    answer = slides_search(slides, 2, now, &aim);
    example_out_list(example, "rows", answer.place_m, 2);
    example_out(example, "rows_Sx", answer.sx_kg_m);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {{"SL1", along_rails}, {"SL2", in_rows}};
    examples_run("slides", tests, 2);
}

/* Of two alike on one line either would do: the one that moves alone is told. */
static void as_few_weights_as_need_be_are_moved(void **state) {
    (void)state;
    const struct slide slides[] = {{2, {-0.5, 0}, {-0.1, 0}, 0}, {2, {-0.5, 0}, {-0.1, 0}, 0}};
    const double now[] = {0.1, 0.3};
    const struct slides_aim aim = {2, 0, 2 - 2 * 0.4 - 2 * 0.3, 0, seat_share};
    struct slides_answer answer = slides_search(slides, 2, now, &aim);
    bool moves_first = fabs(answer.place_m[0] - now[0]) > 1e-9;
    bool moves_second = fabs(answer.place_m[1] - now[1]) > 1e-9;
    assert_true(moves_first != moves_second);
    assert_true(fabs(answer.sx_kg_m - aim.sx_kg_m) < 1e-12);
    /* What is right already stays where it is. */
    const struct slides_aim good = {2, 0, 2 - 2 * 0.4 - 2 * 0.2, 0, seat_share};
    answer = slides_search(slides, 2, now, &good);
    assert_true(answer.place_m[0] == now[0] && answer.place_m[1] == now[1]);
}

static void places_of_a_row_are_whole_steps(void **state) {
    (void)state;
    const struct slide row = {1, {0, 0}, {0.32, 0}, 0.1};
    assert_true(fabs(slides_nearest_m(&row, 0.26) - 0.3) < 1e-12);
    assert_true(fabs(slides_nearest_m(&row, 5) - 0.3) < 1e-12);
    assert_true(slides_nearest_m(&row, -1) == 0);
    const struct slide rail = {1, {0, 0}, {0.32, 0}, 0};
    assert_true(slides_nearest_m(&rail, 0.26) == 0.26 && slides_nearest_m(&rail, 5) == 0.32);
}

static const char *check(const void *what) {
    return slides_check(what, 1);
}

static void bad_numbers_are_refused(void **state) {
    (void)state;
    struct slide slide = {1, {0, 0}, {0.3, 0}, 0};
    bad_numbers_refused(&slide.mass_kg, NOT_ABOVE_ZERO, check, &slide);
    bad_numbers_refused(&slide.from.x_m, NOT_FINITE, check, &slide);
    bad_numbers_refused(&slide.to.y_m, NOT_FINITE, check, &slide);
    bad_numbers_refused(&slide.step_m, NEGATIVE, check, &slide);
    slide.step_m = 0.003;
    bad_numbers_said(check(&slide), "40 places");
    slide.to = slide.from;
    bad_numbers_said(check(&slide), "from one place to another");
    assert_non_null(slides_check(&slide, SLIDES_MAX + 1));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(as_few_weights_as_need_be_are_moved),
        cmocka_unit_test(places_of_a_row_are_whole_steps),
        cmocka_unit_test(bad_numbers_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
