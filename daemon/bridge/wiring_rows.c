#include "bridge/wiring_rows.h"

#include "config/tables/stand_keys.h"
#include "io/line_label.h"

#include <stdio.h>
#include <string.h>

struct table {
    const struct wired_setup *setup;
    wiring_rows_take *take;
    void *context;
};

struct words {
    char text[LINE_NAME_SIZE + 32];
};

static void row(const struct table *table, enum wiring_part part, const char *terminal,
                const char *signal, const char *on, const char *safe) {
    const struct wiring_row row = {part, terminal, signal, on, safe, false};
    table->take(&row, table->context);
}

static struct words terminal_of(const struct table *table, const struct wired_pin *pin) {
    struct words words;
    snprintf(words.text, sizeof words.text, "%s line %u", table->setup->chip[pin->chip].name,
             pin->offset);
    return words;
}

static const char *pull_words(enum wired_pull pull) {
    switch (pull) {
    case WIRED_PULL_AS_IS:
        return "";
    case WIRED_PULL_UP:
        return ", pulled up";
    case WIRED_PULL_DOWN:
        return ", pulled down";
    case WIRED_PULL_NONE:
        return ", no pull";
    }
    return "";
}

/* What a broken wire does, after the level that is safe. */
static const char *broken_words(const struct wired_pin *pin) {
    switch (pin->pull) {
    case WIRED_PULL_AS_IS:
    case WIRED_PULL_NONE:
        return pin->is_active_low ? ": needs a resistor up, or the chip's own"
                                  : ": needs a resistor down, or the chip's own";
    case WIRED_PULL_UP:
    case WIRED_PULL_DOWN:
        break;
    }
    bool is_safe = (pin->pull == WIRED_PULL_UP) == pin->is_active_low;
    return is_safe ? ", as with a broken wire" : "; the first contact shows a broken wire";
}

static void input_row(const struct table *table, const struct wired_pin *pin, const char *signal) {
    struct words on;
    if (!pin->is_used) {
        return;
    }
    snprintf(on.text, sizeof on.text, "%s%s", pin->is_active_low ? "low" : "high",
             pull_words(pin->pull));
    struct words safe;
    snprintf(safe.text, sizeof safe.text, "%s%s", pin->is_active_low ? "high" : "low",
             broken_words(pin));
    bool has_pull = pin->pull == WIRED_PULL_UP || pin->pull == WIRED_PULL_DOWN;
    const struct wiring_row contact = {.part = WIRING_CONTACT,
                                       .terminal = terminal_of(table, pin).text,
                                       .signal = signal,
                                       .on = on.text,
                                       .safe = safe.text,
                                       .is_to_supply = has_pull ? pin->pull == WIRED_PULL_DOWN
                                                                : !pin->is_active_low};
    table->take(&contact, table->context);
}

static void output_row(const struct table *table, enum wiring_part part,
                       const struct wired_pin *pin, const char *signal) {
    if (pin->is_used) {
        row(table, part, terminal_of(table, pin).text, signal, pin->is_active_low ? "low" : "high",
            pin->is_active_low ? "high: needs a resistor up" : "low: needs a resistor down");
    }
}

static void pwm_row(const struct table *table, enum wiring_part part, const struct wired_pwm *pwm,
                    const char *signal, const char *safe) {
    const char *name = strrchr(pwm->chip, '/');
    struct words terminal, on;
    if (pwm->chip[0] == '\0') {
        return;
    }
    snprintf(terminal.text, sizeof terminal.text, "%s channel %u",
             name != NULL ? name + 1 : pwm->chip, pwm->channel);
    snprintf(on.text, sizeof on.text, "%s, %.6g Hz", pwm->is_inversed ? "low" : "high",
             1e9 / pwm->period_ns);
    row(table, part, terminal.text, signal, on.text, safe);
}

/* ---- sections of the table */

