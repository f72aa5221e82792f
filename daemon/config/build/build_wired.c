/* The terminals of this computer: who is wired where, and whether that is all. */
#include "config/build/build.h"
#include "config/build/build_pins.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SERVO_PERIOD_NS = 20000000, MOTOR_PERIOD_NS = 50000 };

struct wiring {
    struct build *build;
    const struct written_wired *written;
    struct wired_setup *setup;
    struct line_set linked, served;
    bool has_when[LINES_OUTPUTS][LINE_WHEN_GREEN + 1];
    struct pins pins;
};

static uint64_t bit(unsigned number) {
    return UINT64_C(1) << number;
}

static uint32_t nanoseconds(double seconds) {
    return (uint32_t)lround(seconds * 1e9);
}

static void set_pin(struct wiring *wiring, const char *place, const struct written_pin *written,
                    struct wired_pin *pin) {
    build_pins_set(&wiring->pins, place, written, pin);
}

/* ---- inputs and outputs */

/* Closed-circuit principle (49 CFR 236.5; from memory): a broken wire is a restriction. A second
 * contact may work the other way round: then its broken wire disagrees with the first. */
static void check_broken_wire(const struct wiring *wiring, unsigned i,
                              const struct wired_pin *pin) {
    if (pin->is_used && pin->pull == (pin->is_active_low ? WIRED_PULL_DOWN : WIRED_PULL_UP)) {
        build_error(wiring->build, build_place("/wired/inputs/%u/pin/pull", i).text,
                    "with this pull a broken wire would read as made: wanted \"%s\" for a contact "
                    "that is active \"%s\"",
                    pin->is_active_low ? "up" : "down", pin->is_active_low ? "low" : "high");
    }
}

static void add_input(struct wiring *wiring, unsigned i) {
    const struct written_wired_input *written = &wiring->written->inputs.item[i];
    struct place place = build_place("/wired/inputs/%u/input", i);
    struct wired_input input = {.differ_us = build_us(written->differ_s)};
    set_pin(wiring, build_place("/wired/inputs/%u/pin", i).text, &written->pin, &input.pin);
    set_pin(wiring, build_place("/wired/inputs/%u/second", i).text, &written->second,
            &input.second);
    check_broken_wire(wiring, i, &input.pin);
    if (!build_find_input(wiring->build, place.text, written->input, &input.line)) {
        return;
    }
    if (input.line >= LINES_LEVELS) {
        build_error(wiring->build, place.text,
                    "is a measured value: see \"position\" and \"current\"");
    } else if (((wiring->served.inputs | wiring->linked.inputs) & bit(input.line)) != 0) {
        build_error(wiring->build, place.text, "\"%.60s\" is assigned twice", written->input);
    } else {
        wiring->served.inputs |= bit(input.line);
        wiring->setup->input[wiring->setup->inputs++] = input;
    }
}

static void add_output(struct wiring *wiring, unsigned i) {
    const struct written_wired_output *written = &wiring->written->outputs.item[i];
    struct place place = build_place("/wired/outputs/%u/output", i);
    struct wired_output output = {.when = (enum line_when)written->when};
    set_pin(wiring, build_place("/wired/outputs/%u/pin", i).text, &written->pin, &output.pin);
    if (written->when < 0 ||
        !build_find_output(wiring->build, place.text, written->output, &output.line)) {
        return;
    }
    if (output.line == LINE_LIFT) {
        build_error(wiring->build, place.text, "needs a \"power stage\", which keeps a dead time");
    } else if (!build_may_be(output.line, output.when)) {
        build_error(wiring->build, build_place("/wired/outputs/%u/when", i).text,
                    "\"%.60s\" has no such state", written->output);
    } else if (wiring->has_when[output.line][output.when] ||
               (wiring->linked.outputs & bit(output.line)) != 0) {
        build_error(wiring->build, place.text, "\"%.60s\" is assigned twice", written->output);
    } else {
        wiring->has_when[output.line][output.when] = true;
        wiring->served.outputs |= bit(output.line);
        wiring->setup->output[wiring->setup->outputs++] = output;
    }
}

/* ---- pulses, motor, lock */

static void set_pwm(const struct written_pwm *written, uint32_t period_ns, struct wired_pwm *pwm) {
    memcpy(pwm->chip, written->chip, sizeof pwm->chip);
    pwm->channel = written->channel;
    pwm->period_ns = isnan(written->period_s) ? period_ns : nanoseconds(written->period_s);
    pwm->is_inversed = written->is_inversed;
}

static void need(const struct wiring *wiring, bool is_given, const char *key) {
    if (!is_given) {
        build_error(wiring->build, build_place("/wired/power stage/%s", key).text,
                    "needed by this kind of power stage");
    }
}

