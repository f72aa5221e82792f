#include "io/kernel/pwm.h"

#include "io/kernel/claim.h"

#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

static bool export_channel(struct pwm *pwm, const struct wired_pwm *setup, struct error *error) {
    char name[32];
    snprintf(name, sizeof name, "pwm%u", setup->channel);
    if (!attribute_is_there(setup->chip, name) &&
        !attribute_put_count(setup->chip, "export", setup->channel, error)) {
        return false;
    }
    snprintf(pwm->folder, sizeof pwm->folder, "%s/%s", setup->chip, name);
    return true;
}

static bool claim_channel(struct pwm *pwm, struct error *error) {
    snprintf(pwm->duty_file, sizeof pwm->duty_file, "%s/duty_cycle", pwm->folder);
    pwm->claimed = claim(pwm->duty_file, O_RDONLY, error);
    return pwm->claimed >= 0;
}

/* Older kernels refuse another polarity while it is enabled; it is at duty cycle 0 by then. */
static bool set_polarity(const struct pwm *pwm, bool is_inversed, struct error *error) {
    const char *wanted = is_inversed ? "inversed" : "normal";
    char found[32];
    if (!attribute_is_there(pwm->folder, "polarity")) {
        return !is_inversed ||
               error_set(error, pwm->folder, "this chip cannot invert; wanted \"inversed\"");
    }
    if (!attribute_text(pwm->folder, "polarity", found, sizeof found, error)) {
        return false;
    }
    return strcmp(found, wanted) == 0 || (attribute_put_count(pwm->folder, "enable", 0, error) &&
                                          attribute_put(pwm->folder, "polarity", wanted, error));
}

static bool put_in_order(struct pwm *pwm, const struct wired_pwm *setup, struct error *error) {
    double period_ns;
    if (!attribute_number(pwm->folder, "period", &period_ns, error)) {
        return false;
    }
    /* A channel without a period, never used before, refuses everything else. */
    if (period_ns > 0 && !pwm_rest(pwm, error)) {
        return false;
    }
    return attribute_put_count(pwm->folder, "period", setup->period_ns, error) &&
           pwm_rest(pwm, error) && set_polarity(pwm, setup->is_inversed, error) &&
           attribute_put_count(pwm->folder, "enable", 1, error);
}

bool pwm_open(struct pwm *pwm, const struct wired_pwm *setup, struct error *error) {
    *pwm = (struct pwm){.period_ns = setup->period_ns, .claimed = -1};
    bool is_open = export_channel(pwm, setup, error) && claim_channel(pwm, error) &&
                   put_in_order(pwm, setup, error);
    if (!is_open) {
        pwm_close(pwm);
    }
    return is_open;
}

bool pwm_set(struct pwm *pwm, uint32_t duty_ns, struct error *error) {
    if (duty_ns > pwm->period_ns) {
        return error_set(error, pwm->folder, "a duty cycle of %u ns is longer than the period",
                         duty_ns);
    }
    if (pwm->is_known && pwm->duty_ns == duty_ns) {
        return true;
    }
    pwm->is_known = attribute_put_count(pwm->folder, "duty_cycle", duty_ns, error);
    pwm->duty_ns = duty_ns;
    return pwm->is_known;
}

bool pwm_rest(struct pwm *pwm, struct error *error) {
    pwm->is_known = false;
    return pwm_set(pwm, 0, error);
}

void pwm_crash_set(const struct pwm *pwm, uint32_t duty_ns) {
    char digits[12];
    size_t first = sizeof digits;
    do {
        digits[--first] = (char)('0' + duty_ns % 10);
        duty_ns /= 10;
    } while (duty_ns > 0);
    int fd = open(pwm->duty_file, O_WRONLY | O_TRUNC | O_CLOEXEC);
    if (fd >= 0) {
        ssize_t written = write(fd, digits + first, sizeof digits - first);
        (void)written;
        close(fd);
    }
}

void pwm_close(struct pwm *pwm) {
    if (pwm->claimed >= 0) {
        close(pwm->claimed);
        pwm->claimed = -1;
    }
}
