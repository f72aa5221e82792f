/* The hand throttle of a stand: where it is, and what lets it go. */
#include "config/build/stand/build_stand.h"
#include "config/tables/stand_keys.h"

#include <math.h>
#include <string.h>

static void set_potentiometer(struct standing *standing) {
    const struct written_throttle *written = &standing->written->throttle;
    struct stand_throttle *throttle = &standing->setup->throttle;
    double lower = fmin(written->down_v, written->up_v),
           upper = fmax(written->down_v, written->up_v);
    double margin = 0.1 * (upper - lower);
    memcpy(throttle->iio, written->device, sizeof throttle->iio);
    memcpy(throttle->channel, written->channel, sizeof throttle->channel);
    throttle->down_v = written->down_v;
    throttle->up_v = written->up_v;
    throttle->rest_v = isnan(written->rest_v) ? (lower + upper) / 2 : written->rest_v;
    throttle->least_v = !isnan(written->least_v) ? written->least_v
                        : lower > 0              ? fmax(lower - margin, lower / 2)
                                                 : lower - margin;
    throttle->most_v = isnan(written->most_v) ? upper + margin : written->most_v;
    throttle->poll_us = build_us(written->poll_s);
    if (throttle->iio[0] == '\0' || throttle->channel[0] == '\0') {
        build_error(standing->build, "/stand/throttle", "needs a \"device\" and a \"channel\"");
    }
    if (!(throttle->rest_v > lower + margin && throttle->rest_v < upper - margin)) {
        build_error(standing->build, "/stand/throttle",
                    "needs \"full down\" and \"full up\", and \"rest\" well between them");
    } else if (!(throttle->least_v < lower && throttle->most_v > upper)) {
        build_error(standing->build, "/stand/throttle",
                    "both ends must lie between \"least\" and \"most\"");
    }
}

static void set_axis(struct standing *standing) {
    const struct written_throttle *written = &standing->written->throttle;
    struct stand_throttle *throttle = &standing->setup->throttle;
    bool is_encoder = throttle->kind == STAND_THROTTLE_ENCODER;
    enum { Y = 1, DIAL = 7 };
    int axis = written->axis >= 0 ? written->axis : is_encoder ? DIAL : Y;
    throttle->axis = stand_axis_code(axis);
    throttle->is_inversed = written->is_inversed;
    throttle->step_share = written->step_share;
    if (stand_axis_is_relative(axis) != is_encoder) {
        build_error(standing->build, "/stand/throttle/axis",
                    is_encoder ? "an encoder has steps: wanted \"dial\", \"wheel\", \"step x\" or "
                                 "\"step y\""
                               : "a joystick has a place: wanted \"x\", \"y\", \"z\", \"rx\", "
                                 "\"ry\", \"rz\" or \"throttle\"");
    }
    build_stand_find_device(standing, build_place("/stand/throttle/device"), written->device,
                            &throttle->device);
}

void build_stand_throttle(struct standing *standing) {
    const struct written_throttle *written = &standing->written->throttle;
    struct stand_throttle *throttle = &standing->setup->throttle;
    if (!written->is.is_given || written->kind < 0) {
        return;
    }
    throttle->kind = (enum stand_throttle_kind)(written->kind + 1);
    throttle->is_voltage = written->sets == 1;
    throttle->dead_share = written->dead_share;
    if (throttle->kind == STAND_THROTTLE_POTENTIOMETER) {
        set_potentiometer(standing);
    } else {
        set_axis(standing);
    }
    if (build_is_hand(standing->build)) {
        build_error(standing->build, "/stand/throttle", "a span moved by hand has no lift");
    }
}

/* What stays where it is let go is not let go by itself. */
void build_stand_grip(const struct standing *standing) {
    enum stand_throttle_kind kind = standing->setup->throttle.kind;
    bool stays = kind == STAND_THROTTLE_POTENTIOMETER || kind == STAND_THROTTLE_ENCODER;
    if (stays && !build_stand_has(standing, STAND_GRIP)) {
        build_error(
            standing->build, "/stand/throttle/kind",
            "it stays where it is when the hand lets go: wanted a control that asks \"grip\" "
            "and must be held");
    }
}
