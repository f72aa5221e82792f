#include "protocol/lcc/clock.h"

/* The lower two bytes of a report; what sets a clock has 8000 more, and is for its owner. */
enum { TIME_END = 0x1800, MINUTES = 60, RATE = 0x4000, RATE_END = 0x5000, STOP = 0xF001, START };

static const int64_t day_us = LCC_CLOCK_DAY_S * INT64_C(1000000);

void lcc_clock_init(struct lcc_clock *clock, uint64_t base) {
    *clock = (struct lcc_clock){.base = base & ~UINT64_C(0xFFFF), .rate_quarters = 4};
}

int lcc_clock_rate(const struct lcc_clock *clock) {
    return clock->is_stopped ? 0 : clock->rate_quarters;
}

int64_t lcc_clock_time_us(const struct lcc_clock *clock, uint64_t now_us) {
    return clock->time_us + (int64_t)(now_us - clock->at_us) * lcc_clock_rate(clock) / 4;
}

/* Its own time up to now, before something changes. */
static void keep_up(struct lcc_clock *clock, uint64_t now_us) {
    int64_t time_us = lcc_clock_time_us(clock, now_us);
    int64_t days = time_us / day_us - (time_us % day_us < 0);
    clock->time_us = time_us - days * day_us;
    clock->day = days >= 0 || clock->day >= (uint64_t)-days ? clock->day + (uint32_t)days : 0;
    clock->at_us = now_us;
}

/* A jump of more than half a day is over midnight. */
static void set_time(struct lcc_clock *clock, unsigned hour, unsigned minute) {
    int64_t time_us = ((int64_t)hour * MINUTES + minute) * MINUTES * 1000000;
    int64_t jump_us = time_us - clock->time_us;
    if (clock->is_known && jump_us < -day_us / 2) {
        clock->day++;
    } else if (clock->is_known && jump_us > day_us / 2 && clock->day > 0) {
        clock->day--;
    }
    clock->time_us = time_us;
    clock->is_known = true;
}

/* Signed, 12 bits. */
static int rate_of(unsigned low) {
    int rate = (int)(low & 0x0FFF);
    return rate & 0x0800 ? rate - 0x1000 : rate;
}

bool lcc_clock_take(struct lcc_clock *clock, uint64_t event, uint64_t now_us) {
    unsigned low = (unsigned)(event & 0xFFFF);
    if (event - low != clock->base) {
        return false;
    }
    keep_up(clock, now_us);
    if (low < TIME_END && (low & 0xFF) < MINUTES) {
        set_time(clock, low >> 8, low & 0xFF);
    } else if (low >= RATE && low < RATE_END) {
        clock->rate_quarters = rate_of(low);
    } else if (low == STOP || low == START) {
        clock->is_stopped = low == STOP;
    } else {
        return false;
    }
    return true;
}
