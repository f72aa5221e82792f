#include "tools/drawtender/describe/worked_out.h"

#include "mechanics/number.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define GRAVITY 9.80665       /* 3rd CGPM, 1901 */
#define DRY_FRICTION 0.3      /* of a dry plain bearing, on the high side (from memory) */
#define SHEAVES_FRICTION 0.04 /* of all that hangs on ropes (a judgement, no source) */
#define THIN_WORM_MODULES                                                                          \
    8                        /* pitch diameter by module, of the thinnest usual worm (from memory) \
                              */
#define PIVOT_RADIUS_M 0.010 /* of a swing span's pivot, assumed */

static double number(const struct answers *answers, enum question_id id) {
    return answers_number(answers, id);
}

double worked_out_centre_m(const struct answers *answers) {
    double length_m = number(answers, Q_LENGTH);
    if (answers_is(answers, Q_TIP_READING, "half")) {
        return length_m / 2;
    }
    return number(answers, Q_TIP_READING) * length_m / number(answers, Q_MASS);
}

double worked_out_counterweight_kg(const struct answers *answers) {
    if (!answers_is(answers, Q_COUNTERWEIGHT, "?")) {
        return number(answers, Q_COUNTERWEIGHT);
    }
    double moment_kg_m = number(answers, Q_MASS) * worked_out_centre_m(answers) -
                         number(answers, Q_SEAT_READING) * number(answers, Q_LENGTH);
    return moment_kg_m / number(answers, Q_COUNTERWEIGHT_BACK);
}

/* All that rests on the axis, or hangs on the ropes. */
static double weight_n(const struct answers *answers) {
    double counterweight_kg = worked_out_counterweight_kg(answers);
    return GRAVITY * (number(answers, Q_MASS) + (isnan(counterweight_kg) ? 0 : counterweight_kg));
}

bool worked_out_friction_is_guess(const struct answers *answers) {
    return answers_is(answers, Q_PULL_UP, "?") || answers_is(answers, Q_LIFT_UP, "?") ||
           answers_is(answers, Q_PUSH, "?");
}

double worked_out_friction(const struct answers *answers) {
    double length_m = number(answers, Q_LENGTH);
    if (answers_is(answers, Q_PULL_UP, "?")) {
        return DRY_FRICTION * weight_n(answers) * number(answers, Q_SHAFT) / 2;
    }
    if (answers_is(answers, Q_LIFT_UP, "?")) {
        return SHEAVES_FRICTION * weight_n(answers);
    }
    if (answers_is(answers, Q_PUSH, "?")) {
        return DRY_FRICTION * weight_n(answers) * PIVOT_RADIUS_M;
    }
    if (answers_ask(answers, Q_PUSH)) {
        return number(answers, Q_PUSH) * length_m;
    }
    if (answers_ask(answers, Q_LIFT_UP)) {
        return (number(answers, Q_LIFT_UP) - number(answers, Q_LIFT_DOWN)) / 2;
    }
    return (number(answers, Q_PULL_UP) - number(answers, Q_PULL_DOWN)) / 2 * length_m;
}

double worked_out_module_m(const struct answers *answers) {
    if (!answers_is(answers, Q_TOOTH_SIZE, "?")) {
        return number(answers, Q_TOOTH_SIZE);
    }
    return number(answers, Q_PINION_DIAMETER) / (number(answers, Q_PINION_TEETH) + 2);
}

/* "12/48 10/40": 16. */
static double teeth_ratio(const char *pairs) {
    double ratio = pairs != NULL && pairs[0] != '\0' ? 1 : NAN;
    while (pairs != NULL && *pairs != '\0') {
        char *end;
        double driver = (double)strtol(pairs, &end, 10);
        double driven = *end == '/' ? (double)strtol(end + 1, &end, 10) : NAN;
        ratio *= driver > 0 && driven > 0 && (*end == ' ' || *end == '\0') ? driven / driver : NAN;
        pairs = isnan(ratio) ? NULL : end + strspn(end, " ");
    }
    return ratio;
}

static bool has_worm(const struct answers *answers) {
    return answers_is(answers, Q_WORM, "yes");
}

