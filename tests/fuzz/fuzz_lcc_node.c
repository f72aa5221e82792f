/* A node of the bus: whatever comes, it keeps its pace, is never woken for nothing, and sends
 * nothing but frames of its own alias. */
#include "fuzz/fuzz.h"
#include "protocol/lcc/gridconnect.h"
#include "protocol/lcc/node/cdi.h"
#include "protocol/lcc/node/node.h"

#include <string.h>

static struct lcc_node_setup setup = {
    .id = 0x0A4452000001,
    .identification = {"Dr", "S~n", "1", "0.2", "KN", ""},
    .facts = 2,
    .fact = {{{0x0A44520000010001, 0x0A44520000010000}, {"not up", "up"}},
             {{0x0A44520000010003, 0x0A44520000010002}, {"not down", "down"}}},
    .wanted = 2,
    .want = {{0x0A44520000010100, "raise", false, false}, {0x010000000000FFFD, "stop", true, true}},
};

/* Lets go what may, until `end_us`. Returns how many frames. */
static unsigned run(struct lcc_node *node, uint64_t *now_us, uint64_t end_us) {
    unsigned sent = 0;
    for (;;) {
        struct lcc_frame frame;
        uint16_t lost = node->lost;
        while (lcc_node_next(node, *now_us, &frame)) {
            struct lcc_frame_head head;
            lcc_frame_read(&frame, &head);
            FUZZ_HOLDS(head.source == node->alias.alias || head.source == lost ||
                       head.kind == LCC_FRAME_RESET);
            lost = 0;
            sent++;
        }
        uint64_t due_us = lcc_node_due_us(node);
        if (due_us > end_us) {
            break;
        }
        FUZZ_HOLDS(due_us > *now_us);
        *now_us = due_us;
    }
    *now_us = end_us;
    return sent;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    static char cdi[4096];
    static struct lcc_node node;
    setup.cdi_bytes = lcc_cdi_write(&setup, cdi, sizeof cdi);
    setup.cdi = cdi;
    lcc_node_init(&node, &setup);
    lcc_node_start(&node);
    uint64_t now_us = 0;
    run(&node, &now_us, 1000000);
    struct lcc_grid_reader reader = {0};
    const char *at = (const char *)data;
    struct lcc_frame frame;
    unsigned sent = 0;
    uint64_t began_us = now_us;
    while (lcc_grid_next(&reader, &at, &size, &frame)) {
        lcc_node_take(&node, now_us, &frame, (struct lcc_origin){frame.data[0], frame.id & 1});
        lcc_node_set(&node, frame.data[1] & 1, (enum lcc_truth)(frame.data[2] % 3));
        sent += run(&node, &now_us, now_us + frame.data[3] * 1000u);
        struct lcc_received heard;
        while (lcc_node_received(&node, now_us, &heard)) {
            FUZZ_HOLDS(heard.want < setup.wanted && (heard.link & ~0xFFu) == 0);
        }
    }
    sent += run(&node, &now_us, now_us + 1000000);
    FUZZ_HOLDS(sent <= 120 + (now_us - began_us) / 1000);
    return 0;
}
