/* How the span moves, and when its movement is wrong: as written, or worked out from what moves it.
 */
#include "config/build/build.h"
#include "mechanics/lift/travel.h"

#include <math.h>

/* Defaults, where the tables say so in words. Zones, tolerances and limits: common practice where
 * the table says it, otherwise judgements without a source. */
static const double default_travel_s = 40;
static const double default_supply_share = 0.9; /* of it, at full speed with the most friction */
static const double default_creep_ratio = 0.25;
static const double default_ramp_s = 3;
static const double default_overspeed = 1.25;
static const double default_starting_effort = 0.2;
static const double time_ratio = 1.5;
static const double binding_share = 0.15; /* of the greatest current: dirt and wear */

static double otherwise(double written, double value) {
    return isnan(written) ? value : written;
}

/* What the motor makes of most of the supply, if that is slower than the usual time. */
static double default_full_speed(const struct build *build) {
    double usual = 1 / default_travel_s;
    if (!build->bridge->has_lift || !(build->chain.supply_v > 0)) {
        return usual;
    }
    double attainable =
        chain_speed_from(&build->chain, default_supply_share * build->chain.supply_v) /
        build->chain.lift.travel;
    return attainable > 0 ? fmin(usual, attainable) : usual;
}

static void set_speeds(const struct build *build, struct motion_setup *motion) {
    const struct written_motion *written = &build->written->motion;
    motion->full_speed_frac_s = build_fraction(build, &written->full_speed, "/motion/full speed",
                                               default_full_speed(build));
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

static void set_efforts(const struct build *build, const struct chain_demand *demand,
                        struct motion_setup *motion) {
    const struct written_motion *written = &build->written->motion;
    double supply_v = build->bridge->supply_v;
    bool is_worked_out = demand != NULL;
    double start = is_worked_out ? demand->start_v / supply_v : default_starting_effort;
    double full = is_worked_out ? demand->full_least_v / supply_v : 1;
    if (is_worked_out && isnan(written->full_effort) && demand->full_most_v > supply_v) {
        build_misfit(build, "/motion/full speed",
                     "takes %.3g V at the motor, but the supply gives %.3g V", demand->full_most_v,
                     supply_v);
    }
    motion->effort_full = otherwise(written->full_effort, full);
    motion->effort_start = otherwise(written->starting_effort, fmin(start, motion->effort_full));
    motion->effort_push =
        otherwise(written->push_effort, fmin(fmax(1.5 * motion->effort_start, 0.05), 0.5));
    if (is_worked_out && demand->break_v > motion->effort_full * supply_v) {
        build_misfit(
            build, "/motion/full effort",
            "%.0f %% of the supply is too little: it takes %.3g V to move the span from rest",
            motion->effort_full * 100, demand->break_v);
    }
}

double build_stalled_a(const struct build *build, const struct motion_setup *motion) {
    double share = motion->creep_speed_frac_s / motion->full_speed_frac_s;
    double effort = motion->effort_start + share * (motion->effort_full - motion->effort_start);
    return effort * build->chain.supply_v / build->chain.motor.resistance_ohm;
}

/* The geometric mean of what it takes running and what it takes stalled while it creeps. */
static double stall_current(const struct build *build, const struct chain_demand *demand,
                            const struct motion_setup *motion) {
    double stalled_a = build_stalled_a(build, motion);
    return fmax(sqrt(demand->current_a * stalled_a), 1.25 * demand->current_a);
}

static void set_currents(const struct build *build, const struct chain_demand *demand,
                         struct motion_setup *motion) {
    const struct written_motion *written = &build->written->motion;
    double supply_a = build->bridge->supply_a;
    motion->stall_us = build_us(written->stall_s);
    motion->stall_a = written->stall_a;
    if (demand != NULL) {
        motion->stall_a = otherwise(written->stall_a, stall_current(build, demand, motion));
        if (motion->stall_a <= demand->current_a) {
            build_misfit(build, "/motion/stall current",
                         "%.3g A is not more than the %.3g A the motor needs to move the span",
                         motion->stall_a, demand->current_a);
        }
    }
    if (motion->has_current && motion->stall_a > supply_a) {
        build_warning(build, "/motion/stall current",
                      "%.3g A is more than the supply can give (%.3g A): a stall would not be seen",
                      motion->stall_a, supply_a);
    }
}

/* How much longer the span takes for a distance than the law of speed says, at worst. */
static double greatest_slowness(const struct build *build) {
    double least = INFINITY;
    double greatest = 0;
    for (int i = 0; build->bridge->has_lift && i <= CHAIN_STEPS; i++) {
        double arm = lift_rack_arm(&build->chain.lift, build->chain.lift.travel * i / CHAIN_STEPS);
        least = fmin(least, arm);
        greatest = fmax(greatest, arm);
    }
    return greatest > 0 ? greatest / least : 1;
}

/* Without a position sensor the place is an estimate: then the greatest of the way counts. */
static void level(double expected_a[MOTION_PLACES]) {
    double greatest_a = 0;
    for (int i = 0; i < MOTION_PLACES; i++) {
        greatest_a = fmax(greatest_a, expected_a[i]);
    }
    for (int i = 0; i < MOTION_PLACES; i++) {
        expected_a[i] = greatest_a;
    }
}

static void set_binding(const struct build *build, struct motion_setup *motion) {
    const struct written_motion *written = &build->written->motion;
    double travel = build->chain.lift.travel;
    double acceleration = motion->acceleration_frac_s2 * travel;
    double greatest_a = 0;
    double extra_a = 0;
    double least_arm = chain_least_arm(&build->chain, NULL);
    for (int i = 0; i < 2 * MOTION_PLACES; i++) {
        double position = travel * (i / 2) / (MOTION_PLACES - 1);
        struct chain_current current = chain_current_at(
            &build->chain, least_arm, position, i % 2 == 0 ? CHAIN_UP : CHAIN_DOWN, acceleration);
        /* A span that drives its motor lets it take less than nothing. */
        motion->expected_a[i % 2][i / 2] = fmax(current.running_a, build->chain.motor.no_load_a);
        greatest_a = fmax(greatest_a, current.running_a);
        extra_a = fmax(extra_a, current.extra_a);
    }
    if (!motion->has_position) {
        level(motion->expected_a[0]);
        level(motion->expected_a[1]);
    }
    motion->binding_a = otherwise(written->binding_a, extra_a + binding_share * greatest_a);
    motion->binding_us = build_us(written->binding_s);
}

/* Without a position sensor the place is an estimate that knows nothing of the lever arm: it runs
 * ahead of the span, and creep begins early unless a contact says where. */
static bool creeps_early(const struct build *build, const struct motion_setup *motion, int way) {
    const struct written_contacts *contacts = &build->written->contacts;
    bool has_contact = way == CHAIN_UP ? contacts->nearly_open : contacts->nearly_seated;
    return !motion->has_position && !has_contact;
}

struct way_times {
    double duration_s;
    double creep_s; /* longest */
};

static struct way_times times_early(const struct build *build, const struct motion_setup *motion,
                                    const struct lift *lift, int way) {
    const struct travel_law law = build_travel_law(motion);
    struct travel even, travel;
    travel_time(&law, NULL, way, &even);
    travel_run(&law, lift, way, &travel);
    double begins_s = even.duration_s - even.creep_s;
    int i = TRAVEL_MOMENTS - 1;
    while (i > 0 && travel.moment[i].time_s > begins_s) {
        i--;
    }
    double at_frac = travel.moment[i].position_frac;
    double left_frac = way == CHAIN_UP ? 1 - at_frac : at_frac;
    double early_s = left_frac * greatest_slowness(build) / motion->creep_speed_frac_s;
    early_s = isfinite(early_s) ? early_s : 0;
    return (struct way_times){fmax(travel.duration_s, begins_s + early_s),
                              fmax(travel.creep_s, early_s)};
}

static struct way_times times_of(const struct build *build, const struct motion_setup *motion,
                                 int way) {
    const struct lift *lift = build->bridge->has_lift ? &build->chain.lift : NULL;
    const struct travel_law law = build_travel_law(motion);
    struct travel travel;
    if (creeps_early(build, motion, way)) {
        return times_early(build, motion, lift, way);
    }
    travel_time(&law, lift, way, &travel);
    return (struct way_times){travel.duration_s, travel.creep_s};
}

static void set_times(const struct build *build, struct motion_setup *motion) {
    const struct written_motion *written = &build->written->motion;
    struct way_times up = times_of(build, motion, CHAIN_UP);
    struct way_times down = times_of(build, motion, CHAIN_DOWN);
    double leaving_s =
        greatest_slowness(build) * motion->no_movement_frac / motion->creep_speed_frac_s;
    motion->push_us = build_us(written->push_s);
    motion->travel_limit_us = build_us(otherwise(
        written->travel_limit_s, fmin(time_ratio * fmax(up.duration_s, down.duration_s), 3600)));
    motion->seat_limit_us = build_us(
        otherwise(written->seat_limit_s, fmin(2 * down.creep_s + 2 + written->push_s, 600)));
    motion->no_movement_us =
        build_us(otherwise(written->no_movement_s, fmin(fmax(2 * leaving_s, 3), 60)));
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
            are_positive = build_error(build, speeds[i].place, "must be above zero");
        }
    }
    return are_positive;
}

