/* pwm.h: one PWM output of the kernel, in its folder in sysfs (Linux, driver-api/pwm.rst and
 * ABI/testing/sysfs-class-pwm). Times in nanoseconds.
 * The level of a disabled PWM is not promised: rest is duty cycle 0 with `enable` kept at 1, and so
 * it is left at the end. What holds the power stage off when the computer is dead, or before this
 * program runs, is a resistor. */
#ifndef IO_PWM_H
#define IO_PWM_H

#include "base/error.h"
#include "io/kernel/attribute.h"
#include "io/wired/wired_setup.h"

#include <stdbool.h>
#include <stdint.h>

struct pwm {
    char folder[ATTRIBUTE_PATH_SIZE];
    char duty_file[ATTRIBUTE_PATH_SIZE + 16];
    uint32_t period_ns;
    uint32_t duty_ns; /* as last written */
    bool is_known;    /* that this is what the kernel has */
    int claimed;      /* a descriptor that is only held: claim.h */
};

/* Exports the channel if nobody has, claims it, and puts it at rest: duty cycle 0, the period and
 * polarity as set, enabled. The duty cycle goes to 0 before anything else changes. Of a channel
 * that another program has claimed nothing is changed. */
bool pwm_open(struct pwm *pwm, const struct wired_pwm *setup, struct error *error);

/* `duty_ns` up to the period. Writes on change only. */
bool pwm_set(struct pwm *pwm, uint32_t duty_ns, struct error *error);

/* Duty cycle 0, written whatever was written before. */
bool pwm_rest(struct pwm *pwm, struct error *error);

/* Async-signal-safe: writes this duty cycle, whatever was written before. */
void pwm_crash_set(const struct pwm *pwm, uint32_t duty_ns);

/* Lets go of the claim, and leaves the channel as it is. For one that was opened. */
void pwm_close(struct pwm *pwm);

#endif
