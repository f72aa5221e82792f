/* requests.h: a panel user's requests to a bridge: the words of `POST /ask`,
 * and how a request goes. The bridge decides; beside that, another's lock keeps everything but a
 * stop and an emergency stop away (S9). What sets something going is taken only while it is news
 * (freshness.h). */
#ifndef PANEL_REQUESTS_H
#define PANEL_REQUESTS_H

struct http_listener;
struct evhttp_request;
struct panel;

/* The horn sounds so long, in real time. */
enum { REQUESTS_HORN_MS = 1000, REQUESTS_BODY_MAX = 1024 };

/* POST /ask */
void requests_serve(struct panel *panel, const struct http_listener *listener,
                    struct evhttp_request *request);

/* Timers of the horn. */
void requests_free(struct panel *panel);

#endif
