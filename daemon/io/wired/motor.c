#include "io/wired/motor.h"

#include "io/wired/time_left.h"

#include <math.h>

void motor_start(struct motor *motor, uint64_t now_us) {
    *motor = (struct motor){.opened_us = now_us, .rested_us = now_us, .is_resting = true};
}

static double bounded(const struct wired_motor *setup, double effort) {
    if (!isfinite(effort) ||
        (setup->kind == WIRED_MOTOR_RELAYS && fabs(effort) < setup->least_effort)) {
        return 0;
    }
    return fmax(-1, fmin(1, effort));
}

/* How long it must go on resting before it may be driven in this direction. A motor that was never
 * driven may have been driven by an earlier process: it rests too. */
static uint32_t must_rest_us(const struct motor *motor, const struct wired_motor *setup,
                             int direction, uint64_t now_us) {
    uint32_t arming_us = setup->kind == WIRED_MOTOR_PULSE
                             ? time_left_us(motor->opened_us, setup->arming_us, now_us)
                             : 0;
    uint32_t dead_us = 0;
    if (direction != motor->direction) {
        dead_us = motor->is_resting ? time_left_us(motor->rested_us, setup->dead_us, now_us)
                                    : setup->dead_us;
    }
    return arming_us > dead_us ? arming_us : dead_us;
}

static uint32_t pulse_ns(const struct wired_motor *setup, double effort) {
    uint32_t full_ns = effort > 0 ? setup->raise_ns : setup->lower_ns;
    double neutral_ns = setup->neutral_ns;
    return (uint32_t)lround(neutral_ns + fabs(effort) * ((double)full_ns - neutral_ns));
}

static uint32_t share_ns(const struct wired_pwm *pwm, double share) {
    return (uint32_t)lround(share * pwm->period_ns);
}

static struct motor_terminals terminals(const struct wired_motor *setup, double effort,
                                        int direction) {
    struct motor_terminals out = {.effort = effort, .enable = effort != 0};
    switch (setup->kind) {
    case WIRED_MOTOR_NONE:
    case WIRED_MOTOR_SERIAL:
        break;
    case WIRED_MOTOR_TWO_WIRE:
        out.pulse_ns[0] = share_ns(&setup->pwm[0], fmax(0, effort));
        out.pulse_ns[1] = share_ns(&setup->pwm[1], fmax(0, -effort));
        break;
    case WIRED_MOTOR_PHASE:
        out.pulse_ns[0] = share_ns(&setup->pwm[0], fabs(effort));
        out.pin[0] = direction > 0;
        break;
    case WIRED_MOTOR_PULSE:
        out.pulse_ns[0] = pulse_ns(setup, effort);
        out.enable = true; /* it is armed by pulses while it has power */
        break;
    case WIRED_MOTOR_RELAYS:
        out.pin[0] = effort > 0;
        out.pin[1] = effort < 0;
        break;
    }
    return out;
}

struct motor_terminals motor_step(struct motor *motor, const struct wired_motor *setup,
                                  double effort, uint64_t now_us) {
    effort = bounded(setup, effort);
    int direction = effort > 0 ? 1 : -1;
    if (effort == 0 || must_rest_us(motor, setup, direction, now_us) > 0) {
        if (!motor->is_resting) {
            motor->is_resting = true;
            motor->rested_us = now_us;
        }
        return terminals(setup, 0, motor->direction);
    }
    motor->is_resting = false;
    motor->direction = direction;
    return terminals(setup, effort, direction);
}

uint32_t motor_wake_us(const struct motor *motor, const struct wired_motor *setup, double effort,
                       uint64_t now_us) {
    effort = bounded(setup, effort);
    if (effort == 0 || !motor->is_resting) {
        return UINT32_MAX;
    }
    return must_rest_us(motor, setup, effort > 0 ? 1 : -1, now_us);
}

struct motor_terminals motor_safe(const struct wired_motor *setup) {
    struct motor_terminals out = terminals(setup, 0, 0);
    out.enable = false;
    return out;
}
