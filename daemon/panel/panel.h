/* panel.h: the page for the tablet beside the bridge, and what it asks for over HTTP: README.md.
 * It asks and tells; it decides nothing about a bridge. */
#ifndef PANEL_PANEL_H
#define PANEL_PANEL_H

#include "base/error.h"
#include "config/config.h"
#include "core/data/request.h"
#include "core/data/view.h"

#include <stdbool.h>
#include <stdint.h>

struct event_base;
struct panel;

/* Whom the panel asks. Bridges by their index in the configuration. */
struct panel_host {
    void *context;
    const char *version; /* static storage */
    double pace;
    /* Layout time in microseconds since the Unix epoch (paced). */
    uint64_t (*now_us)(void *context);
    /* Runs one cycle of the bridge with this request in this very call. `who` is a visitor of the
     * panel's, below 0. */
    enum bridge_answer (*ask)(void *context, int32_t who, unsigned bridge,
                              const struct bridge_request *request);
    /* What ask() would answer now; changes nothing. */
    enum bridge_answer (*would)(void *context, unsigned bridge,
                                const struct bridge_request *request);
    /* The bridge as it is; valid until the next call into the host. */
    const struct bridge_view *(*view)(void *context, unsigned bridge);
    /* The protocol session whose lock keeps everybody else from asking this; 0: none. */
    int32_t (*barred_by)(void *context, unsigned bridge, const struct bridge_request *request);
    /* A visitor's request came to nothing; `why` in words. */
    void (*refused)(void *context, unsigned bridge, const struct bridge_request *request,
                    const char *why);
    /* A visitor asks for the first time, or will ask no more. `words`: from where, and its right.
     */
    void (*visitor)(void *context, int32_t who, bool begins, const char *words);
    /* How many links to LCC are up; NULL: there is none. */
    unsigned (*lcc_links)(void *context);
};

/* Opens all of config->panel, or none. `config` must outlive the panel, `host` is copied. Returns
 * NULL and fills `error`. */
struct panel *panel_new(struct event_base *base, const struct config *config,
                        const struct panel_host *host, struct error *error);
/* NULL is taken, here and below: then there is no panel, and nothing happens. */
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
void panel_tell(struct panel *panel, unsigned bridge, const struct bridge_view *before,
                const struct bridge_view *after, const struct panel_step *step);

/* A train's news. */
void panel_say(struct panel *panel, unsigned bridge, const char *words);

/* What barred_by() or lcc_links() answers may have changed. */
void panel_bars_changed(struct panel *panel, unsigned bridge);

#endif
