#include "support/io/nodes_stage.h"

#include "io/drivers.h"
#include "support/check.h"

#include <stdlib.h>
#include <string.h>

enum { HERE = 0x2A5 };

/* ---- the bus, and the other nodes */

static uint64_t command_event(const struct nodes_stage *stage, bool is_on) {
    return stage->given.setup->command[0].event[is_on];
}

/* Point 0 is the signal's proof, point 1 the detector. */
static uint64_t point_event(const struct nodes_stage *stage, unsigned point, bool is_on) {
    return stage->given.setup->point[point].event[is_on];
}

static bool holds(const struct nodes_stage *stage, unsigned point) {
    return point == 0 ? !stage->is_at_proceed : !stage->is_occupied;
}

static void post(struct nodes_stage *stage, struct nodes_message message) {
    if (!stage->is_deaf && !stage->is_bus_lost) {
        assert_true(stage->messages < NODES_STAGE_UNDER_WAY);
        message.at_us = stage->now_us + NODES_STAGE_LATE_US;
        stage->under_way[stage->messages++] = message;
    }
}

static void report(struct nodes_stage *stage, unsigned point) {
    post(stage, (struct nodes_message){
                    .is_to_bridge = true,
                    .word = NODES_REPORTS,
                    .event = point_event(stage, point, holds(stage, point)),
                });
}

static bool is_up(const struct nodes_wire *wire) {
    return !((const struct nodes_stage *)wire->context)->is_bus_lost;
}

static bool may_send(const struct nodes_wire *wire) {
    return !((const struct nodes_stage *)wire->context)->is_silent;
}

static bool identify(const struct nodes_wire *wire, uint64_t event) {
    struct nodes_stage *stage = wire->context;
    assert_true(may_send(wire));
    stage->questions++;
    post(stage, (struct nodes_message){.is_question = true, .event = event});
    return true;
}

static void command(const struct nodes_wire *wire, unsigned number, bool is_on) {
    struct nodes_stage *stage = wire->context;
    assert_int_equal(number, 0);
    assert_true(may_send(wire));
    *(is_on ? &stage->proceeds : &stage->stops) += 1;
    post(stage, (struct nodes_message){.event = command_event(stage, is_on)});
}

static void crash_off(const struct nodes_wire *wire) {
    ((struct nodes_stage *)wire->context)->crash_offs++;
}

static void obey(struct nodes_stage *stage, uint64_t event) {
    if (!stage->is_stuck) {
        bool is_to_proceed = event == command_event(stage, true);
        if (stage->is_at_proceed != is_to_proceed) {
            nodes_stage_signal(stage, is_to_proceed);
        }
    }
}

static void answer(struct nodes_stage *stage, uint64_t event) {
    for (unsigned p = 0; p < 2; p++) {
        if (event == point_event(stage, p, true)) {
            post(stage, (struct nodes_message){
                            .is_to_bridge = true,
                            .word = holds(stage, p) ? NODES_HOLDS : NODES_HOLDS_NOT,
                            .event = event,
                        });
        }
    }
}

static void arrive(struct nodes_stage *stage, struct nodes_message message) {
    if (message.is_to_bridge) {
        nodes_wire_said(&stage->wire, message.word, message.event, HERE);
    } else if (message.is_question) {
        answer(stage, message.event);
    } else {
        obey(stage, message.event);
    }
}

static void deliver(struct nodes_stage *stage) {
    while (stage->messages > 0 && stage->under_way[0].at_us <= stage->now_us) {
        struct nodes_message message = stage->under_way[0];
        stage->messages--;
        memmove(&stage->under_way[0], &stage->under_way[1],
                stage->messages * sizeof stage->under_way[0]);
        arrive(stage, message);
    }
    nodes_wire_woke(&stage->wire);
}

/* As if time passed there, while the bridge only waits. */
static void exchange(const struct nodes_wire *wire, int limit_ms) {
    struct nodes_stage *stage = wire->context;
    stage->now_us += (uint64_t)limit_ms * 1000;
    deliver(stage);
}

void nodes_stage_signal(struct nodes_stage *stage, bool is_at_proceed) {
    stage->is_at_proceed = is_at_proceed;
    report(stage, 0);
}

void nodes_stage_detector(struct nodes_stage *stage, bool is_occupied) {
    stage->is_occupied = is_occupied;
    report(stage, 1);
}

void nodes_stage_bus(struct nodes_stage *stage, bool is_lost) {
    stage->is_bus_lost = is_lost;
    stage->messages = is_lost ? 0 : stage->messages;
    nodes_wire_woke(&stage->wire);
}

/* ---- cycles */

static void on_changed(void *context) {
    ((struct nodes_stage *)context)->is_due = true;
}

/* S3 and S4 by what is really there. */
static void judge_signal(const struct nodes_stage *stage) {
    bool is_moving = stage->outputs.lift_effort != 0 || stage->outputs.lock == LOCK_DRIVE_WITHDRAWN;
    if (is_moving && stage->is_at_proceed) {
        fail_msg("the lift or its lock moves, and the other node's signal shows proceed");
    }
}

