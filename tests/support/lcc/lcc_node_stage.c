#include "support/lcc/lcc_node_stage.h"

#include "protocol/lcc/event.h"
#include "protocol/lcc/gridconnect.h"
#include "protocol/lcc/node/cdi.h"
#include "support/check.h"
#include "support/lcc/lcc_text.h"

#include <stdio.h>
#include <string.h>

static char cdi[65536];
static char words[2 * LCC_FACTS_MAX][32];

void lcc_node_stage_init(struct lcc_node_stage *stage, unsigned facts) {
    static const uint64_t id = 0x0A4452000001;
    memset(stage, 0, sizeof *stage);
    stage->now_us = 1000000;
    struct lcc_node_setup *setup = &stage->setup;
    setup->id = id;
    setup->identification = (struct lcc_identification){"Dr", "S~n", "1", "0.2", "KN", ""};
    setup->facts = facts;
    for (unsigned f = 0; f < facts; f++) {
        setup->fact[f].event[1] = lcc_event_of_node(id, (uint16_t)(2 * f));
        setup->fact[f].event[0] = lcc_event_of_node(id, (uint16_t)(2 * f + 1));
        snprintf(words[2 * f], sizeof words[0], "fact %u", f);
        snprintf(words[2 * f + 1], sizeof words[0], "not fact %u", f);
        setup->fact[f].words[1] = words[2 * f];
        setup->fact[f].words[0] = words[2 * f + 1];
    }
    setup->wanted = STAGE_WANTED;
    static const uint64_t wanted[STAGE_WANTED] = {0x0A44520000010100, 0x0A44520000010101,
                                                  LCC_EMERGENCY_STOP, 0x0A44520000010102};
    static const char *const names[STAGE_WANTED] = {"want <0>", "want <1>", "want <2>", "want <3>"};
    for (unsigned i = 0; i < STAGE_WANTED; i++) {
        setup->want[i].event = wanted[i];
        setup->want[i].words = names[i];
    }
    setup->want[1].is_stop = true;
    setup->want[2].is_stop = setup->want[2].is_for_all = true;
    setup->cdi_bytes = lcc_cdi_write(setup, cdi, sizeof cdi);
    assert_true(setup->cdi_bytes < sizeof cdi);
    setup->cdi = cdi;
    lcc_node_init(&stage->node, setup);
}

void lcc_node_stage_forget(struct lcc_node_stage *stage) {
    stage->sent[0] = '\0';
    stage->length = 0;
    stage->frames = 0;
}

static void drain(struct lcc_node_stage *stage) {
    struct lcc_frame frame;
    while (lcc_node_next(&stage->node, stage->now_us, &frame)) {
        stage->length +=
            (size_t)snprintf(stage->sent + stage->length, sizeof stage->sent - stage->length, "%s",
                             lcc_text_of(&frame));
        assert_true(stage->length < sizeof stage->sent);
        stage->frames++;
    }
}

void lcc_node_stage_run(struct lcc_node_stage *stage, uint64_t us) {
    uint64_t end_us = stage->now_us + us;
    drain(stage);
    while (lcc_node_due_us(&stage->node) <= end_us) {
        uint64_t due_us = lcc_node_due_us(&stage->node);
        assert_true(due_us > stage->now_us); /* or it would be woken for nothing */
        stage->now_us = due_us;
        drain(stage);
    }
    stage->now_us = end_us;
}

void lcc_node_stage_ready(struct lcc_node_stage *stage) {
    lcc_node_stage_init(stage, STAGE_FACTS);
    lcc_node_start(&stage->node);
    lcc_node_stage_run(stage, 3000000);
    assert_int_equal(stage->node.alias.state, LCC_ALIAS_PERMITTED);
    lcc_node_stage_forget(stage);
}

void lcc_node_stage_give(struct lcc_node_stage *stage, const char *frames) {
    struct lcc_grid_reader reader = {0};
    size_t length = strlen(frames);
    struct lcc_frame frame;
    while (lcc_grid_next(&reader, &frames, &length, &frame)) {
        lcc_node_take(&stage->node, stage->now_us, &frame,
                      (struct lcc_origin){.link = 3, .may_ask = true});
    }
}

void lcc_node_stage_answers(struct lcc_node_stage *stage, const char *frames, const char *wanted) {
    lcc_node_stage_give(stage, frames);
    lcc_node_stage_run(stage, 10000);
    assert_string_equal(stage->sent, wanted);
    lcc_node_stage_forget(stage);
}
