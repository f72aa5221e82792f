/* routes.h: which path is what. A table; whoever adds a path adds a row. */
#ifndef PANEL_ROUTES_H
#define PANEL_ROUTES_H

struct evhttp_request;

/* Answers every request, or hands it on to whoever will. */
void routes_serve(struct evhttp_request *request, void *listener);

#endif
