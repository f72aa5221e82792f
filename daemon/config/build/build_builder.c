/* What a builder asks beyond what moves the span: motor heat, loads and the like. */
#include "config/build/build.h"
#include "mechanics/number.h"
#include "mechanics/scale/scale.h"
#include "mechanics/stiffness/beam.h"

#include <math.h>

static void set_heat(const struct build *build, struct builder_given *builder) {
    const struct written_heat *heat = &build->written->motor.heat;
    const struct written_evening *evening = &build->written->evening;
    builder->heat = (struct heat){.to_case_k_w = heat->to_case_k_w,
                                  .to_air_k_w = heat->to_air_k_w,
                                  .winding_s = heat->winding_s,
                                  .case_s = heat->case_s,
                                  .air_c = heat->air_c,
                                  .limit_c = heat->limit_c};
    builder->duty = (struct duty){evening->openings, evening->every_s, evening->open_s};
    const char *fault = heat_check(&builder->heat);
    if (fault != NULL) {
        build_error(build, "/motor/heat", "%s", fault);
    }
}

static void set_lead(const struct build *build, struct builder_given *builder) {
    const struct written_supply *supply = &build->written->supply;
    builder->lead_m = supply->lead_m;
    builder->wire_mm2 = supply->wire_m2 * 1e6;
}

static void set_loads(const struct build *build, struct builder_given *builder) {
    const struct written_pinion *pinion = &build->written->drive.pinion;
    const struct written_bearings *bearings = &build->written->leaf.bearings;
    builder->teeth = pinion->teeth;
    builder->module_m = pinion->module_m;
    builder->face_m = pinion->face_m;
    builder->tooth_pa = pinion->strength_pa;
    builder->bearings = (struct axis_bearings){.count = bearings->count,
                                               .diameter_m = bearings->diameter_m,
                                               .length_m = bearings->length_m,
                                               .pressure_pa = bearings->pressure_pa,
                                               .mu = bearings->friction};
}

/* Of a vertical lift from seat to seat; else up to the toe, whatever length is not given. */
static void set_trains(const struct build *build, struct builder_given *builder) {
    const struct written_tracks *tracks = &build->written->tracks;
    double toe_m = build->written->leaf.toe_m;
    _Static_assert((int)BUILDER_TRACKS_MAX == (int)BRIDGE_TRACKS_MAX, "a train each");
    builder->trains = tracks->list.count;
    for (unsigned i = 0; i < builder->trains; i++) {
        const struct written_track *track = &tracks->item[i];
        double span_m = isnan(track->span_m) ? toe_m : track->span_m;
        double to_m = build_is_vertical(build) ? span_m : toe_m;
        double length_m = isnan(track->fastest.length_m) ? span_m : track->fastest.length_m;
        builder->train[i] =
            (struct seats_train){track->fastest.mass_kg, length_m, to_m - span_m, to_m};
    }
}

static void set_tower(const struct build *build, struct builder_given *builder) {
    const struct written_tower *tower = &build->written->tower;
    double middle_m = (tower->front_m + tower->back_m) / 2;
    builder->push_n = build->written->leaf.push_n;
    builder->tower =
        (struct bump_tower){.mass_kg = tower->mass_kg,
                            .centre_m = tower->centre_m,
                            .height_m = tower->height_m,
                            .front_m = tower->front_m,
                            .back_m = tower->back_m,
                            .width_m = tower->width_m,
                            .screws_n = tower->screws * tower->screw_n,
                            .screws_m = isnan(tower->screws_m) ? middle_m : tower->screws_m};
    const char *fault = tower->is.is_given ? bump_tower_check(&builder->tower) : NULL;
    if (fault != NULL) {
        build_error(build, "/tower", "%s", fault);
    }
}

/* "1:12" is a twelfth. */
static void set_scale(const struct build *build, struct builder_given *builder) {
    double scale = build->written->scale;
    builder->scale = scale < 1 ? 1 / scale : scale;
    builder->prototype_opening_s = build->written->prototype.opening_s;
    builder->prototype_leaf_m = build->written->prototype.leaf_m;
    builder->joint_m =
        isnan(build->written->joint_m) ? scale_joint_m(builder->scale) : build->written->joint_m;
}

