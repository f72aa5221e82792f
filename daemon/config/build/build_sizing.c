/* What the sizing report is made from: the room around the span, the weights wanted, the trains. */
#include "config/build/build.h"
#include "mechanics/number.h"

#include <math.h>
#include <string.h>

static const double default_angle_rad = 30 * NUMBER_PI / 180;

static struct point point_of(const double place[2]) {
    return isnan(place[0]) ? (struct point){0, 0} : (struct point){place[0], place[1]};
}

static double or_else(double written, double otherwise) {
    return isnan(written) ? otherwise : written;
}

/* Copies places and names of the corners; returns how many. */
static unsigned set_outline(const struct written_outline *outline, struct point *corners,
                            char names[][NET_NAME_SIZE]) {
    for (unsigned i = 0; i < outline->list.count; i++) {
        corners[i] = point_of(outline->item[i].at_m);
        memcpy(names[i], outline->item[i].what, NET_NAME_SIZE);
    }
    return outline->list.count;
}

static void set_outlines(const struct build *build, struct sizing_given *sizing) {
    const struct written_leaf *leaf = &build->written->leaf;
    sizing->outline_points =
        set_outline(&leaf->outline, sizing->outline, build->bridge->corner_name);
    sizing->weight_points = set_outline(&leaf->counterweight.outline, sizing->weight_outline,
                                        build->bridge->weight_corner_name);
    if (!build_is_vertical(build) && sizing->weight_points > 0) {
        build_error(build, "/leaf/counterweight/outline",
                    "is for a lift of kind \"vertical\" only; elsewhere the counterweight is part "
                    "of the leaf's outline");
    }
}

static void set_room(const struct build *build, struct sizing_given *sizing) {
    const struct written_room *room = &build->written->room;
    bool rolls = build->written->lift.kind == WRITTEN_ROLLING;
    sizing->has_room = room->is.is_given;
    sizing->least_gap_m = room->least_gap_m;
    sizing->room = (struct outline_room){.axis_height_m = room->axis_height_m,
                                         .roll_radius_m = rolls ? build->written->lift.radius_m : 0,
                                         .ceiling_m = or_else(room->ceiling_m, INFINITY),
                                         .floor_m = or_else(room->floor_m, -INFINITY),
                                         .wall_x_m = -or_else(room->wall_m, INFINITY)};
    bool is_turned = build->is_travel_known && !build_is_vertical(build);
    const char *fault = NULL;
    if (sizing->has_room && is_turned && sizing->outline_points > 0) {
        fault = outline_check(&sizing->room, sizing->outline, sizing->outline_points,
                              build->written->lift.travel.value);
    }
    if (fault != NULL) {
        build_error(build, "/room", "%s", fault);
    }
}

static void set_pocket(const struct build *build, unsigned i, struct sizing_given *sizing) {
    const struct written_pocket *pocket = &build->written->leaf.pockets.item[i];
    sizing->pocket[i] = (struct pocket){
        .at = point_of(pocket->at_m), .block_kg = pocket->block_kg, .blocks_max = pocket->most};
    sizing->pocket_blocks[i] = pocket->holds;
    memcpy(build->bridge->pocket_name[i], pocket->what, sizeof build->bridge->pocket_name[i]);
    if (pocket->holds > pocket->most) {
        build_error(build, build_place("/leaf/pockets/%u/holds", i).text,
                    "%u blocks are more than the %u it holds", pocket->holds, pocket->most);
    }
}

static void set_weights(const struct build *build, struct sizing_given *sizing) {
    const struct written_leaf *leaf = &build->written->leaf;
    sizing->toe_x_m = leaf->toe_m;
    sizing->toe_least_n = leaf->seat.is.is_given ? leaf->seat.least_n : NAN;
    sizing->toe_most_n = leaf->seat.is.is_given ? leaf->seat.most_n : NAN;
    sizing->is_angle_assumed = isnan(leaf->seat.angle_rad);
    sizing->wanted_angle_rad =
        isnan(leaf->seat.angle_rad) ? default_angle_rad : leaf->seat.angle_rad;
    sizing->has_counterweight = leaf->counterweight.is.is_given;
    sizing->counterweight_kg = leaf->counterweight.mass_kg;
    sizing->counterweight = point_of(leaf->counterweight.at_m);
    sizing->pockets = leaf->pockets.list.count;
    for (unsigned i = 0; i < sizing->pockets; i++) {
        set_pocket(build, i, sizing);
    }
    sizing->slides = leaf->slides.list.count;
    for (unsigned i = 0; i < sizing->slides; i++) {
        sizing->slide[i] = build_slide(&leaf->slides.item[i]);
        sizing->slide_now_m[i] = slides_nearest_m(&sizing->slide[i], leaf->slides.item[i].at_m);
        memcpy(build->bridge->slide_name[i], leaf->slides.item[i].what,
               sizeof build->bridge->slide_name[i]);
    }
    if (leaf->seat.least_n >= leaf->seat.most_n) {
        build_error(build, "/leaf/seat/most", "must be more than the minimum");
    }
    if (build_is_vertical(build) && sizing->pockets > 0) {
        build_error(build, "/leaf/pockets", "does not apply to a lift of kind \"vertical\"");
    }
}

