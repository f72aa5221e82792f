/* How the span moves, and when its movement is wrong: as written, or worked out from what moves it.
 */
#include "config/build.h"

#include <math.h>

/* Defaults, where the tables say so in words. Zones, tolerances and limits: common practice where
 * the table says it, otherwise judgements without a source. */
static const double default_travel_s = 40;
static const double default_creep_ratio = 0.25;
static const double default_ramp_s = 3;
static const double default_overspeed = 1.25;
static const double default_starting_effort = 0.2;
static const double time_ratio = 1.5;

enum { STEPS = 64 }; /* the travel is looked at in so many steps */

/* What the lift needs along its travel, at full speed where the span is fastest: the motor turns
 * evenly, and a strut's arm changes. Voltages of the motor. */
struct demand {
    double start_v;      /* greatest, to keep turning slowly with the greatest friction */
    double break_v;      /* greatest, from rest */
    double full_least_v; /* least that makes full speed somewhere */
    double full_most_v;  /* greatest at that motor speed */
    double running_a;    /* greatest current, from rest included */
    double slowness;     /* mean over the travel of fastest speed / speed there, >= 1 */
};

static double motor_torque(const struct build *build, double position, int way, double friction,
                           double mu) {
    const struct config_bridge *bridge = build->bridge;
    double arm = lift_rack_arm(&bridge->lift, position);
    double moment = way * balance_moment(&bridge->balance, position);
    return drive_motor_torque_n_m(&bridge->drive, drive_rack_force_n(moment, friction, 0, arm), mu);
}

static void look_at(const struct build *build, double position, double motor_rad_s,
                    struct demand *demand) {
    const struct config_bridge *bridge = build->bridge;
    const struct motor *motor = &bridge->motor;
    const struct worm *worm = &bridge->drive.worm;
    for (int way = -1; way <= 1; way += 2) {
        double most = motor_torque(build, position, way, build->friction_running, worm->mu_high);
        double least = motor_torque(build, position, way, build->friction_running, worm->mu_low);
        double rest = motor_torque(build, position, way, build->friction_static, worm->mu_high);
        demand->start_v = fmax(demand->start_v, motor_voltage_v(motor, most, 0));
        demand->break_v = fmax(demand->break_v, motor_voltage_v(motor, rest, 0));
        demand->full_least_v =
            fmin(demand->full_least_v, motor_voltage_v(motor, least, motor_rad_s));
        demand->full_most_v = fmax(demand->full_most_v, motor_voltage_v(motor, most, motor_rad_s));
        demand->running_a = fmax(demand->running_a, motor_current_a(motor, fmax(rest, most)));
    }
}

static struct demand demand_of(const struct build *build, double full_speed) {
    const struct config_bridge *bridge = build->bridge;
    struct demand demand = {.full_least_v = INFINITY};
    double least_arm = INFINITY;
    double sum = 0;
    for (int i = 0; i <= STEPS; i++) {
        double arm = lift_rack_arm(&bridge->lift, bridge->lift.travel * i / STEPS);
        least_arm = fmin(least_arm, arm);
        sum += arm;
    }
    double motor_rad_s = full_speed * drive_motor_per_position(&bridge->drive, least_arm);
    for (int i = 0; i <= STEPS; i++) {
        look_at(build, bridge->lift.travel * i / STEPS, motor_rad_s, &demand);
    }
    demand.slowness = sum / (STEPS + 1) / least_arm;
    return demand;
}

static double otherwise(double written, double value) {
    return isnan(written) ? value : written;
}

static void set_speeds(const struct build *build, struct motion_setup *motion) {
    const struct written_motion *written = &build->written->motion;
    motion->full_speed_frac_s =
        build_fraction(build, &written->full_speed, "/motion/full speed", 1 / default_travel_s);
    motion->creep_speed_frac_s = build_fraction(build, &written->creep_speed, "/motion/creep speed",
                                                default_creep_ratio * motion->full_speed_frac_s);
    motion->acceleration_frac_s2 =
        build_fraction(build, &written->acceleration, "/motion/acceleration",
                       motion->full_speed_frac_s / default_ramp_s);
    motion->deceleration_frac_s2 = build_fraction(
        build, &written->deceleration, "/motion/deceleration", motion->acceleration_frac_s2);
    motion->slow_zone_seat_frac =
        build_fraction(build, &written->slow_zone_seat, "/motion/slow zone at seat", 0.08);
    motion->slow_zone_open_frac =
        build_fraction(build, &written->slow_zone_open, "/motion/slow zone at open", 0.06);
}

static void set_distances(const struct build *build, struct motion_setup *motion) {
    const struct written_motion *written = &build->written->motion;
    motion->position_tolerance_frac =
        build_fraction(build, &written->tolerance, "/motion/tolerance", 0.02);
    motion->overtravel_frac =
        build_fraction(build, &written->overtravel, "/motion/overtravel", 0.03);
    motion->drift_frac = build_fraction(build, &written->drift, "/motion/drift", 0.03);
    motion->no_movement_frac =
        build_fraction(build, &written->no_movement, "/motion/no movement", 0.005);
    motion->overspeed_ratio = otherwise(written->overspeed, default_overspeed);
}

