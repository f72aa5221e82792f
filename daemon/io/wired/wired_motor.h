/* wired_motor.h: the lift's motor at its terminals, of whatever kind (motor.h, serial_motor.h). */
#ifndef IO_WIRED_MOTOR_H
#define IO_WIRED_MOTOR_H

#include "io/kernel/pwm.h"
#include "io/wired/motor.h"
#include "io/wired/pin_out.h"
#include "io/wired/serial_motor.h"

struct wired_motor_port {
    const struct wired_motor *setup;
    bool is_dry;
    bool is_started; /* its time has begun */
    struct motor motor;
    double wanted; /* effort, as of the last drive */
    double effort; /* that is put out */
    struct pwm pwm[2];
    bool is_open[2]; /* of these */
    struct pin_out pin[2], enable;
    bool has_serial;
    struct serial_motor serial;
};

/* At rest. On error nothing is left open but PWMs at rest. What is pointed to outlives this. */
bool wired_motor_open(struct wired_motor_port *port, const struct wired_motor *setup,
                      const struct wired_chip chips[], const struct gpio_ops *gpio,
                      const struct port_host *host, bool is_dry, struct error *error);

/* Puts out this effort, -1..1, or rest while the dead time runs: `port->effort` says. What goes
 * down or off is written before what goes up or on. */
bool wired_motor_drive(struct wired_motor_port *port, double effort, uint64_t now_us,
                       struct error *error);

/* Rest, everywhere, even where a part fails; then it returns false and the first error. */
bool wired_motor_safe(struct wired_motor_port *port, struct error *error);

/* After a loss, with everything safe: opens a lost serial line anew. Returns whether nothing is
 * lost. May take a while. */
bool wired_motor_reopen(struct wired_motor_port *port, uint64_t now_us, struct error *error);

/* After that: goes on at rest until a serial controller has been greeted again. Returns false when
 * it is lost once more; `is_ready` says whether it can be believed. */
bool wired_motor_recover(struct wired_motor_port *port, uint64_t now_us, bool *is_ready,
                         struct error *error);

/* Rest, as far as it goes inside a signal handler. */
void wired_motor_crash_safe(const struct wired_motor_port *port);

uint32_t wired_motor_wake_us(const struct wired_motor_port *port, uint64_t now_us);

void wired_motor_close(struct wired_motor_port *port);

#endif
