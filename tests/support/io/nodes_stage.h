/* nodes_stage.h: Kettle Narrows (config/other-nodes.json) with a signal and a detector that are
 * other nodes, everything else simulated, and the core beside it in closed loop, in layout time of
 * the test's own: nothing sleeps. Every step is judged by invariants.h and, beyond it, by what the
 * other node's signal really shows. What the wire carries arrives when the test's time says so. */
#ifndef SUPPORT_NODES_STAGE_H
#define SUPPORT_NODES_STAGE_H

#include "config/config.h"
#include "core/bridge.h"
#include "io/nodes/nodes_wire.h"
#include "io/port.h"
#include "support/core/invariants.h"
#include "support/net/turning.h"

enum { NODES_STAGE_UNDER_WAY = 64, NODES_STAGE_LATE_US = 20000 };

/* On its way to the bridge, or to the other nodes. */
struct nodes_message {
    bool is_to_bridge;
    enum nodes_word word;
    bool is_question;
    uint64_t event;
    uint64_t at_us;
};

struct nodes_stage {
    struct turning turning;
    struct config *config;
    struct bridge_setup *bridge;
    struct nodes_wire wire;
    struct nodes_given given;
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
    bool is_due; /* the port called */
    /* The other nodes. */
    bool is_at_proceed, is_occupied;
    bool is_stuck;    /* the signal hears, and does nothing */
    bool is_deaf;     /* nobody answers, and nothing arrives there */
    bool is_bus_lost; /* nobody is there */
    bool is_silent;   /* our node has no alias */
    unsigned stops, proceeds, questions;
    unsigned crash_offs;
    struct nodes_message under_way[NODES_STAGE_UNDER_WAY];
    unsigned messages;
};

void nodes_stage_init(struct nodes_stage *stage);
void nodes_stage_open(struct nodes_stage *stage);
void nodes_stage_close(struct nodes_stage *stage);

/* The signal, or the detector, becomes so by itself, and reports it. */
void nodes_stage_signal(struct nodes_stage *stage, bool is_at_proceed);
void nodes_stage_detector(struct nodes_stage *stage, bool is_occupied);

/* The bus is lost, or back. */
void nodes_stage_bus(struct nodes_stage *stage, bool is_lost);

/* A cycle now. */
enum bridge_answer nodes_stage_ask(struct nodes_stage *stage, enum bridge_request_kind kind);

void nodes_stage_run_for(struct nodes_stage *stage, uint64_t time_us);
/* Until the phase, or the limit; returns whether it was reached. */
bool nodes_stage_run_to(struct nodes_stage *stage, enum bridge_phase phase, uint64_t limit_us);

/* Opens, and runs until lined with the other node's signal at proceed. */
void nodes_stage_line(struct nodes_stage *stage);

#endif
