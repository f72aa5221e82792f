#include "stand/stand.h"

#include "base/log.h"
#include "base/who.h"
#include "core/timing.h"
#include "core/words/names.h"
#include "io/port.h"
#include "io/wired/wired_inputs.h"
#include "stand/desk.h"
#include "stand/hold.h"
#include "stand/keys.h"
#include "stand/lamps.h"
#include "stand/lever.h"

#include <event2/event.h>
#include <linux/input-event-codes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* A hold comes so often, in layout time: three of them may be lost (THROTTLE_US). */
enum { REFRESH_US = 150000, REFRESH_LEAST_US = 10000 };

const struct stand_kernel stand_kernel = {&gpio_kernel, &evdev_kernel, &spidev_kernel};

struct stand {
    unsigned bridge;
    const struct stand_setup *setup;
    struct stand_host host;
    struct stand_kernel kernel;
    struct event *timer;
    bool is_started;
    struct port_host changed; /* whom the contacts' edges tell */
    bool has_contacts;
    struct wired_inputs contacts;
    struct keys keys;
    struct desk desk;
    struct lever lever;
    struct hold_setup hold_setup;
    struct hold hold;
    struct lamps lamps;
};

static uint64_t now_us(const struct stand *stand) {
    return stand->host.now_us(stand->host.context);
}

static const char *name_of(const struct stand *stand) {
    return stand->host.name(stand->host.context, stand->bridge);
}

/* ---- asking */

/* A person who has switched to local stands before the bridge: a lock that somebody took over the
 * network does not keep that person away. A stop is kept away by nobody (S9). */
static const char *refusal(const struct stand *stand, const struct bridge_request *request,
                           char words[64]) {
    const char *why = desk_refuses_itself(&stand->desk, request->kind);
    bool may_be_barred = !stand->desk.is_local && !desk_is_always_allowed(request->kind);
    if (why != NULL || !may_be_barred) {
        return why;
    }
    int32_t session = stand->host.barred_by(stand->host.context, stand->bridge, request);
    snprintf(words, 64, "session %d has locked it; only a stop acts", session);
    return session != 0 ? words : NULL;
}

static void tell_refused(const struct stand *stand, const struct bridge_request *request,
                         const char *why) {
    log_line(LOG_NOTICE, "%s: stand: %s: refused: %s", name_of(stand),
             bridge_request_name(request->kind), why);
    stand->host.refused(stand->host.context, stand->bridge, request, why);
}

/* Returns whether it was granted. */
static bool ask(struct stand *stand, const struct bridge_request *request) {
    char words[64];
    const char *why = refusal(stand, request, words);
    if (why != NULL) {
        tell_refused(stand, request, why);
        return false;
    }
    enum bridge_answer answer =
        stand->host.ask(stand->host.context, WHO_STAND, stand->bridge, request);
    bool is_granted = bridge_answer_is_granted(answer);
    bool is_hold = request->kind == REQUEST_THROTTLE_HOLD; /* its run may be over: no news */
    if (!is_granted && !is_hold) {
        tell_refused(stand, request, bridge_answer_text(answer));
    }
    return is_granted;
}

/* ---- buttons and switches */

static const char *control_word(enum stand_control_kind kind) {
    static const char *const words[] = {STAND_CONTROL_ROWS(STAND_CONTROL_WORD)};
    return words[kind];
}

static void tell_control(const struct stand *stand, unsigned i, enum contact_news what) {
    const char *word = control_word(stand->setup->control[i].kind);
    const char *bridge = name_of(stand);
    switch (what) {
    case CONTACT_NO_NEWS:
    case CONTACT_PRESSED:
    case CONTACT_RELEASED:
        break;
    case CONTACT_STUCK:
        log_line(LOG_WARNING, "%s: stand: \"%s\" is stuck: it counts as released", bridge, word);
        break;
    case CONTACT_FREED:
        log_line(LOG_NOTICE, "%s: stand: \"%s\" is released", bridge, word);
        break;
    case CONTACT_LOST:
        log_line(LOG_WARNING, "%s: stand: \"%s\" cannot be read: it %s", bridge, word,
                 stand->setup->control[i].kind == STAND_LOCAL ? "stays as it was"
                                                              : "counts as released");
        break;
    case CONTACT_FOUND:
        log_line(LOG_NOTICE, "%s: stand: \"%s\" can be read again", bridge, word);
        break;
    }
}

