/* wired_outputs.h: everything that is driven at the terminals: motor, lock, signals, track power,
 * lamps, horn, heartbeat. A write that fails loses the device: everything goes to its safe value,
 * and again every second until all of it could be written and a serial controller has been greeted
 * again; then the device is there again, and the bridge is still in its fault until somebody
 * acknowledges. */
#ifndef IO_WIRED_OUTPUTS_H
#define IO_WIRED_OUTPUTS_H

#include "core/data/outputs.h"
#include "io/kernel/pwm.h"
#include "io/port.h"
#include "io/wired/pin_out.h"
#include "io/wired/wired_motor.h"

enum { WIRED_RETRY_US = 1000000 };

struct wired_outputs {
    const struct wired_setup *setup;
    bool is_dry;
    unsigned pins; /* open */
    struct pin_out pin[WIRED_OUTPUTS_MAX];
    struct wired_motor_port motor;
    struct pwm lock;
    bool has_lock; /* on a servo, open */
    enum lock_drive lock_drive;
    struct pin_out heartbeat;
    uint64_t beat_us; /* of its last change */
    bool is_lost;
    bool is_recovering; /* lost, all is written, and the motor's controller is greeted again */
    uint64_t lost_us;   /* last tried */
};

/* All safe. `tracks` may be NULL. On error nothing is left open. */
bool wired_outputs_open(struct wired_outputs *outputs, const struct wired_setup *setup,
                        const struct gpio_ops *gpio, const struct port_host *host,
                        const struct line_track *tracks, bool is_dry, struct error *error);

/* What goes off is written before what goes on. */
void wired_outputs_put(struct wired_outputs *outputs, const struct bridge_outputs *wanted,
                       uint64_t now_us);

/* Everything to its safe value; the heartbeat stays where it is. Returns whether all was written.
 */
bool wired_outputs_safe(struct wired_outputs *outputs);

/* The same as far as it goes inside a signal handler. */
void wired_outputs_crash_safe(const struct wired_outputs *outputs);

uint32_t wired_outputs_wake_us(const struct wired_outputs *outputs, uint64_t now_us);

void wired_outputs_close(struct wired_outputs *outputs);

#endif
