/* routes.h: which path is what. A table; a new path is a new row. */
#ifndef PANEL_ROUTES_H
#define PANEL_ROUTES_H

struct evhttp_request;

/* Answers every request, or passes it on. */
void routes_serve(struct evhttp_request *request, void *listener);

#endif
