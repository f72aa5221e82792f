/* panel.h: the page for the tablet beside the bridge, and what it asks for over HTTP: README.md.
 * It asks and tells; it decides nothing about a bridge. */
#ifndef PANEL_PANEL_H
#define PANEL_PANEL_H

#include "base/error.h"
#include "config/config.h"
#include "panel/host.h"

#include <stdbool.h>
#include <stdint.h>

struct event_base;
struct panel;

/* Opens all of config->panel, or none. `config` must outlive the panel, `host` is copied. Returns
 * NULL and fills `error`. */
struct panel *panel_new(struct event_base *base, const struct config *config,
                        const struct panel_host *host, struct error *error);
/* NULL is accepted, here and below: then there is no panel, and nothing happens. */
void panel_free(struct panel *panel);

/* The port that listener `i` of config->panel really has. */
uint16_t panel_port(const struct panel *panel, unsigned listener);

/* How many descriptors the panel may have open with this setup. */
unsigned panel_descriptors(const struct panel_setup *setup);

/* What a step was given and answered. */
struct panel_step {
    const struct bridge_request *request;
    enum bridge_answer answer;
    int32_t who; /* a protocol session; a visitor, below 0; 0: nobody */
};

/* A bridge's cycle ran. Must be called after every step, the steps of panel_host.ask included;
 * called from within ask() too, before it returns. Does next to nothing. */
void panel_notify(struct panel *panel, unsigned bridge, const struct bridge_view *before,
                  const struct bridge_view *after, const struct panel_step *step);

/* A train's news. */
void panel_say(struct panel *panel, unsigned bridge, const char *words);

/* What barred_by(), kept_by_stand() or lcc_links() answers may have changed. */
void panel_bars_changed(struct panel *panel, unsigned bridge);

#endif
