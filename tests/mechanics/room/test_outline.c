#include "mechanics/lift/lift.h"
#include "mechanics/number.h"
#include "mechanics/room/outline.h"
#include "support/check.h"
#include "support/core/bad_numbers.h"
#include "support/mechanics/examples.h"

#include <math.h>

static const struct outline_room no_bounds = {
    .ceiling_m = INFINITY, .floor_m = -INFINITY, .wall_x_m = -INFINITY};

static void take_points(struct example *example, const char *const *names, struct point *points,
                        size_t count) {
    for (size_t i = 0; i < count; i++) {
        double xy[2];
        assert_int_equal(example_in_list(example, names[i], xy, 2), 2);
        points[i] = (struct point){xy[0], xy[1]};
    }
}

static void ceiling(struct example *example) {
    static const char *const names[] = {"toe_deck", "toe_top", "hip"};
    struct outline_room room = no_bounds;
    room.axis_height_m = example_in(example, "trunnion_height");
    room.ceiling_m = example_in(example, "ceiling");
    double travel = example_in(example, "theta_max");
    struct point points[3];
    take_points(example, names, points, 3);
    double end[3], highest[3], at[3];
    for (size_t i = 0; i < 3; i++) {
        struct outline_extreme top = outline_highest(&room, points[i], travel);
        end[i] = room.axis_height_m + point_turned(points[i], travel).y_m;
        highest[i] = top.value_m;
        at[i] = top.at_rad;
    }
    struct outline_clearance clearance = outline_clearance(&room, points, 3, travel);
    example_out_list(example, "height_at_theta_max", end, 3);
    example_out_list(example, "max_height", highest, 3);
    example_out_list(example, "theta_of_max", at, 3);
    example_out(example, "clearance", clearance.above_m);
    assert_int_equal(clearance.above_point, 0);
    assert_true(isinf(clearance.below_m) && isinf(clearance.behind_m));
}

static void floor_and_wall(struct example *example) {
    static const char *const names[] = {"low_back", "high_back", "low_front", "high_front"};
    struct outline_room room = no_bounds;
    room.axis_height_m = example_in(example, "trunnion_height_above_floor");
    room.floor_m = 0;
    room.wall_x_m = example_in(example, "rear_wall_x");
    double travel = example_in(example, "theta_max");
    struct point points[4];
    take_points(example, names, points, 4);
    double rear[4], lowest[4];
    for (size_t i = 0; i < 4; i++) {
        rear[i] = outline_rearmost(&room, points[i], travel).value_m;
        lowest[i] = outline_lowest(&room, points[i], travel).value_m - room.axis_height_m;
    }
    struct outline_clearance clearance = outline_clearance(&room, points, 4, travel);
    example_out_list(example, "x_min", rear, 4);
    example_out_list(example, "y_min", lowest, 4);
    example_out(example, "clear_behind", clearance.behind_m);
    example_out(example, "clear_below", clearance.below_m);
    assert_int_equal(clearance.behind_point, 1);
    assert_int_equal(clearance.below_point, 0);
}

static void lift_and_counterweight(struct example *example) {
    static const char *const names[] = {"span_foot", "span_top", "weight_top", "weight_foot"};
    struct outline_room room = no_bounds;
    room.axis_height_m = example_in(example, "axis_height");
    room.ceiling_m = example_in(example, "ceiling");
    room.floor_m = example_in(example, "floor");
    room.wall_x_m = example_in(example, "wall_x");
    double rise = example_in(example, "rise");
    struct point points[4];
    take_points(example, names, points, 4);
    struct outline_clearance span = outline_lifted_clearance(&room, points, 2, rise);
    struct outline_clearance weight = outline_lifted_clearance(&room, points + 2, 2, -rise);
    example_out(example, "span_above", span.above_m);
    example_out(example, "span_below", span.below_m);
    example_out(example, "span_behind", span.behind_m);
    example_out(example, "weight_above", weight.above_m);
    example_out(example, "weight_below", weight.below_m);
    example_out(example, "weight_behind", weight.behind_m);
    assert_int_equal(span.above_point, 1);
    assert_int_equal(weight.below_point, 1);
    assert_int_equal(weight.behind_point, 0);
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {
        {"G8", ceiling}, {"G9", floor_and_wall}, {"G10", lift_and_counterweight}};
    examples_run("outline", tests, 3);
}

