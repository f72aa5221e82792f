#include "protocol/lcc/node/node.h"

#include "protocol/lcc/clock.h"
#include "protocol/lcc/event.h"
#include "protocol/lcc/identifier.h"
#include "protocol/lcc/node/datagrams.h"

#include <string.h>

/* 90 a second and 8 ahead: never more than 100 in any second. Answers stay below what a bus of
 * 125 kbit/s can carry, and a burst of them is the longest that one request can ask for, twice. */
enum { TELL_US = 11000, TELLS_AHEAD = 8, ANSWER_US = 1250, ANSWERS_AHEAD = 100 };

/* Replies that a node here does not wait for; they are never answered (ours: or two nodes could go
 * on for ever). */
enum { STREAM_INITIATE_REPLY = 0x0868, TRAIN_REPLY = 0x01E9, BUTTON_REPLY = 0x0549 };

void lcc_node_init(struct lcc_node *node, const struct lcc_node_setup *setup) {
    memset(node, 0, sizeof *node);
    node->setup = setup;
    node->tells = (struct lcc_pace){.each_us = TELL_US, .ahead_us = TELLS_AHEAD * TELL_US};
    node->answers = (struct lcc_pace){.each_us = ANSWER_US, .ahead_us = ANSWERS_AHEAD * ANSWER_US};
}

/* Nothing that was made under the old alias may go out under a new one, or after it. */
static void forget(struct lcc_node *node) {
    node->out = (struct lcc_out){0};
    memset(&node->assembly, 0, sizeof node->assembly);
    memset(node->reply, 0, sizeof node->reply);
    node->owes_reserve = node->owes_define = node->owes_verified = false;
    node->is_restarting = false;
}

void lcc_node_start(struct lcc_node *node) {
    node->lost = node->alias.state == LCC_ALIAS_PERMITTED ? node->alias.alias : 0;
    forget(node);
    node->holder = 0;
    node->is_initialized = false;
    lcc_alias_start(&node->alias, node->setup->id);
}

void lcc_node_stop(struct lcc_node *node) {
    forget(node);
    node->lost = 0;
    node->is_initialized = false;
    node->alias = (struct lcc_alias){0};
}

void lcc_node_set(struct lcc_node *node, unsigned fact, enum lcc_truth truth) {
    lcc_events_set(&node->events, fact, truth);
}

void lcc_node_repeat(struct lcc_node *node, unsigned fact) {
    lcc_events_repeat(&node->events, fact);
}

static bool is_permitted(const struct lcc_node *node) {
    return node->alias.state == LCC_ALIAS_PERMITTED;
}

static bool is_own_id(const struct lcc_node *node, const struct lcc_frame_head *head) {
    return head->payload_length == LCC_NODE_BYTES &&
           lcc_get(head->payload, LCC_NODE_BYTES) == node->setup->id;
}

static void see_twin(struct lcc_node *node, const struct lcc_frame_head *head) {
    if (is_own_id(node, head)) {
        node->twin = head->source;
    }
}

static void hear(struct lcc_node *node, uint64_t now_us, const struct lcc_frame_head *head,
                 struct lcc_origin origin) {
    if (head->payload_length != LCC_EVENT_BYTES) {
        return;
    }
    uint64_t event = lcc_get(head->payload, LCC_EVENT_BYTES);
    for (unsigned i = 0; i < node->setup->wanted; i++) {
        if (node->setup->want[i].event == event && !node->setup->want[i].is_line) {
            const struct lcc_received received = {i, origin.link, head->source, now_us};
            if (origin.may_ask || node->setup->want[i].is_for_all) {
                lcc_received_add(&node->received, &received, node->setup->want[i].is_stop);
            } else {
                node->refused = received;
            }
        }
    }
}

static void send(struct lcc_node *node, uint16_t mti, uint16_t destination, const uint8_t *content,
                 unsigned length) {
    const struct lcc_message message = {mti, node->alias.alias, destination, content, length};
    lcc_out_message(&node->out, &message);
}

static void send_event(struct lcc_node *node, uint16_t mti, uint64_t event) {
    uint8_t content[LCC_EVENT_BYTES];
    lcc_put(content, event, sizeof content);
    send(node, mti, 0, content, sizeof content);
}