/* A device that has gone, or has come, was told once for all its keys. */
static bool is_told(const struct stand *stand, unsigned i, enum contact_news what) {
    const struct stand_control *control = &stand->setup->control[i];
    bool is_of_device = what == CONTACT_LOST || what == CONTACT_FOUND;
    return is_of_device && control->is_key &&
           keys_is_there(&stand->keys, control->device) == (what == CONTACT_FOUND);
}

static void take(struct stand *stand, unsigned i, enum level level, uint64_t at_us) {
    struct desk_news news;
    while (desk_look(&stand->desk, i, level, at_us, &news)) {
        if (!is_told(stand, i, news.what)) {
            tell_control(stand, i, news.what);
        }
        if (news.asks != REQUEST_NONE) {
            const struct bridge_request request = {.kind = news.asks};
            ask(stand, &request);
        }
    }
}

/* ---- the throttle */

static bool is_gripped(const struct stand *stand) {
    bool needs_grip = desk_has(&stand->desk, STAND_GRIP);
    return (!needs_grip || desk_is_pressed(&stand->desk, STAND_GRIP)) &&
           desk_refuses_itself(&stand->desk, REQUEST_THROTTLE_UP) == NULL;
}

static void look_at_throttle(struct stand *stand, uint64_t at_us) {
    struct bridge_request request;
    double share = lever_share(&stand->lever, is_gripped(stand), at_us);
    if (!hold_look(&stand->hold, &stand->hold_setup, share, at_us, &request)) {
        return;
    }
    if (request.kind == REQUEST_THROTTLE_HOLD) { /* nothing keeps a hand from letting go */
        enum bridge_answer answer =
            stand->host.ask(stand->host.context, WHO_STAND, stand->bridge, &request);
        hold_answered(&stand->hold, bridge_answer_is_granted(answer));
    } else {
        hold_answered(&stand->hold, ask(stand, &request));
    }
}

/* ---- a look at all */

static void see_lamps(struct stand *stand, const struct bridge_view *view) {
    const struct looks_desk desk = {.may_operate =
                                        desk_refuses_itself(&stand->desk, REQUEST_RAISE) == NULL,
                                    .is_local = stand->desk.is_local};
    lamps_test(&stand->lamps, desk_is_pressed(&stand->desk, STAND_LAMP_TEST));
    lamps_see(&stand->lamps, view, &desk);
}

static void arm(struct stand *stand, uint64_t at_us) {
    uint32_t wake_us = desk_wake_us(&stand->desk, at_us);
    if (stand->has_contacts) {
        wake_us = sooner_us(wake_us, wired_inputs_wake_us(&stand->contacts, at_us));
    }
    wake_us = sooner_us(wake_us, lever_wake_us(&stand->lever, at_us));
    wake_us = sooner_us(wake_us, hold_wake_us(&stand->hold, &stand->hold_setup, at_us));
    if (wake_us == UINT32_MAX) {
        event_del(stand->timer);
        return;
    }
    const struct timeval wake = {.tv_sec = wake_us / 1000000, .tv_usec = wake_us % 1000000};
    if (event_add(stand->timer, &wake) != 0) {
        log_line(LOG_ERROR, "%s: stand: no timer available", name_of(stand));
    }
}

static void look(struct stand *stand) {
    enum level level[WIRED_INPUTS_MAX];
    uint64_t at_us = now_us(stand);
    if (!stand->is_started) {
        return;
    }
    const char *kept = desk_refuses_others(&stand->desk, REQUEST_RAISE);
    if (stand->has_contacts) {
        wired_inputs_read(&stand->contacts, at_us, level);
    }
    for (unsigned i = 0; i < stand->setup->controls; i++) {
        const struct stand_control *control = &stand->setup->control[i];
        take(stand, i,
             control->is_key ? keys_level(&stand->keys, control->device, control->key)
                             : level[control->input],
             at_us);
    }
    look_at_throttle(stand, at_us);
    if (desk_refuses_others(&stand->desk, REQUEST_RAISE) != kept) {
        stand->host.bars_changed(stand->host.context, stand->bridge);
    }
    see_lamps(stand, stand->host.view(stand->host.context, stand->bridge));
    arm(stand, at_us);
}