static void input_rows(const struct table *table, const struct line_track *tracks) {
    for (unsigned i = 0; i < table->setup->inputs; i++) {
        const struct wired_input *input = &table->setup->input[i];
        struct words second;
        char name[LINE_NAME_SIZE];
        lines_input_name(tracks, input->line, name);
        input_row(table, &input->pin, name);
        snprintf(second.text, sizeof second.text, "%s, second contact", name);
        input_row(table, &input->second, second.text);
    }
}

static void output_rows(const struct table *table, const struct line_track *tracks) {
    for (unsigned i = 0; i < table->setup->outputs; i++) {
        const struct wired_output *output = &table->setup->output[i];
        char signal[LINE_LABEL_SIZE];
        line_label(tracks, output->line, output->when, signal);
        output_row(table, WIRING_OUTPUT, &output->pin, signal);
    }
}

static void motor_rows(const struct table *table) {
    const struct wired_motor *motor = &table->setup->motor;
    bool is_phase = motor->kind == WIRED_MOTOR_PHASE;
    bool is_pulse = motor->kind == WIRED_MOTOR_PULSE;
    struct words neutral;
    snprintf(neutral.text, sizeof neutral.text, "neutral pulse, %.3g ms", motor->neutral_ns / 1e6);
    pwm_row(table, WIRING_MOTOR, &motor->pwm[0],
            is_phase || is_pulse ? "motor, pulses" : "motor, pulses to raise",
            is_pulse ? neutral.text : "no pulses");
    pwm_row(table, WIRING_MOTOR, &motor->pwm[1], "motor, pulses to lower", "no pulses");
    output_row(table, WIRING_MOTOR, &motor->pin[0],
               is_phase ? "motor, direction (on: raise)" : "motor, raise");
    output_row(table, WIRING_MOTOR, &motor->pin[1], "motor, lower");
    output_row(table, WIRING_MOTOR, &motor->enable, "motor, enable");
    if (motor->kind == WIRED_MOTOR_SERIAL) {
        row(table, WIRING_MOTOR, motor->serial.device, "motor controller", "lines of text",
            "the stop line, and its own timeout");
    }
}

static void sensor_rows(const struct table *table, const struct wired_sensor *sensor,
                        const char *name) {
    struct words terminal;
    if (wired_sensor_is_measured(sensor->kind)) {
        snprintf(terminal.text, sizeof terminal.text, "%.60s %s", sensor->device, sensor->channel);
        row(table, WIRING_MEASURED, terminal.text, name, "measured",
            "out of range, as with a broken wire");
    } else if (wired_sensor_is_counted(sensor->kind)) {
        row(table, WIRING_MEASURED, terminal_of(table, &sensor->pin[0]).text, "encoder, A", "edges",
            "-");
        if (sensor->pin[1].is_used) {
            row(table, WIRING_MEASURED, terminal_of(table, &sensor->pin[1]).text, "encoder, B",
                "edges", "-");
        }
    }
}

void wiring_rows(const struct wired_setup *setup, const struct line_track tracks[BRIDGE_TRACKS_MAX],
                 wiring_rows_take *take, void *context) {
    struct table table = {.setup = setup, .take = take, .context = context};
    input_rows(&table, tracks);
    sensor_rows(&table, &setup->position, "position");
    sensor_rows(&table, &setup->current, "current");
    motor_rows(&table);
    pwm_row(&table, WIRING_SERVO, &setup->lock.pwm, "lock servo, pulses", "no pulses");
    output_rows(&table, tracks);
    if (setup->heartbeat.pin.is_used) {
        row(&table, WIRING_HEARTBEAT, terminal_of(&table, &setup->heartbeat.pin).text, "heartbeat",
            "changing", "constant level, high or low");
    }
}

/* ---- a stand */

static const char *control_word(enum stand_control_kind kind) {
    static const char *const words[] = {STAND_CONTROL_ROWS(STAND_CONTROL_WORD)};
    return words[kind];
}

