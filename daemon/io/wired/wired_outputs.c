#include "io/wired/wired_outputs.h"

#include "base/log.h"
#include "io/wired/time_left.h"

#include <string.h>

/* ---- what is wanted */

static bool is_on(const struct wired_output *output, const struct bridge_outputs *wanted) {
    return lines_wants_on(wanted, output->line, output->when);
}

/* ---- opening */

static bool open_pins(struct wired_outputs *outputs, const struct gpio_ops *gpio,
                      const struct line_track *tracks, struct error *error) {
    const struct wired_setup *setup = outputs->setup;
    for (unsigned i = 0; i < setup->outputs; i++) {
        char label[LINE_LABEL_SIZE];
        line_label(tracks, setup->output[i].line, setup->output[i].when, label);
        if (!pin_out_open(&outputs->pin[i], &setup->output[i].pin, setup->chip, label, gpio,
                          outputs->is_dry, error)) {
            return false;
        }
        outputs->pins++;
    }
    return pin_out_open(&outputs->heartbeat, &setup->heartbeat.pin, setup->chip, "heartbeat", gpio,
                        outputs->is_dry, error);
}

static bool open_lock(struct wired_outputs *outputs, struct error *error) {
    const struct wired_pwm *pwm = &outputs->setup->lock.pwm;
    if (pwm->chip[0] == '\0' || outputs->is_dry) {
        return true;
    }
    outputs->has_lock = pwm_open(&outputs->lock, pwm, error);
    return outputs->has_lock;
}

bool wired_outputs_open(struct wired_outputs *outputs, const struct wired_setup *setup,
                        const struct gpio_ops *gpio, const struct port_host *host,
                        const struct line_track *tracks, bool is_dry, struct error *error) {
    memset(outputs, 0, sizeof *outputs);
    outputs->setup = setup;
    outputs->is_dry = is_dry;
    outputs->motor.serial.fd = -1;
    if (!wired_motor_open(&outputs->motor, &setup->motor, setup->chip, gpio, host, is_dry, error) ||
        !open_pins(outputs, gpio, tracks, error) || !open_lock(outputs, error)) {
        wired_outputs_close(outputs);
        return false;
    }
    return true;
}

/* ---- putting out */

static bool put_pins(struct wired_outputs *outputs, const struct bridge_outputs *wanted, bool on,
                     struct error *error) {
    for (unsigned i = 0; i < outputs->pins; i++) {
        if (is_on(&outputs->setup->output[i], wanted) == on &&
            !pin_out_put(&outputs->pin[i], on, error)) {
            return false;
        }
    }
    return true;
}

static bool put_lock(struct wired_outputs *outputs, enum lock_drive drive, struct error *error) {
    const struct wired_lock *lock = &outputs->setup->lock;
    static const char *const words[] = {
        [LOCK_DRIVE_REST] = "leave the lock servo at rest",
        [LOCK_DRIVE_DRIVEN] = "drive the lock",
        [LOCK_DRIVE_WITHDRAWN] = "withdraw the lock",
    };
    if (outputs->is_dry && lock->pwm.chip[0] != '\0' && drive != outputs->lock_drive) {
        log_line(LOG_NOTICE, "dry run: would %s", words[drive]);
    }
    outputs->lock_drive = drive;
    if (!outputs->has_lock) {
        return true;
    }
    uint32_t pulse_ns = 0;
    switch (drive) {
    case LOCK_DRIVE_REST:
        break;
    case LOCK_DRIVE_DRIVEN:
        pulse_ns = lock->driven_ns;
        break;
    case LOCK_DRIVE_WITHDRAWN:
        pulse_ns = lock->withdrawn_ns;
        break;
    }
    return pwm_set(&outputs->lock, pulse_ns, error);
}

static bool put_all(struct wired_outputs *outputs, struct bridge_outputs wanted, uint64_t now_us,
                    struct error *error) {
    /* What goes off, then the motor, then what goes on: signals are at stop, power is off and the
     * brake applied before anything moves, and the brake lets go of a span that is driven already.
     * While the dead time keeps the motor at rest, nothing but the brake holds the span. */
    bool is_motor_here = outputs->setup->motor.kind != WIRED_MOTOR_NONE;
    struct bridge_outputs off_first = wanted;
    off_first.brake_released = wanted.brake_released && wanted.lift_effort != 0;
    if (!put_pins(outputs, &off_first, false, error) ||
        !wired_motor_drive(&outputs->motor, wanted.lift_effort, now_us, error)) {
        return false;
    }
    wanted.brake_released = wanted.brake_released && (!is_motor_here || outputs->motor.effort != 0);
    return put_pins(outputs, &wanted, false, error) && put_pins(outputs, &wanted, true, error) &&
           put_lock(outputs, wanted.lock, error);
}