/* About a plain pivot pin: a judgement, no source. */
static const double pin_radius_m = 0.005;

static void set_stand(const struct build *build, struct sizing_given *sizing) {
    const struct written_lift *lift = &build->written->lift;
    const struct written_leaf *leaf = &build->written->leaf;
    sizing->stand = (struct swing_stand){.bearing_m = or_else(lift->pivot_bearing_m, pin_radius_m),
                                         .wheels_m = or_else(lift->balance_wheels_m, 0),
                                         .wheels = lift->wheels,
                                         .toe_m = leaf->toe_m,
                                         .heel_m = leaf->heel_m,
                                         .wedge_n = or_else(leaf->wedge_n, 0)};
    const char *fault = swing_check(&sizing->stand);
    if (fault != NULL) {
        build_error(build, "/lift", "%s", fault);
    }
}

static void set_ends(const struct build *build, struct sizing_given *sizing) {
    const struct written_tracks *tracks = &build->written->tracks;
    for (unsigned t = 0; t < tracks->list.count; t++) {
        const struct written_track *track = &tracks->item[t];
        for (unsigned e = 0; e < track->ends.list.count; e++) {
            const struct track_end_setup *setup = &build->net->setup.track[t].end[e];
            sizing->end[t * TRACK_ENDS + e] = (struct sizing_end){
                .is_used = true,
                .has_train = track->fastest.is.is_given,
                .braked = build_train_braked(&track->fastest, track->ends.item[e].grade),
                .dead = build_train_dead(&track->fastest, track->ends.item[e].grade),
                .stop_m = track->ends.item[e].stop_m,
                .approach_m = track->ends.item[e].approach_m,
                .approach_lock_s = setup->approach_lock_us / 1e6};
        }
    }
}

/* What holds at the motor's shaft while it is off. */
static struct backdrive_stop stop_of(const struct build *build) {
    const struct written_motor *written = &build->written->motor;
    const struct motor *motor = &build->chain.motor;
    double no_load_n_m = motor->kt_n_m_a * motor->no_load_a;
    if ((build->missing & SIZING_MOTOR) != 0) { /* a brake is part of it, too */
        return (struct backdrive_stop){0, 0};
    }
    return (struct backdrive_stop){.motor_n_m = isnan(written->rest_nm)
                                                    ? BACKDRIVE_MOTOR_SHARE * no_load_n_m
                                                    : written->rest_nm,
                                   .brake_n_m = written->brake_nm};
}

static void set_watches(const struct build *build, struct sizing_given *sizing) {
    const struct motion_setup *motion = &build->net->setup.motion;
    sizing->law = build_travel_law(motion);
    sizing->stop = stop_of(build);
    sizing->is_rest_assumed = isnan(build->written->motor.rest_nm);
    sizing->supply_a = build->written->supply.current_a;
    sizing->travel_limit_s = motion->travel_limit_us / 1e6;
    sizing->has_current_sensor = motion->has_current;
    sizing->stall_a = motion->stall_a;
    /* No more than the supply can give; fmin() takes the number where that is not known. */
    sizing->stalled_a = fmin(build_stalled_a(build, motion), sizing->supply_a);
}

void build_sizing(struct build *build) {
    struct sizing_given *sizing = &build->bridge->sizing;
    _Static_assert(SIZING_ENDS_MAX == BRIDGE_TRACKS_MAX * TRACK_ENDS, "an end each");
    sizing->is_hand = build_is_hand(build);
    sizing->chain = build->chain;
    sizing->missing = build->missing;
    set_outlines(build, sizing);
    set_room(build, sizing);
    set_weights(build, sizing);
    set_stand(build, sizing);
    set_ends(build, sizing);
    if ((build->missing & ~(unsigned)SIZING_OF_MOTOR) == 0) {
        set_watches(build, sizing);
    }
}
