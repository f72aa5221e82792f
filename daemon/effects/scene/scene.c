#include "effects/scene/scene.h"

#include "base/log.h"
#include "effects/scene/daylight.h"
#include "effects/scene/glow.h"
#include "io/kernel/pwm.h"
#include "io/wired/pin_out.h"

#include <event2/event.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { RETRY_US = 1000000 };

struct output {
    bool is_open;
    struct glow glow;
    double bright; /* as wanted, 0..1 */
    struct pin_out pin;
    struct pwm pwm;
    bool is_shown;     /* on, as last put; of one that is only logged */
    bool is_failed;    /* the last writing, and it has been said */
    uint64_t retry_us; /* not written before */
};

struct scene {
    const struct scene_setup *setup;
    struct scene_host host;
    condition_set holding;
    struct event *turn;
    struct output output[SCENE_OUTPUTS_MAX];
};

static bool is_pulsed(const struct scene_output *setup) {
    return setup->pwm.chip[0] != '\0';
}

/* ---- one output */

static void say(struct scene *scene, unsigned i, const struct error *error) {
    struct output *output = &scene->output[i];
    if (!output->is_failed) {
        log_line(LOG_WARNING, "%s: scene output \"%s\": %s: %s", scene->host.name,
                 scene->setup->output[i].name, error->where, error->what);
    }
    output->is_failed = true;
}

static void open_output(struct scene *scene, unsigned i, const struct gpio_ops *gpio) {
    const struct scene_output *setup = &scene->setup->output[i];
    struct output *output = &scene->output[i];
    struct error error = {0};
    if (is_pulsed(setup) && !scene->host.is_dry) {
        output->is_open = pwm_open(&output->pwm, &setup->pwm, &error);
    } else {
        output->is_open = pin_out_open(&output->pin, &setup->pin, &setup->chip, setup->name, gpio,
                                       scene->host.is_dry, &error);
    }
    if (!output->is_open) {
        say(scene, i, &error);
    }
}

/* By the eye half as bright is a quarter of the light (common practice, no source). */
static uint32_t duty_ns(const struct scene_output *setup, double bright) {
    return (uint32_t)lround(bright * bright * setup->pwm.period_ns);
}

static bool is_put(const struct scene *scene, unsigned i) {
    const struct scene_output *setup = &scene->setup->output[i];
    const struct output *output = &scene->output[i];
    bool is_on = output->bright >= 0.5;
    if (is_pulsed(setup) && !scene->host.is_dry) {
        return output->pwm.is_known && output->pwm.duty_ns == duty_ns(setup, output->bright);
    }
    if (setup->pin.is_used) {
        return output->pin.is_known && output->pin.is_on == is_on;
    }
    return output->is_shown == is_on;
}

static bool put(struct scene *scene, unsigned i, struct error *error) {
    const struct scene_output *setup = &scene->setup->output[i];
    struct output *output = &scene->output[i];
    bool is_on = output->bright >= 0.5;
    if (is_pulsed(setup) && !scene->host.is_dry) {
        return pwm_set(&output->pwm, duty_ns(setup, output->bright), error);
    }
    if (setup->pin.is_used) {
        return pin_out_put(&output->pin, is_on, error);
    }
    output->is_shown = is_on;
    log_line(LOG_DEBUG, "%s: scene output \"%s\": %s", scene->host.name, setup->name,
             is_on ? "on" : "off");
    return true;
}

static void close_output(struct scene *scene, unsigned i) {
    struct output *output = &scene->output[i];
    struct error error = {0};
    if (!output->is_open) {
        return;
    }
    if (is_pulsed(&scene->setup->output[i]) && !scene->host.is_dry) {
        if (!pwm_rest(&output->pwm, &error)) {
            say(scene, i, &error);
        }
        pwm_close(&output->pwm);
    } else {
        if (!pin_out_rest(&output->pin, &error)) {
            say(scene, i, &error);
        }
        pin_out_close(&output->pin);
    }
}

/* ---- all of them */

static bool has_hours(const struct scene *scene) {
    for (unsigned i = 0; i < scene->setup->outputs; i++) {
        if (scene->setup->output[i].hours != SCENE_ALWAYS) {
            return true;
        }
    }
    return false;
}

