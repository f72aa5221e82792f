/* Lights and small mechanisms that follow a bridge; and that they have no terminal of one. */
#include "config/build/build.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PERIOD_NS = 1000000 };

/* "18:30". */
static unsigned time_of_day(const struct build *build, const char *place, const char *written) {
    unsigned hour, minute;
    char rest;
    if (sscanf(written, "%2u:%2u%c", &hour, &minute, &rest) != 2 || hour > 23 || minute > 59) {
        build_error(build, place, "wanted a time of day such as \"18:30\"");
        return 0;
    }
    return hour * 60 + minute;
}

static void set_pwm(const struct written_pwm *written, struct wired_pwm *pwm) {
    memcpy(pwm->chip, written->chip, sizeof pwm->chip);
    pwm->channel = written->channel;
    pwm->period_ns =
        isnan(written->period_s) ? PERIOD_NS : (uint32_t)lround(written->period_s * 1e9);
    pwm->is_inversed = written->is_inversed;
}

static void set_terminal(const struct build *build, unsigned i, struct scene_output *output) {
    const struct written_scene_output *written = &build->written->scene.outputs.item[i];
    const struct written_scene_pin *pin = &written->pin;
    struct place place = build_place("/scenes/outputs/%u", i);
    if (pin->is.is_given && pin->offset != FIELD_NO_NUMBER) {
        output->pin = (struct wired_pin){
            .is_used = true, .offset = pin->offset, .is_active_low = pin->active == 1};
        memcpy(output->chip.device, pin->device, sizeof output->chip.device);
    }
    if (written->pwm.is.is_given) {
        set_pwm(&written->pwm, &output->pwm);
    }
    if (pin->is.is_given && written->pwm.is.is_given) {
        build_error(build, place.text, "wanted either a \"pin\" or a \"pwm\"");
    } else if (pin->is.is_given && (written->fade_s > 0 || written->level < 1)) {
        build_error(build, place.text,
                    "a GPIO line is only on or off: \"fade\" and \"level\" need a \"pwm\"");
    }
}

static void set_output(const struct build *build, unsigned i, struct scene_output *output) {
    const struct written_scene_output *written = &build->written->scene.outputs.item[i];
    *output = (struct scene_output){
        .delay_us = build_us(written->delay_s),
        .linger_us = build_us(written->linger_s),
        .fade_us = build_us(written->fade_s),
        .flash_us = isnan(written->flash_s) ? 0 : build_us(written->flash_s),
        .level = written->level,
        .hours = written->hours >= 0 ? (enum scene_hours)written->hours : SCENE_ALWAYS};
    memcpy(output->name, written->name, sizeof output->name);
    build_condition(build, build_place("/scenes/outputs/%u/when", i).text, written->when,
                    &output->when);
    set_terminal(build, i, output);
}

void build_scene(struct build *build) {
    const struct written_scene *written = &build->written->scene;
    struct scene_setup *scene = &build->bridge->scene;
    scene->dawn = time_of_day(build, "/scenes/dawn", written->dawn);
    scene->dusk = time_of_day(build, "/scenes/dusk", written->dusk);
    scene->twilight = (unsigned)lround(written->twilight_s / 60);
    scene->outputs = written->outputs.list.count;
    if (scene->dawn == scene->dusk && written->is.is_given) {
        build_error(build, "/scenes/dusk", "is at the time of dawn");
    }
    for (unsigned i = 0; i < scene->outputs; i++) {
        set_output(build, i, &scene->output[i]);
    }
}

/* ---- terminals, once all are known */

static bool is_same_pwm(const struct wired_pwm *one, const struct wired_pwm *other) {
    return one->chip[0] != '\0' && strcmp(one->chip, other->chip) == 0 &&
           one->channel == other->channel;
}

static bool is_of_bridge(const struct scene_output *output, const struct wired_setup *wired) {
    return (output->pin.is_used && build_wired_has_pin(wired, &output->chip, &output->pin)) ||
           is_same_pwm(&output->pwm, &wired->motor.pwm[0]) ||
           is_same_pwm(&output->pwm, &wired->motor.pwm[1]) ||
           is_same_pwm(&output->pwm, &wired->lock.pwm);
}

static bool is_same_terminal(const struct scene_output *one, const struct scene_output *other) {
    bool is_same_pin = one->pin.is_used && other->pin.is_used &&
                       one->pin.offset == other->pin.offset &&
                       strcmp(one->chip.device, other->chip.device) == 0;
    return is_same_pin || is_same_pwm(&one->pwm, &other->pwm);
}

/* Outputs before this one: of the bridges before, and of its own. */
static bool is_taken(const struct config *config, unsigned bridge, unsigned number) {
    const struct scene_output *output = &config->bridge[bridge].scene.output[number];
    for (unsigned b = 0; b <= bridge; b++) {
        const struct scene_setup *scene = &config->bridge[b].scene;
        unsigned before = b < bridge ? scene->outputs : number;
        for (unsigned i = 0; i < before; i++) {
            if (is_same_terminal(output, &scene->output[i])) {
                return true;
            }
        }
    }
    return false;
}

static void check_output(const struct config *config, unsigned bridge, unsigned number,
                         struct config_report *report) {
    const struct scene_output *output = &config->bridge[bridge].scene.output[number];
    struct place place = build_place("/bridges/%u/scenes/outputs/%u", bridge, number);
    for (unsigned b = 0; b < config->net.bridges; b++) {
        if (is_of_bridge(output, &config->bridge[b].wired)) {
            config_list_add(&report->errors, place.text,
                            "this terminal belongs to the bridge \"%.60s\", and a scene commands "
                            "no bridge",
                            config->net.bridge[b].name);
            return;
        }
    }
    if (is_taken(config, bridge, number)) {
        config_list_add(&report->errors, place.text,
                        "this terminal is that of another scene output already");
    }
}

void build_scene_check(const struct config *config, struct config_report *report) {
    for (unsigned b = 0; b < config->net.bridges; b++) {
        for (unsigned i = 0; i < config->bridge[b].scene.outputs; i++) {
            check_output(config, b, i, report);
        }
    }
}
