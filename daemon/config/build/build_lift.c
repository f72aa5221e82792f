/* What moves the span: lift, leaf, drive, motor, supply. */
#include "config/build/build.h"
#include "mechanics/drive/gear.h"
#include "mechanics/number.h"

#include <math.h>

/* NEM 609 (MOROP, 2010): layouts run on safety extra-low voltage only, toy transformers give at
 * most 10 A; 24 V is their usual limit (secondary source). */
static const double supply_limit_v = 24;
static const double supply_limit_a = 10;

/* From rest friction is a little greater: common practice, no source. */
static const double starting_ratio = 1.3;

/* About a 540-size rotor: from memory. */
static const double rotor_of_540_kg_m2 = 5e-6;

static const char *const kind_names[] = {"hand", "sector", "strut", "rolling", "vertical", "swing"};

enum {
    BY_SECTOR = 1 << WRITTEN_SECTOR,
    BY_STRUT = 1 << WRITTEN_STRUT,
    BY_ROLLING = 1 << WRITTEN_ROLLING,
    BY_VERTICAL = 1 << WRITTEN_VERTICAL,
    BY_SWING = 1 << WRITTEN_SWING,
};

/* A key that some kinds of lift need, and others know nothing of. */
struct need {
    const char *place;
    bool is_given;
    int needed_by;
    int known_to;
};

static void check_need(const struct build *build, const struct need *need) {
    int kind = 1 << build->written->lift.kind;
    if (need->is_given && ((need->needed_by | need->known_to) & kind) == 0) {
        build_error(build, need->place, "does not apply to a lift of kind \"%s\"",
                    kind_names[build->written->lift.kind]);
    } else if (!need->is_given && (need->needed_by & kind) != 0) {
        build_missing(build, need->place, "missing: a lift of kind \"%s\" needs it",
                      kind_names[build->written->lift.kind]);
    }
}

static void check_needs(const struct build *build) {
    const struct written_lift *lift = &build->written->lift;
    const struct need of_all[] = {
        {"/lift/radius", !isnan(lift->radius_m), BY_SECTOR | BY_ROLLING | BY_SWING, 0},
        {"/lift/strut pin", !isnan(lift->strut_pin_m[0]), BY_STRUT, 0},
        {"/lift/pinion axis", !isnan(lift->pinion_axis_m[0]), BY_STRUT, 0},
        {"/lift/drum", !isnan(lift->drum_m), BY_VERTICAL, 0},
        {"/lift/pivot bearing", !isnan(lift->pivot_bearing_m), 0, BY_SWING},
        {"/lift/balance wheels", !isnan(lift->balance_wheels_m), 0, BY_SWING},
        {"/leaf/heel", !isnan(build->written->leaf.heel_m), 0, BY_SWING},
        {"/leaf/wedge", !isnan(build->written->leaf.wedge_n), 0, BY_SWING},
        {"/leaf/ropes", build->written->leaf.ropes.is.is_given, 0, BY_VERTICAL},
    };
    const struct need of_drive = {"/drive/pinion", build->written->drive.pinion.is.is_given,
                                  BY_SECTOR | BY_STRUT | BY_ROLLING | BY_SWING, 0};
    for (size_t i = 0; i < sizeof of_all / sizeof of_all[0]; i++) {
        check_need(build, &of_all[i]);
    }
    if (build->written->drive.is.is_given) {
        check_need(build, &of_drive);
    }
}

/* A mechanics check's answer, as a complaint. */
static bool passes(const struct build *build, const char *place, const char *fault) {
    return fault == NULL || build_error(build, place, "%s", fault);
}

/* A worm whose thread is that steep and whose wheel turns that slowly needs many starts, and a
 * wheel of many teeth. Worms have a pitch diameter of 6 modules or more, wheels up to some 300
 * teeth (from memory, tables of worm gears; a judgement). */