/* Broadcast Time S: whoever follows a clock says so, or nobody owes it single minutes. */
static void identify_clock(struct lcc_node *node) {
    uint64_t clock = node->setup->clock;
    if (clock != 0 && node->is_initialized) {
        send_event(node, LCC_CONSUMER_RANGE, lcc_event_range(clock, 16));
        send_event(node, LCC_PRODUCER_UNKNOWN, clock | LCC_CLOCK_QUERY);
    }
}

static void take_identify_of_clock(struct lcc_node *node, uint16_t mti, uint64_t event) {
    if (node->setup->clock == 0 || !node->is_initialized ||
        (event & ~UINT64_C(0xFFFF)) != node->setup->clock) {
        return;
    }
    if (mti == LCC_IDENTIFY_CONSUMER) {
        send_event(node, LCC_CONSUMER_UNKNOWN, event);
    } else if ((event & 0xFFFF) == LCC_CLOCK_QUERY) {
        send_event(node, LCC_PRODUCER_UNKNOWN, event);
    }
}

static void take_identify(struct lcc_node *node, const struct lcc_frame_head *head) {
    if (head->payload_length == LCC_EVENT_BYTES) {
        lcc_events_ask(&node->events, node->setup, head->mti == LCC_IDENTIFY_PRODUCER,
                       lcc_get(head->payload, LCC_EVENT_BYTES));
        take_identify_of_clock(node, head->mti, lcc_get(head->payload, LCC_EVENT_BYTES));
    }
}

/* A stop is heard even while the node has no alias yet. */
static void take_global(struct lcc_node *node, uint64_t now_us, const struct lcc_frame_head *head,
                        struct lcc_origin origin) {
    switch (head->mti) {
    case LCC_EVENT_REPORT:
        hear(node, now_us, head, origin);
        break;
    case LCC_INITIALIZED:
    case LCC_INITIALIZED_SIMPLE:
    case LCC_VERIFIED:
    case LCC_VERIFIED_SIMPLE:
        see_twin(node, head);
        break;
    case LCC_VERIFY_GLOBAL:
        node->owes_verified |=
            is_permitted(node) && (head->payload_length == 0 || is_own_id(node, head));
        break;
    case LCC_IDENTIFY_EVENTS:
        lcc_events_ask_all(&node->events, node->setup);
        identify_clock(node);
        break;
    case LCC_IDENTIFY_PRODUCER:
    case LCC_IDENTIFY_CONSUMER:
        take_identify(node, head);
        break;
    }
}

bool lcc_node_identify(struct lcc_node *node, uint64_t event) {
    uint8_t content[LCC_EVENT_BYTES];
    lcc_put(content, event, sizeof content);
    const struct lcc_message message = {LCC_IDENTIFY_PRODUCER, node->alias.alias, 0, content,
                                        sizeof content};
    return is_permitted(node) && node->is_initialized && lcc_out_message(&node->out, &message);
}

bool lcc_node_report_now(const struct lcc_node *node, uint64_t event, struct lcc_frame *frame) {
    uint8_t content[LCC_EVENT_BYTES];
    lcc_put(content, event, sizeof content);
    *frame = lcc_frame_global(LCC_EVENT_REPORT, node->alias.alias, content, sizeof content);
    return is_permitted(node) && node->is_initialized;
}

static void send_protocols(struct lcc_node *node, uint16_t destination) {
    uint8_t content[LCC_PROTOCOLS_BYTES];
    lcc_put(content,
            LCC_SUPPORTS_DATAGRAM | LCC_SUPPORTS_MEMORY | LCC_SUPPORTS_EVENTS | LCC_SUPPORTS_ACDI |
                LCC_SUPPORTS_NODE_INFORMATION | LCC_SUPPORTS_CDI,
            sizeof content);
    send(node, LCC_PROTOCOLS_REPLY, destination, content, sizeof content);
}

static void send_information(struct lcc_node *node, uint16_t destination) {
    uint8_t content[LCC_IDENTIFICATION_MAX];
    unsigned length = lcc_identification_reply(&node->setup->identification, content);
    send(node, LCC_NODE_INFORMATION_REPLY, destination, content, length);
}