static void check_stage(const struct wiring *wiring, enum wired_motor_kind kind) {
    const struct written_power_stage *stage = &wiring->written->stage;
    switch (kind) {
    case WIRED_MOTOR_NONE:
        break;
    case WIRED_MOTOR_TWO_WIRE:
        need(wiring, stage->pwm.is.is_given, "pwm");
        need(wiring, stage->lower_pwm.is.is_given, "lower pwm");
        break;
    case WIRED_MOTOR_PHASE:
        need(wiring, stage->pwm.is.is_given, "pwm");
        need(wiring, stage->direction.is.is_given, "direction");
        break;
    case WIRED_MOTOR_PULSE:
        need(wiring, stage->pwm.is.is_given, "pwm");
        if ((stage->full_raise_s - stage->neutral_s) * (stage->full_lower_s - stage->neutral_s) >=
            0) {
            build_error(wiring->build, "/wired/power stage/neutral",
                        "must lie between the pulses for full effort up and down");
        }
        break;
    case WIRED_MOTOR_RELAYS:
        need(wiring, stage->raise.is.is_given, "raise");
        need(wiring, stage->lower.is.is_given, "lower");
        break;
    case WIRED_MOTOR_SERIAL:
        need(wiring, stage->serial.is.is_given, "serial");
        break;
    }
}

static void set_serial(const struct written_serial *written, struct wired_serial *serial) {
    static const unsigned bauds[] = {1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200};
    if (!written->is.is_given) {
        return;
    }
    memcpy(serial->device, written->device, sizeof serial->device);
    serial->baud = bauds[written->baud < 0 ? 0 : written->baud];
    serial->full = written->full;
    serial->greetings = written->greetings.list.count;
    for (unsigned i = 0; i < serial->greetings; i++) {
        memcpy(serial->greeting[i], written->greetings.item[i].line, sizeof serial->greeting[i]);
    }
    memcpy(serial->drive, written->drive, sizeof serial->drive);
    memcpy(serial->stop, written->stop, sizeof serial->stop);
    memcpy(serial->raise_word, written->raise_word, sizeof serial->raise_word);
    memcpy(serial->lower_word, written->lower_word, sizeof serial->lower_word);
    memcpy(serial->reply, written->reply, sizeof serial->reply);
    serial->reply_us = build_us(written->reply_s);
    serial->repeat_us = build_us(written->repeat_s);
}

/* What goes on by itself when the daemon is dead or hangs. */
static void warn_of_running_on(const struct wiring *wiring) {
    const struct wired_motor *motor = &wiring->setup->motor;
    if (!wiring->written->heartbeat.is.is_given) {
        build_warning(
            wiring->build, "/wired/heartbeat",
            "without it nothing outside the daemon notices that it hangs: %s",
            motor->kind == WIRED_MOTOR_RELAYS || motor->enable.is_used
                ? "wire a watchdog relay into the motor's supply"
                : "the motor keeps running as last driven; wire a watchdog relay into its supply");
    }
}

static void set_stage(struct wiring *wiring) {
    const struct written_power_stage *stage = &wiring->written->stage;
    struct wired_motor *motor = &wiring->setup->motor;
    if (!stage->is.is_given || stage->kind < 0) {
        return;
    }
    motor->kind = (enum wired_motor_kind)(stage->kind + 1);
    uint32_t period_ns = motor->kind == WIRED_MOTOR_PULSE ? SERVO_PERIOD_NS : MOTOR_PERIOD_NS;
    set_pwm(&stage->pwm, period_ns, &motor->pwm[0]);
    set_pwm(&stage->lower_pwm, period_ns, &motor->pwm[1]);
    bool is_phase = motor->kind == WIRED_MOTOR_PHASE;
    set_pin(wiring, is_phase ? "/wired/power stage/direction" : "/wired/power stage/raise",
            is_phase ? &stage->direction : &stage->raise, &motor->pin[0]);
    set_pin(wiring, "/wired/power stage/lower", &stage->lower, &motor->pin[1]);
    set_pin(wiring, "/wired/power stage/enable", &stage->enable, &motor->enable);
    motor->dead_us = build_us(stage->dead_s);
    motor->arming_us = build_us(stage->arming_s);
    motor->neutral_ns = nanoseconds(stage->neutral_s);
    motor->raise_ns = nanoseconds(stage->full_raise_s);
    motor->lower_ns = nanoseconds(stage->full_lower_s);
    motor->least_effort = stage->least_effort;
    set_serial(&stage->serial, &motor->serial);
    check_stage(wiring, motor->kind);
    if (build_is_hand(wiring->build)) {
        build_error(wiring->build, "/wired/power stage", "a span moved by hand has no lift");
    } else if ((wiring->linked.outputs & bit(LINE_LIFT)) != 0) {
        build_error(wiring->build, "/wired/power stage", "\"lift\" is assigned twice");
    }
    wiring->served.outputs |= bit(LINE_LIFT);
    warn_of_running_on(wiring);
}