static void set_backlash(const struct build *build, struct builder_given *builder) {
    const struct written_drive *drive = &build->written->drive;
    double usual_m = build_is_vertical(build) ? 0 : drive->pinion.module_m / 8;
    builder->backlash =
        (struct backlash){drive->planetary.is.is_given ? drive->planetary.play_rad : 0,
                          drive->worm.is.is_given ? drive->worm.play_rad : 0,
                          isnan(drive->rack_play_m) ? usual_m : drive->rack_play_m};
    builder->tolerance_frac = build->net->setup.motion.position_tolerance_frac;
}

static double stiffness(const struct build *build) {
    const struct written_girders *girders = &build->written->leaf.girders;
    const struct beam_section section = {girders->count, girders->width_m, girders->height_m,
                                         isnan(girders->wall_m) ? 0 : girders->wall_m,
                                         girders->modulus_pa};
    if (!girders->is.is_given) {
        return NAN;
    }
    if (isnan(girders->weight_kg) != isnan(girders->sag_m)) {
        build_error(build, "/leaf/girders", "a weight needs its sag, and a sag its weight");
    }
    if (!isnan(girders->sag_m) && isnan(build->written->leaf.toe_m)) {
        build_error(build, "/leaf/girders",
                    "a sag is measured at the toe: give \"toe\", or the section instead");
    }
    if (!isnan(girders->sag_m)) {
        return beam_stiffness_measured(girders->weight_kg * NUMBER_GRAVITY_M_S2,
                                       build->written->leaf.toe_m, girders->sag_m);
    }
    const char *fault = beam_section_check(&section);
    if (fault != NULL) {
        build_error(build, "/leaf/girders", "%s", fault);
    }
    return beam_stiffness_of(&section); /* NAN where width or height is missing */
}

/* Even from axis to toe, with the moment of the parts in front of the axis. */
static void set_stiffness(const struct build *build, struct builder_given *builder) {
    const struct written_leaf *leaf = &build->written->leaf;
    double moment_n_m = 0;
    for (unsigned i = 0; i < leaf->masses.list.count; i++) {
        const struct written_mass *mass = &leaf->masses.item[i];
        moment_n_m += mass->mass_kg * NUMBER_GRAVITY_M_S2 * fmax(mass->at_m[0], 0);
    }
    builder->leaf_n_m = 2 * moment_n_m / (leaf->toe_m * leaf->toe_m);
    builder->stiffness_n_m2 = stiffness(build);
    builder->overhang_m = leaf->overhang_m;
}

/* What carries a vertical, and what a rolling lift. */
static void set_ways(const struct build *build, struct builder_given *builder) {
    const struct written_ropes *ropes = &build->written->leaf.ropes;
    builder->rope = (struct rope){.is_chain = ropes->is_chain,
                                  .diameter_m = ropes->diameter_m,
                                  .breaking_n = ropes->breaking_n,
                                  .modulus_pa = ropes->modulus_pa,
                                  .sheave_m = ropes->sheave_m};
    builder->is_track_toothed = build->written->lift.is_track_toothed;
    builder->track_mu = build->written->lift.track_friction;
}

static void set_stall_watch(const struct build *build, struct builder_given *builder) {
    const struct motion_setup *motion = &build->net->setup.motion;
    if (motion->has_current) {
        builder->stall_watch = BUILDER_WATCH_STALL;
        builder->stall_watch_s = motion->stall_us / 1e6;
    } else if (motion->has_position) {
        builder->stall_watch = BUILDER_WATCH_NO_MOVEMENT;
        builder->stall_watch_s = motion->no_movement_us / 1e6;
    } else {
        builder->stall_watch = BUILDER_WATCH_TRAVEL;
        builder->stall_watch_s = motion->travel_limit_us / 1e6;
    }
}

void build_builder(struct build *build) {
    struct builder_given *builder = &build->bridge->sizing.builder;
    set_heat(build, builder);
    set_lead(build, builder);
    set_loads(build, builder);
    set_trains(build, builder);
    set_tower(build, builder);
    set_scale(build, builder);
    set_backlash(build, builder);
    set_stiffness(build, builder);
    set_ways(build, builder);
    if (build->bridge->has_lift) {
        set_stall_watch(build, builder);
    }
}
