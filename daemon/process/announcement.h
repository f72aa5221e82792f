/* announcement.h: the daemon's network services as a service file for avahi, which announces them
 * by DNS-SD (RFC 6763), so that a phone in the same network finds them by name. */
#ifndef PROCESS_ANNOUNCEMENT_H
#define PROCESS_ANNOUNCEMENT_H

#include "config/settings.h"

#include <stdbool.h>
#include <stdio.h>

/* Prints the file: SRCP, panels and LCC, each where machines other than this one can reach it.
 * Returns whether there is anything to announce; if not, prints nothing. */
bool announcement_print(FILE *out, const struct config *config);

#endif
