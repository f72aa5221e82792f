#include "net/clock/model_clock.h"

static const uint64_t second_us = 1000000;
static const uint64_t minute_us = 60 * 1000000;

static uint64_t model_us_of(const struct model_time *time) {
    uint64_t hours = (uint64_t)time->day * 24 + time->hour;
    return ((hours * 60 + time->minute) * 60 + time->second) * second_us;
}

static uint64_t model_us_at(const struct model_clock *clock, uint64_t now_us) {
    uint64_t passed_us = now_us > clock->set_layout_us ? now_us - clock->set_layout_us : 0;
    return clock->set_model_us + passed_us * clock->fx / clock->fy;
}

/* Rounded up: at the layout time returned the model time is reached, not just missed. */
static uint64_t layout_us_at(const struct model_clock *clock, uint64_t model_us) {
    if (model_us <= clock->set_model_us) {
        return clock->set_layout_us;
    }
    if (clock->fx == 0) {
        return MODEL_CLOCK_NEVER;
    }
    uint64_t left_us = model_us - clock->set_model_us;
    uint64_t whole = left_us / clock->fx;
    if (whole >= (MODEL_CLOCK_NEVER - clock->set_layout_us) / clock->fy) {
        return MODEL_CLOCK_NEVER;
    }
    uint64_t part = (left_us % clock->fx * clock->fy + clock->fx - 1) / clock->fx;
    return clock->set_layout_us + whole * clock->fy + part;
}

void model_clock_start(struct model_clock *clock, uint64_t now_us, uint32_t fx, uint32_t fy) {
    uint64_t model_us = clock->is_running ? model_us_at(clock, now_us) : 0;
    *clock = (struct model_clock){
        .is_running = true, .fx = fx, .fy = fy, .set_layout_us = now_us, .set_model_us = model_us};
}

void model_clock_stop(struct model_clock *clock) {
    *clock = (struct model_clock){.is_running = false};
}

void model_clock_set(struct model_clock *clock, uint64_t now_us, const struct model_time *time) {
    clock->set_layout_us = now_us;
    clock->set_model_us = model_us_of(time);
}

void model_clock_follow(struct model_clock *clock, uint64_t now_us, uint64_t model_us, uint32_t fx,
                        uint32_t fy) {
    *clock = (struct model_clock){
        .is_running = true, .fx = fx, .fy = fy, .set_layout_us = now_us, .set_model_us = model_us};
}

struct model_time model_clock_read(const struct model_clock *clock, uint64_t now_us) {
    uint64_t seconds = model_us_at(clock, now_us) / second_us;
    return (struct model_time){.day = (uint32_t)(seconds / 86400),
                               .hour = (uint32_t)(seconds / 3600 % 24),
                               .minute = (uint32_t)(seconds / 60 % 60),
                               .second = (uint32_t)(seconds % 60)};
}

bool model_clock_is_past(const struct model_clock *clock, uint64_t now_us,
                         const struct model_time *time) {
    return model_us_at(clock, now_us) >= model_us_of(time);
}

uint64_t model_clock_when(const struct model_clock *clock, const struct model_time *time) {
    return layout_us_at(clock, model_us_of(time));
}

uint64_t model_clock_next_minute(const struct model_clock *clock, uint64_t now_us) {
    uint64_t minutes = model_us_at(clock, now_us) / minute_us;
    return layout_us_at(clock, (minutes + 1) * minute_us);
}