static void set_servo(struct wiring *wiring) {
    const struct written_lock_servo *servo = &wiring->written->servo;
    if (!servo->is.is_given) {
        return;
    }
    set_pwm(&servo->pwm, SERVO_PERIOD_NS, &wiring->setup->lock.pwm);
    wiring->setup->lock.driven_ns = nanoseconds(servo->driven_s);
    wiring->setup->lock.withdrawn_ns = nanoseconds(servo->withdrawn_s);
    if (!wiring->build->written->lock.is_driven) {
        build_error(wiring->build, "/wired/lock servo", "this lock is not driven (\"lock\")");
    } else if (((wiring->served.outputs | wiring->linked.outputs) & bit(LINE_LOCK)) != 0) {
        build_error(wiring->build, "/wired/lock servo", "\"lock\" is assigned twice");
    }
    wiring->served.outputs |= bit(LINE_LOCK);
}

static void check_lock_pair(const struct wiring *wiring) {
    const bool *has = wiring->has_when[LINE_LOCK];
    if (has[LINE_WHEN_DRIVEN] != has[LINE_WHEN_WITHDRAWN]) {
        build_error(wiring->build, "/wired/outputs",
                    "the lock needs two pins, one for each direction");
    }
}

/* ---- sensors */

static void serve_measure(struct wiring *wiring, unsigned line, bool is_there, const char *place) {
    if (!is_there) {
        build_error(wiring->build, place, "\"sensors\" does not say that there is one");
    }
    wiring->served.inputs |= bit(line);
}

static void set_encoder(struct wiring *wiring, const struct written_position *written,
                        struct wired_sensor *sensor) {
    set_pin(wiring, "/wired/position/a", &written->a, &sensor->pin[0]);
    set_pin(wiring, "/wired/position/b", &written->b, &sensor->pin[1]);
    sensor->counts = written->counts;
    if (!written->a.is.is_given || written->counts == FIELD_NO_NUMBER) {
        build_error(wiring->build, "/wired/position", "an encoder needs \"a\" and \"counts\"");
    }
    for (unsigned i = 0; i < 2; i++) {
        if (sensor->pin[i].is_used && wiring->setup->chip[sensor->pin[i].chip].poll_us > 0) {
            build_error(wiring->build, i == 0 ? "/wired/position/a" : "/wired/position/b",
                        "an encoder's edges cannot be polled: wire it to a chip with interrupts");
        }
    }
}

/* Not down to 0 V where it can be helped: a broken wire may read so. */
static double least_believed_v(double lower_v, double margin_v) {
    return lower_v > 0 ? fmax(lower_v - margin_v, lower_v / 2) : lower_v - margin_v;
}

static void set_potentiometer(struct wiring *wiring, const struct written_position *written,
                              struct wired_sensor *sensor) {
    double margin_v = 0.1 * fabs(written->open_v - written->seat_v);
    sensor->at_zero = written->seat_v;
    sensor->at_one = written->open_v;
    sensor->least = isnan(written->least_v)
                        ? least_believed_v(fmin(written->seat_v, written->open_v), margin_v)
                        : written->least_v;
    sensor->most = isnan(written->most_v) ? fmax(written->seat_v, written->open_v) + margin_v
                                          : written->most_v;
    double full_frac_s = wiring->build->net->setup.motion.full_speed_frac_s;
    sensor->jump_per_s = build_fraction(wiring->build, &written->jump, "/wired/position/jump",
                                        fmax(0.5, 5 * full_frac_s));
    if (written->device[0] == '\0' || written->channel[0] == '\0') {
        build_error(wiring->build, "/wired/position", "needs a \"device\" and a \"channel\"");
    }
    if (!(margin_v > 0)) {
        build_error(wiring->build, "/wired/position",
                    "needs \"at seat\" and \"at open\", and they must differ");
    } else if (!(sensor->least < fmin(written->seat_v, written->open_v) &&
                 sensor->most > fmax(written->seat_v, written->open_v))) {
        build_error(wiring->build, "/wired/position",
                    "both ends must lie between \"least\" and \"most\"");
    }
}