/* Returns how much of an output's light its hours leave. */
static double hours_share(enum scene_hours hours, bool has_clock, double night) {
    if (hours == SCENE_ALWAYS || !has_clock) {
        return 1;
    }
    return hours == SCENE_BY_NIGHT ? night : 1 - night;
}

/* Works out how bright each output is to be. Returns when to look again. */
static uint64_t look(struct scene *scene, uint64_t now_us) {
    uint64_t due_us = GLOW_NEVER, next_us = GLOW_NEVER;
    unsigned minute = 0;
    bool has_clock = has_hours(scene) && scene->host.minute(scene->host.context, &minute, &next_us);
    double night = has_clock ? daylight_night(scene->setup, minute) : 0;
    for (unsigned i = 0; i < scene->setup->outputs; i++) {
        const struct scene_output *setup = &scene->setup->output[i];
        struct output *output = &scene->output[i];
        bool is_wanted = condition_is_met(&setup->when, scene->holding);
        output->bright = glow_step(setup, &output->glow, is_wanted, now_us) *
                         hours_share(setup->hours, has_clock, night);
        uint64_t output_us = glow_due_us(setup, &output->glow, now_us);
        due_us = output_us < due_us ? output_us : due_us;
    }
    return has_clock && next_us < due_us ? next_us : due_us;
}

/* Writes one output at most: an expander on a slow bus takes a while for each. Returns when to come
 * again, `due_us` if there is nothing else to be done. */
static uint64_t put_one(struct scene *scene, uint64_t now_us, uint64_t due_us) {
    for (unsigned i = 0; i < scene->setup->outputs; i++) {
        struct output *output = &scene->output[i];
        struct error error = {0};
        if (!output->is_open || is_put(scene, i)) {
            continue;
        }
        if (output->retry_us > now_us) {
            due_us = output->retry_us < due_us ? output->retry_us : due_us;
        } else if (put(scene, i, &error)) {
            output->is_failed = false;
            return now_us;
        } else {
            say(scene, i, &error);
            output->retry_us = now_us + RETRY_US;
            return now_us;
        }
    }
    return due_us;
}

static void come_again(struct scene *scene, uint64_t now_us, uint64_t due_us) {
    if (due_us == GLOW_NEVER) {
        event_del(scene->turn);
        return;
    }
    uint64_t left_us = due_us > now_us ? due_us - now_us : 0;
    uint64_t real_us = (uint64_t)ceil((double)left_us / scene->host.pace);
    const struct timeval in = {.tv_sec = (time_t)(real_us / 1000000),
                               .tv_usec = (suseconds_t)(real_us % 1000000)};
    event_add(scene->turn, &in);
}

static void on_turn(evutil_socket_t fd, short what, void *context) {
    struct scene *scene = context;
    (void)fd;
    (void)what;
    uint64_t now_us = scene->host.now_us(scene->host.context);
    come_again(scene, now_us, put_one(scene, now_us, look(scene, now_us)));
}

/* ---- the outside */

void scene_look(struct scene *scene) {
    if (scene != NULL) {
        come_again(scene, 0, 0);
    }
}

void scene_notify(struct scene *scene, const struct bridge_view *view) {
    if (scene == NULL) {
        return;
    }
    condition_set holding = condition_of(view);
    if (holding != scene->holding) {
        scene->holding = holding;
        scene_look(scene);
    }
}

struct scene *scene_new(struct event_base *base, const struct scene_setup *setup,
                        const struct gpio_ops *gpio, const struct scene_host *host,
                        struct error *error) {
    struct scene *scene = calloc(1, sizeof *scene);
    if (scene == NULL) {
        error_set(error, host->name, "out of memory for scenes");
        return NULL;
    }
    scene->setup = setup;
    scene->host = *host;
    scene->turn = evtimer_new(base, on_turn, scene);
    if (scene->turn == NULL) {
        error_set(error, host->name, "out of memory for scenes");
        free(scene);
        return NULL;
    }
    for (unsigned i = 0; i < setup->outputs; i++) {
        open_output(scene, i, gpio);
    }
    return scene;
}

void scene_free(struct scene *scene) {
    if (scene == NULL) {
        return;
    }
    for (unsigned i = 0; i < scene->setup->outputs; i++) {
        close_output(scene, i);
    }
    event_free(scene->turn);
    free(scene);
}
