#include "io/wired/wired_motor.h"

#include "base/log.h"

#include <math.h>
#include <stdlib.h>

static bool has_pwm(const struct wired_motor *setup, unsigned i) {
    switch (setup->kind) {
    case WIRED_MOTOR_NONE:
    case WIRED_MOTOR_RELAYS:
    case WIRED_MOTOR_SERIAL:
        return false;
    case WIRED_MOTOR_TWO_WIRE:
        return true;
    case WIRED_MOTOR_PHASE:
    case WIRED_MOTOR_PULSE:
        return i == 0;
    }
    return false;
}

static bool open_pulses(struct wired_motor_port *port, struct error *error) {
    struct motor_terminals safe = motor_safe(port->setup);
    for (unsigned i = 0; i < 2; i++) {
        if (!has_pwm(port->setup, i)) {
            continue;
        }
        port->is_open[i] = pwm_open(&port->pwm[i], &port->setup->pwm[i], error);
        if (!port->is_open[i] || !pwm_set(&port->pwm[i], safe.pulse_ns[i], error)) {
            return false;
        }
    }
    return true;
}

bool wired_motor_open(struct wired_motor_port *port, const struct wired_motor *setup,
                      const struct wired_chip chips[], const struct gpio_ops *gpio,
                      const struct port_host *host, bool is_dry, struct error *error) {
    *port = (struct wired_motor_port){.setup = setup, .is_dry = is_dry, .serial = {.fd = -1}};
    port->has_serial = setup->kind == WIRED_MOTOR_SERIAL && !is_dry;
    bool is_good =
        pin_out_open(&port->enable, &setup->enable, chips, "motor enable", gpio, is_dry, error) &&
        pin_out_open(&port->pin[0], &setup->pin[0], chips,
                     setup->kind == WIRED_MOTOR_PHASE ? "motor direction" : "motor raise", gpio,
                     is_dry, error) &&
        pin_out_open(&port->pin[1], &setup->pin[1], chips, "motor lower", gpio, is_dry, error) &&
        (is_dry || open_pulses(port, error)) &&
        (!port->has_serial || serial_motor_open(&port->serial, &setup->serial, host, error));
    if (!is_good) {
        wired_motor_close(port);
    }
    return is_good;
}

/* Pulses before direction: a direction that turns under pulses drives the other way in an instant,
 * at full effort. */
static bool is_turning(const struct wired_motor_port *port, const struct motor_terminals *out) {
    return port->setup->kind == WIRED_MOTOR_PHASE && out->pin[0] != port->pin[0].is_on;
}

static bool put_pulses_down(struct wired_motor_port *port, const struct motor_terminals *out,
                            struct error *error) {
    for (unsigned i = 0; i < 2; i++) {
        uint32_t pulse_ns = is_turning(port, out) ? 0 : out->pulse_ns[i];
        if (port->is_open[i] && pulse_ns < port->pwm[i].duty_ns &&
            !pwm_set(&port->pwm[i], pulse_ns, error)) {
            return false;
        }
    }
    return true;
}

static bool put_pulses(struct wired_motor_port *port, const struct motor_terminals *out,
                       struct error *error) {
    for (unsigned i = 0; i < 2; i++) {
        if (port->is_open[i] && !pwm_set(&port->pwm[i], out->pulse_ns[i], error)) {
            return false;
        }
    }
    return true;
}

static bool put_pins(struct wired_motor_port *port, const struct motor_terminals *out, bool is_on,
                     struct error *error) {
    for (unsigned i = 0; i < 2; i++) {
        if (out->pin[i] == is_on && !pin_out_put(&port->pin[i], is_on, error)) {
            return false;
        }
    }
    return out->enable != is_on || pin_out_put(&port->enable, is_on, error);
}

static int way_of(double effort) {
    return (effort > 0) - (effort < 0);
}

