/* item.h: what the control loop hands over to be kept: plain copies of fixed size, so that handing
 * over takes no time that depends on anything. */
#ifndef RECORDS_ITEM_H
#define RECORDS_ITEM_H

#include "core/data/request.h"
#include "core/data/view.h"

#include <stdbool.h>
#include <stdint.h>

enum { ITEM_WORDS_SIZE = 160 };

enum item_kind { ITEM_STEP = 0, ITEM_SESSION, ITEM_NEWS };

/* One call of bridge_step(). */
struct item_step {
    uint64_t serial; /* of this bridge since the start, steps that were not kept included */
    uint32_t dt_us;
    struct bridge_request request;
    enum bridge_answer answer;
    struct bridge_state before;
    struct bridge_view after;
};

struct item {
    enum item_kind kind;
    unsigned bridge;             /* ITEM_STEP, ITEM_NEWS */
    uint64_t at_us;              /* layout time of day, since the Unix epoch */
    int32_t who;                 /* protocol session; 0: none */
    bool is_urgent;              /* ITEM_STEP: event_is_urgent() */
    bool begins;                 /* ITEM_SESSION: or it ends */
    char words[ITEM_WORDS_SIZE]; /* ITEM_SESSION, ITEM_NEWS */
    struct item_step step;       /* ITEM_STEP */
};

#endif
