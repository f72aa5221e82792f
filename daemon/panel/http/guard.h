/* guard.h: whether a request may be served at all: who asks, from where, by which name, out of
 * which page. Browsers carry out what any page tells them to, with the rights of the person
 * before them: so nothing is done that did not come from our own page.
 *
 * A name that is not ours (somebody else's that was made to lead here: DNS rebinding) is refused;
 * so is a POST without Origin, or with another than this panel; so is reading from another site. */
#ifndef PANEL_GUARD_H
#define PANEL_GUARD_H

#include <stdbool.h>

struct http_listener;
struct evhttp_request;

enum guard_way {
    GUARD_PAGE,  /* the page itself: anybody who may come */
    GUARD_ENTER, /* from our own page; the token is what it brings */
    GUARD_DATA,  /* from our own page or from no page, with the pass where one is needed */
    GUARD_ACT    /* from our own page, with the pass, and the right to operate */
};

/* False: it has been answered. */
bool guard_passes(const struct http_listener *listener, struct evhttp_request *request,
                  enum guard_way way);

/* A number, or "localhost", or one of `names` (parted by blanks); a port may follow. */
bool guard_is_host(const char *host, const char *names);

/* The name of the cookie with the pass: cookies know no ports, so the port is part of it. */
void guard_cookie_name(const struct http_listener *listener, char name[32]);

#endif
