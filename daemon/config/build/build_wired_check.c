/* Whether the terminals of this computer can do what is asked of them: what a power stage has no
 * use for, pulses that do not fit, lines of text that cannot be filled, one terminal for two
 * things. */
#include "base/text/line_template.h"
#include "config/build/build.h"

#include <math.h>
#include <string.h>

/* ---- what has no use */

static void check_keys(const struct build *build) {
    const struct written_power_stage *stage = &build->written->wired.stage;
    enum wired_motor_kind kind = build->bridge->wired.motor.kind;
    const struct {
        const char *key;
        bool is_given, is_used;
    } keys[] = {
        {"pwm", stage->pwm.is.is_given,
         kind == WIRED_MOTOR_TWO_WIRE || kind == WIRED_MOTOR_PHASE || kind == WIRED_MOTOR_PULSE},
        {"lower pwm", stage->lower_pwm.is.is_given, kind == WIRED_MOTOR_TWO_WIRE},
        {"direction", stage->direction.is.is_given, kind == WIRED_MOTOR_PHASE},
        {"raise", stage->raise.is.is_given, kind == WIRED_MOTOR_RELAYS},
        {"lower", stage->lower.is.is_given, kind == WIRED_MOTOR_RELAYS},
        {"serial", stage->serial.is.is_given, kind == WIRED_MOTOR_SERIAL},
    };
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        if (keys[i].is_given && !keys[i].is_used) {
            build_error(build, build_place("/wired/power stage/%s", keys[i].key).text,
                        "does not apply to this kind of power stage");
        }
    }
}

static void check_position_keys(const struct build *build) {
    const struct written_position *written = &build->written->wired.position;
    bool is_encoder = wired_sensor_is_counted(build->bridge->wired.position.kind);
    if (!is_encoder && (written->a.is.is_given || written->b.is.is_given)) {
        build_error(build,
                    build_place("/wired/position/%s", written->a.is.is_given ? "a" : "b").text,
                    "does not apply: only an encoder has channels");
    }
}

/* ---- pulses */

static void check_pulse(const struct build *build, const char *place, const struct wired_pwm *pwm,
                        uint32_t longest_ns) {
    if (longest_ns > pwm->period_ns) {
        build_error(build, place, "the pulse of %g ms is longer than the period, %g ms",
                    longest_ns / 1e6, pwm->period_ns / 1e6);
    }
}

static uint32_t longer(uint32_t one, uint32_t other) {
    return one > other ? one : other;
}

static void check_pulses(const struct build *build) {
    const struct wired_motor *motor = &build->bridge->wired.motor;
    const struct wired_lock *lock = &build->bridge->wired.lock;
    if (motor->kind == WIRED_MOTOR_PULSE) {
        check_pulse(build, "/wired/power stage/pwm/period", &motor->pwm[0],
                    longer(motor->raise_ns, motor->lower_ns));
    }
    if (lock->pwm.chip[0] == '\0') {
        return;
    }
    check_pulse(build, "/wired/lock servo/pwm/period", &lock->pwm,
                longer(lock->driven_ns, lock->withdrawn_ns));
    if (lock->driven_ns == lock->withdrawn_ns) {
        build_error(build, "/wired/lock servo/withdrawn", "must differ from \"driven\"");
    }
}

/* A word such as "servo" would be looked for wherever the daemon was started. */
static void check_folder(const struct build *build, const char *place,
                         const struct wired_pwm *pwm) {
    if (pwm->chip[0] != '\0' && pwm->chip[0] != '/') {
        build_error(build, place, "\"%.40s\" is not a folder's whole path, which begins with a /",
                    pwm->chip);
    }
}

static void check_folders(const struct build *build) {
    const struct wired_setup *setup = &build->bridge->wired;
    check_folder(build, "/wired/power stage/pwm/chip", &setup->motor.pwm[0]);
    check_folder(build, "/wired/power stage/lower pwm/chip", &setup->motor.pwm[1]);
    check_folder(build, "/wired/lock servo/pwm/chip", &setup->lock.pwm);
}

