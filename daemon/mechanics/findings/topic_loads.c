/* Loads on teeth, axis and seats. */
#include "mechanics/findings/topics.h"
#include "mechanics/loads/tooth.h"
#include "mechanics/number.h"

#include <math.h>

static double gravity_n(double mass_kg) {
    return mass_kg * NUMBER_GRAVITY_M_S2;
}

/* The greatest of a movement's loads over the travel, both ways. */
struct greatest {
    double rack_n, rack_at;
    double axis_n, axis_at;
};

static void look_at(const struct chain *chain, const struct chain_move *move,
                    struct greatest *greatest) {
    double rack_n = fabs(axis_rack_n(chain, move));
    double axis_n = axis_load_n(chain, move);
    if (rack_n > greatest->rack_n) {
        greatest->rack_n = rack_n;
        greatest->rack_at = move->position;
    }
    if (axis_n > greatest->axis_n) {
        greatest->axis_n = axis_n;
        greatest->axis_at = move->position;
    }
}

static struct greatest greatest_of(const struct sizing_given *given) {
    const struct chain *chain = &given->chain;
    double gain = given->law.acceleration_frac_s2 * chain->lift.travel;
    struct greatest greatest = {.rack_n = 0};
    for (int i = 0; i <= 2 * CHAIN_STEPS + 1; i++) {
        double position = chain->lift.travel * (i / 2) / CHAIN_STEPS;
        int way = i % 2 == 0 ? CHAIN_UP : CHAIN_DOWN;
        look_at(chain, &(struct chain_move){position, way, CHAIN_FROM_REST, 0}, &greatest);
        look_at(chain, &(struct chain_move){position, way, CHAIN_MOST, gain}, &greatest);
    }
    return greatest;
}

/* All that the motor gives when it is held fast, through gears that lose as little as they may. */
static double jam_n(const struct sizing_given *given) {
    const struct chain *chain = &given->chain;
    const struct drive *drive = &chain->drive;
    double stall_a = chain->supply_v / chain->motor.resistance_ohm;
    double current_a = isnan(given->supply_a) ? stall_a : fmin(stall_a, given->supply_a);
    double worm = drive->has_worm ? worm_efficiency(&drive->worm, drive->worm.mu_low) : 1;
    double efficiency = worm * drive->planetary_efficiency * drive->rack_efficiency;
    return motor_torque_n_m(&chain->motor, current_a) * efficiency /
           drive_rack_per_motor_rad_m(drive);
}

static void ask_teeth(const struct sizing_given *given, const struct greatest *greatest,
                      struct findings *findings) {
    const struct builder_given *builder = &given->builder;
    findings_report(findings, FINDING_RACK_FORCE, greatest->rack_n)->at = greatest->rack_at;
    double tooth_n =
        tooth_force_n(builder->tooth_pa, builder->face_m, builder->module_m, builder->teeth);
    bool has_tooth = given->chain.lift.kind != LIFT_VERTICAL && !isnan(tooth_n);
    double jammed_n = jam_n(given);
    if (has_tooth && !isnan(jammed_n)) {
        findings_judge(findings, FINDING_JAM_FORCE, jammed_n, -INFINITY, tooth_n);
    } else {
        findings_report(findings, FINDING_JAM_FORCE, jammed_n);
    }
    if (given->chain.lift.kind == LIFT_VERTICAL) {
        return;
    }
    double stress_pa =
        tooth_stress_pa(greatest->rack_n, builder->face_m, builder->module_m, builder->teeth);
    findings_judge(findings, FINDING_TOOTH_STRESS, stress_pa, -INFINITY, builder->tooth_pa);
    findings_report(findings, FINDING_TOOTH_CARRIES, tooth_n);
}

static void ask_axis(const struct sizing_given *given, const struct greatest *greatest,
                     struct findings *findings) {
    const struct axis_bearings *bearings = &given->builder.bearings;
    findings_report(findings, FINDING_AXIS_LOAD, greatest->axis_n)->at = greatest->axis_at;
    findings_judge(findings, FINDING_BEARING_PRESSURE, axis_pressure_pa(bearings, greatest->axis_n),
                   -INFINITY, bearings->pressure_pa);
    if (given->chain.lift.kind != LIFT_VERTICAL && given->chain.lift.kind != LIFT_ROLLING) {
        findings_report(findings, FINDING_BEARING_FRICTION,
                        axis_friction_n_m(bearings, greatest->axis_n));
    }
}

/* The heaviest train on each track at once. */
static void ask_seats(const struct sizing_given *given, const struct sizing *sizing,
                      struct findings *findings) {
    const struct builder_given *builder = &given->builder;
    bool is_vertical = given->chain.lift.kind == LIFT_VERTICAL;
    double axis_n =
        is_vertical ? sizing->seat_n / 2 : gravity_n(given->chain.balance.mass_kg) - sizing->seat_n;
    double toe_n = is_vertical ? sizing->seat_n / 2 : sizing->seat_n;
    double least_n = toe_n;
    bool is_behind = false;
    if (given->chain.lift.kind == LIFT_SWING) {
        return; /* its ends are wedged: how much they carry is the wedges' doing */
    }
    for (unsigned i = 0; i < builder->trains; i++) {
        const struct seats_train *train = &builder->train[i];
        double toe_m = is_vertical ? train->to_m : given->toe_x_m;
        toe_n += seats_toe_most_n(train, toe_m);
        least_n += seats_toe_least_n(train, toe_m);
        axis_n += seats_axis_most_n(train, toe_m);
        is_behind = is_behind || train->from_m < 0;
    }
    const char *needs = isnan(sizing->seat_n) ? "/leaf/toe" : NULL; /* else as the list says */
    findings_want(findings, FINDING_SEAT_MOST, toe_n)->needs = needs;
    if (!is_vertical) {
        findings_want(findings, FINDING_AXIS_MOST, axis_n)->needs = needs;
    }
    if (is_behind) {
        findings_judge(findings, FINDING_SEAT_LEAST, least_n, 0, INFINITY)->needs = needs;
    }
}

void topic_loads(const struct sizing_given *given, const struct sizing *sizing,
                 struct findings *findings) {
    struct greatest greatest = greatest_of(given);
    ask_teeth(given, &greatest, findings);
    ask_axis(given, &greatest, findings);
    ask_seats(given, sizing, findings);
}