static void check_worm(const struct build *build, const struct worm *worm) {
    enum { LEAST_MODULES = 6, MOST_TEETH = 300 };
    double starts = fmax(1, LEAST_MODULES * tan(worm->lead_rad));
    if (worm->ratio * starts > MOST_TEETH) {
        build_warning(
            build, "/drive/worm/lead angle",
            "%.3g deg with a ratio of %.3g:1 would need a worm of %.0f starts or more and a wheel "
            "of %.0f teeth or more: measure the thread again, or count the turns",
            worm->lead_rad * 180 / NUMBER_PI, worm->ratio, ceil(starts),
            ceil(worm->ratio * starts));
    }
}

static struct point point_of(const double place[2]) {
    return isnan(place[0]) ? (struct point){0, 0} : (struct point){place[0], place[1]};
}

static void check_travel(struct build *build) {
    const struct written_either *travel = &build->written->lift.travel;
    bool is_length = travel->quantity == QUANTITY_LENGTH;
    if (isnan(travel->value)) {
        return; /* missing or unreadable: said already */
    }
    if (!build_is_hand(build) && is_length != build_is_vertical(build)) {
        build_error(build, "/lift/travel", "is %s: a lift of kind \"%s\" travels through %s",
                    quantity_name(travel->quantity), kind_names[build->written->lift.kind],
                    is_length ? "an angle, such as \"75 deg\"" : "a length, such as \"40 cm\"");
        return;
    }
    if (travel->value <= 0 || travel->value > (is_length ? 20 : 3.15)) {
        build_error(build, "/lift/travel", "is out of range: more than 0, at most %s",
                    is_length ? "20 m" : "180 deg");
        return;
    }
    build->is_travel_known = true;
}

static enum lift_kind kind_of(int kind) {
    switch ((enum written_kind)kind) {
    case WRITTEN_HAND:
    case WRITTEN_SECTOR:
        return LIFT_SECTOR;
    case WRITTEN_STRUT:
        return LIFT_STRUT;
    case WRITTEN_ROLLING:
        return LIFT_ROLLING;
    case WRITTEN_VERTICAL:
        return LIFT_VERTICAL;
    case WRITTEN_SWING:
        return LIFT_SWING;
    }
    return LIFT_SECTOR;
}

/* 0: there is a complaint of its teeth or their size already. */
static double pinion_radius_m(const struct written_pinion *pinion) {
    return pinion->teeth != FIELD_NO_NUMBER && pinion->module_m > 0
               ? gear_pitch_radius_m(pinion->teeth, pinion->module_m)
               : 0;
}

static bool make_drive(const struct build *build, struct drive *drive) {
    const struct written_drive *written = &build->written->drive;
    *drive = (struct drive){
        .pinion_radius_m = build_is_vertical(build) ? build->written->lift.drum_m / 2
                                                    : pinion_radius_m(&written->pinion),
        .planetary_ratio = written->planetary.is.is_given ? written->planetary.ratio : 1,
        .planetary_efficiency = written->planetary.is.is_given ? written->planetary.efficiency : 1,
        .has_worm = written->worm.is.is_given,
        .rack_efficiency = written->rack_efficiency,
    };
    if (drive->has_worm) {
        drive->worm = (struct worm){.ratio = written->worm.ratio,
                                    .lead_rad = written->worm.lead_angle_rad,
                                    .pressure_rad = written->worm.pressure_angle_rad,
                                    .mu_low = written->worm.friction_least,
                                    .mu_high = written->worm.friction_most};
    }
    /* No radius: there is a complaint of the pinion or the drum already. */
    return drive->pinion_radius_m > 0 && passes(build, "/drive", drive_check(drive));
}

/* Where the pinion is not known, its part in the geometry is left out: the rest is still checked.
 */
