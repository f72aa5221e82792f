/* scene.h: a bridge's lights and small mechanisms, driven as its proved states want it. They are
 * told of each step and command nothing: an output that fails is a warning. A timer runs only while
 * something is delayed, fades or flashes, or waits for the layout's next minute. */
#ifndef EFFECTS_SCENE_SCENE_H
#define EFFECTS_SCENE_SCENE_H

#include "base/error.h"
#include "core/data/view.h"
#include "effects/scene/setup.h"
#include "io/kernel/gpio.h"

#include <stdbool.h>
#include <stdint.h>

struct event_base;
struct scene;

/* What it asks of the daemon. */
struct scene_host {
    void *context;
    const char *name; /* of the bridge, for the log */
    bool is_dry;      /* drive nothing */
    double pace;      /* layout seconds in a real second */
    /* Layout time in microseconds; never backwards. */
    uint64_t (*now_us)(void *context);
    /* The minute of the layout's day, and when the next one begins; false: no clock runs. */
    bool (*minute)(void *context, unsigned *minute, uint64_t *next_us);
};

/* Requests every output, all off; one that cannot be had is a warning and left alone. What is
 * pointed to must outlive it; `host` is copied. Returns NULL and fills `error`: out of memory. */
struct scene *scene_new(struct event_base *base, const struct scene_setup *setup,
                        const struct gpio_ops *gpio, const struct scene_host *host,
                        struct error *error);

/* After each step: does next to nothing; what is to be written is written in a turn of the loop,
 * one output a turn. NULL is taken. */
void scene_notify(struct scene *scene, const struct bridge_view *view);

/* Looks again in a turn of the loop: the layout's clock was set. NULL is taken. */
void scene_look(struct scene *scene);

/* Puts all off. NULL is taken. */
void scene_free(struct scene *scene);

#endif