/* Each change of the way it goes, however small the effort, and each tenth of it. */
static void tell_dry(const struct wired_motor_port *port, double effort) {
    if (way_of(effort) != way_of(port->effort) ||
        lround(effort * 10) != lround(port->effort * 10)) {
        log_line(LOG_NOTICE, "dry run: would %s, effort %.0f %%",
                 effort > 0   ? "raise the lift"
                 : effort < 0 ? "lower the lift"
                              : "leave the lift at rest",
                 fabs(effort) * 100);
    }
}

bool wired_motor_drive(struct wired_motor_port *port, double effort, uint64_t now_us,
                       struct error *error) {
    if (port->setup->kind == WIRED_MOTOR_NONE) {
        port->effort = effort;
        return true;
    }
    if (!port->is_started) {
        port->is_started = true;
        motor_start(&port->motor, now_us);
    }
    port->wanted = effort;
    struct motor_terminals out = motor_step(&port->motor, port->setup, effort, now_us);
    if (port->is_dry) {
        tell_dry(port, out.effort);
    }
    port->effort = out.effort;
    /* Off before on: two relays or both ways of a bridge of transistors at once would be a short.
     */
    return put_pulses_down(port, &out, error) && put_pins(port, &out, false, error) &&
           put_pins(port, &out, true, error) && put_pulses(port, &out, error) &&
           (!port->has_serial || serial_motor_drive(&port->serial, out.effort, now_us, error));
}

bool wired_motor_safe(struct wired_motor_port *port, struct error *error) {
    struct motor_terminals safe = motor_safe(port->setup);
    bool is_good = true;
    port->is_started = false; /* afterwards it rests for the dead time, and arms anew */
    port->effort = 0;
    port->wanted = 0;
    for (unsigned i = 0; i < 2; i++) {
        if (port->is_open[i]) {
            port->pwm[i].is_known = false;
            is_good = pwm_set(&port->pwm[i], safe.pulse_ns[i], is_good ? error : NULL) && is_good;
        }
        is_good = pin_out_rest(&port->pin[i], is_good ? error : NULL) && is_good;
    }
    is_good = pin_out_rest(&port->enable, is_good ? error : NULL) && is_good;
    if (port->has_serial) {
        is_good = serial_motor_safe(&port->serial, is_good ? error : NULL) && is_good;
    }
    return is_good;
}

bool wired_motor_reopen(struct wired_motor_port *port, uint64_t now_us, struct error *error) {
    return !port->has_serial || serial_motor_reopen(&port->serial, now_us, error);
}

bool wired_motor_recover(struct wired_motor_port *port, uint64_t now_us, bool *is_ready,
                         struct error *error) {
    if (port->has_serial && !serial_motor_drive(&port->serial, 0, now_us, error)) {
        return false;
    }
    *is_ready = !port->has_serial || serial_motor_is_ready(&port->serial, now_us);
    return true;
}

void wired_motor_crash_safe(const struct wired_motor_port *port) {
    struct motor_terminals safe = motor_safe(port->setup);
    for (unsigned i = 0; i < 2; i++) {
        if (port->is_open[i]) {
            pwm_crash_set(&port->pwm[i], safe.pulse_ns[i]);
        }
        pin_out_crash_rest(&port->pin[i]);
    }
    pin_out_crash_rest(&port->enable);
    if (port->has_serial) {
        serial_motor_crash_stop(&port->serial);
    }
}

uint32_t wired_motor_wake_us(const struct wired_motor_port *port, uint64_t now_us) {
    uint32_t motor_us = port->is_started
                            ? motor_wake_us(&port->motor, port->setup, port->wanted, now_us)
                            : UINT32_MAX;
    uint32_t serial_us =
        port->has_serial ? serial_motor_wake_us(&port->serial, now_us) : UINT32_MAX;
    return motor_us < serial_us ? motor_us : serial_us;
}

void wired_motor_close(struct wired_motor_port *port) {
    for (unsigned i = 0; i < 2; i++) {
        if (port->is_open[i]) {
            pwm_close(&port->pwm[i]);
            port->is_open[i] = false;
        }
    }
    serial_motor_close(&port->serial);
    pin_out_close(&port->enable);
    pin_out_close(&port->pin[0]);
    pin_out_close(&port->pin[1]);
}
