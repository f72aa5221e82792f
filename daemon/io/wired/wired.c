#include "io/wired/wired.h"

#include "base/log.h"
#include "core/timing.h"
#include "io/wired/wired_inputs.h"
#include "io/wired/wired_outputs.h"
#include "io/wired/wired_sensor.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct wired {
    struct wired_setup setup;
    const struct bridge_inputs *seen; /* of all parts of a composite; or NULL */
    struct line_track tracks[BRIDGE_TRACKS_MAX];
    bool has_tracks;
    bool is_dry;
    uint64_t now_us; /* of the last sense or act */
    struct wired_inputs inputs;
    struct wired_outputs outputs;
    struct wired_sensor_port position, current;
    bool has_told; /* dry run: `told` was */
    struct bridge_inputs told;
};

/* Outputs first: they are safe before anything else is looked at. */
static bool open_all(struct wired *wired, const struct gpio_ops *gpio, const struct port_host *host,
                     struct error *error) {
    const struct wired_setup *setup = &wired->setup;
    if (!wired_outputs_open(&wired->outputs, setup, gpio, host,
                            wired->has_tracks ? wired->tracks : NULL, wired->is_dry, error)) {
        return false;
    }
    if (!wired_inputs_open(&wired->inputs, setup, gpio, host, error)) {
        wired_outputs_close(&wired->outputs);
        return false;
    }
    if (!wired_sensor_open(&wired->position, &setup->position, setup->chip, "position", gpio, host,
                           error) ||
        !wired_sensor_open(&wired->current, &setup->current, setup->chip, "current", gpio, host,
                           error)) {
        wired_sensor_close(&wired->position);
        wired_inputs_close(&wired->inputs);
        wired_outputs_close(&wired->outputs);
        return false;
    }
    return true;
}

static void *wired_open(const struct port_settings *settings, const struct port_host *host,
                        struct error *error) {
    const struct wired_setup *setup = port_own(settings, wired_ops.name);
    const struct gpio_ops *gpio = port_own(settings, WIRED_GPIO);
    if (setup == NULL) {
        error_set(error, "wired", "the configuration has no terminals for this driver");
        return NULL;
    }
    struct wired *wired = calloc(1, sizeof *wired);
    if (wired == NULL) {
        error_set(error, "wired", "out of memory");
        return NULL;
    }
    wired->setup = *setup;
    wired->seen = settings->seen;
    wired->is_dry = settings->is_dry;
    wired->has_tracks = settings->tracks != NULL;
    if (wired->has_tracks) {
        memcpy(wired->tracks, settings->tracks, sizeof wired->tracks);
    }
    if (!open_all(wired, gpio != NULL ? gpio : &gpio_kernel, host, error)) {
        free(wired);
        return NULL;
    }
    return wired;
}

/* On the seat, and open where the count is not known: the open contact may make before the travel
 * ends, and the seat is the better place. Never while the motor drives: a contact makes before the
 * span has come to its place, and the zero would be wrong by that. */
static void anchor(struct wired *wired, const struct bridge_inputs *seen, double position_frac) {
    if (wired->outputs.motor.effort != 0) {
        return;
    }
    if (seen->seated == LEVEL_ON) {
        wired_sensor_anchor(&wired->position, 0);
    } else if (seen->open == LEVEL_ON && !isfinite(position_frac)) {
        wired_sensor_anchor(&wired->position, 1);
    }
}

static const char *word_of(enum level level) {
    switch (level) {
    case LEVEL_UNKNOWN:
        return "cannot be read";
    case LEVEL_OFF:
        return "off";
    case LEVEL_ON:
        return "on";
    }
    return "";
}

