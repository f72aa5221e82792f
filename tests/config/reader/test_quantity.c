/* Quantities as people write them. Expected values are products of the exact definitions: 1 in =
 * 25.4 mm, 1 lb = 0.45359237 kg (international yard and pound agreement, 1959), g = 9.80665 m/s2
 * (3rd CGPM, 1901). */
#include "config/reader/quantity.h"
#include "support/check.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846

struct reading {
    const char *text;
    enum quantity quantity;
    double value;
};

/* Decimal definitions: the nearest double, not one beside it. */
static const struct reading exact[] = {
    {"7 ft 5 in", QUANTITY_LENGTH, 2.2606},
    {"7ft 5in", QUANTITY_LENGTH, 2.2606},
    {"1/2 in", QUANTITY_LENGTH, 0.0127},
    {"5 1/4 in", QUANTITY_LENGTH, 0.13335},
    {"2 ft 5 1/4 in", QUANTITY_LENGTH, 0.74295},
    {"-7 ft 5 in", QUANTITY_LENGTH, -2.2606},
    {"1 inch", QUANTITY_LENGTH, 0.0254},
    {"12 mm", QUANTITY_LENGTH, 0.012},
    {"  2.3 m  ", QUANTITY_LENGTH, 2.3},
    {"-450 mm", QUANTITY_LENGTH, -0.45},
    {"+1.5e2 cm", QUANTITY_LENGTH, 1.5},
    {".5 m", QUANTITY_LENGTH, 0.5},
    {"5. m", QUANTITY_LENGTH, 5},
    {"31 kg", QUANTITY_MASS, 31},
    {"250 g", QUANTITY_MASS, 0.25},
    {"1 lb", QUANTITY_MASS, 0.45359237},
    {"16 oz", QUANTITY_MASS, 0.45359237},
    {"68 lb 8 oz", QUANTITY_MASS, 31.071077345}, /* 68.5 x 0.45359237 */
    {"250 ms", QUANTITY_TIME, 0.25},
    {"1.5 s", QUANTITY_TIME, 1.5},
    {"10 min", QUANTITY_TIME, 600},
    {"1 h 2 min 3.5 s", QUANTITY_TIME, 3723.5},
    {"20 us", QUANTITY_TIME, 20e-6},
    {"90 days", QUANTITY_TIME, 7776000},
    {"1 day 2 h", QUANTITY_TIME, 93600},
    {"0.3 m/s", QUANTITY_SPEED, 0.3},
    {"30 mph", QUANTITY_SPEED, 13.4112},
    {"36 km/h", QUANTITY_SPEED, 10},
    {"10 in/s", QUANTITY_SPEED, 0.254},
    {"0.3 m/s2", QUANTITY_ACCELERATION, 0.3},
    {"6 N", QUANTITY_FORCE, 6},
    {"2 kgf", QUANTITY_FORCE, 19.6133},
    {"0.28 N m", QUANTITY_TORQUE, 0.28},
    {"0.28 Nm", QUANTITY_TORQUE, 0.28},
    {"28 N cm", QUANTITY_TORQUE, 0.28},
    {"80 kg m2", QUANTITY_INERTIA, 80},
    {"90 g/m", QUANTITY_LINE_WEIGHT, 0.09},
    {"24 V", QUANTITY_VOLTAGE, 24},
    {"1.2 A", QUANTITY_CURRENT, 1.2},
    {"850 mA", QUANTITY_CURRENT, 0.85},
    {"8 %", QUANTITY_RATIO, 0.08},
    {"8%", QUANTITY_RATIO, 0.08},
    {"0.08", QUANTITY_RATIO, 0.08},
    {"25:1", QUANTITY_RATIO, 25},
    {"49:2", QUANTITY_RATIO, 24.5},
    {"1/4", QUANTITY_RATIO, 0.25},
    {"32 DP", QUANTITY_TOOTH_SIZE, 0.00079375}, /* 25.4 mm / 32 */
    {"0.8 mm", QUANTITY_TOOTH_SIZE, 0.0008},
    {"256 KiB", QUANTITY_MEMORY, 262144},
    {"1 MiB", QUANTITY_MEMORY, 1048576},
    {"64 kB", QUANTITY_MEMORY, 64000},
    {"25 degC", QUANTITY_TEMPERATURE, 25},
    {"-40 °C", QUANTITY_TEMPERATURE, -40},
    {"4 K/W", QUANTITY_THERMAL_RESISTANCE, 4},
    {"0.75 mm2", QUANTITY_AREA, 7.5e-7},
    {"1 in2", QUANTITY_AREA, 0.00064516},
    {"60 MPa", QUANTITY_STRESS, 6e7},
    {"200 GPa", QUANTITY_STRESS, 2e11},
};

