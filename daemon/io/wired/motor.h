/* motor.h: what the terminals of a motor's power stage must be for an effort: pulses and levels.
 * Whatever the kind, the motor rests for the dead time before it turns the other way, and rest is
 * what it starts with. A serial controller (serial_motor.h) shares the dead time only.
 * Pure. */
#ifndef IO_MOTOR_H
#define IO_MOTOR_H

#include "io/wired/wired_setup.h"

#include <stdbool.h>
#include <stdint.h>

struct motor_terminals {
    double effort; /* that is put out: 0 at rest, whatever was asked for */
    uint32_t pulse_ns[2];
    bool pin[2];
    bool enable;
};

struct motor {
    uint64_t opened_us;
    uint64_t rested_us; /* at rest since */
    bool is_resting;
    int direction; /* of the last drive; 0: none yet */
};

void motor_start(struct motor *motor, uint64_t now_us);

/* For this effort, -1..1; what is not a number is rest. `now_us` never backwards. */
struct motor_terminals motor_step(struct motor *motor, const struct wired_motor *setup,
                                  double effort, uint64_t now_us);

/* Time until motor_step() with the same effort gives something else; UINT32_MAX: never. */
uint32_t motor_wake_us(const struct motor *motor, const struct wired_motor *setup, double effort,
                       uint64_t now_us);

/* Without power; of a radio-control speed controller, its neutral pulse. */
struct motor_terminals motor_safe(const struct wired_motor *setup);

#endif
