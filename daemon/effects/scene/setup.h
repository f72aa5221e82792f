/* setup.h: lights and small mechanisms that follow a bridge, as configured. */
#ifndef EFFECTS_SCENE_SETUP_H
#define EFFECTS_SCENE_SETUP_H

#include "effects/condition.h"
#include "io/wired/wired_setup.h"

#include <stdbool.h>
#include <stdint.h>

enum { SCENE_OUTPUTS_MAX = 32, SCENE_WHEN_SIZE = 128, SCENE_DAY_MINUTES = 24 * 60 };

/* By the layout's clock; without one that runs: always. */
enum scene_hours { SCENE_ALWAYS = 0, SCENE_BY_NIGHT, SCENE_BY_DAY };

/* One output: a GPIO line, a PWM channel, or neither: then it is only logged. */
struct scene_output {
    char name[WIRED_NAME_SIZE];
    struct condition_wanted when;
    uint32_t delay_us;  /* it must hold so long before the output goes on */
    uint32_t linger_us; /* and not hold so long before it goes off */
    uint32_t fade_us;   /* from off to on, and back */
    uint32_t flash_us;  /* on and off once; 0: steady */
    double level;       /* 0..1, when on */
    enum scene_hours hours;
    struct wired_chip chip; /* of the pin, whose index is 0 */
    struct wired_pin pin;
    struct wired_pwm pwm;
};

struct scene_setup {
    unsigned outputs; /* 0: none */
    struct scene_output output[SCENE_OUTPUTS_MAX];
    unsigned dawn, dusk; /* minutes of the day at which they begin */
    unsigned twilight;   /* minutes that each takes */
};

#endif
