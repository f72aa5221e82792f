#include "lcc/lcc.h"

#include "lcc/bus.h"
#include "lcc/can.h"
#include "lcc/clients.h"
#include "lcc/hub.h"

#include <stdlib.h>

struct lcc {
    const struct lcc_setup *setup;
    struct lcc_host host;
    struct bus bus;
    struct clients clients[LCC_LISTENERS_MAX];
    unsigned opened; /* of these */
    struct hub hub[LCC_HUBS_MAX];
    struct can can[LCC_BUSES_MAX];
    struct member *of_bridge[LCC_BRIDGES_MAX]; /* NULL: not a node */
};

static bool add_members(struct lcc *lcc, const struct bridge_setup *const core[],
                        unsigned bridges) {
    for (unsigned b = 0; b < bridges; b++) {
        const struct lcc_bridge_setup *setup = &lcc->setup->bridge[b];
        if (setup->node == 0) {
            continue;
        }
        uint64_t clock = lcc->bus.members == 0 ? lcc->setup->clock : 0; /* one asks for all */
        struct member *member = member_new(b, core[b], setup, clock, &lcc->host);
        if (member == NULL) {
            return false;
        }
        lcc->of_bridge[b] = member;
        lcc->bus.member[lcc->bus.members++] = member;
        lcc->bus.has_lines = lcc->bus.has_lines || setup->points > 0;
        member_see(member, lcc->host.view(lcc->host.context, b));
    }
    return true;
}

static bool open_links(struct lcc *lcc, struct error *error) {
    const struct lcc_setup *setup = lcc->setup;
    for (; lcc->opened < setup->listeners; lcc->opened++) {
        if (!clients_open(&lcc->clients[lcc->opened], &lcc->bus, &setup->listener[lcc->opened],
                          error)) {
            return false;
        }
    }
    bus_start(&lcc->bus, setup->listeners > 0);
    for (unsigned i = 0; i < setup->hubs; i++) {
        if (!hub_open(&lcc->hub[i], &lcc->bus, &setup->hub[i])) {
            return error_set(error, "LCC", "out of memory");
        }
    }
    for (unsigned i = 0; i < setup->buses; i++) {
        if (!can_open(&lcc->can[i], &lcc->bus, &setup->can[i])) {
            return error_set(error, "LCC", "out of memory");
        }
    }
    return true;
}

struct lcc *lcc_new(struct event_base *base, const struct lcc_setup *setup,
                    const struct bridge_setup *const core[], unsigned bridges,
                    const struct lcc_host *host, struct error *error) {
    struct lcc *lcc = calloc(1, sizeof *lcc);
    if (lcc == NULL) {
        error_set(error, "LCC", "out of memory");
        return NULL;
    }
    lcc->setup = setup;
    lcc->host = *host;
    bool is_made = bus_init(&lcc->bus, base, &lcc->host) && add_members(lcc, core, bridges);
    if (setup->clock != 0) {
        lcc_clock_init(&lcc->bus.clock, setup->clock);
    }
    if (!is_made) {
        error_set(error, "LCC", "out of memory");
    }
    if (!is_made || !open_links(lcc, error)) {
        lcc_free(lcc);
        return NULL;
    }
    return lcc;
}

void lcc_free(struct lcc *lcc) {
    if (lcc == NULL) {
        return;
    }
    for (unsigned i = 0; i < lcc->setup->hubs; i++) {
        hub_close(&lcc->hub[i]);
    }
    for (unsigned i = 0; i < lcc->setup->buses; i++) {
        can_close(&lcc->can[i]);
    }
    for (unsigned i = 0; i < lcc->opened; i++) {
        clients_close(&lcc->clients[i]);
    }
    bus_free(&lcc->bus);
    free(lcc);
}

uint16_t lcc_port(const struct lcc *lcc, unsigned listener) {
    return listener_port(&lcc->clients[listener].listener);
}

unsigned lcc_descriptors(const struct lcc_setup *setup) {
    unsigned wanted = 1 + setup->listeners + setup->hubs + setup->buses;
    for (unsigned i = 0; i < setup->listeners; i++) {
        wanted += setup->listener[i].sessions_max + 1;
    }
    return wanted;
}

void lcc_notify(struct lcc *lcc, unsigned bridge, const struct bridge_view *after) {
    struct member *member = lcc == NULL ? NULL : lcc->of_bridge[bridge];
    if (member == NULL) {
        return;
    }
    member_see(member, after);
    if (member->node.events.changed > 0) {
        bus_ask_for_turn(&lcc->bus);
    }
}

bool lcc_is_up(const struct lcc *lcc) {
    return lcc->bus.up > 0;
}

bool lcc_may_send(const struct lcc *lcc, unsigned bridge) {
    const struct lcc_node *node = &lcc->of_bridge[bridge]->node;
    return node->alias.state == LCC_ALIAS_PERMITTED && node->is_initialized;
}

bool lcc_identify(struct lcc *lcc, unsigned bridge, uint64_t event) {
    bool is_asked = lcc_node_identify(&lcc->of_bridge[bridge]->node, event);
    bus_ask_for_turn(&lcc->bus);
    return is_asked;
}

void lcc_command(struct lcc *lcc, unsigned bridge, unsigned command, bool is_on) {
    member_command(lcc->of_bridge[bridge], command, is_on);
    bus_ask_for_turn(&lcc->bus);
}

void lcc_exchange(struct lcc *lcc, int limit_ms) {
    lcc->bus.is_ending = true;
    sockets_look(&lcc->bus.sockets, limit_ms);
    bus_work(&lcc->bus);
}

void lcc_crash_off(const struct lcc *lcc, unsigned bridge) {
    const struct member *member = lcc->of_bridge[bridge];
    for (unsigned i = 0; i < member->setup->commands; i++) {
        struct lcc_frame frame;
        bool may_send =
            lcc_node_report_now(&member->node, member->setup->command[i].event[0], &frame);
        const struct lcc_link *link;
        TAILQ_FOREACH(link, &lcc->bus.links, others) {
            if (may_send) {
                link->crash_send(link, &frame);
            }
        }
    }
}
