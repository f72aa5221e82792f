/* asks.h: what whoever has the panel before them asks of a bridge: the words of `POST /ask`, and
 * how a request goes. The bridge decides; beside that, another's lock keeps everything but a stop
 * and an emergency stop away (S9). What sets something going is taken only while it is news
 * (heard.h). */
#ifndef PANEL_ASKS_H
#define PANEL_ASKS_H

struct door;
struct evhttp_request;
struct panel;

/* The horn sounds so long, in real time. */
enum { ASKS_HORN_MS = 1000, ASKS_BODY_MAX = 1024 };

/* POST /ask */
void asks_serve(struct panel *panel, const struct door *door, struct evhttp_request *request);

/* Timers of the horn. */
void asks_free(struct panel *panel);

#endif