static bool make_lift(const struct build *build, const struct drive *drive, struct lift *lift) {
    bool has_pinion = drive->pinion_radius_m > 0;
    double pinion_radius_m = has_pinion ? drive->pinion_radius_m : 0;
    enum lift_rolling_drive rack = (enum lift_rolling_drive)build->written->lift.rack;
    const struct written_lift *written = &build->written->lift;
    *lift = (struct lift){.kind = kind_of(written->kind),
                          .travel = written->travel.value,
                          .rack_radius_m = written->radius_m,
                          .parts_of_line = written->rope_parts};
    if (lift->kind == LIFT_STRUT) {
        lift->strut = (struct lift_strut){.pin = point_of(written->strut_pin_m),
                                          .pinion = point_of(written->pinion_axis_m),
                                          .pinion_radius_m = pinion_radius_m,
                                          .offset_m = written->rack_offset_m,
                                          .is_pinion_left = written->is_pinion_left};
    }
    if (lift->kind == LIFT_ROLLING) {
        lift->rolling =
            (struct lift_rolling){.radius_m = written->radius_m,
                                  .drive = has_pinion ? rack : LIFT_ROLLING_RACK_ON_LEAF,
                                  .pinion_radius_m = pinion_radius_m};
    }
    return build->is_travel_known && passes(build, "/lift", lift_check(lift));
}

struct slide build_slide(const struct written_slide *written) {
    return (struct slide){.mass_kg = written->mass_kg,
                          .from = point_of(written->from_m),
                          .to = point_of(written->to_m),
                          .step_m = isnan(written->step_m) ? 0 : written->step_m};
}

static bool check_slides(const struct build *build) {
    const struct written_slides *slides = &build->written->leaf.slides;
    bool is_good = true;
    if (build_is_vertical(build) && slides->list.count > 0) {
        return build_error(build, "/leaf/slides", "does not apply to a lift of kind \"vertical\"");
    }
    for (unsigned i = 0; i < slides->list.count; i++) {
        struct slide slide = build_slide(&slides->item[i]);
        double length_m = slides_length_m(&slide);
        if (!passes(build, build_place("/leaf/slides/%u", i).text, slides_check(&slide, 1))) {
            is_good = false;
        } else if (slides->item[i].at_m > length_m) {
            is_good = build_error(build, build_place("/leaf/slides/%u/at", i).text,
                                  "is beyond the end of its rail, which is %.4g m long", length_m);
        } else if (slide.step_m > 0 && fabs(slides_nearest_m(&slide, slides->item[i].at_m) -
                                            slides->item[i].at_m) > 0.001) {
            is_good = build_error(build, build_place("/leaf/slides/%u/at", i).text,
                                  "is not one of its places, which are %.4g m apart", slide.step_m);
        }
    }
    return is_good;
}

static const char *balance_of_leaf(const struct build *build, struct balance *balance) {
    const struct written_leaf *leaf = &build->written->leaf;
    struct balance_item items[WRITTEN_MASSES_MAX + 1 + POCKETS_MAX + SLIDES_MAX];
    size_t count = 0;
    for (unsigned i = 0; i < leaf->masses.list.count; i++) {
        const struct written_mass *mass = &leaf->masses.item[i];
        struct point size = point_of(mass->size_m);
        items[count++] = (struct balance_item){.mass_kg = mass->mass_kg,
                                               .at = point_of(mass->at_m),
                                               .length_m = size.x_m,
                                               .height_m = size.y_m};
    }
    if (leaf->counterweight.is.is_given) {
        items[count++] = (struct balance_item){.mass_kg = leaf->counterweight.mass_kg,
                                               .at = point_of(leaf->counterweight.at_m)};
    }
    for (unsigned i = 0; i < leaf->pockets.list.count; i++) {
        const struct written_pocket *pocket = &leaf->pockets.item[i];
        if (pocket->holds > 0) {
            items[count++] = (struct balance_item){.mass_kg = pocket->holds * pocket->block_kg,
                                                   .at = point_of(pocket->at_m)};
        }
    }
    for (unsigned i = 0; i < leaf->slides.list.count; i++) {
        struct slide slide = build_slide(&leaf->slides.item[i]);
        items[count++] = (struct balance_item){
            .mass_kg = slide.mass_kg, .at = slides_point(&slide, leaf->slides.item[i].at_m)};
    }
    const char *fault = balance_of_items(kind_of(build->written->lift.kind),
                                         build->written->lift.radius_m, items, count, balance);
    if (fault == NULL && !isnan(leaf->inertia_kg_m2)) {
        balance->inertia_kg_m2 = leaf->inertia_kg_m2;
        fault = balance_check(balance);
    }
    return fault;
}

