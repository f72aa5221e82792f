/* port.h: what touches the world, behind one table of functions. A port serves one bridge.
 * Which drivers there are: drivers.h. */
#ifndef IO_PORT_H
#define IO_PORT_H

#include "base/error.h"
#include "core/data/inputs.h"
#include "core/data/outputs.h"

#include <stdbool.h>
#include <stdint.h>

struct event_base;
struct line_track;

struct port_ops;

/* What only one driver reads, under its name: of a type that its own header tells. */
struct port_own {
    const char *what; /* NULL: the end */
    const void *settings;
};

/* What a driver may use to open itself. Everything pointed to outlives the port. */
struct port_settings {
    const struct bridge_setup *setup;
    const struct port_own *own;      /* see port_own(); NULL: none */
    const struct line_track *tracks; /* BRIDGE_TRACKS_MAX names, for people; NULL: none */
    bool is_dry; /* read all, drive nothing, log what would be driven; see can_run_dry */
    const struct port_ops *(*find)(
        const char *name); /* for "composite": the drivers of its parts */

    /* Filled by a composite for its parts. */
    unsigned which;                   /* of the driver's settings, where there are several */
    const struct bridge_inputs *seen; /* the readings of all parts, as of the last sense; or NULL */
};

/* Returns what is there under this name, or NULL. */
const void *port_own(const struct port_settings *settings, const char *what);

/* Whom a port tells that an input may have changed: the cycle runs in the same turn of the loop. */
struct port_host {
    struct event_base *base;
    void (*changed)(void *context);
    void *context;
};

struct port_ops {
    const char *name;
    bool can_run_dry;
    /* Opens with all outputs safe. Returns the port, owned by the caller until close(), or NULL.
     * `settings` need not outlive the call, `host` outlives the port. */
    void *(*open)(const struct port_settings *settings, const struct port_host *host,
                  struct error *error);
    /* Reads the world as it is at `now_us` (monotonic, never backwards; paced by the caller). */
    void (*sense)(void *port, uint64_t now_us, struct bridge_inputs *inputs);
    /* Puts out what the core decided: the one writer. */
    void (*act)(void *port, uint64_t now_us, const struct bridge_outputs *outputs);
    /* Longest time until the port must be sensed again though nothing called; UINT32_MAX: never. */
    uint32_t (*wake_us)(const void *port);
    /* Puts every output to its fail-safe value (S7), at once: local outputs are written, another
     * server is sent its commands, nothing is waited for. Returns whether the outputs are known to
     * be safe. */
    bool (*safe)(void *port);
    /* Waits, `within_us` of real time at the longest, until what safe() sent is confirmed. Returns
     * whether it is; false before the time is up means that it never will be. May be called again.
     * NULL: the answer of safe() stands. */
    bool (*settle)(void *port, uint32_t within_us);
    /* Does what safe() does as far as it can inside a signal handler: async-signal-safe, without
     * memory, locks or a log. Nothing may use the port afterwards. NULL: there is nothing to do. */
    void (*crash_safe)(void *port);
    void (*close)(void *port);
    /* Run-time commands of a simulation, in words; NULL where there is none. Changes nothing on
     * error. */
    bool (*simulate)(void *port, const char *words, struct error *error);
    /* What tell() would answer now; changes nothing. NULL where tell is. */
    bool (*would_simulate)(const void *port, const char *words, struct error *error);
    /* Takes the next line of what happened in a simulated world ("freight from west starts"), or
     * NULL: nothing more. Valid until the next call. NULL where there is none. */
    const char *(*news)(void *port);

    /* The rest serves a composite; each may be NULL. */

    /* Not ready yet, and not lost either: connecting for the first time. NULL: never. */
    bool (*is_starting)(const void *port);
    /* When its readings were last confirmed, by the time that sense() got. NULL: in every sense().
     */
    uint64_t (*fresh_us)(const void *port);
};

#endif