static void send_rejected(struct lcc_node *node, const struct lcc_frame_head *head) {
    uint8_t content[4];
    lcc_put(content, LCC_MTI_UNKNOWN, 2);
    lcc_put(content + 2, head->mti, 2);
    send(node, LCC_REJECTED, head->source, content, sizeof content);
}

static unsigned error_in(const struct lcc_frame_head *head) {
    return head->payload_length < 2 ? (unsigned)LCC_PERMANENT : (unsigned)lcc_get(head->payload, 2);
}

/* Of a message in several frames the first is enough: no request has anything in the others. */
static void take_addressed(struct lcc_node *node, uint64_t now_us,
                           const struct lcc_frame_head *head) {
    if (head->part != LCC_PART_ONLY && head->part != LCC_PART_FIRST) {
        return;
    }
    switch (head->mti) {
    case LCC_VERIFY_ADDRESSED:
        node->owes_verified = true;
        break;
    case LCC_PROTOCOLS_INQUIRY:
        send_protocols(node, head->source);
        break;
    case LCC_NODE_INFORMATION_REQUEST:
        send_information(node, head->source);
        break;
    case LCC_IDENTIFY_EVENTS_ADDRESSED:
        lcc_events_ask_all(&node->events, node->setup);
        identify_clock(node);
        break;
    case LCC_DATAGRAM_OK:
        lcc_datagrams_confirmed(node, head->source);
        break;
    case LCC_DATAGRAM_REJECTED:
        lcc_datagrams_rejected(node, now_us, head->source, error_in(head));
        break;
    case LCC_REJECTED:
    case LCC_TERMINATED:
        lcc_datagrams_confirmed(node, head->source); /* there is nobody to send it to */
        lcc_assembly_forget(&node->assembly, head->source);
        break;
    case LCC_PROTOCOLS_REPLY:
    case LCC_NODE_INFORMATION_REPLY:
    case STREAM_INITIATE_REPLY:
    case TRAIN_REPLY:
    case BUTTON_REPLY:
        break;
    default:
        send_rejected(node, head);
    }
}

static void take_enquiry(struct lcc_node *node, const struct lcc_frame_head *head) {
    node->owes_define |= head->payload_length == 0 || is_own_id(node, head);
}

static void take_other(struct lcc_node *node, uint64_t now_us, const struct lcc_frame *frame,
                       const struct lcc_frame_head *head, struct lcc_origin origin) {
    bool is_to_us = is_permitted(node) && head->destination == node->alias.alias;
    switch (head->kind) {
    case LCC_FRAME_OTHER:
    case LCC_FRAME_CHECK:
    case LCC_FRAME_RESERVE:
    case LCC_FRAME_STREAM: /* none was ever agreed on */
        break;
    case LCC_FRAME_DEFINE:
        see_twin(node, head);
        break;
    case LCC_FRAME_ENQUIRE:
        if (is_permitted(node)) {
            take_enquiry(node, head);
        }
        break;
    case LCC_FRAME_RESET:
        lcc_assembly_forget(&node->assembly, head->source);
        lcc_datagrams_confirmed(node, head->source);
        break;
    case LCC_FRAME_GLOBAL:
        take_global(node, now_us, head, origin);
        break;
    case LCC_FRAME_ADDRESSED:
        if (is_to_us) {
            take_addressed(node, now_us, head);
        }
        break;
    case LCC_FRAME_DATAGRAM:
        if (is_to_us) {
            lcc_datagrams_take(node, now_us, frame);
        }
        break;
    }
}

void lcc_node_take(struct lcc_node *node, uint64_t now_us, const struct lcc_frame *frame,
                   struct lcc_origin origin) {
    struct lcc_frame_head head;
    lcc_frame_read(frame, &head);
    if (node->alias.state == LCC_ALIAS_NONE) {
        return;
    }
    uint16_t lost;
    switch (lcc_alias_take(&node->alias, now_us, &head, &lost)) {
    case LCC_ALIAS_FINE:
        take_other(node, now_us, frame, &head, origin);
        break;
    case LCC_ALIAS_DEFEND:
        node->owes_reserve = true;
        break;
    case LCC_ALIAS_LOST:
        forget(node);
        node->lost = lost;
        break;
    }
}

static struct lcc_frame with_own_id(const struct lcc_node *node, uint16_t mti) {
    uint8_t id[LCC_NODE_BYTES];
    lcc_put(id, node->setup->id, sizeof id);
    return lcc_frame_global(mti, node->alias.alias, id, sizeof id);
}

