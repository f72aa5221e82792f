/* notify.h: notifies the service manager: one datagram to the socket that it names in
 * $NOTIFY_SOCKET (sd_notify(3); from memory). */
#ifndef IO_NOTIFY_H
#define IO_NOTIFY_H

#include "base/error.h"

#include <stdbool.h>

/* `text`: "READY=1", "WATCHDOG=1", "STOPPING=1". `address`: a path, or a name in the abstract
 * namespace, beginning with "@"; NULL: nobody listens, all is well. */
bool notify_send(const char *address, const char *text, struct error *error);

#endif