/* Through pi or gravity: to rounding. */
static const struct reading rounded[] = {
    {"1 psi", QUANTITY_STRESS, 6894.757293168361}, /* lbf/in2 */
    {"75 deg", QUANTITY_ANGLE, 75 * PI / 180},
    {"212 degF", QUANTITY_TEMPERATURE, 100}, /* water boils, 1 atm */
    {"-40 °F", QUANTITY_TEMPERATURE, -40},   /* where both scales meet */
    {"75°", QUANTITY_ANGLE, 75 * PI / 180},
    {"1.25 rad", QUANTITY_ANGLE, 1.25},
    {"2 deg/s", QUANTITY_ROTATION, PI / 90},
    {"16800 rpm", QUANTITY_ROTATION, 16800 * 2 * PI / 60},
    {"0.5 deg/s2", QUANTITY_ANGULAR_ACCELERATION, PI / 360},
    {"0.5 °/s²", QUANTITY_ANGULAR_ACCELERATION, PI / 360},
    /* Ounce-inch, gram-centimetre, pound-inch: products of the exact definitions above. */
    {"1 oz in", QUANTITY_TORQUE, 9.80665 * 0.45359237 / 16 * 0.0254},
    {"1 lb in", QUANTITY_TORQUE, 9.80665 * 0.45359237 * 0.0254},
    {"1 lb ft", QUANTITY_TORQUE, 9.80665 * 0.45359237 * 0.3048},
    {"1 g cm", QUANTITY_TORQUE, 9.80665e-5},
    {"1 kg cm", QUANTITY_TORQUE, 0.0980665},
    {"1 lbf", QUANTITY_FORCE, 9.80665 * 0.45359237},
    {"1 ozf", QUANTITY_FORCE, 9.80665 * 0.45359237 / 16},
    {"1 lb ft2", QUANTITY_INERTIA, 0.45359237 * 0.3048 * 0.3048},
    {"1 lb/ft", QUANTITY_LINE_WEIGHT, 0.45359237 / 0.3048},
    {"1 oz/ft", QUANTITY_LINE_WEIGHT, 0.45359237 / 16 / 0.3048},
};

static void read_or_fail(const struct reading *r, double *value) {
    struct error error = {"", ""};
    if (!quantity_read(r->text, r->quantity, value, &error)) {
        fail_msg("%s: %s", r->text, error.what);
    }
}

static void decimal_units_give_the_nearest_double(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof exact / sizeof exact[0]; i++) {
        double value = NAN;
        read_or_fail(&exact[i], &value);
        if (value != exact[i].value) {
            fail_msg("%s: %.17g, not %.17g", exact[i].text, value, exact[i].value);
        }
    }
}

static void other_units_agree_to_rounding(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof rounded / sizeof rounded[0]; i++) {
        double value = NAN;
        read_or_fail(&rounded[i], &value);
        assert_true(fabs(value / rounded[i].value - 1) < 1e-15);
    }
}

static void nought_alone_needs_no_unit(void **state) {
    (void)state;
    for (unsigned q = 0; q < QUANTITIES; q++) {
        double value = NAN;
        bool is_read = quantity_read(" 0 ", (enum quantity)q, &value, NULL);
        assert_int_equal(is_read, q != QUANTITY_TOOTH_SIZE &&
                                      q != QUANTITY_TEMPERATURE); /* no tooth is that small */
        assert_true(!is_read || value == 0);
        assert_int_equal(quantity_read("0.5", (enum quantity)q, &value, NULL), q == QUANTITY_RATIO);
    }
}

