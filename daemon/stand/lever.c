#include "stand/lever.h"

#include "base/log.h"
#include "io/wired/time_left.h"

#include <linux/input-event-codes.h>
#include <math.h>

bool lever_open(struct lever *lever, const struct stand_throttle *setup, const struct keys *keys,
                const char *bridge, struct error *error) {
    *lever = (struct lever){.setup = setup, .keys = keys, .bridge = bridge, .share = NAN};
    return setup->kind != STAND_THROTTLE_POTENTIOMETER ||
           iio_open(&lever->iio, setup->iio, setup->channel, error);
}

static double within(double share) {
    return fmax(-1, fmin(share, 1));
}

void lever_take(struct lever *lever, unsigned device, const struct evdev_event *event) {
    const struct stand_throttle *setup = lever->setup;
    if (setup->kind == STAND_THROTTLE_ENCODER && device == setup->device && event->type == EV_REL &&
        event->code == setup->axis) {
        double steps = setup->is_inversed ? -event->value : event->value;
        lever->share = within(lever->share + steps * setup->step_share);
    }
}

double lever_share_of_volts(const struct stand_throttle *setup, double volts) {
    if (!(volts >= setup->least_v && volts <= setup->most_v)) {
        return NAN;
    }
    double up = (volts - setup->rest_v) / (setup->up_v - setup->rest_v);
    double down = (volts - setup->rest_v) / (setup->down_v - setup->rest_v);
    return within(up >= 0 ? up : -down);
}

static void read_volts(struct lever *lever, uint64_t now_us) {
    struct error error = {.what = "the voltage is out of range, as with a broken wire"};
    double volts = NAN;
    lever->read_us = now_us;
    lever->share =
        iio_read(&lever->iio, &volts, &error) ? lever_share_of_volts(lever->setup, volts) : NAN;
    if (isnan(lever->share) && !lever->is_told) {
        log_line(LOG_WARNING, "%s: stand: the throttle gives no reading, and counts as let go: %s",
                 lever->bridge, error.what);
    }
    lever->is_told = isnan(lever->share);
}

double lever_share(struct lever *lever, bool is_gripped, uint64_t now_us) {
    const struct stand_throttle *setup = lever->setup;
    bool is_new = is_gripped && !lever->is_gripped;
    lever->is_gripped = is_gripped;
    switch (setup->kind) {
    case STAND_THROTTLE_NONE:
        return NAN;
    case STAND_THROTTLE_POTENTIOMETER:
        if (is_new || (is_gripped && now_us - lever->read_us >= setup->poll_us)) {
            read_volts(lever, now_us);
        }
        break;
    case STAND_THROTTLE_ENCODER:
        lever->share = !keys_is_there(lever->keys, setup->device) ? NAN
                       : is_new || isnan(lever->share)            ? 0
                                                                  : lever->share;
        break;
    case STAND_THROTTLE_JOYSTICK:
        lever->share = keys_axis(lever->keys, setup->device, setup->axis);
        lever->share = setup->is_inversed ? -lever->share : lever->share;
        break;
    }
    return is_gripped ? lever->share : NAN;
}

uint32_t lever_wake_us(const struct lever *lever, uint64_t now_us) {
    bool is_polled = lever->setup->kind == STAND_THROTTLE_POTENTIOMETER && lever->is_gripped;
    return is_polled ? time_left_us(lever->read_us, lever->setup->poll_us, now_us) : UINT32_MAX;
}
