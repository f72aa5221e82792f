/* reload.h: a new configuration for a running daemon, asked for by SIGUSR1. A process of its own
 * reads and checks it, and says what would change, so that no bridge waits for that; then the
 * bridges say whether it may be taken. It is taken by an orderly end and a start anew, in the same
 * process. */
#ifndef DAEMON_RELOAD_H
#define DAEMON_RELOAD_H

#include "base/error.h"
#include "core/data/setup.h"
#include "core/data/view.h"
#include "core/words/lines.h"

#include <stdbool.h>
#include <stddef.h>

struct event_base;
struct reload;

/* From now on SIGUSR1 asks for it. `config`: the file, as the daemon has just read it; NULL: the
 * built-in demo, which has none. `checked` is called, in the loop, when the new one is in order and
 * is not the same. Returns NULL and fills `error`. */
struct reload *reload_new(struct event_base *base, const char *config,
                          void (*checked)(void *context), void *context, struct error *error);

/* NULL is taken. */
void reload_free(struct reload *reload);

/* Returns whether the bridge may be started anew now: it is lined, its tracks have their power, and
 * no train is seen near it. If not, `why` is filled: "it is raising". */
bool reload_may(const struct bridge_setup *setup, const struct bridge_view *view,
                const struct line_track tracks[BRIDGE_TRACKS_MAX], char *why, size_t size);

/* Runs this program anew with the arguments that it was given. Returns only if that fails. */
void reload_run_anew(char *const arguments[], struct error *error);

#endif