struct travel_law build_travel_law(const struct motion_setup *motion) {
    return (struct travel_law){.full_frac_s = motion->full_speed_frac_s,
                               .creep_frac_s = motion->creep_speed_frac_s,
                               .acceleration_frac_s2 = motion->acceleration_frac_s2,
                               .deceleration_frac_s2 = motion->deceleration_frac_s2,
                               .zone_seat_frac = motion->slow_zone_seat_frac,
                               .zone_open_frac = motion->slow_zone_open_frac};
}

void build_motion(struct build *build) {
    struct motion_setup *motion = &build->net->setup.motion;
    motion->has_position = build->written->sensors.position;
    motion->has_current = build->written->sensors.current;
    if (!build_is_kind_known(build)) {
        return;
    }
    if (build_is_hand(build)) {
        if (build->written->motion.is.is_given) {
            build_error(build, "/motion", "does not apply to a span moved by hand");
        }
        motion->position_tolerance_frac = 0.05;
        return;
    }
    set_speeds(build, motion);
    set_distances(build, motion);
    if (!are_speeds_positive(build, motion)) {
        return;
    }
    struct chain_demand demand = {0};
    bool is_worked_out = build->bridge->has_lift && build->chain.supply_v > 0;
    if (is_worked_out) {
        double travel = build->chain.lift.travel;
        demand = chain_demand(&build->chain, motion->full_speed_frac_s * travel,
                              motion->acceleration_frac_s2 * travel);
    }
    set_efforts(build, is_worked_out ? &demand : NULL, motion);
    set_currents(build, is_worked_out ? &demand : NULL, motion);
    if (is_worked_out && motion->has_current) {
        set_binding(build, motion);
    }
    set_times(build, motion);
}
