#include "effects/sound/heard.h"

#include <math.h>

/* A change of speed that nobody hears is not passed on (judgement, no source). */
static const float SPEED_STEP = 0.02F;

static float speed_of(const struct motion_setup *setup, const struct motion_state *motion) {
    if (motion->direction == 0 || setup->full_speed_frac_s <= 0) {
        return 0;
    }
    double frac_s = setup->has_position ? fabs(motion->measured_frac_s) : motion->speed_frac_s;
    return (float)fmin(frac_s / setup->full_speed_frac_s, 1);
}

/* Whose blasts are sounded by a local rule, not by the horn's output. */
static enum horn_signal local_signal(const struct sound_setup *sound,
                                     const struct bridge_view *view) {
    enum horn_signal signal = view->state.horn.signal;
    return sound->blasts[signal][0] != '\0' ? signal : HORN_SILENT;
}

struct sound_order sound_heard(const struct sound_setup *sound, const struct bridge_setup *bridge,
                               const struct bridge_view *before, const struct bridge_view *after) {
    condition_set was = condition_of(before), is = condition_of(after);
    /* What the first proof shows has been so before: it is no event. */
    bool is_first_proof = before->state.phase == PHASE_UNPROVED;
    struct sound_order order = {.speed = speed_of(&bridge->motion, &after->state.motion)};
    enum horn_signal signal = local_signal(sound, after);
    if (signal != HORN_SILENT) {
        is &= ~(UINT32_C(1) << CONDITION_HORN);
        order.signal = signal != before->state.horn.signal ? signal : HORN_SILENT;
    }
    for (unsigned i = 0; i < sound->voices; i++) {
        const struct sound_voice *voice = &sound->voice[i];
        bool is_wanted = condition_is_met(&voice->when, is);
        bool is_new = is_wanted && !condition_is_met(&voice->when, was) && !is_first_proof;
        order.on |= is_wanted && !voice->is_once ? UINT32_C(1) << i : 0;
        order.begins |= is_new && voice->is_once ? UINT32_C(1) << i : 0;
    }
    return order;
}

bool sound_is_news(const struct sound_order *last, const struct sound_order *next) {
    return next->begins != 0 || next->signal != HORN_SILENT || next->on != last->on ||
           fabsf(next->speed - last->speed) >= SPEED_STEP ||
           (next->speed == 0 && last->speed != 0); /* or it would hum on, a little */
}
