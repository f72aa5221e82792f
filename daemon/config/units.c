#include "config/units.h"

struct tally {
    unsigned metric[QUANTITIES], customary[QUANTITIES];
};

static void count(void *context, const struct field_quantity *quantity) {
    struct tally *tally = context;
    bool is_customary = quantity_is_customary(quantity->text, quantity->quantity);
    (is_customary ? tally->customary : tally->metric)[quantity->quantity]++;
}

void units_of(const struct object *object, cJSON *json, struct units *units) {
    /* In an order in which what is followed has been decided. */
    static const struct {
        enum quantity follower, followed;
    } followers[] = {{QUANTITY_FORCE, QUANTITY_MASS},         {QUANTITY_TORQUE, QUANTITY_FORCE},
                     {QUANTITY_INERTIA, QUANTITY_MASS},       {QUANTITY_LINE_WEIGHT, QUANTITY_MASS},
                     {QUANTITY_STRESS, QUANTITY_FORCE},       {QUANTITY_SPEED, QUANTITY_LENGTH},
                     {QUANTITY_ACCELERATION, QUANTITY_LENGTH}};
    struct tally tally = {{0}, {0}};
    fields_each_quantity(object, json, NULL, count, &tally);
    for (size_t i = 0; i < QUANTITIES; i++) {
        units->is_customary[i] = tally.customary[i] > tally.metric[i];
    }
    for (size_t i = 0; i < sizeof followers / sizeof followers[0]; i++) {
        enum quantity follower = followers[i].follower;
        if (tally.customary[follower] + tally.metric[follower] == 0) {
            units->is_customary[follower] = units->is_customary[followers[i].followed];
        }
    }
}

/* Exact: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g = 9.80665 m/s2 (quantity.h). */
static const double inch_m = 0.0254, pound_kg = 0.45359237, gravity = 9.80665;

struct units_unit units_unit(const struct units *units, enum units_shown shown) {
    const double foot_m = 12 * inch_m, pound_n = pound_kg * gravity;
    const struct {
        enum quantity of;
        struct units_unit metric, customary;
    } rows[UNITS_SHOWN] = {
        [UNITS_LENGTH] = {QUANTITY_LENGTH, {"mm", 1000}, {"in", 1 / inch_m}},
        [UNITS_DISTANCE] = {QUANTITY_LENGTH, {"m", 1}, {"ft", 1 / foot_m}},
        [UNITS_MASS] = {QUANTITY_MASS, {"kg", 1}, {"lb", 1 / pound_kg}},
        [UNITS_FORCE] = {QUANTITY_FORCE, {"N", 1}, {"lbf", 1 / pound_n}},
        [UNITS_MOMENT] = {QUANTITY_TORQUE, {"N m", 1}, {"lb ft", 1 / (pound_n * foot_m)}},
        [UNITS_MOTOR_TORQUE] = {QUANTITY_TORQUE,
                                {"mN m", 1000},
                                {"oz in", 16 / (pound_n * inch_m)}},
        [UNITS_INERTIA] = {QUANTITY_INERTIA,
                           {"kg m2", 1},
                           {"lb ft2", 1 / (pound_kg * foot_m * foot_m)}},
        [UNITS_STRESS] = {QUANTITY_STRESS, {"MPa", 1e-6}, {"psi", inch_m * inch_m / pound_n}},
        [UNITS_SPEED] = {QUANTITY_SPEED, {"m/s", 1}, {"ft/s", 1 / foot_m}},
    };
    return units->is_customary[rows[shown].of] ? rows[shown].customary : rows[shown].metric;
}
