#include "stand/lamps.h"

#include "base/log.h"

#include <event2/event.h>
#include <string.h>

/* What could not be written is tried again this often. */
enum { RETRY_US = 1000000 };

static unsigned tick_of(uint64_t now_us) {
    return (unsigned)(now_us / LOOKS_TICK_US % LOOKS_TICKS);
}

/* ---- writing */

static bool is_lit(const struct lamps *lamps, unsigned i, unsigned tick) {
    return lamps->is_test || looks_is_lit(lamps->look[i], tick);
}

static bool put_pins(struct lamps *lamps, unsigned tick, struct error *error) {
    bool is_put = true;
    for (unsigned i = 0; i < lamps->setup->lamps; i++) {
        is_put = pin_out_put(&lamps->out[i], is_lit(lamps, i, tick), error) && is_put;
    }
    return is_put;
}

static bool put_row(struct lamps *lamps, unsigned r, unsigned tick, struct error *error) {
    struct lamps_row *row = &lamps->row[r];
    bool lit[STAND_PLACES_MAX] = {false};
    enum stand_colour colour[STAND_PLACES_MAX] = {STAND_WHITE};
    unsigned char bytes[ROW_BYTES_MAX];
    for (unsigned i = 0; i < lamps->setup->lamps; i++) {
        const struct stand_lamp *lamp = &lamps->setup->lamp[i];
        if (!lamp->pin.is_used && lamp->row == r) {
            lit[lamp->place] = is_lit(lamps, i, tick);
            colour[lamp->place] = lamp->colour;
        }
    }
    size_t count = row_bytes(&lamps->setup->row[r], lit, colour, bytes);
    if (row->handle == NULL || (row->is_known && memcmp(bytes, row->bytes, count) == 0)) {
        return true;
    }
    row->is_known = lamps->spi->write(row->handle, bytes, count, error);
    memcpy(row->bytes, bytes, count);
    return row->is_known;
}

static void tell(struct lamps *lamps, bool is_put, const struct error *error) {
    if (!is_put && !lamps->is_failed) {
        log_line(LOG_WARNING, "%s: stand: a lamp cannot be lit or put out: %s", lamps->bridge,
                 error->what);
    } else if (is_put && lamps->is_failed) {
        log_line(LOG_NOTICE, "%s: stand: the lamps can be lit again", lamps->bridge);
    }
    lamps->is_failed = !is_put;
}

/* ---- when again */

static unsigned ticks_left(const struct lamps *lamps, unsigned tick) {
    unsigned soonest = 0;
    for (unsigned i = 0; !lamps->is_test && i < lamps->setup->lamps; i++) {
        unsigned left = looks_ticks_left(lamps->look[i], tick);
        soonest = left > 0 && (soonest == 0 || left < soonest) ? left : soonest;
    }
    return soonest;
}

static void arm(struct lamps *lamps, uint64_t now_us) {
    unsigned ticks = ticks_left(lamps, tick_of(now_us));
    uint64_t left_us = ticks > 0 ? ticks * (uint64_t)LOOKS_TICK_US - now_us % LOOKS_TICK_US : 0;
    if (lamps->is_failed && (left_us == 0 || left_us > RETRY_US)) {
        left_us = RETRY_US;
    }
    if (left_us == 0) {
        event_del(lamps->due);
        return;
    }
    const struct timeval left = {.tv_sec = (time_t)(left_us / 1000000),
                                 .tv_usec = (suseconds_t)(left_us % 1000000)};
    if (event_add(lamps->due, &left) != 0) {
        log_line(LOG_WARNING, "%s: stand: no timer available: its lamps stand still",
                 lamps->bridge);
    }
}

static void on_due(evutil_socket_t fd, short what, void *context) {
    struct lamps *lamps = context;
    struct error error = {.what = ""};
    uint64_t now_us = lamps->host->now_us(lamps->host->context);
    unsigned tick = tick_of(now_us);
    (void)fd;
    (void)what;
    bool is_put = put_pins(lamps, tick, &error);
    for (unsigned r = 0; r < lamps->setup->rows; r++) {
        is_put = put_row(lamps, r, tick, &error) && is_put;
    }
    tell(lamps, is_put, &error);
    arm(lamps, now_us);
}

/* ---- */

void lamps_see(struct lamps *lamps, const struct bridge_view *view, const struct looks_desk *desk) {
    bool is_changed = false;
    for (unsigned i = 0; i < lamps->setup->lamps; i++) {
        enum look look = looks_of(&lamps->setup->lamp[i], lamps->core, view, desk);
        is_changed = is_changed || look != lamps->look[i];
        lamps->look[i] = look;
    }
    if (is_changed) {
        event_active(lamps->due, EV_TIMEOUT, 0);
    }
}

void lamps_test(struct lamps *lamps, bool is_test) {
    if (is_test != lamps->is_test) {
        lamps->is_test = is_test;
        event_active(lamps->due, EV_TIMEOUT, 0);
    }
}

static bool open_outputs(struct lamps *lamps, const struct lamps_kernel *kernel,
                         struct error *error) {
    const struct stand_setup *setup = lamps->setup;
    bool is_dry = lamps->host->is_dry;
    for (; lamps->outs < setup->lamps; lamps->outs++) {
        if (!pin_out_open(&lamps->out[lamps->outs], &setup->lamp[lamps->outs].pin,
                          setup->terminals.chip, "a lamp of the stand", kernel->gpio, is_dry,
                          error)) {
            return false;
        }
    }
    for (unsigned r = 0; r < setup->rows && !is_dry; r++) {
        lamps->row[r].handle = kernel->spi->open(setup->row[r].device, setup->row[r].hertz, error);
        if (lamps->row[r].handle == NULL) {
            return false;
        }
    }
    return true;
}

bool lamps_open(struct lamps *lamps, const struct stand_setup *setup,
                const struct bridge_setup *core, const struct stand_host *host, const char *bridge,
                struct event_base *base, const struct lamps_kernel *kernel, struct error *error) {
    *lamps = (struct lamps){
        .setup = setup, .core = core, .spi = kernel->spi, .host = host, .bridge = bridge};
    lamps->due = evtimer_new(base, on_due, lamps);
    if (lamps->due == NULL) {
        return error_set(error, bridge, "no timer available");
    }
    if (!open_outputs(lamps, kernel, error)) {
        lamps_close(lamps);
        return false;
    }
    event_active(lamps->due, EV_TIMEOUT, 0); /* a row may show anything until it is written */
    return true;
}

/* A row that stays lit behind a dead daemon would tell what nobody knows. */
static void put_out(struct lamps *lamps) {
    for (unsigned i = 0; i < lamps->outs; i++) {
        pin_out_rest(&lamps->out[i], NULL);
        pin_out_close(&lamps->out[i]);
    }
    lamps->is_test = false;
    memset(lamps->look, 0, sizeof lamps->look);
    for (unsigned r = 0; r < lamps->setup->rows; r++) {
        if (lamps->row[r].handle != NULL) {
            put_row(lamps, r, 0, NULL);
            lamps->spi->close(lamps->row[r].handle);
        }
    }
}

void lamps_close(struct lamps *lamps) {
    if (lamps->due == NULL) {
        return;
    }
    put_out(lamps);
    event_free(lamps->due);
    lamps->due = NULL;
}
