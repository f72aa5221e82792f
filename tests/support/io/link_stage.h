/* link_stage.h: Kettle Narrows (tests/daemon/linked-bridge.json) with its signals, track power and
 * detectors on a scripted peer (link_peer.h), everything else simulated, and the core beside it in
 * closed loop, in layout time of the test's own: nothing sleeps. Every step is judged by
 * invariants.h and, beyond it, by what the peer's devices really show. */
#ifndef SUPPORT_LINK_STAGE_H
#define SUPPORT_LINK_STAGE_H

#include "config/config.h"
#include "core/bridge.h"
#include "io/port.h"
#include "support/core/invariants.h"
#include "support/io/link_peer.h"
#include "support/net/turning.h"

struct link_stage {
    struct turning turning, peer_turning; /* the link's loop, and the peer's */
    struct link_peer peer;
    struct config *config;
    struct bridge_setup
        *bridge; /* of the config: what is changed before link_stage_open() counts */
    struct port_host host;
    struct port_own own[4];
    struct port_settings settings;
    const struct port_ops *ops;
    void *port; /* NULL: not open */
    struct bridge_state state;
    struct bridge_inputs inputs;
    struct bridge_outputs outputs;
    struct seen judge;
    uint64_t now_us, stepped_us;
    bool is_due;       /* the port called */
    bool may_disagree; /* the test changes a device on purpose: the peer is not judged */
    unsigned cycles;
};

/* A peer that listens, and a bridge not yet open. */
void link_stage_init(struct link_stage *stage);
void link_stage_open(struct link_stage *stage);
void link_stage_close(struct link_stage *stage);

/* A cycle now, and all that follows from it without time passing. */
enum bridge_answer link_stage_ask(struct link_stage *stage, enum bridge_request_kind kind);

/* Until both loops are at rest, without a cycle. */
void link_stage_turn(struct link_stage *stage);

/* All that can happen without time passing. */
void link_stage_settle(struct link_stage *stage);

void link_stage_run_for(struct link_stage *stage, uint64_t time_us);
/* Until the phase, or the limit; returns whether it was reached. */
bool link_stage_run_to(struct link_stage *stage, enum bridge_phase phase, uint64_t limit_us);

/* Opens, and runs until lined with both signals at proceed on the peer and power on. */
void link_stage_line(struct link_stage *stage);

#endif
