#include "lcc/member.h"

#include "base/log.h"
#include "core/words/names.h"
#include "lcc/link.h"
#include "lcc/states.h"
#include "protocol/lcc/identifier.h"
#include "protocol/lcc/node/cdi.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

_Static_assert((int)LCC_STATES_MAX + (int)LCC_COMMANDS_MAX <= (int)LCC_FACTS_MAX,
               "each state is a fact of the node, and each command");
_Static_assert((int)LCC_REQUESTS_MAX + 2 * (int)LCC_POINTS_MAX <= (int)LCC_WANTED_MAX,
               "and each request wanted, and each event of a line");

static void set_lines(struct lcc_node_setup *node, const struct lcc_bridge_setup *setup) {
    for (unsigned i = 0; i < setup->commands; i++) {
        const struct lcc_line_setup *command = &setup->command[i];
        node->fact[node->facts++] = (struct lcc_fact){
            .event = {command->event[0], command->event[1]},
            .words = {command->name[0], command->name[1]},
            .is_command = true,
        };
    }
    for (unsigned i = 0; i < 2 * setup->points; i++) {
        const struct lcc_line_setup *point = &setup->point[i / 2];
        node->want[node->wanted++] = (struct lcc_wanted){
            .event = point->event[1 - i % 2], .words = point->name[1 - i % 2], .is_line = true};
    }
}

static void set_events(struct lcc_node_setup *node, const struct lcc_bridge_setup *setup) {
    node->facts = setup->states;
    for (unsigned i = 0; i < setup->states; i++) {
        memcpy(node->fact[i].event, setup->state[i].event, sizeof node->fact[i].event);
        node->fact[i].words[0] = setup->state[i].name[0];
        node->fact[i].words[1] = setup->state[i].name[1];
    }
    node->wanted = setup->requests;
    for (unsigned i = 0; i < setup->requests; i++) {
        const struct lcc_request_setup *request = &setup->request[i];
        node->want[i] = (struct lcc_wanted){.event = request->event,
                                            .words = request->name,
                                            .is_stop = bridge_request_is_stop(request->kind),
                                            .is_for_all = request->is_of_bus};
    }
    set_lines(node, setup);
}

static void set_identification(struct lcc_identification *to, const struct lcc_host *host,
                               unsigned bridge) {
    lcc_identification_set(to->manufacturer, sizeof to->manufacturer, "drawtender");
    lcc_identification_set(to->model, sizeof to->model, "drawbridge interlock");
    lcc_identification_set(to->hardware, sizeof to->hardware, "none");
    lcc_identification_set(to->software, sizeof to->software, host->version);
    lcc_identification_set(to->name, sizeof to->name, host->name(host->context, bridge));
    lcc_identification_set(to->description, sizeof to->description, "drawbridge");
}

struct member *member_new(unsigned bridge, const struct bridge_setup *core,
                          const struct lcc_bridge_setup *setup, uint64_t clock,
                          const struct lcc_host *host) {
    struct member *member = calloc(1, sizeof *member);
    if (member == NULL) {
        return NULL;
    }
    member->bridge = bridge;
    member->core = core;
    member->setup = setup;
    member->host = host;
    struct lcc_node_setup *node = &member->node_setup;
    node->id = setup->node;
    node->clock = clock & ~UINT64_C(0xFFFF);
    set_identification(&node->identification, host, bridge);
    set_events(node, setup);
    node->cdi_bytes = lcc_cdi_write(node, NULL, 0);
    member->cdi = malloc(node->cdi_bytes);
    if (member->cdi == NULL) {
        free(member);
        return NULL;
    }
    lcc_cdi_write(node, member->cdi, node->cdi_bytes);
    node->cdi = member->cdi;
    lcc_node_init(&member->node, node);
    return member;
}

void member_free(struct member *member) {
    if (member != NULL) {
        free(member->cdi);
        free(member);
    }
}

static bool is_said_of_producers(uint16_t mti) {
    return mti == LCC_EVENT_REPORT || mti == LCC_PRODUCER_VALID || mti == LCC_PRODUCER_INVALID ||
           mti == LCC_PRODUCER_UNKNOWN;
}

