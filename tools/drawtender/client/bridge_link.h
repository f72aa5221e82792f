/* bridge_link.h: both sessions with the server of one bridge, the one that asks and the one that is
 * told, and the picture that the latter gives.
 *
 * The two are tied together by marks: a message that the first sends to the second comes after all
 * that the server told before. So it is known, without waiting for a time to run out, when the dump
 * at the start has come whole, and when all that a request has changed has been told. */
#ifndef TOOLS_DRAWTENDER_BRIDGE_LINK_H
#define TOOLS_DRAWTENDER_BRIDGE_LINK_H

#include "base/error.h"
#include "tools/drawtender/client/picture.h"
#include "tools/drawtender/client/talk.h"
#include "tools/drawtender/options.h"
#include "tools/drawtender/outcome.h"

#include <stdbool.h>
#include <stdint.h>

struct bridge_link {
    struct talk command;
    struct talk info;
    struct picture picture;
    uint32_t reply_ms;        /* longest time for one reply */
    struct deadline deadline; /* for bridge_link_next(); never, until the caller sets one */
    int32_t marks;            /* sent so far */
    bool has_marks;           /* the server takes them */
};

/* Connects the commanding session alone: for those who ask once and need no picture. */
enum outcome bridge_link_command(struct bridge_link *link, const struct tool_options *options,
                                 struct error *error);

/* Connects both and takes in the whole dump. After any return, bridge_link_close(). */
enum outcome bridge_link_open(struct bridge_link *link, const struct tool_options *options,
                              struct error *error);
void bridge_link_close(struct bridge_link *link);

/* Sends one command. OUTCOME_DONE: `reply` is an OK or INFO. OUTCOME_REFUSED, or OUTCOME_FAULT
 * where a latched fault is why: `error` has the server's reason in words. */
enum outcome bridge_link_ask(struct bridge_link *link, const char *line, struct srcp_answer *reply,
                             struct error *error);

/* SET <bus> GA <address> <port> 1 -1 */
enum outcome bridge_link_set(struct bridge_link *link, int32_t address, unsigned port,
                             struct error *error);

/* Takes in all that was told up to now. */
enum outcome bridge_link_catch_up(struct bridge_link *link, struct error *error);

/* Waits until something changes; `time_us` is the server's time of it. */
enum talk_event bridge_link_next(struct bridge_link *link, struct picture_change *change,
                                 uint64_t *time_us);

/* The span's address: as labelled, else the default, 1. */
int32_t bridge_link_span(const struct bridge_link *link);

#endif
