/* freshness.h: when a page last heard the daemon, in words that it sends back with what it asks. A
 * request may wait for minutes in a socket, when the daemon or the radio hangs: long after the
 * finger that pressed, and after the page said that nobody heard it, nothing may begin to move. */
#ifndef PANEL_FRESHNESS_H
#define PANEL_FRESHNESS_H

#include <stdbool.h>
#include <stdint.h>

/* No longer than the page waits for its answer. `alive` comes every second. */
enum { FRESHNESS_SIZE = 48, FRESHNESS_MS = 3000 };

/* `start`: of the daemon, any number of its own; `now_us`: of a clock that never stands still. */
void freshness_write(uint64_t start, uint64_t now_us, char text[FRESHNESS_SIZE]);

/* Returns false for a stamp from another run of the daemon, from the future, or malformed. */
bool freshness_is_fresh(const char *text, uint64_t start, uint64_t now_us);

#endif
