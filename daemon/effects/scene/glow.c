#include "effects/scene/glow.h"

#include <math.h>

static uint64_t switch_us(const struct scene_output *setup, const struct glow *glow) {
    return glow->wanted_us + (glow->is_wanted ? setup->delay_us : setup->linger_us);
}

static void fade_until(const struct scene_output *setup, struct glow *glow, uint64_t until_us) {
    double passed_us = (double)(until_us - glow->level_us);
    double step = setup->fade_us > 0 ? passed_us / setup->fade_us : 1;
    glow->level = glow->is_on ? fmin(glow->level + step, 1) : fmax(glow->level - step, 0);
    glow->level_us = until_us;
}

static bool is_lit(const struct scene_output *setup, const struct glow *glow, uint64_t now_us) {
    uint32_t half_us = setup->flash_us / 2;
    return half_us == 0 || !glow->is_on || (now_us - glow->on_us) / half_us % 2 == 0;
}

double glow_step(const struct scene_output *setup, struct glow *glow, bool is_wanted,
                 uint64_t now_us) {
    if (is_wanted != glow->is_wanted) {
        glow->is_wanted = is_wanted;
        glow->wanted_us = now_us;
    }
    uint64_t at_us = switch_us(setup, glow);
    if (glow->is_wanted != glow->is_on && at_us <= now_us) {
        /* A look may come late: the fade began when it was due. */
        at_us = at_us > glow->level_us ? at_us : glow->level_us;
        fade_until(setup, glow, at_us);
        glow->is_on = glow->is_wanted;
        glow->on_us = at_us;
    }
    fade_until(setup, glow, now_us);
    return is_lit(setup, glow, now_us) ? glow->level * setup->level : 0;
}

static uint64_t earlier(uint64_t one_us, uint64_t other_us) {
    return one_us < other_us ? one_us : other_us;
}

uint64_t glow_due_us(const struct scene_output *setup, const struct glow *glow, uint64_t now_us) {
    uint64_t due_us = GLOW_NEVER;
    uint32_t half_us = setup->flash_us / 2;
    if (glow->is_wanted != glow->is_on) {
        due_us = earlier(due_us, switch_us(setup, glow));
    }
    if (glow->is_on ? glow->level < 1 : glow->level > 0) {
        due_us = earlier(due_us, now_us + GLOW_FADE_STEP_US);
    }
    if (glow->is_on && half_us > 0) {
        uint64_t halves = (now_us - glow->on_us) / half_us;
        due_us = earlier(due_us, glow->on_us + (halves + 1) * half_us);
    }
    return due_us;
}