static bool is_of_a_line(const struct lcc_bridge_setup *setup, uint64_t event) {
    for (unsigned i = 0; i < setup->points; i++) {
        if (setup->point[i].event[0] == event || setup->point[i].event[1] == event) {
            return true;
        }
    }
    return false;
}

static void follow_lines(const struct member *member, const struct lcc_frame *frame) {
    struct lcc_frame_head head;
    lcc_frame_read(frame, &head);
    if (head.kind != LCC_FRAME_GLOBAL || head.payload_length != LCC_EVENT_BYTES ||
        !is_said_of_producers(head.mti)) {
        return;
    }
    const struct lcc_said said = {head.mti, head.source, lcc_get(head.payload, LCC_EVENT_BYTES)};
    if (is_of_a_line(member->setup, said.event)) {
        member->host->said(member->host->context, member->bridge, &said);
    }
}

void member_take(struct member *member, uint64_t now_us, const struct lcc_frame *frame,
                 struct lcc_origin origin) {
    lcc_node_take(&member->node, now_us, frame, origin);
    if (member->setup->points > 0) {
        follow_lines(member, frame);
    }
}

void member_command(struct member *member, unsigned command, bool is_on) {
    unsigned fact = member->setup->states + command;
    lcc_node_set(&member->node, fact, is_on ? LCC_TRUE : LCC_FALSE);
    lcc_node_repeat(&member->node, fact);
}

void member_see(struct member *member, const struct bridge_view *view) {
    for (unsigned i = 0; i < member->setup->states; i++) {
        lcc_node_set(&member->node, i, states_truth(&member->setup->state[i], member->core, view));
    }
}

static void refuse(const struct member *member, const struct bridge_request *request,
                   const char *why) {
    member->host->refused(member->host->context, member->bridge, request, why);
}

/* Returns whether stand or lock keep this request away, and fills `why`; neither bars a stop (S9).
 */
static bool is_barred(const struct member *member, const struct bridge_request *request,
                      char why[96]) {
    const struct lcc_host *host = member->host;
    if (bridge_request_is_stop(request->kind)) {
        return false;
    }
    const char *kept = host->kept_by_stand == NULL
                           ? NULL
                           : host->kept_by_stand(host->context, member->bridge, request);
    int32_t session = host->barred_by(host->context, member->bridge, request);
    if (kept != NULL) {
        snprintf(why, 96, "%s", kept);
    } else {
        snprintf(why, 96, "session %d has locked it; only a stop is accepted", session);
    }
    return kept != NULL || session != 0;
}

static void ask(struct member *member, const struct bridge_request *request,
                struct lcc_link *link) {
    const struct lcc_host *host = member->host;
    char why[96];
    if (is_barred(member, request, why)) {
        refuse(member, request, why);
        return;
    }
    int32_t who = link != NULL ? lcc_link_who(link) : 0; /* a bridge beside it, or one that left */
    enum bridge_answer answer = host->ask(host->context, who, member->bridge, request);
    if (!bridge_answer_is_granted(answer)) {
        refuse(member, request, bridge_answer_text(answer));
    }
}

static const char *name_of(const struct member *member) {
    return member->host->name(member->host->context, member->bridge);
}

/* It keeps running, or any node that takes a bridge's id could silence it (ours). */
static void tell_twin(struct member *member) {
    uint16_t twin = lcc_node_twin(&member->node);
    if (twin != 0 && twin != member->twin) {
        log_line(LOG_ERROR,
                 "%s: another node on the LCC bus, alias %03X, has the same node id: change one of "
                 "the two",
                 name_of(member), twin);
        member->twin = twin;
    }
}

void member_ask(struct member *member, uint64_t now_us,
                struct lcc_link *(*find_link)(void *context, unsigned number), void *context) {
    struct lcc_received received;
    while (lcc_node_received(&member->node, now_us, &received)) {
        const struct bridge_request request = {.kind = member->setup->request[received.want].kind};
        log_line(LOG_DEBUG, "%s: \"%s\" by LCC, alias %03X", name_of(member),
                 member->setup->request[received.want].name, received.source);
        ask(member, &request, find_link(context, received.link));
    }
    if (lcc_node_refused(&member->node, &received)) {
        const struct bridge_request request = {.kind = member->setup->request[received.want].kind};
        refuse(member, &request, "it came over an LCC link that may only observe");
    }
    tell_twin(member);
}
