/* daemon_panel.h: a browser of a kind for the panel of a real daemon (daemon.h): asks, waits for
 * the answer. Time limits are only there to end a test that hangs. */
#ifndef SUPPORT_DAEMON_PANEL_H
#define SUPPORT_DAEMON_PANEL_H

#include "support/daemon/daemon.h"

#include <stddef.h>
#include <stdint.h>

/* Waits until the daemon has logged where its panel is; returns the port. */
uint16_t daemon_panel_port(struct daemon_run *run);

/* One GET (`body` NULL) or POST from the panel's own page. Returns the code; the answer's body goes
 * to `answer`, cut to `size`. */
int daemon_panel_ask(uint16_t port, const char *path, const char *body, char *answer, size_t size);

/* Opens /live; returns the socket, for daemon_panel_await(). */
int daemon_panel_listen(uint16_t port);

/* What `alive` tells a listener that comes now: it goes with what is asked. */
void daemon_panel_moment(uint16_t port, char *moment, size_t size);

/* Reads the stream until `words` have come; false: it ended before. */
bool daemon_panel_await(int fd, const char *words);

#endif
