/* ending.h: the end of the bridges: every output of all of them to its safe value, and then a
 * bounded wait for those on other servers to be confirmed. Nothing is waited for before all has
 * been written or sent, or a server that hangs would keep the next bridge driven, unwatched. */
#ifndef DAEMON_ENDING_H
#define DAEMON_ENDING_H

#include "net/setup.h"

#include <stdbool.h>

struct cycle;

/* For all bridges together; with what comes behind it less than TimeoutStopSec of the service unit.
 */
enum { ENDING_WITHIN_US = 3000000 };

struct ending {
    unsigned bridges;
    struct cycle *const *cycle;
    bool is_safe[NET_BRIDGES_MAX]; /* as is known so far */
    bool is_over[NET_BRIDGES_MAX]; /* nothing more can be learnt */
};

/* Puts or sends everything to safe. A bridge without a cycle (NULL) could not be opened: it is not
 * known to be safe. `cycle` must outlive the ending. */
void ending_begin(struct ending *ending, struct cycle *const cycle[], unsigned bridges);

/* Waits for what is not confirmed yet. `meanwhile` is called at least each half second. */
void ending_settle(struct ending *ending, void (*meanwhile)(void *context), void *context);

#endif