static enum bridge_answer step(struct nodes_stage *stage, const struct bridge_request *request) {
    uint32_t dt_us = (uint32_t)(stage->now_us - stage->stepped_us);
    stage->stepped_us = stage->now_us;
    stage->ops->sense(stage->port, stage->now_us, &stage->inputs);
    enum bridge_answer answered =
        bridge_step(stage->bridge, &stage->state, &stage->inputs, request, dt_us, &stage->outputs);
    const char *broken = invariants_broken(&stage->judge, stage->bridge, &stage->inputs, request,
                                           dt_us, &stage->outputs);
    if (broken != NULL) {
        fail_msg("at %.3f s: %s", (double)stage->now_us / 1e6, broken);
    }
    stage->ops->act(stage->port, stage->now_us, &stage->outputs);
    return answered;
}

enum bridge_answer nodes_stage_ask(struct nodes_stage *stage, enum bridge_request_kind kind) {
    const struct bridge_request asked = {.kind = kind};
    const struct bridge_request nothing = {.kind = REQUEST_NONE};
    stage->is_due = false;
    enum bridge_phase before = stage->state.phase;
    enum bridge_answer answered = step(stage, &asked);
    while (stage->state.phase != before) {
        before = stage->state.phase;
        step(stage, &nothing);
    }
    judge_signal(stage);
    return answered;
}

static uint64_t next_us(const struct nodes_stage *stage, uint64_t end_us) {
    uint32_t core_us = bridge_wake_us(stage->bridge, &stage->state);
    uint32_t port_us = stage->ops->wake_us(stage->port);
    uint64_t next = stage->stepped_us + (core_us < port_us ? core_us : port_us);
    if (stage->messages > 0 && stage->under_way[0].at_us < next) {
        next = stage->under_way[0].at_us;
    }
    next = next < stage->now_us ? stage->now_us : next;
    return next < end_us ? next : end_us;
}

static bool run(struct nodes_stage *stage, uint64_t time_us, enum bridge_phase phase) {
    uint64_t end_us = stage->now_us + time_us;
    while (stage->state.phase != phase && stage->now_us < end_us) {
        uint64_t next = next_us(stage, end_us);
        bool is_time = stage->messages == 0 || stage->under_way[0].at_us > next;
        stage->now_us = next;
        deliver(stage);
        if (stage->is_due || is_time) {
            nodes_stage_ask(stage, REQUEST_NONE);
        }
    }
    return stage->state.phase == phase;
}

void nodes_stage_run_for(struct nodes_stage *stage, uint64_t time_us) {
    run(stage, time_us, BRIDGE_PHASES);
}

bool nodes_stage_run_to(struct nodes_stage *stage, enum bridge_phase phase, uint64_t limit_us) {
    return run(stage, limit_us, phase);
}

/* ---- beginning and end */

void nodes_stage_init(struct nodes_stage *stage) {
    struct config_report *told = malloc(sizeof *told);
    memset(stage, 0, sizeof *stage);
    stage->config = malloc(sizeof *stage->config);
    assert_true(told != NULL && stage->config != NULL);
    if (!config_read_file(SOURCE_DIR "/config/other-nodes.json", stage->config, told)) {
        fail_msg("%s: %s", told->errors.complaint[0].where, told->errors.complaint[0].what);
    }
    free(told);
    turning_begin(&stage->turning);
    const struct config_bridge *bridge = &stage->config->bridge[0];
    stage->bridge = &stage->config->net.bridge[0].setup;
    stage->wire = (struct nodes_wire){.context = stage,
                                      .is_up = is_up,
                                      .may_send = may_send,
                                      .identify = identify,
                                      .command = command,
                                      .exchange = exchange,
                                      .crash_off = crash_off};
    stage->given = (struct nodes_given){&bridge->nodes, &stage->wire};
    stage->host =
        (struct port_host){.base = stage->turning.base, .changed = on_changed, .context = stage};
    stage->own[0] = (struct port_own){"simulated", &bridge->simulation};
    stage->own[1] = (struct port_own){"composite", &bridge->composite};
    stage->own[2] = (struct port_own){"nodes", &stage->given};
    stage->settings =
        (struct port_settings){.setup = stage->bridge, .own = stage->own, .find = drivers_find};
    stage->ops = drivers_find(bridge->output);
    assert_non_null(stage->ops);
    stage->is_at_proceed = true; /* somebody left it so */
}

void nodes_stage_open(struct nodes_stage *stage) {
    struct error error = {.what = ""};
    stage->port = stage->ops->open(&stage->settings, &stage->host, &error);
    assert_string_equal(error.what, "");
    assert_non_null(stage->port);
    bridge_start(stage->bridge, &stage->state);
    nodes_stage_ask(stage, REQUEST_NONE);
}

void nodes_stage_line(struct nodes_stage *stage) {
    nodes_stage_open(stage);
    assert_true(nodes_stage_run_to(stage, PHASE_LINED, 30000000));
    nodes_stage_run_for(stage, 8000000);
    assert_int_equal(stage->state.phase, PHASE_LINED);
    assert_true(stage->is_at_proceed);
}

void nodes_stage_close(struct nodes_stage *stage) {
    if (stage->port != NULL) {
        stage->ops->close(stage->port);
    }
    turning_end(&stage->turning);
    free(stage->config);
}