/* RS-540 data sheet, as quoted at chiefdelphi.com/t/2007-motor-specs/75429: 39.48 oz-in is printed
 * beside 278.8 mN.m. */
static void a_published_pair_of_torques_agrees(void **state) {
    (void)state;
    double ounce_inches, newton_metres;
    assert_true(quantity_read("39.48 oz in", QUANTITY_TORQUE, &ounce_inches, NULL));
    assert_true(quantity_read("278.8 mN m", QUANTITY_TORQUE, &newton_metres, NULL));
    assert_true(fabs(ounce_inches / newton_metres - 1) < 1e-4);
}

static const struct {
    const char *text;
    enum quantity quantity;
    const char *words; /* must be in the complaint */
} refused[] = {
    {"75", QUANTITY_ANGLE, "has no unit: an angle is wanted, such as \"75 deg\""},
    {"-3", QUANTITY_LENGTH, "has no unit: a length is wanted"},
    {"7 ft 5", QUANTITY_LENGTH, "has no unit"},
    {"75 deg", QUANTITY_LENGTH, "is an angle: a length is wanted"},
    {"10 m", QUANTITY_TIME, "is a length: a time is wanted"},
    {"12 V", QUANTITY_CURRENT, "is a voltage: a current is wanted"},
    {"5 %", QUANTITY_LENGTH, "is a ratio: a length is wanted"},
    {"3 kgs", QUANTITY_MASS, "did you mean \"kg\"?"},
    {"12 v", QUANTITY_VOLTAGE, "did you mean \"V\"?"},
    {"2 deg/sec", QUANTITY_ROTATION, "did you mean \"deg/s\"?"},
    {"3 furlongs", QUANTITY_LENGTH, "unknown unit \"furlongs\""},
    {"", QUANTITY_LENGTH, "is not a number with a unit"},
    {"   ", QUANTITY_LENGTH, "is not a number with a unit"},
    {"wide", QUANTITY_LENGTH, "is not a number with a unit"},
    {"nan m", QUANTITY_LENGTH, "is not a number with a unit"},
    {"inf m", QUANTITY_LENGTH, "is not a number with a unit"},
    {"-inf m", QUANTITY_LENGTH, "has no number"},
    {"infinity", QUANTITY_RATIO, "is not a number with a unit"},
    {"1e999 m", QUANTITY_LENGTH, "is too large"},
    {"1:0", QUANTITY_RATIO, "nothing to compare with"},
    {"25:1 m", QUANTITY_LENGTH, "unknown unit"},
    {"1/0 in", QUANTITY_LENGTH, "without a denominator"},
    {"1/ in", QUANTITY_LENGTH, "without a denominator"},
    {"5 1/0 in", QUANTITY_LENGTH, "without a denominator"},
    {"0 DP", QUANTITY_TOOTH_SIZE, "is too large"},
    {"0x10 m", QUANTITY_LENGTH, "unknown unit"},
    {"1.2.3 m", QUANTITY_LENGTH, "unknown unit"},
    {"0,3 m/s", QUANTITY_SPEED, "written with a point"},
    {"5 in 7 ft", QUANTITY_LENGTH, "joins in and ft"},
    {"5 in 7 in", QUANTITY_LENGTH, "joins in and in"},
    {"5 m 7 mm", QUANTITY_LENGTH, "joins m and mm"},
    {"7 ft 14 in", QUANTITY_LENGTH, "more in than there are in one ft"},
    {"7 ft -5 in", QUANTITY_LENGTH, "a sign in the middle"},
    {"5 N m m m m m m m m m m m m m m", QUANTITY_TORQUE, "unknown unit"},
};

static void what_cannot_be_read_is_refused_in_words(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        struct error error = {"", ""};
        double value = 12.5;
        bool is_read = quantity_read(refused[i].text, refused[i].quantity, &value, &error);
        if (is_read || strstr(error.what, refused[i].words) == NULL) {
            fail_msg("\"%s\": %s", refused[i].text, is_read ? "was read" : error.what);
        }
        assert_true(value == 12.5);
    }
}