/* The later of two that differ on a chip is told. */
static void warn_of_periods(const struct build *build) {
    const struct wired_setup *setup = &build->bridge->wired;
    const struct {
        const char *place;
        const struct wired_pwm *pwm;
    } all[] = {{"/wired/power stage/pwm/period", &setup->motor.pwm[0]},
               {"/wired/power stage/lower pwm/period", &setup->motor.pwm[1]},
               {"/wired/lock servo/pwm/period", &setup->lock.pwm}};
    for (size_t i = 1; i < sizeof all / sizeof all[0]; i++) {
        for (size_t j = 0; j < i; j++) {
            if (all[i].pwm->chip[0] != '\0' && strcmp(all[i].pwm->chip, all[j].pwm->chip) == 0 &&
                all[i].pwm->period_ns != all[j].pwm->period_ns) {
                build_warning(build, all[i].place,
                              "%g ms here and %g ms at channel %u: many chips have one period for "
                              "all channels",
                              all[i].pwm->period_ns / 1e6, all[j].pwm->period_ns / 1e6,
                              all[j].pwm->channel);
                break;
            }
        }
    }
}

/* ---- lines of text */

struct filled {
    char bytes[LINE_TEMPLATE_MOST];
    size_t length; /* 0: it could not be filled, which has been said */
};

static struct filled fill(const struct build *build, const char *key, const char *text,
                          long effort) {
    const struct wired_serial *serial = &build->bridge->wired.motor.serial;
    const struct line_values values = {
        .effort = effort, .direction = effort < 0 ? serial->lower_word : serial->raise_word};
    struct filled filled;
    struct error error = {.what = ""};
    filled.length = line_template_fill(text, &values, filled.bytes, &error);
    if (filled.length == 0) {
        build_error(build, build_place("/wired/power stage/serial/%s", key).text, "%s", error.what);
    }
    return filled;
}

static bool is_same(const struct filled *one, const struct filled *other) {
    return one->length > 0 && one->length == other->length &&
           memcmp(one->bytes, other->bytes, one->length) == 0;
}

static void check_serial(const struct build *build) {
    const struct wired_motor *motor = &build->bridge->wired.motor;
    if (motor->kind != WIRED_MOTOR_SERIAL || !build->written->wired.stage.serial.is.is_given) {
        return;
    }
    const struct wired_serial *serial = &motor->serial;
    for (unsigned i = 0; i < serial->greetings; i++) {
        fill(build, build_place("greetings/%u/line", i).text, serial->greeting[i], 0);
    }
    long full = (long)serial->full;
    struct filled raise = fill(build, "drive", serial->drive, full);
    struct filled lower = fill(build, "drive", serial->drive, -full);
    struct filled stop = fill(build, "stop", serial->stop, 0);
    if (is_same(&raise, &lower)) {
        build_error(build, "/wired/power stage/serial/drive",
                    "is the same line for up and down: wanted {effort} or {direction} in it");
    } else if (is_same(&raise, &stop) || is_same(&lower, &stop)) {
        build_error(build, "/wired/power stage/serial/stop", "is a line that drives the motor");
    }
}

/* ---- a broken wire */

/* The wiper of a potentiometer reads nought volts when its wire is broken and a resistor pulls it
 * down, or when the supply of the whole is gone. */
static void warn_of_nought(const struct build *build) {
    const struct wired_sensor *position = &build->bridge->wired.position;
    if (wired_sensor_is_measured(position->kind) && position->least <= 0 && position->most >= 0) {
        build_warning(build, "/wired/position/least",
                      "0 V counts as a reading, but a broken wire or a dead supply may give it "
                      "too: keep both "
                      "ends of the travel away from 0 V, with a resistor at each end of the "
                      "potentiometer, and set \"least\" above it");
    }
}

/* ---- one terminal, one thing */

/* What only one may drive, or read; GPIO lines of one bridge are told apart as they are read. */
struct taken {
    const struct build *build;
    const struct wired_setup *other; /* whose terminals these may be */
    bool is_itself;
};