/* What the frame layer wants comes first; a new alias before it may be used. */
static bool next_control(struct lcc_node *node, uint64_t now_us, struct lcc_frame *frame) {
    if (node->lost != 0) {
        *frame = lcc_frame_reset(node->setup->id, node->lost);
        node->lost = 0;
        return true;
    }
    if (node->owes_reserve) {
        *frame = lcc_frame_reserve(node->alias.alias);
        node->owes_reserve = false;
        return true;
    }
    if (!is_permitted(node)) {
        return lcc_alias_next(&node->alias, now_us, frame);
    }
    if (node->owes_define) {
        *frame = lcc_frame_define(node->setup->id, node->alias.alias);
        node->owes_define = false;
        return true;
    }
    return false;
}

/* Nothing goes before Initialization Complete (Message Network S). */
static bool next_answer(struct lcc_node *node, struct lcc_frame *frame) {
    if (!is_permitted(node)) {
        return false;
    }
    if (!node->is_initialized) {
        *frame = with_own_id(node, LCC_INITIALIZED);
        node->is_initialized = true;
        lcc_events_start(&node->events, node->setup);
        identify_clock(node);
        if (node->setup->clock != 0) {
            send_event(node, LCC_EVENT_REPORT, node->setup->clock | LCC_CLOCK_QUERY);
        }
        return true;
    }
    if (node->owes_verified) {
        *frame = with_own_id(node, LCC_VERIFIED);
        node->owes_verified = false;
        return true;
    }
    if (node->out.count > 0) {
        *frame = lcc_out_take(&node->out);
        return true;
    }
    return false;
}

bool lcc_node_next(struct lcc_node *node, uint64_t now_us, struct lcc_frame *frame) {
    if (node->is_restarting && node->out.count == 0) {
        lcc_node_start(node);
    }
    lcc_datagrams_repeat(node, now_us);
    if (lcc_pace_due_us(&node->answers) <= now_us &&
        (next_control(node, now_us, frame) || next_answer(node, frame))) {
        lcc_pace_count(&node->answers, now_us);
        return true;
    }
    if (is_permitted(node) && node->is_initialized && node->out.count == 0 &&
        lcc_pace_due_us(&node->tells) <= now_us &&
        lcc_events_next(&node->events, node->setup, node->alias.alias, frame)) {
        lcc_pace_count(&node->tells, now_us);
        return true;
    }
    return false;
}

static uint64_t earlier(uint64_t a, uint64_t b) {
    return a < b ? a : b;
}

uint64_t lcc_node_due_us(const struct lcc_node *node) {
    if (node->alias.state == LCC_ALIAS_NONE) {
        return UINT64_MAX;
    }
    uint64_t answers_us = lcc_pace_due_us(&node->answers);
    uint64_t due_us = lcc_datagrams_due_us(node);
    uint64_t alias_us = lcc_alias_due_us(&node->alias);
    if (alias_us != UINT64_MAX) {
        due_us = earlier(due_us, alias_us > answers_us ? alias_us : answers_us);
    }
    bool owes = node->lost != 0 || node->owes_reserve || node->owes_define || node->owes_verified ||
                node->out.count > 0 || node->is_restarting;
    if (owes || (is_permitted(node) && !node->is_initialized)) {
        due_us = earlier(due_us, answers_us);
    }
    if (is_permitted(node) && lcc_events_owe(&node->events)) {
        uint64_t tells_us = lcc_pace_due_us(&node->tells);
        bool waits = node->out.count > 0 && tells_us < answers_us; /* a message goes out whole */
        due_us = earlier(due_us, waits ? answers_us : tells_us);
    }
    return due_us;
}

bool lcc_node_received(struct lcc_node *node, uint64_t now_us, struct lcc_received *received) {
    return lcc_received_take(&node->received, now_us, received);
}

bool lcc_node_refused(struct lcc_node *node, struct lcc_received *refused) {
    *refused = node->refused;
    node->refused = (struct lcc_received){0};
    return refused->source != 0;
}

uint16_t lcc_node_twin(struct lcc_node *node) {
    uint16_t twin = node->twin;
    node->twin = 0;
    return twin;
}