static void on_timer(evutil_socket_t fd, short what, void *context) {
    (void)fd;
    (void)what;
    look(context);
}

static void on_contact(void *context) {
    struct stand *stand = context;
    stand->host.turn(stand->host.context);
    look(stand);
}

/* A key that was pressed and released again before anybody looked was pressed. */
static void on_key(void *context, unsigned device, const struct evdev_event *event) {
    struct stand *stand = context;
    for (unsigned i = 0; stand->is_started && i < stand->setup->controls; i++) {
        const struct stand_control *control = &stand->setup->control[i];
        if (control->is_key && event->type == EV_KEY && control->device == device &&
            control->key == event->code) {
            take(stand, i, event->value != 0 ? LEVEL_ON : LEVEL_OFF, now_us(stand));
        }
    }
    lever_take(&stand->lever, device, event);
}

static void on_keys_settled(void *context) {
    look(context);
}

/* ---- */

static bool open_all(struct stand *stand, struct event_base *base, const struct bridge_setup *core,
                     struct error *error) {
    const struct stand_setup *setup = stand->setup;
    const struct lamps_kernel kernel = {stand->kernel.gpio, stand->kernel.spi};
    const struct keys_listener listener = {
        .context = stand, .bridge = name_of(stand), .changed = on_key, .settled = on_keys_settled};
    stand->timer = evtimer_new(base, on_timer, stand);
    if (stand->timer == NULL) {
        return error_set(error, name_of(stand), "no timer available");
    }
    stand->changed = (struct port_host){.base = base, .changed = on_contact, .context = stand};
    stand->has_contacts = setup->terminals.inputs > 0 &&
                          wired_inputs_open(&stand->contacts, &setup->terminals, stand->kernel.gpio,
                                            &stand->changed, error);
    if (setup->terminals.inputs > 0 && !stand->has_contacts) {
        return false;
    }
    if (!lever_open(&stand->lever, &setup->throttle, &stand->keys, name_of(stand), error)) {
        return false;
    }
    if (!lamps_open(&stand->lamps, setup, core, &stand->host, name_of(stand), base, &kernel,
                    error)) {
        return false;
    }
    keys_open(&stand->keys, setup, stand->kernel.evdev, base, &listener);
    return true;
}

struct stand *stand_new(struct event_base *base, unsigned bridge, const struct stand_setup *setup,
                        const struct bridge_setup *core, const struct stand_host *host,
                        const struct stand_kernel *kernel, struct error *error) {
    struct stand *stand = calloc(1, sizeof *stand);
    if (stand == NULL) {
        error_set(error, "stand", "out of memory");
        return NULL;
    }
    stand->bridge = bridge;
    stand->setup = setup;
    stand->host = *host;
    stand->kernel = *kernel;
    double refresh_us = fmax(REFRESH_US / host->pace, REFRESH_LEAST_US);
    stand->hold_setup = (struct hold_setup){.dead_share = setup->throttle.dead_share,
                                            .is_voltage = setup->throttle.is_voltage,
                                            .refresh_us = (uint32_t)refresh_us};
    desk_init(&stand->desk, setup);
    if (!open_all(stand, base, core, error)) {
        stand_free(stand);
        return NULL;
    }
    return stand;
}

void stand_free(struct stand *stand) {
    if (stand == NULL) {
        return;
    }
    keys_close(&stand->keys);
    lamps_close(&stand->lamps);
    if (stand->has_contacts) {
        wired_inputs_close(&stand->contacts);
    }
    if (stand->timer != NULL) {
        event_free(stand->timer);
    }
    free(stand);
}

void stand_look(struct stand *stand) {
    if (stand != NULL) {
        stand->is_started = true;
        look(stand);
    }
}

void stand_notify(struct stand *stand, const struct bridge_view *after) {
    if (stand != NULL && stand->is_started) {
        see_lamps(stand, after);
    }
}

const char *stand_refuses(const struct stand *stand, const struct bridge_request *request) {
    return stand == NULL ? NULL : desk_refuses_others(&stand->desk, request->kind);
}
