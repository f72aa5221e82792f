/* From the supply to the pinion. */
#include "mechanics/number.h"
#include "tools/drawtender/describe/bridge_text.h"
#include "tools/drawtender/describe/json_put.h"
#include "tools/drawtender/describe/worked_out.h"

#include <math.h>

/* A number for a ratio, which has no unit. */
static void put_ratio(cJSON *object, const char *key, double ratio) {
    if (isfinite(ratio)) {
        cJSON_AddNumberToObject(object, key, round(ratio * 1e4) / 1e4);
    }
}

static void put_gears(cJSON *bridge, const struct answers *answers) {
    cJSON *drive = json_put_object(bridge, "drive");
    if (answers_ask(answers, Q_PINION_TEETH)) {
        cJSON *pinion = json_put_object(drive, "pinion");
        json_put_count(pinion, "teeth", answers, Q_PINION_TEETH);
        if (answers_is(answers, Q_TOOTH_SIZE, "?")) {
            json_put_value(pinion, "pitch", 1000 * worked_out_module_m(answers), "mm");
        } else {
            json_put_answer(pinion, "pitch", answers, Q_TOOTH_SIZE);
        }
    }
    double gearbox = worked_out_gearbox(answers);
    if (gearbox != 1) {
        put_ratio(json_put_object(drive, "gearbox"), "ratio", gearbox);
    }
    if (answers_is(answers, Q_WORM, "yes")) {
        cJSON *worm = json_put_object(drive, "worm");
        put_ratio(worm, "ratio", worked_out_worm(answers));
        json_put_value(worm, "lead angle", worked_out_lead_rad(answers) * 180 / NUMBER_PI, "deg");
    }
}

static void put_motor(cJSON *bridge, const struct answers *answers) {
    struct motor_sheet sheet;
    cJSON *motor = json_put_object(bridge, "motor");
    if (worked_out_motor(answers, &sheet)) {
        json_put_value(motor, "voltage", sheet.voltage_v, "V");
        json_put_value(motor, "no-load speed", sheet.no_load_rad_s * 30 / NUMBER_PI, "rpm");
        json_put_value(motor, "no-load current", sheet.no_load_a, "A");
        json_put_value(motor, "stall torque", sheet.stall_n_m, "N m");
        json_put_value(motor, "stall current", sheet.stall_a, "A");
    }
    json_put_answer(motor, "brake", answers, Q_BRAKE);
    cJSON *supply = json_put_object(bridge, "supply");
    json_put_answer(supply, "voltage", answers, Q_SUPPLY);
    json_put_answer(supply, "current", answers, Q_SUPPLY_CURRENT);
}

/* The usual time is left to the daemon, which knows what the motor can do. */
static void put_motion(cJSON *bridge, const struct answers *answers) {
    double time_s = answers_number(answers, Q_OPENING_TIME);
    if (isnan(time_s) || answers_is(answers, Q_OPENING_TIME, questions[Q_OPENING_TIME].usual)) {
        return;
    }
    cJSON *motion = json_put_object(bridge, "motion");
    if (answers_ask(answers, Q_RISE)) {
        json_put_value(motion, "full speed", 1000 * answers_number(answers, Q_RISE) / time_s,
                       "mm/s");
    } else {
        double travel_deg = answers_number(answers, Q_TRAVEL) * 180 / NUMBER_PI;
        json_put_value(motion, "full speed", travel_deg / time_s, "deg/s");
    }
}

void bridge_text_drive(cJSON *bridge, const struct answers *answers) {
    if (answers_is(answers, Q_KIND, "hand")) {
        return;
    }
    put_gears(bridge, answers);
    put_motor(bridge, answers);
    put_motion(bridge, answers);
}