/* Only from here, and so only while sense, decide and act go round: a hung loop stops it. */
static bool beat(struct wired_outputs *outputs, uint64_t now_us, struct error *error) {
    if (now_us - outputs->beat_us < outputs->setup->heartbeat.half_us) {
        return true;
    }
    outputs->beat_us = now_us;
    struct pin_out *pin = &outputs->heartbeat;
    return outputs->is_dry || pin_out_put(pin, !pin->is_on, error);
}

static void lose(struct wired_outputs *outputs, const struct error *error, uint64_t now_us) {
    log_line(LOG_ERROR, "cannot write an output, setting all to their safe values: %s: %s",
             error->where, error->what);
    wired_outputs_safe(outputs);
    outputs->is_lost = true;
    outputs->lost_us = now_us;
}

/* What is written at once comes first: opening a line anew may take a while. */
static bool make_all_safe(struct wired_outputs *outputs, uint64_t now_us, struct error *error) {
    return wired_outputs_safe(outputs) ||
           (wired_motor_reopen(&outputs->motor, now_us, error) && wired_outputs_safe(outputs));
}

static void retry(struct wired_outputs *outputs, uint64_t now_us) {
    struct error error = {.where = ""};
    bool is_ready = false;
    if (!outputs->is_recovering) {
        if (now_us - outputs->lost_us < WIRED_RETRY_US) {
            return;
        }
        outputs->lost_us = now_us;
        outputs->is_recovering = make_all_safe(outputs, now_us, &error);
    }
    outputs->is_recovering =
        outputs->is_recovering && wired_motor_recover(&outputs->motor, now_us, &is_ready, &error);
    if (outputs->is_recovering && is_ready) {
        outputs->is_lost = outputs->is_recovering = false;
        log_line(LOG_NOTICE, "the outputs can be written again");
    }
}

void wired_outputs_put(struct wired_outputs *outputs, const struct bridge_outputs *wanted,
                       uint64_t now_us) {
    struct error error = {.where = ""};
    if (outputs->is_lost) {
        retry(outputs, now_us);
    } else if (!put_all(outputs, *wanted, now_us, &error) || !beat(outputs, now_us, &error)) {
        lose(outputs, &error, now_us);
    }
}

/* The motor first: nothing else can hurt so soon. What was written before is not believed: another
 * program, a reset of the chip or a lost write may have changed it. */
bool wired_outputs_safe(struct wired_outputs *outputs) {
    bool is_good = wired_motor_safe(&outputs->motor, NULL);
    for (unsigned i = 0; i < outputs->pins; i++) {
        is_good = pin_out_rest(&outputs->pin[i], NULL) && is_good;
    }
    if (outputs->has_lock) {
        is_good = pwm_rest(&outputs->lock, NULL) && is_good;
    }
    return is_good;
}

void wired_outputs_crash_safe(const struct wired_outputs *outputs) {
    wired_motor_crash_safe(&outputs->motor);
    for (unsigned i = 0; i < outputs->pins; i++) {
        pin_out_crash_rest(&outputs->pin[i]);
    }
    if (outputs->has_lock) {
        pwm_crash_set(&outputs->lock, 0);
    }
}

uint32_t wired_outputs_wake_us(const struct wired_outputs *outputs, uint64_t now_us) {
    if (outputs->is_recovering) {
        return wired_motor_wake_us(&outputs->motor, now_us);
    }
    if (outputs->is_lost) {
        return time_left_us(outputs->lost_us, WIRED_RETRY_US, now_us);
    }
    uint32_t motor_us = wired_motor_wake_us(&outputs->motor, now_us);
    const struct wired_heartbeat *heartbeat = &outputs->setup->heartbeat;
    uint32_t beat_us = heartbeat->pin.is_used
                           ? time_left_us(outputs->beat_us, heartbeat->half_us, now_us)
                           : UINT32_MAX;
    return motor_us < beat_us ? motor_us : beat_us;
}

void wired_outputs_close(struct wired_outputs *outputs) {
    for (unsigned i = 0; i < outputs->pins; i++) {
        pin_out_close(&outputs->pin[i]);
    }
    outputs->pins = 0;
    pin_out_close(&outputs->heartbeat);
    if (outputs->has_lock) {
        pwm_close(&outputs->lock);
        outputs->has_lock = false;
    }
    wired_motor_close(&outputs->motor);
}