static void set_efforts(const struct build *build, const struct demand *demand,
                        struct motion_setup *motion) {
    const struct written_motion *written = &build->written->motion;
    double supply_v = build->bridge->supply_v;
    bool is_worked_out = demand != NULL;
    double start = is_worked_out ? demand->start_v / supply_v : default_starting_effort;
    double full = is_worked_out ? demand->full_least_v / supply_v : 1;
    if (is_worked_out && isnan(written->full_effort) && demand->full_most_v > supply_v) {
        build_error(build, "/motion/full speed",
                    "takes %.3g V at the motor, but the supply gives %.3g V", demand->full_most_v,
                    supply_v);
    }
    motion->effort_full = otherwise(written->full_effort, full);
    motion->effort_start = otherwise(written->starting_effort, fmin(start, motion->effort_full));
    motion->effort_push =
        otherwise(written->push_effort, fmin(fmax(1.5 * motion->effort_start, 0.05), 0.5));
    if (is_worked_out && demand->break_v > motion->effort_full * supply_v) {
        build_error(build, "/motion/full effort",
                    "%.0f %% of the supply is too little: it takes %.3g V to move the span from "
                    "rest",
                    motion->effort_full * 100, demand->break_v);
    }
}

/* The geometric mean of what it takes running and what it takes stalled while it creeps. */
static double stall_current(const struct build *build, const struct demand *demand,
                            const struct motion_setup *motion) {
    double share = motion->creep_speed_frac_s / motion->full_speed_frac_s;
    double effort = motion->effort_start + share * (motion->effort_full - motion->effort_start);
    double stalled_a = effort * build->bridge->supply_v / build->bridge->motor.resistance_ohm;
    return fmax(sqrt(demand->running_a * stalled_a), 1.25 * demand->running_a);
}

static void set_currents(const struct build *build, const struct demand *demand,
                         struct motion_setup *motion) {
    const struct written_motion *written = &build->written->motion;
    double supply_a = build->bridge->supply_a;
    motion->stall_us = build_us(written->stall_s);
    motion->stall_a = written->stall_a;
    if (demand != NULL) {
        motion->stall_a = otherwise(written->stall_a, stall_current(build, demand, motion));
        if (motion->stall_a <= demand->running_a) {
            build_error(build, "/motion/stall current",
                        "%.3g A is no more than the %.3g A the motor needs to move the span",
                        motion->stall_a, demand->running_a);
        }
    }
    if (motion->has_current && motion->stall_a > supply_a) {
        build_warning(build, "/motion/stall current",
                      "%.3g A is more than the supply can give (%.3g A): a stall would not be seen",
                      motion->stall_a, supply_a);
    }
}

static void set_times(const struct build *build, double slowness, struct motion_setup *motion) {
    const struct written_motion *written = &build->written->motion;
    double full = motion->full_speed_frac_s;
    double creep = motion->creep_speed_frac_s;
    double seat_s = motion->slow_zone_seat_frac / creep;
    double open_s = motion->slow_zone_open_frac / creep;
    double fast_frac = fmax(1 - motion->slow_zone_seat_frac - motion->slow_zone_open_frac, 0);
    double ramps_s = full / motion->acceleration_frac_s2 + full / motion->deceleration_frac_s2;
    double whole_s = slowness * (seat_s + open_s + fast_frac / full) + ramps_s;
    motion->push_us = build_us(written->push_s);
    motion->travel_limit_us =
        build_us(otherwise(written->travel_limit_s, fmin(time_ratio * whole_s, 3600)));
    motion->seat_limit_us = build_us(
        otherwise(written->seat_limit_s, fmin(2 * slowness * seat_s + 2 + written->push_s, 600)));
    motion->no_movement_us =
        build_us(otherwise(written->no_movement_s,
                           fmin(fmax(2 * slowness * motion->no_movement_frac / creep, 3), 60)));
}

static bool are_speeds_positive(const struct build *build, const struct motion_setup *motion) {
    const struct {
        const char *place;
        double value;
    } speeds[] = {
        {"/motion/full speed", motion->full_speed_frac_s},
        {"/motion/creep speed", motion->creep_speed_frac_s},
        {"/motion/acceleration", motion->acceleration_frac_s2},
        {"/motion/deceleration", motion->deceleration_frac_s2},
    };
    bool are_positive = true;
    for (size_t i = 0; i < sizeof speeds / sizeof speeds[0]; i++) {
        if (!(speeds[i].value > 1e-6)) { /* a millionth of the travel a second */
            are_positive = build_error(build, speeds[i].place, "must be more than nought");
        }
    }
    return are_positive;
}

void build_motion(struct build *build) {
    struct motion_setup *motion = &build->net->setup.motion;
    motion->has_position = build->written->sensors.position;
    motion->has_current = build->written->sensors.current;
    if (build_is_hand(build)) {
        if (build->written->motion.is.is_given) {
            build_error(build, "/motion", "has no meaning for a span moved by hand");
        }
        motion->position_tolerance_frac = 0.05;
        return;
    }
    set_speeds(build, motion);
    set_distances(build, motion);
    if (!are_speeds_positive(build, motion)) {
        return;
    }
    struct demand demand = {0};
    bool is_worked_out = build->bridge->has_lift && build->bridge->supply_v > 0;
    if (is_worked_out) {
        demand = demand_of(build, motion->full_speed_frac_s * build->bridge->lift.travel);
    }
    set_efforts(build, is_worked_out ? &demand : NULL, motion);
    set_currents(build, is_worked_out ? &demand : NULL, motion);
    set_times(build, is_worked_out ? demand.slowness : 1, motion);
}