static bool is_pwm_of(const struct taken *taken, const struct wired_pwm *pwm) {
    const struct wired_setup *other = taken->other;
    const struct wired_pwm *all[] = {&other->motor.pwm[0], &other->motor.pwm[1], &other->lock.pwm};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        /* Within a bridge the later of two is told. */
        if (taken->is_itself && all[i] == pwm) {
            return false;
        }
        if (strcmp(all[i]->chip, pwm->chip) == 0 && all[i]->channel == pwm->channel) {
            return true;
        }
    }
    return false;
}

static void check_pwm(const struct taken *taken, const char *place, const struct wired_pwm *pwm) {
    if (pwm->chip[0] != '\0' && is_pwm_of(taken, pwm)) {
        build_error(taken->build, build_place("%s/channel", place).text,
                    "channel %u of this chip already drives something else", pwm->channel);
    }
}

bool build_wired_has_pin(const struct wired_setup *setup, const struct wired_chip chips[],
                         const struct wired_pin *pin) {
    const struct wired_pin *all[2 * WIRED_INPUTS_MAX + WIRED_OUTPUTS_MAX + 6];
    unsigned count = 0;
    for (unsigned i = 0; i < setup->inputs; i++) {
        all[count++] = &setup->input[i].pin;
        all[count++] = &setup->input[i].second;
    }
    for (unsigned i = 0; i < setup->outputs; i++) {
        all[count++] = &setup->output[i].pin;
    }
    const struct wired_pin *others[] = {&setup->motor.pin[0],    &setup->motor.pin[1],
                                        &setup->motor.enable,    &setup->position.pin[0],
                                        &setup->position.pin[1], &setup->heartbeat.pin};
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        all[count++] = others[i];
    }
    for (unsigned i = 0; i < count; i++) {
        if (all[i]->is_used && all[i]->offset == pin->offset &&
            strcmp(setup->chip[all[i]->chip].device, chips[pin->chip].device) == 0) {
            return true;
        }
    }
    return false;
}

/* One complaint says it: whole boxes are copied, not single lines. */
static void check_other_pins(const struct taken *taken, const char *name) {
    const struct wired_setup *own = &taken->build->bridge->wired;
    for (unsigned i = 0; i < own->inputs + own->outputs; i++) {
        const struct wired_pin *pin =
            i < own->inputs ? &own->input[i].pin : &own->output[i - own->inputs].pin;
        if (build_wired_has_pin(taken->other, own->chip, pin)) {
            build_error(taken->build, "/wired",
                        "line %u of \"%.60s\" is already wired to the bridge \"%.60s\"",
                        pin->offset, own->chip[pin->chip].device, name);
            return;
        }
    }
}

static void check_serial_line(const struct taken *taken) {
    const char *device = taken->build->bridge->wired.motor.serial.device;
    if (device[0] != '\0' && strcmp(device, taken->other->motor.serial.device) == 0) {
        build_error(taken->build, "/wired/power stage/serial/device",
                    "already drives something else");
    }
}

static void check_taken(const struct build *build) {
    const struct config_bridge *first = build->bridge - build->index;
    const struct net_bridge_setup *nets = build->net - build->index;
    const struct wired_setup *own = &build->bridge->wired;
    for (unsigned i = 0; i <= build->index; i++) {
        struct taken taken = {
            .build = build, .other = &first[i].wired, .is_itself = i == build->index};
        if (!taken.is_itself) {
            check_other_pins(&taken, nets[i].name);
            check_serial_line(&taken);
        }
        check_pwm(&taken, "/wired/power stage/pwm", &own->motor.pwm[0]);
        check_pwm(&taken, "/wired/power stage/lower pwm", &own->motor.pwm[1]);
        check_pwm(&taken, "/wired/lock servo/pwm", &own->lock.pwm);
    }
}

void build_wired_check(const struct build *build) {
    check_keys(build);
    check_position_keys(build);
    check_pulses(build);
    check_folders(build);
    warn_of_periods(build);
    check_serial(build);
    warn_of_nought(build);
    check_taken(build);
}