static void tell_inputs(struct wired *wired, struct bridge_inputs *inputs) {
    for (unsigned i = 0; i < wired->setup.inputs; i++) {
        unsigned line = wired->setup.input[i].line;
        enum level level = *lines_level(inputs, line);
        if (!wired->has_told || level != *lines_level(&wired->told, line)) {
            char name[LINE_NAME_SIZE] = "";
            if (wired->has_tracks) {
                lines_input_name(wired->tracks, line, name);
            }
            log_line(LOG_NOTICE, "dry run: input %s: %s", name, word_of(level));
        }
    }
    if (wired->setup.position.kind != WIRED_SENSOR_NONE &&
        (!wired->has_told || !(fabs(inputs->position_frac - wired->told.position_frac) < 0.01)) &&
        !(wired->has_told && isnan(inputs->position_frac) && isnan(wired->told.position_frac))) {
        log_line(LOG_NOTICE, "dry run: position: %.1f %% of the travel",
                 inputs->position_frac * 100);
        wired->told.position_frac = inputs->position_frac;
    }
    double position_frac = wired->has_told ? wired->told.position_frac : inputs->position_frac;
    wired->told = *inputs;
    wired->told.position_frac = position_frac;
    wired->has_told = true;
}

static void wired_sense(void *port, uint64_t now_us, struct bridge_inputs *inputs) {
    struct wired *wired = port;
    wired->now_us = now_us;
    lines_forget(inputs);
    wired_inputs_sense(&wired->inputs, now_us, inputs);
    const struct bridge_inputs *seen = wired->seen != NULL ? wired->seen : inputs;
    inputs->position_frac = wired_sensor_read(&wired->position, now_us);
    anchor(wired, seen, inputs->position_frac);
    inputs->position_frac = wired_sensor_read(&wired->position, now_us);
    inputs->current_a = wired_sensor_read(&wired->current, now_us);
    inputs->is_device_lost = wired->outputs.is_lost;
    if (wired->is_dry) {
        tell_inputs(wired, inputs);
    }
}

static void wired_act(void *port, uint64_t now_us, const struct bridge_outputs *outputs) {
    struct wired *wired = port;
    wired->now_us = now_us;
    wired_outputs_put(&wired->outputs, outputs, now_us);
    double effort = wired->outputs.motor.effort; /* 0 also while the outputs are lost */
    wired_sensor_drive(&wired->position, effort);
    wired_sensor_drive(&wired->current, effort);
}

static uint32_t wired_wake_us(const void *port) {
    const struct wired *wired = port;
    uint64_t now_us = wired->now_us;
    return sooner_us(sooner_us(wired_inputs_wake_us(&wired->inputs, now_us),
                               wired_outputs_wake_us(&wired->outputs, now_us)),
                     sooner_us(wired_sensor_wake_us(&wired->position, now_us),
                               wired_sensor_wake_us(&wired->current, now_us)));
}

static bool wired_safe(void *port) {
    struct wired *wired = port;
    bool is_safe = wired_outputs_safe(&wired->outputs);
    if (!is_safe) {
        log_line(LOG_ERROR, "not every output could be put to its safe value");
    }
    return is_safe;
}

static void wired_crash_safe(void *port) {
    struct wired *wired = port;
    wired_outputs_crash_safe(&wired->outputs);
}

static void wired_close(void *port) {
    struct wired *wired = port;
    wired_sensor_close(&wired->position);
    wired_sensor_close(&wired->current);
    wired_inputs_close(&wired->inputs);
    wired_outputs_close(&wired->outputs);
    free(wired);
}

static uint64_t wired_fresh_us(const void *port) {
    const struct wired *wired = port;
    return wired_inputs_fresh_us(&wired->inputs, wired->now_us);
}

const struct port_ops wired_ops = {
    .name = "wired",
    .can_run_dry = true,
    .open = wired_open,
    .sense = wired_sense,
    .act = wired_act,
    .wake_us = wired_wake_us,
    .safe = wired_safe,
    .crash_safe = wired_crash_safe,
    .close = wired_close,
    .fresh_us = wired_fresh_us,
};
