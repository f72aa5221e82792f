/* What a builder asks beyond what moves the span: motor heat, loads and the like. */
#include "config/build/build.h"

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
    if (build->bridge->has_lift) {
        set_stall_watch(build, builder);
    }
}
