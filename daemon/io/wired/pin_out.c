#include "io/wired/pin_out.h"

#include "base/log.h"

#include <stdio.h>

static bool is_there(const struct pin_out *out) {
    return out->pin != NULL && out->pin->is_used;
}

bool pin_out_open(struct pin_out *out, const struct wired_pin *pin, const struct wired_chip chips[],
                  const char *label, const struct gpio_ops *gpio, bool is_dry,
                  struct error *error) {
    *out = (struct pin_out){.gpio = gpio, .pin = pin, .is_dry = is_dry, .is_known = true};
    snprintf(out->label, sizeof out->label, "%s", label);
    if (!is_there(out) || is_dry) {
        return true;
    }
    out->handle =
        gpio->open_output(chips[pin->chip].device, pin->offset, pin->is_active_low, error);
    return out->handle != NULL;
}

bool pin_out_put(struct pin_out *out, bool is_on, struct error *error) {
    if (!is_there(out) || (out->is_known && out->is_on == is_on)) {
        return true;
    }
    if (out->is_dry) {
        log_line(LOG_NOTICE, "dry run: would switch %s %s", out->label, is_on ? "on" : "off");
        out->is_known = true;
    } else {
        out->is_known = out->gpio->write(out->handle, is_on != out->pin->is_active_low, error);
    }
    out->is_on = is_on;
    return out->is_known;
}

bool pin_out_rest(struct pin_out *out, struct error *error) {
    if (!is_there(out) || (!out->is_dry && out->handle == NULL)) {
        return true;
    }
    out->is_known = out->is_dry && out->is_known;
    return pin_out_put(out, false, error);
}

void pin_out_crash_rest(const struct pin_out *out) {
    if (is_there(out) && out->handle != NULL) {
        out->gpio->write(out->handle, out->pin->is_active_low, NULL);
    }
}

void pin_out_close(struct pin_out *out) {
    if (out->handle != NULL) {
        out->gpio->close(out->handle);
        out->handle = NULL;
    }
}