static const struct point around[] = {{2.4, 0.1},  {0.3, 0.6},   {-0.5, 0.3},  {-0.5, -0.3},
                                      {0.2, -0.6}, {-0.05, 0.1}, {-0.9, -0.1}, {0, 0}};

/* The same found by brute force: 4000 small steps. */
static void extremes_agree_with_small_steps(void **state) {
    (void)state;
    static const double radii[] = {0, 0.4};
    for (size_t r = 0; r < 2; r++) {
        struct outline_room room = no_bounds;
        room.roll_radius_m = radii[r];
        struct lift_rolling rolling = {.radius_m = radii[r]};
        double travel = 1.4;
        for (size_t i = 0; i < sizeof around / sizeof around[0]; i++) {
            double top = -INFINITY, bottom = INFINITY, rear = INFINITY;
            for (int step = 0; step <= 4000; step++) {
                struct point p = lift_rolling_point(&rolling, around[i], travel * step / 4000);
                top = fmax(top, p.y_m);
                bottom = fmin(bottom, p.y_m);
                rear = fmin(rear, p.x_m);
            }
            assert_true(fabs(outline_highest(&room, around[i], travel).value_m - top) < 1e-6);
            assert_true(fabs(outline_lowest(&room, around[i], travel).value_m - bottom) < 1e-6);
            assert_true(fabs(outline_rearmost(&room, around[i], travel).value_m - rear) < 1e-6);
        }
    }
}

struct case_of {
    struct outline_room room;
    struct point point;
    double travel_rad;
};

/* The same bridge on a shelf, all heights 0.9 m up: the gaps stay. */
static void clearances_do_not_depend_on_where_heights_begin(void **state) {
    (void)state;
    struct outline_room low = {0.75, 0, 3, 0, -1}, high = {1.65, 0, 3.9, 0.9, -1};
    size_t count = sizeof around / sizeof around[0];
    struct outline_clearance below = outline_clearance(&low, around, count, 1.4);
    struct outline_clearance above = outline_clearance(&high, around, count, 1.4);
    assert_true(fabs(below.above_m - above.above_m) < 1e-12);
    assert_true(fabs(below.below_m - above.below_m) < 1e-12);
    assert_true(fabs(below.behind_m - above.behind_m) < 1e-12);
}

static const char *check(const void *what) {
    const struct case_of *c = what;
    return outline_check(&c->room, &c->point, 1, c->travel_rad);
}

static void bad_numbers_are_refused(void **state) {
    (void)state;
    struct case_of c = {{1, 0.4, 3, 0, -1}, {1, 0.1}, 1.2};
    bad_numbers_refused(&c.room.axis_height_m, NOT_FINITE, check, &c);
    bad_numbers_refused(&c.room.roll_radius_m, NEGATIVE, check, &c);
    bad_numbers_refused(&c.point.x_m, NOT_FINITE, check, &c);
    bad_numbers_refused(&c.point.y_m, NOT_FINITE, check, &c);
    bad_numbers_refused(&c.travel_rad, NOT_ABOVE_ZERO, check, &c);
    bad_numbers_said(outline_check(&c.room, &c.point, 0, 1), "at least one point");
    c.room.ceiling_m = NAN;
    bad_numbers_said(check(&c), "must be numbers");
    c.room.ceiling_m = -INFINITY;
    bad_numbers_said(check(&c), "must be numbers");
    c.room.ceiling_m = INFINITY;
    c.room.floor_m = INFINITY;
    bad_numbers_said(check(&c), "must be numbers");
    c.room.floor_m = -INFINITY;
    c.room.wall_x_m = NAN;
    bad_numbers_said(check(&c), "must be numbers");
    c.room.wall_x_m = -INFINITY;
    c.travel_rad = 2 * NUMBER_PI;
    bad_numbers_said(check(&c), "less than a turn");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(extremes_agree_with_small_steps),
        cmocka_unit_test(clearances_do_not_depend_on_where_heights_begin),
        cmocka_unit_test(bad_numbers_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
