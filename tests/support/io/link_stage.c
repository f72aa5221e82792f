#include "support/io/link_stage.h"

#include "io/drivers.h"
#include "support/check.h"

#include <stdlib.h>
#include <string.h>

static void on_changed(void *context) {
    ((struct link_stage *)context)->is_due = true;
}

void link_stage_init(struct link_stage *stage) {
    struct config_report *report = malloc(sizeof *report);
    memset(stage, 0, sizeof *stage);
    stage->config = malloc(sizeof *stage->config);
    assert_true(report != NULL && stage->config != NULL);
    if (!config_read_file(SOURCE_DIR "/tests/daemon/linked-bridge.json", stage->config, report)) {
        fail_msg("%s: %s", report->errors.complaint[0].where, report->errors.complaint[0].what);
    }
    free(report);
    turning_begin(&stage->turning);
    turning_begin(&stage->peer_turning);
    peer_start(&stage->peer, stage->peer_turning.base);
    stage->config->bridge[0].link[0].port = stage->peer.port;
    stage->bridge = &stage->config->net.bridge[0].setup;
    stage->host =
        (struct port_host){.base = stage->turning.base, .changed = on_changed, .context = stage};
    const struct config_bridge *bridge = &stage->config->bridge[0];
    stage->own[0] = (struct port_own){"simulated", &bridge->simulation};
    stage->own[1] = (struct port_own){"composite", &bridge->composite};
    stage->own[2] = (struct port_own){"link", bridge->link};
    stage->settings =
        (struct port_settings){.setup = stage->bridge, .own = stage->own, .find = drivers_find};
    stage->ops = drivers_find(stage->config->bridge[0].output);
    assert_non_null(stage->ops);
}

/* ---- judging */

static bool peer_is_safe(const struct link_peer *peer) {
    return peer_shows(peer, "GA 11 0") == 1 && peer_shows(peer, "GA 11 1") == 0 &&
           peer_shows(peer, "GA 12 0") == 1 && peer_shows(peer, "GA 12 1") == 0 &&
           peer_shows(peer, "POWER") == 0;
}

/* S3 and S4 by what is really there. */
static void judge_peer(const struct link_stage *stage) {
    bool is_moving = stage->outputs.lift_effort != 0 || stage->outputs.lock == LOCK_DRIVE_WITHDRAWN;
    if (is_moving && !stage->may_disagree && !peer_is_safe(&stage->peer)) {
        fail_msg("the lift or its lock moves, and the peer's devices are not safe");
    }
}

/* ---- cycles */

static enum bridge_answer step(struct link_stage *stage, const struct bridge_request *request) {
    uint32_t dt_us = (uint32_t)(stage->now_us - stage->stepped_us);
    stage->stepped_us = stage->now_us;
    stage->cycles++;
    stage->ops->sense(stage->port, stage->now_us, &stage->inputs);
    enum bridge_answer answer =
        bridge_step(stage->bridge, &stage->state, &stage->inputs, request, dt_us, &stage->outputs);
    const char *broken = invariants_broken(&stage->judge, stage->bridge, &stage->inputs, request,
                                           dt_us, &stage->outputs);
    if (broken != NULL) {
        fail_msg("at %.3f s: %s", (double)stage->now_us / 1e6, broken);
    }
    stage->ops->act(stage->port, stage->now_us, &stage->outputs);
    return answer;
}

static enum bridge_answer cycle(struct link_stage *stage, enum bridge_request_kind kind) {
    const struct bridge_request asked = {.kind = kind};
    const struct bridge_request nothing = {.kind = REQUEST_NONE};
    stage->is_due = false;
    enum bridge_phase before = stage->state.phase;
    enum bridge_answer answer = step(stage, &asked);
    while (stage->state.phase != before) {
        before = stage->state.phase;
        step(stage, &nothing);
    }
    return answer;
}

/* What the peer says is read by the link; what the link says to that, by the peer. */
void link_stage_turn(struct link_stage *stage) {
    turning_settle(&stage->peer_turning);
    turning_settle(&stage->turning);
    turning_settle(&stage->peer_turning);
}

/* The bridge and its peer answer one another: until neither has. */
void link_stage_settle(struct link_stage *stage) {
    unsigned turns = 0;
    bool is_busy;
    do {
        unsigned lines = stage->peer.lines + stage->peer.connections;
        link_stage_turn(stage);
        is_busy = stage->is_due || lines != stage->peer.lines + stage->peer.connections;
        if (stage->is_due) {
            cycle(stage, REQUEST_NONE);
        }
        assert_true(++turns < 20000);
    } while (is_busy);
    judge_peer(stage);
}

enum bridge_answer link_stage_ask(struct link_stage *stage, enum bridge_request_kind kind) {
    enum bridge_answer answer = cycle(stage, kind);
    link_stage_settle(stage);
    return answer;
}

static uint64_t next_us(const struct link_stage *stage, uint64_t end_us) {
    uint32_t core_us = bridge_wake_us(stage->bridge, &stage->state);
    uint32_t port_us = stage->ops->wake_us(stage->port);
    uint32_t wake_us = core_us < port_us ? core_us : port_us;
    uint64_t next = stage->now_us + wake_us;
    return next < end_us ? next : end_us;
}

static bool run(struct link_stage *stage, uint64_t time_us, enum bridge_phase phase) {
    uint64_t end_us = stage->now_us + time_us;
    while (stage->state.phase != phase && stage->now_us < end_us) {
        stage->now_us = next_us(stage, end_us);
        cycle(stage, REQUEST_NONE);
        link_stage_settle(stage);
    }
    return stage->state.phase == phase;
}

void link_stage_run_for(struct link_stage *stage, uint64_t time_us) {
    run(stage, time_us, BRIDGE_PHASES);
}

bool link_stage_run_to(struct link_stage *stage, enum bridge_phase phase, uint64_t limit_us) {
    return run(stage, limit_us, phase);
}

/* ---- beginning and end */

void link_stage_open(struct link_stage *stage) {
    struct error error = {.what = ""};
    stage->port = stage->ops->open(&stage->settings, &stage->host, &error);
    assert_string_equal(error.what, "");
    assert_non_null(stage->port);
    bridge_start(stage->bridge, &stage->state);
    link_stage_ask(stage, REQUEST_NONE);
}

void link_stage_line(struct link_stage *stage) {
    link_stage_open(stage);
    assert_true(link_stage_run_to(stage, PHASE_LINED, 10000000));
    link_stage_run_for(stage, 5000000);
    assert_int_equal(stage->state.phase, PHASE_LINED);
    assert_int_equal(peer_shows(&stage->peer, "GA 11 1"), 1);
    assert_int_equal(peer_shows(&stage->peer, "GA 12 1"), 1);
    assert_int_equal(peer_shows(&stage->peer, "POWER"), 1);
}

void link_stage_close(struct link_stage *stage) {
    if (stage->port != NULL) {
        stage->ops->close(stage->port);
    }
    peer_stop(&stage->peer);
    turning_end(&stage->turning);
    turning_end(&stage->peer_turning);
    free(stage->config);
}