/* Of the whole, where that was counted, a wheel that is guessed has no more than all of it. */
double worked_out_worm(const struct answers *answers) {
    if (!answers_is(answers, Q_WORM_RATIO, "?")) {
        return number(answers, Q_WORM_RATIO);
    }
    double ratio = number(answers, Q_WORM_WHEEL) / number(answers, Q_WORM_STARTS);
    bool is_guess = answers_is_assumed(answers, Q_WORM_WHEEL);
    return is_guess ? fmin(ratio, number(answers, Q_GEARBOX)) : ratio;
}

double worked_out_gearbox(const struct answers *answers) {
    if (answers_is(answers, Q_GEARBOX, "?")) {
        return teeth_ratio(answers_value(answers, Q_GEAR_TEETH));
    }
    double ratio = number(answers, Q_GEARBOX);
    return has_worm(answers) ? ratio / worked_out_worm(answers) : ratio;
}

static double all_gears(const struct answers *answers) {
    return worked_out_gearbox(answers) * (has_worm(answers) ? worked_out_worm(answers) : 1);
}

double worked_out_lead_rad(const struct answers *answers) {
    if (!answers_is(answers, Q_LEAD_ANGLE, "?")) {
        return number(answers, Q_LEAD_ANGLE);
    }
    if (answers_is(answers, Q_WORM_DIAMETER, "steep")) {
        return atan(number(answers, Q_WORM_STARTS) / THIN_WORM_MODULES);
    }
    double step_m = number(answers, Q_WORM_STEP);
    double pitch_m = number(answers, Q_WORM_DIAMETER) - 2 * step_m / NUMBER_PI;
    double lead_rad = atan(number(answers, Q_WORM_STARTS) * step_m / (NUMBER_PI * pitch_m));
    return pitch_m > 0 ? lead_rad : NAN;
}

static bool from_sheet(const struct answers *answers, struct motor_sheet *sheet) {
    *sheet = (struct motor_sheet){.voltage_v = number(answers, Q_MOTOR_VOLTAGE),
                                  .no_load_rad_s = number(answers, Q_FREE_SPEED),
                                  .no_load_a = number(answers, Q_FREE_CURRENT),
                                  .stall_n_m = number(answers, Q_STALL_TORQUE),
                                  .stall_a = number(answers, Q_STALL_CURRENT)};
    return !isnan(sheet->voltage_v + sheet->no_load_rad_s + sheet->no_load_a + sheet->stall_n_m +
                  sheet->stall_a);
}

static bool from_runs(const struct answers *answers, struct motor_sheet *sheet) {
    double voltage_v = number(answers, Q_RUN_VOLTAGE);
    double free_a = number(answers, Q_RUN_CURRENT);
    double speed_rad_s = answers_is(answers, Q_RUN_SPEED, "?")
                             ? number(answers, Q_RUN_TURNS) * all_gears(answers)
                             : number(answers, Q_RUN_SPEED);
    double resistance_ohm = number(answers, Q_HELD_VOLTAGE) / number(answers, Q_HELD_CURRENT);
    double ke_v_s = (voltage_v - free_a * resistance_ohm) / speed_rad_s;
    double stall_a = voltage_v / resistance_ohm;
    *sheet = (struct motor_sheet){.voltage_v = voltage_v,
                                  .no_load_rad_s = speed_rad_s,
                                  .no_load_a = free_a,
                                  .stall_n_m = ke_v_s * (stall_a - free_a),
                                  .stall_a = stall_a};
    return sheet->stall_n_m > 0;
}

bool worked_out_motor(const struct answers *answers, struct motor_sheet *sheet) {
    if (answers_is(answers, Q_MOTOR, "typical")) {
        /* Of 540 size for 12 V, from memory. */
        *sheet = (struct motor_sheet){12, 16500 * NUMBER_PI / 30, 1, 0.27, 41};
        return true;
    }
    return answers_is(answers, Q_MOTOR, "measured") ? from_runs(answers, sheet)
                                                    : from_sheet(answers, sheet);
}

double worked_out_slowing_m_s2(const struct answers *answers, enum question_id way) {
    double speed_m_s = number(answers, Q_TRAIN_SPEED);
    return speed_m_s * speed_m_s / (2 * number(answers, way));
}
