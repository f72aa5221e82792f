/* asks.h: what whoever has the panel before them asks of a bridge: the words of `POST /ask`, and
 * how a request goes. The bridge decides; beside that, another's lock keeps everything but a stop
 * and an emergency stop away (S9). What sets something going is taken only while it is news
 * (heard.h). */
#ifndef PANEL_ASKS_H
#define PANEL_ASKS_H

#include "core/data/request.h"

#include <stdbool.h>

struct door;
struct evhttp_request;
struct panel;

/* The horn sounds so long, in real time. */
enum { ASKS_WORDS_SIZE = 320, ASKS_HORN_MS = 1000, ASKS_BODY_MAX = 1024 };

/* POST /ask */
void asks_serve(struct panel *panel, const struct door *door, struct evhttp_request *request);

/* Whether it would be granted now, and change something; if not, `why`; else "". */
bool asks_would(const struct panel *panel, unsigned bridge, enum bridge_request_kind kind,
                char why[ASKS_WORDS_SIZE]);

/* Timers of the horn. */
void asks_free(struct panel *panel);

#endif
