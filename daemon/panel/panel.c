#include "panel/panel.h"

#include "core/words/names.h"
#include "panel/parts.h"
#include "panel/requests.h"
#include "panel/routes.h"

#include <stdio.h>
#include <stdlib.h>

/* --- news */

static void notify_of_request(struct panel *panel, unsigned bridge, const struct panel_step *step) {
    char name[VISITORS_NAME_SIZE + 16];
    char words[512];
    const char *what = bridge_request_name(step->request->kind);
    visitors_name(&panel->visitors, step->who, name, sizeof name);
    if (!bridge_answer_is_granted(step->answer)) {
        snprintf(words, sizeof words, "%s, requested by %s: %s", what, name,
                 bridge_answer_text(step->answer));
        live_news(&panel->live, bridge, "refused", words);
    } else if (step->answer == ANSWER_GRANTED) {
        snprintf(words, sizeof words, "%s, requested by %s", what, name);
        live_news(&panel->live, bridge,
                  bridge_request_is_stop(step->request->kind) ? "stopped" : "asked", words);
    }
}

static enum bridge_fault latched(const struct bridge_view *view) {
    return view->state.phase == PHASE_FAULT ? view->state.fault : FAULT_NONE;
}

void panel_notify(struct panel *panel, unsigned bridge, const struct bridge_view *before,
                  const struct bridge_view *after, const struct panel_step *step) {
    if (panel == NULL) {
        return;
    }
    /* A horn that falls silent is not news; nor is a hand that stays at its throttle, or lets go:
     * that comes several times a second, and the phase shows what came of it. */
    if (step->request->kind != REQUEST_NONE && step->request->kind != REQUEST_HORN_OFF &&
        step->request->kind != REQUEST_THROTTLE_HOLD) {
        notify_of_request(panel, bridge, step);
    }
    if (latched(after) != latched(before) && latched(after) != FAULT_NONE) {
        char words[256];
        snprintf(words, sizeof words, "%s: %s", bridge_fault_name(latched(after)),
                 bridge_fault_text(latched(after)));
        live_news(&panel->live, bridge, "fault", words);
    }
    live_changed(&panel->live, bridge);
}

void panel_say(struct panel *panel, unsigned bridge, const char *words) {
    if (panel != NULL) {
        live_news(&panel->live, bridge, "train", words);
    }
}

void panel_bars_changed(struct panel *panel, unsigned bridge) {
    if (panel != NULL) {
        live_changed(&panel->live, bridge);
    }
}

/* --- start and stop */

struct panel *panel_new(struct event_base *base, const struct config *config,
                        const struct panel_host *host, struct error *error) {
    struct panel *panel = calloc(1, sizeof *panel);
    if (panel == NULL) {
        error_set(error, "panel", "out of memory");
        return NULL;
    }
    panel->context = (struct panel_context){base, config, *host};
    if (!live_init(&panel->live, &panel->context)) {
        error_set(error, "panel", "out of memory");
        panel_free(panel);
        return NULL;
    }
    for (unsigned i = 0; i < config->panel.listeners; i++) {
        if (!http_listener_open(&panel->listener[i], base, &config->panel.listener[i], routes_serve,
                                panel, error)) {
            panel_free(panel);
            return NULL;
        }
        panel->listeners++;
    }
    return panel;
}

void panel_free(struct panel *panel) {
    if (panel == NULL) {
        return;
    }
    /* What holds requests lets them go before the listeners end their connections. */
    live_free(&panel->live);
    history_free(panel->history);
    for (unsigned i = 0; i < panel->listeners; i++) {
        http_listener_close(&panel->listener[i]);
    }
    requests_free(panel);
    visitors_end(&panel->visitors, &panel->context.host);
    free(panel);
}

uint16_t panel_port(const struct panel *panel, unsigned listener) {
    return panel != NULL && listener < panel->listeners
               ? http_listener_port(&panel->listener[listener])
               : 0;
}

unsigned panel_descriptors(const struct panel_setup *setup) {
    enum { OF_HISTORY = 8 };
    unsigned descriptors = setup->listeners > 0 ? OF_HISTORY : 0;
    for (unsigned i = 0; i < setup->listeners; i++) {
        descriptors += 1 + setup->listener[i].clients_max + HTTP_LISTENER_SPARE;
    }
    return descriptors;
}