static void how_far_a_value_may_be_off_is_read(void **state) {
    (void)state;
    static const struct {
        const char *text;
        enum quantity quantity;
        double value, spread;
    } rows[] = {
        {"31 kg +- 2 kg", QUANTITY_MASS, 31, 2},
        {"31 kg+-500 g", QUANTITY_MASS, 31, 0.5},
        {"31 kg \xc2\xb1 2 kg", QUANTITY_MASS, 31, 2},
        {"-50 cm +- 10 %", QUANTITY_LENGTH, -0.5, 0.05},
        {"7 ft 5 in +- 1/4 in", QUANTITY_LENGTH, 2.2606, 0.00635},
        {"0.06 +- 0.02", QUANTITY_RATIO, 0.06, 0.02},
        {"85 % +- 5 %", QUANTITY_RATIO, 0.85, 0.05},
        {"31 kg", QUANTITY_MASS, 31, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double value = NAN, spread = NAN;
        struct error error = {"", ""};
        if (!quantity_read_spread(rows[i].text, rows[i].quantity, &value, &spread, &error)) {
            fail_msg("%s: %s", rows[i].text, error.what);
        }
        assert_true(fabs(value - rows[i].value) < 1e-12 && fabs(spread - rows[i].spread) < 1e-12);
    }
    static const char *const wrong[][2] = {{"31 kg +- 2", "has no unit"},
                                           {"31 kg +- -2 kg", "uncertainty below zero"},
                                           {"31 kg +- 2 m", "is a length"},
                                           {"31 kg +- ", "uncertainty"},
                                           {"+- 2 kg", "is not a number"}};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        double value = 12.5, spread;
        struct error error = {"", ""};
        assert_false(quantity_read_spread(wrong[i][0], QUANTITY_MASS, &value, &spread, &error));
        if (strstr(error.what, wrong[i][1]) == NULL) {
            fail_msg("%s: %s", wrong[i][0], error.what);
        }
        assert_true(value == 12.5);
    }
    double value, spread;
    assert_false(quantity_read_spread("32 DP +- 1 DP", QUANTITY_TOOTH_SIZE, &value, &spread, NULL));
    assert_false(quantity_read("31 kg +- 2 kg", QUANTITY_MASS, &value, NULL)); /* not everywhere */
}

static void what_is_written_reads_back(void **state) {
    (void)state;
    for (int q = 0; q < QUANTITIES; q++) {
        char text[64];
        double value = NAN;
        quantity_write(0.1234567890123, (enum quantity)q, text, sizeof text);
        if (!quantity_read(text, (enum quantity)q, &value, NULL)) {
            fail_msg("%s: not read", text);
        }
        assert_true(fabs(value / 0.1234567890123 - 1) < 1e-15);
    }
}

static void every_unit_reads_back_and_every_example_is_right(void **state) {
    (void)state;
    for (int q = 0; q < QUANTITIES; q++) {
        double value = NAN;
        assert_true(
            quantity_read(quantity_example((enum quantity)q), (enum quantity)q, &value, NULL));
        for (size_t i = 0; quantity_unit((enum quantity)q, i) != NULL; i++) {
            char text[40];
            snprintf(text, sizeof text, "1 %s", quantity_unit((enum quantity)q, i));
            assert_true(quantity_read(text, (enum quantity)q, &value, NULL));
            assert_true(value > 0 || (q == QUANTITY_TEMPERATURE && isfinite(value)));
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nought_alone_needs_no_unit),
        cmocka_unit_test(decimal_units_give_the_nearest_double),
        cmocka_unit_test(other_units_agree_to_rounding),
        cmocka_unit_test(a_published_pair_of_torques_agrees),
        cmocka_unit_test(what_cannot_be_read_is_refused_in_words),
        cmocka_unit_test(how_far_a_value_may_be_off_is_read),
        cmocka_unit_test(what_is_written_reads_back),
        cmocka_unit_test(every_unit_reads_back_and_every_example_is_right),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