static const char *balance_of_span(const struct build *build, struct balance *balance) {
    const struct written_leaf *leaf = &build->written->leaf;
    struct balance_ropes ropes = {0};
    for (unsigned i = 0; i < leaf->masses.list.count; i++) {
        ropes.span_kg += leaf->masses.item[i].mass_kg;
    }
    if (leaf->counterweight.is.is_given) {
        ropes.counterweight_kg = leaf->counterweight.mass_kg;
    }
    if (leaf->ropes.is.is_given) {
        ropes.ropes = leaf->ropes.count;
        ropes.rope_kg_m = leaf->ropes.weight_kg_m;
        ropes.span_side_m = leaf->ropes.span_side_m;
        ropes.counterweight_side_m = leaf->ropes.counterweight_side_m;
    }
    return balance_of_ropes(&ropes, balance);
}

/* The span hangs from its side's ropes: what is wound over to the other side must be there. */
static void check_ropes(const struct build *build) {
    const struct written_ropes *ropes = &build->written->leaf.ropes;
    double travel_m = build->written->lift.travel.value;
    if (build_is_vertical(build) && ropes->is.is_given && build->is_travel_known &&
        ropes->span_side_m <= travel_m) {
        build_misfit(build, "/leaf/ropes/span side",
                     "%.3g m of rope above the seated span is not more than its travel of %.3g m: "
                     "it would strike the sheaves",
                     ropes->span_side_m, travel_m);
    }
}

/* Each that weighs nothing is named. */
static bool check_masses(const struct build *build) {
    const struct written_leaf *leaf = &build->written->leaf;
    bool is_good = true;
    for (unsigned i = 0; i < leaf->masses.list.count; i++) {
        if (leaf->masses.item[i].mass_kg <= 0) {
            is_good = build_error(build, build_place("/leaf/masses/%u/mass", i).text,
                                  "must be above zero; leave out what weighs nothing");
        }
    }
    if (!build_is_vertical(build) && leaf->counterweight.mass_kg <= 0) {
        is_good = build_error(build, "/leaf/counterweight/mass",
                              "must be above zero; without a counterweight leave it out");
    }
    return is_good;
}

static bool make_balance(const struct build *build, struct balance *balance) {
    bool is_vertical = build_is_vertical(build);
    if (!check_masses(build) || !check_slides(build)) {
        return false;
    }
    if (!passes(build, "/leaf",
                is_vertical ? balance_of_span(build, balance) : balance_of_leaf(build, balance))) {
        return false;
    }
    double moment = balance_moment(balance, 0);
    if (build->written->lift.kind != WRITTEN_SWING && moment <= 0) {
        build_warning(build, "/leaf",
                      "seated, the counterweight outweighs the span by %.3g %s: the %s would rise "
                      "by itself; leave the span slightly heavy",
                      fabs(moment), is_vertical ? "N" : "N m", is_vertical ? "span" : "toe");
    }
    return true;
}

static double friction(const struct build *build, const struct written_either *written,
                       const char *place, double otherwise) {
    bool is_force = written->quantity == QUANTITY_FORCE;
    if (isnan(written->value)) {
        return otherwise;
    }
    if (is_force != build_is_vertical(build)) {
        build_error(build, place, "is %s: a lift of kind \"%s\" has %s as its friction",
                    quantity_name(written->quantity), kind_names[build->written->lift.kind],
                    is_force ? "a torque, such as \"2 N m\"," : "a force, such as \"6 N\",");
    }
    return written->value;
}

static bool make_motor(const struct build *build, struct motor *motor) {
    const struct written_motor *written = &build->written->motor;
    const struct motor_sheet sheet = {.voltage_v = written->voltage_v,
                                      .no_load_rad_s = written->no_load_rad_s,
                                      .no_load_a = written->no_load_a,
                                      .stall_n_m = written->stall_nm,
                                      .stall_a = written->stall_a};
    if (!passes(build, "/motor", motor_from_sheet(&sheet, motor))) {
        return false;
    }
    if (motor_constants_differ(motor)) {
        build_warning(build, "/motor",
                      "the data sheet contradicts itself: %.3g N m/A from its torques, %.3g V "
                      "s/rad from its speed; both are used",
                      motor->kt_n_m_a, motor->ke_v_s_rad);
    }
    return true;
}

