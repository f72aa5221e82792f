/* Teeth, axis and seats, by values worked out in another way each. */
#include "mechanics/loads/axis.h"
#include "mechanics/loads/seats.h"
#include "mechanics/loads/tooth.h"
#include "support/check.h"
#include "support/mechanics/examples.h"

#include <math.h>

enum { LIST = 16 };

static void stress(struct example *example) {
    double teeth[LIST], stress_pa[LIST];
    size_t count = example_in_list(example, "N", teeth, LIST);
    double force_n = example_in(example, "F"), face_m = example_in(example, "b");
    double module_m = example_in(example, "m");
    for (size_t i = 0; i < count; i++) {
        stress_pa[i] = tooth_stress_pa(force_n, face_m, module_m, (unsigned)teeth[i]);
        double back_n = tooth_force_n(stress_pa[i], face_m, module_m, (unsigned)teeth[i]);
        assert_true(fabs(back_n - force_n) < 1e-9 * force_n);
    }
    example_out_list(example, "stress", stress_pa, count);
}

static struct point place_in(struct example *example, const char *name) {
    double place[2];
    assert_int_equal(example_in_list(example, name, place, 2), 2);
    return (struct point){place[0], place[1]};
}

static void strut_axis(struct example *example) {
    double at[LIST], leaf[3], rack_n[LIST], axis_n[LIST];
    size_t count = example_in_list(example, "theta", at, LIST);
    struct chain chain = {.lift = {.kind = LIFT_STRUT, .travel = at[count - 1]},
                          .friction_running = example_in(example, "friction")};
    assert_int_equal(example_in_list(example, "leaf", leaf, 3), 3);
    const struct balance_item item = {.mass_kg = leaf[0], .at = {leaf[1], leaf[2]}};
    assert_null(balance_of_items(LIFT_STRUT, 0, &item, 1, &chain.balance));
    chain.lift.strut.pin = place_in(example, "pin");
    chain.lift.strut.pinion = place_in(example, "pinion");
    for (size_t i = 0; i < count; i++) {
        const struct chain_move move = {at[i], CHAIN_UP, CHAIN_MOST, 0};
        rack_n[i] = axis_rack_n(&chain, &move);
        axis_n[i] = axis_load_n(&chain, &move);
    }
    example_out_list(example, "rack", rack_n, count);
    example_out_list(example, "axis", axis_n, count);
}

static void seats(struct example *example) {
    struct point rail = place_in(example, "rail");
    double toe_m = example_in(example, "toe");
    const struct seats_train train = {example_in(example, "mass"), example_in(example, "length"),
                                      rail.x_m, rail.y_m};
    example_out(example, "toe_most", seats_toe_most_n(&train, toe_m));
    example_out(example, "toe_least", seats_toe_least_n(&train, toe_m));
    example_out(example, "axis_most", seats_axis_most_n(&train, toe_m));
}

static void worked_examples_hold(void **state) {
    (void)state;
    static const struct example_test tests[] = {
        {"L2", stress}, {"L3", strut_axis}, {"L4", seats}, {"L5", seats}, {"L6", seats}};
    examples_run("loads", tests, 5);
}

/* The table is from memory: held against the geometry of 20 degree full-depth teeth of the old
 * standard, dedendum 1.157 modules (form() in tests/mechanics/second_way/loads.py), to 5 %. */
static void form_is_that_of_such_a_tooth(void **state) {
    (void)state;
    static const struct {
        unsigned teeth;
        double form;
    } made[] = {{10, 0.2102}, {12, 0.2416}, {14, 0.2663}, {16, 0.2862},  {18, 0.3025},
                {20, 0.3162}, {24, 0.3379}, {28, 0.3543}, {30, 0.3611},  {38, 0.3819},
                {50, 0.4020}, {60, 0.4131}, {75, 0.4246}, {100, 0.4367}, {150, 0.4493}};
    for (size_t i = 0; i < sizeof made / sizeof made[0]; i++) {
        assert_true(fabs(tooth_form(made[i].teeth) / made[i].form - 1) < 0.05);
    }
}

static void form_grows_with_the_teeth(void **state) {
    (void)state;
    for (unsigned teeth = 6; teeth < 400; teeth++) {
        assert_true(tooth_form(teeth + 1) >= tooth_form(teeth));
    }
    assert_true(tooth_form(400) == 0.472);
}

/* What a lift does not tell is never below what it tells. */
static void a_sector_is_held_by_an_upper_bound(void **state) {
    (void)state;
    struct chain chain = {.lift = {.kind = LIFT_SECTOR, .travel = 1, .rack_radius_m = 0.3}};
    const struct balance_item item = {.mass_kg = 10, .at = {0.5, 0}};
    assert_null(balance_of_items(LIFT_SECTOR, 0, &item, 1, &chain.balance));
    const struct chain_move move = {0, CHAIN_UP, CHAIN_MOST, 0};
    double weight_n = 10 * 9.80665, rack_n = weight_n * 0.5 / 0.3;
    assert_true(fabs(axis_load_n(&chain, &move) - weight_n - rack_n) < 1e-9);
    chain.lift.kind = LIFT_SWING;
    assert_true(axis_load_n(&chain, &move) < weight_n + rack_n);
}

/* Gravity closes with 10 kg x 9.80665 x 0.5 m: the rack holds back what friction does not. */
static void gravity_helps_on_the_way_down(void **state) {
    (void)state;
    struct chain chain = {.lift = {.kind = LIFT_SECTOR, .travel = 1, .rack_radius_m = 0.3},
                          .friction_running = 4};
    const struct balance_item item = {.mass_kg = 10, .at = {0.5, 0}};
    assert_null(balance_of_items(LIFT_SECTOR, 0, &item, 1, &chain.balance));
    const struct chain_move move = {0, CHAIN_DOWN, CHAIN_MOST, 0};
    assert_true(fabs(axis_rack_n(&chain, &move) - (4 - 49.03325) / 0.3) < 1e-9);
}

/* 500 N on two bearings of 10 x 20 mm: 1.25 MPa; with mu 0.15: 0.375 N m. */
static void bearings_are_loaded_by_their_area(void **state) {
    (void)state;
    const struct axis_bearings bearings = {2, 0.01, 0.02, 1e7, 0.15};
    assert_true(fabs(axis_pressure_pa(&bearings, 500) - 1.25e6) < 1e-6);
    assert_true(fabs(axis_friction_n_m(&bearings, 500) - 0.375) < 1e-12);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples_hold),
        cmocka_unit_test(form_is_that_of_such_a_tooth),
        cmocka_unit_test(form_grows_with_the_teeth),
        cmocka_unit_test(a_sector_is_held_by_an_upper_bound),
        cmocka_unit_test(gravity_helps_on_the_way_down),
        cmocka_unit_test(bearings_are_loaded_by_their_area),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
