/* history.h: what happened, out of the record, and drawings: read and drawn by a thread of its own
 * with its own read-only connection, handed over to the loop as bytes. The loop waits for nothing;
 * who asks for the same at the same time is given the same. */
#ifndef PANEL_HISTORY_H
#define PANEL_HISTORY_H

struct http_listener;
struct evhttp_request;
struct history;
struct panel_context;

/* Different things that may be wanted at once; more are told to come again (503). */
enum { HISTORY_JOBS_MAX = 16 };

/* `history` is made, with its thread, for the first who must wait for it; NULL until then. */

/* GET /history?bus=1 */
void history_serve(struct history **history, const struct panel_context *context,
                   struct http_listener *listener, struct evhttp_request *request,
                   const char *query);

/* GET /plots/<name>: "1/leaf.svg", "1/opening-48.svg" */
void history_serve_plot(struct history **history, const struct panel_context *context,
                        struct http_listener *listener, struct evhttp_request *request,
                        const char *name);

/* Waits for the job that is being done; those that wait for others go with their connections. NULL
 * is taken. */
void history_free(struct history *history);

#endif