static void check_supply(const struct build *build) {
    const struct written_supply *supply = &build->written->supply;
    if (supply->voltage_v > supply_limit_v) {
        build_warning(
            build, "/supply/voltage",
            "%g V is above %g V, the usual limit of supplies for layouts (NEM 609: safety "
            "extra-low voltage only); follow your local electrical code",
            supply->voltage_v, supply_limit_v);
    }
    if (supply->current_a > supply_limit_a) {
        build_warning(build, "/supply/current",
                      "%g A is above %g A, the limit of NEM 609; fuse the wiring for it and follow "
                      "your local electrical code",
                      supply->current_a, supply_limit_a);
    }
}

static void check_parts(const struct build *build) {
    const struct {
        const char *place;
        bool is_given;
    } parts[] = {
        {"/leaf", build->written->leaf.is.is_given},
        {"/drive", build->written->drive.is.is_given},
        {"/motor", build->written->motor.is.is_given},
        {"/supply", build->written->supply.is.is_given},
    };
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        if (!parts[i].is_given) {
            build_missing(build, parts[i].place, "missing: a powered lift needs it");
        }
    }
}

static void make_chain(struct build *build) {
    const struct config_bridge *bridge = build->bridge;
    double rotor_kg_m2 = build->written->motor.rotor_inertia_kg_m2;
    build->chain.lift = bridge->lift;
    build->chain.balance = bridge->balance;
    build->chain.drive = bridge->drive;
    build->chain.motor = bridge->motor;
    build->chain.supply_v = bridge->supply_v;
    if ((build->missing & SIZING_MOTOR) != 0) {
        build->chain.motor = (struct motor){NAN, NAN, NAN, NAN};
    }
    if ((build->missing & SIZING_SUPPLY) != 0) {
        build->chain.supply_v = NAN;
    }
    build->chain.rotor_inertia_kg_m2 = isnan(rotor_kg_m2) ? rotor_of_540_kg_m2 : rotor_kg_m2;
}

void build_lift(struct build *build) {
    const struct written_leaf *leaf = &build->written->leaf;
    struct config_bridge *bridge = build->bridge;
    bridge->supply_v = build->written->supply.voltage_v;
    bridge->supply_a = build->written->supply.current_a;
    bridge->is_throttle_voltage = build->written->motion.throttle_sets == 1;
    check_supply(build);
    if (!build_is_kind_known(build)) {
        return;
    }
    check_travel(build);
    check_needs(build);
    if (build_is_hand(build)) {
        return;
    }
    check_parts(build);
    build->chain.friction_running = friction(build, &leaf->friction, "/leaf/friction", 0);
    build->chain.friction_static =
        friction(build, &leaf->starting_friction, "/leaf/starting friction",
                 starting_ratio * build->chain.friction_running);
    if (build->chain.friction_static < build->chain.friction_running) {
        build_error(build, "/leaf/starting friction", "is less than the running friction");
    }
    /* Each is looked at, whatever the others are. */
    bool is_driven = build->written->drive.is.is_given && make_drive(build, &bridge->drive);
    if (bridge->drive.has_worm) {
        check_worm(build, &bridge->drive.worm);
    }
    bool is_lifted = make_lift(build, &bridge->drive, &bridge->lift);
    check_ropes(build);
    bool is_balanced = leaf->is.is_given && make_balance(build, &bridge->balance);
    bool is_motored = build->written->motor.is.is_given && make_motor(build, &bridge->motor);
    bool is_supplied = build->written->supply.voltage_v > 0;
    build->missing = (is_lifted ? 0u : SIZING_LIFT) | (is_balanced ? 0u : SIZING_LEAF) |
                     (is_driven ? 0u : SIZING_DRIVE) | (is_motored ? 0u : SIZING_MOTOR) |
                     (is_supplied ? 0u : SIZING_SUPPLY);
    bridge->has_lift = build->missing == 0;
    make_chain(build);
}
