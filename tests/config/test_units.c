/* Which units a configuration is written in, and what reports then show. */
#include "config/tables/tables.h"
#include "config/units.h"
#include "support/check.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static struct units units_in(const char *text) {
    struct units units;
    cJSON *json = cJSON_Parse(text);
    assert_non_null(json);
    units_of(&tables_config, json, &units);
    cJSON_Delete(json);
    return units;
}

#define LEAF(inside) "{\"bridges\": [{\"leaf\": {" inside "}}]}"

static void each_quantity_has_the_units_that_it_is_mostly_written_in(void **state) {
    (void)state;
    struct units units = units_in(
        LEAF("\"masses\": [{\"mass\": \"48 lb 8 oz\", \"at\": [\"4 ft\", \"20 mm\"]},"
             "{\"mass\": \"3 kg\", \"at\": [\"1 m\", \"20 mm\"]}, {\"mass\": \"5 1/4 oz\"}]"));
    assert_true(units.is_customary[QUANTITY_MASS]);
    assert_false(units.is_customary[QUANTITY_LENGTH]);
    units = units_in(LEAF("\"toe\": \"7 ft\", \"masses\": [{\"mass\": \"3 kg\"},"
                          "{\"mass\": \"3 lb\"}], \"friction\": \"12 oz in\""));
    assert_true(units.is_customary[QUANTITY_LENGTH]);
    assert_true(units.is_customary[QUANTITY_TORQUE]);
    assert_false(units.is_customary[QUANTITY_MASS]); /* even */
}

static void what_is_not_written_goes_with_what_is(void **state) {
    (void)state;
    struct units units = units_in(LEAF("\"toe\": \"2 m\", \"masses\": [{\"mass\": \"3 lb\"}]"));
    static const enum quantity with_masses[] = {QUANTITY_FORCE, QUANTITY_TORQUE, QUANTITY_INERTIA,
                                                QUANTITY_LINE_WEIGHT, QUANTITY_STRESS};
    for (size_t i = 0; i < 5; i++) {
        assert_true(units.is_customary[with_masses[i]]);
    }
    assert_false(units.is_customary[QUANTITY_SPEED]);
    units = units_in(LEAF("\"masses\": [{\"mass\": \"3 lb\"}], \"friction\": \"3 N m\""));
    assert_false(units.is_customary[QUANTITY_TORQUE]);
    units = units_in("{\"bridges\": [{\"drive\": {\"pinion\": {\"strength\": \"9000 psi\"}},"
                     "\"motor\": {\"heat\": {\"air\": \"77 degF\"}}}]}");
    assert_true(units.is_customary[QUANTITY_STRESS]);
    assert_true(units.is_customary[QUANTITY_TEMPERATURE]);
    assert_false(units.is_customary[QUANTITY_FORCE]);
    units = units_in("{}");
    for (size_t i = 0; i < QUANTITIES; i++) {
        assert_false(units.is_customary[i]);
    }
}

/* One of each as a text, read back: the unit that is shown is the one that is read. */
static void shown_units_are_those_that_are_read(void **state) {
    (void)state;
    static const enum quantity of[UNITS_SHOWN] = {
        [UNITS_LENGTH] = QUANTITY_LENGTH,   [UNITS_DISTANCE] = QUANTITY_LENGTH,
        [UNITS_MASS] = QUANTITY_MASS,       [UNITS_FORCE] = QUANTITY_FORCE,
        [UNITS_MOMENT] = QUANTITY_TORQUE,   [UNITS_MOTOR_TORQUE] = QUANTITY_TORQUE,
        [UNITS_INERTIA] = QUANTITY_INERTIA, [UNITS_SPEED] = QUANTITY_SPEED,
        [UNITS_STRESS] = QUANTITY_STRESS,
    };
    struct units customary;
    memset(&customary, true, sizeof customary);
    for (int i = 0; i < UNITS_SHOWN; i++) {
        for (int is_customary = 0; is_customary <= 1; is_customary++) {
            struct units units = {{false}};
            struct units_unit unit =
                units_unit(is_customary ? &customary : &units, (enum units_shown)i);
            char text[32];
            double value = 0;
            snprintf(text, sizeof text, "1 %s", unit.name);
            assert_true(quantity_read(text, of[i], &value, NULL));
            assert_true(fabs(value * unit.per_si - 1) < 1e-12);
            assert_int_equal(quantity_is_customary(text, of[i]), is_customary);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_quantity_has_the_units_that_it_is_mostly_written_in),
        cmocka_unit_test(what_is_not_written_goes_with_what_is),
        cmocka_unit_test(shown_units_are_those_that_are_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
