/* daemon_beside.h: the daemon's program that was built or installed with this tool, run for a
 * moment.
 */
#ifndef TOOLS_DRAWTENDER_DAEMON_BESIDE_H
#define TOOLS_DRAWTENDER_DAEMON_BESIDE_H

#include "base/error.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <sys/types.h>

/* Prints the wiring table of a configuration. False: the daemon has none to print, or is not there.
 */
bool daemon_beside_wiring(const char *config, FILE *out, struct error *error);

struct daemon_beside {
    pid_t pid; /* 0: none */
    FILE *log;
    uint16_t port;
};

/* Starts it on a configuration of simulated bridges, `pace` times as fast as life, on a free port
 * of this computer; returns once it listens. False: `error` says why; nothing runs then. */
bool daemon_beside_start(struct daemon_beside *daemon, const char *config, const char *pace,
                         struct error *error);
/* Ends it in order, and waits for that. */
void daemon_beside_end(struct daemon_beside *daemon);

#endif
