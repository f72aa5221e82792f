/* hub.h: a hub that we connect to, again and again.
 *
 *   waiting ──its time──► connecting ──► up ──lost──► waiting
 *      ▲                      │ no
 *      └──────────────────────┘ */
#ifndef LCC_HUB_H
#define LCC_HUB_H

#include "lcc/retry.h"
#include "lcc/setup.h"
#include "lcc/stream.h"

/* All zero is not open. */
struct hub {
    const struct lcc_hub_setup *setup;
    struct bus *bus;
    struct stream stream;
    bool is_up;
    bool is_connecting;
    bool is_told;               /* that it cannot be reached */
    struct socket_watch socket; /* while connecting */
    struct retry retry;
    struct event *again;
};

/* Begins to connect. Returns false without memory. `setup` must outlive it. */
bool hub_open(struct hub *hub, struct bus *bus, const struct lcc_hub_setup *setup);
void hub_close(struct hub *hub);

#endif