static void set_position(struct wiring *wiring) {
    const struct written_position *written = &wiring->written->position;
    struct wired_sensor *sensor = &wiring->setup->position;
    if (!written->is.is_given || written->kind < 0) {
        return;
    }
    sensor->kind = (enum wired_sensor_kind)(written->kind + 1);
    memcpy(sensor->device, written->device, sizeof sensor->device);
    memcpy(sensor->channel, written->channel, sizeof sensor->channel);
    sensor->frozen_us = build_us(written->frozen_s);
    sensor->poll_us = build_us(written->poll_s);
    serve_measure(wiring, LINE_POSITION, wiring->build->written->sensors.position,
                  "/wired/position");
    if (wired_sensor_is_counted(sensor->kind)) {
        set_encoder(wiring, written, sensor);
    } else {
        set_potentiometer(wiring, written, sensor);
    }
}

static double or_else(const struct written_either *written, double otherwise) {
    return isnan(written->value) ? otherwise : written->value;
}

static void set_current(struct wiring *wiring) {
    const struct written_current *written = &wiring->written->current;
    struct wired_sensor *sensor = &wiring->setup->current;
    if (!written->is.is_given || written->kind < 0) {
        return;
    }
    sensor->kind = (enum wired_sensor_kind)(written->kind + 1);
    memcpy(sensor->device, written->device, sizeof sensor->device);
    memcpy(sensor->channel, written->channel, sizeof sensor->channel);
    sensor->at_zero = or_else(&written->zero, 0);
    sensor->at_one = or_else(&written->one, 1);
    double least_a = isnan(written->least_a) ? -written->most_a : written->least_a;
    double per_a = sensor->at_one - sensor->at_zero;
    double ends[2] = {sensor->at_zero + least_a * per_a, sensor->at_zero + written->most_a * per_a};
    sensor->least = fmin(ends[0], ends[1]);
    sensor->most = fmax(ends[0], ends[1]);
    sensor->frozen_us = build_us(written->frozen_s);
    sensor->poll_us = build_us(written->poll_s);
    serve_measure(wiring, LINE_CURRENT, wiring->build->written->sensors.current, "/wired/current");
    if (per_a == 0) {
        build_error(wiring->build, "/wired/current/one ampere", "must differ from \"zero\"");
    }
}

/* ---- the whole */

static struct line_set lines_linked(const struct build *build) {
    struct line_set set = {0, 0};
    for (unsigned i = 0; build->bridge->has_lines && i < build->bridge->composite.parts; i++) {
        const struct composite_part *part = &build->bridge->composite.part[i];
        if (strcmp(part->driver, "link") == 0) {
            set.inputs |= part->lines.inputs;
            set.outputs |= part->lines.outputs;
        }
    }
    return set;
}

static void check_whole(const struct wiring *wiring) {
    struct line_set needed = lines_needed(&wiring->build->net->setup);
    struct line_set missing = {needed.inputs & ~(wiring->served.inputs | wiring->linked.inputs),
                               needed.outputs & ~(wiring->served.outputs | wiring->linked.outputs)};
    if (!build_has_errors(wiring->build)) {
        build_complain_of_missing(wiring->build, "/wired", missing);
    }
}

static void build_terminals(struct wiring *wiring) {
    build_pins_set_chips(&wiring->pins, &wiring->written->chips);
    for (unsigned i = 0; i < wiring->written->inputs.list.count; i++) {
        add_input(wiring, i);
    }
    for (unsigned i = 0; i < wiring->written->outputs.list.count; i++) {
        add_output(wiring, i);
    }
    check_lock_pair(wiring);
    set_stage(wiring);
    set_servo(wiring);
    set_position(wiring);
    set_current(wiring);
    if (wiring->written->heartbeat.is.is_given) {
        set_pin(wiring, "/wired/heartbeat/pin", &wiring->written->heartbeat.pin,
                &wiring->setup->heartbeat.pin);
        wiring->setup->heartbeat.half_us = build_us(wiring->written->heartbeat.half_s);
    }
    check_whole(wiring);
}

void build_wired(struct build *build) {
    const struct written_bridge *written = build->written;
    bool is_wanted = strcmp(written->output, "wired") == 0;
    if (is_wanted != written->wired.is.is_given) {
        build_error(build, is_wanted ? "/wired" : "/output",
                    is_wanted ? "needed by the driver \"wired\""
                              : "wanted \"wired\": there are terminals for it");
    }
    if (!is_wanted || !written->wired.is.is_given) {
        return;
    }
    struct wiring *wiring = calloc(1, sizeof *wiring);
    if (wiring == NULL) {
        build_error(build, "/wired", "out of memory");
        return;
    }
    wiring->build = build;
    wiring->written = &written->wired;
    wiring->setup = &build->bridge->wired;
    wiring->pins = (struct pins){.build = build, .block = "/wired", .setup = wiring->setup};
    wiring->linked = lines_linked(build);
    build->bridge->has_wired = true;
    build_terminals(wiring);
    build_wired_check(build);
    free(wiring);
}