static void key_row(const struct table *table, const struct stand_device *device,
                    const struct stand_control *control) {
    struct words terminal;
    const char *key = stand_key_name(control->key);
    if (key != NULL) {
        snprintf(terminal.text, sizeof terminal.text, "%s %s", device->name, key);
    } else {
        snprintf(terminal.text, sizeof terminal.text, "%s key %u", device->name, control->key);
    }
    row(table, WIRING_CONTACT, terminal.text, control_word(control->kind), "down",
        "up, as when unplugged");
}

static void control_rows(const struct table *table, const struct stand_setup *setup) {
    for (unsigned i = 0; i < setup->controls; i++) {
        const struct stand_control *control = &setup->control[i];
        const struct wired_input *input = &setup->terminals.input[control->input];
        bool is_stop = control->kind == STAND_EMERGENCY_STOP;
        struct words second;
        if (control->is_key) {
            key_row(table, &setup->device[control->device], control);
            continue;
        }
        input_row(table, &input->pin,
                  is_stop ? "emergency stop not pressed" : control_word(control->kind));
        snprintf(second.text, sizeof second.text, "%s, second contact",
                 control_word(control->kind));
        input_row(table, &input->second, second.text);
    }
}

static void throttle_row(const struct table *table, const struct stand_setup *setup) {
    const struct stand_throttle *throttle = &setup->throttle;
    bool is_analogue = throttle->kind == STAND_THROTTLE_POTENTIOMETER;
    struct words terminal;
    if (throttle->kind == STAND_THROTTLE_NONE) {
        return;
    }
    snprintf(terminal.text, sizeof terminal.text, "%.60s %.40s",
             is_analogue ? throttle->iio : setup->device[throttle->device].name,
             is_analogue ? throttle->channel : "axis");
    row(table, WIRING_MEASURED, terminal.text, "hand throttle",
        throttle->kind == STAND_THROTTLE_ENCODER ? "steps" : "measured",
        is_analogue ? "let go; out of range with a broken wire" : "let go, as when unplugged");
}

static struct words lamp_words(const struct stand_lamp *lamp, const struct line_track *tracks) {
    static const char *const words[] = {STAND_LAMP_ROWS(STAND_LAMP_WORD)};
    static const char *const of_end[] = {[STAND_LAMP_APPROACH] = "approach",
                                         [STAND_LAMP_STOP_SECTION] = "stop",
                                         [STAND_LAMP_SIGNAL] = "signal"};
    const struct line_track *track = &tracks[lamp->track];
    struct words text;
    if (lamp->kind < STAND_LAMP_OF_BRIDGE) {
        snprintf(text.text, sizeof text.text, "lamp, %s", words[lamp->kind]);
    } else if (lamp->kind == STAND_LAMP_SPAN_SECTION) {
        snprintf(text.text, sizeof text.text, "lamp, %s.span", track->name);
    } else {
        snprintf(text.text, sizeof text.text, "lamp, %s.%s.%s", track->name, track->end[lamp->end],
                 of_end[lamp->kind]);
    }
    return text;
}

static void lamp_rows(const struct table *table, const struct stand_setup *setup,
                      const struct line_track *tracks) {
    for (unsigned i = 0; i < setup->lamps; i++) {
        const struct stand_lamp *lamp = &setup->lamp[i];
        struct words signal = lamp_words(lamp, tracks), terminal;
        if (lamp->pin.is_used) {
            row(table, WIRING_OUTPUT, terminal_of(table, &lamp->pin).text, signal.text,
                lamp->pin.is_active_low ? "low" : "high", "dark");
        } else {
            snprintf(terminal.text, sizeof terminal.text, "%s place %u", setup->row[lamp->row].name,
                     lamp->place);
            row(table, WIRING_OUTPUT, terminal.text, signal.text, "lit", "dark");
        }
    }
}

void wiring_stand_rows(const struct stand_setup *setup,
                       const struct line_track tracks[BRIDGE_TRACKS_MAX], wiring_rows_take *take,
                       void *context) {
    struct table table = {.setup = &setup->terminals, .take = take, .context = context};
    control_rows(&table, setup);
    throttle_row(&table, setup);
    lamp_rows(&table, setup, tracks);
}
