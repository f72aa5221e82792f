/* Bridges as nodes of LCC: the links to the bus, and each bridge's node. */
#include "base/network.h"
#include "config/build/build.h"
#include "protocol/lcc/identifier.h"

#include <ctype.h>
#include <string.h>

static void warn_of_right(enum net_right right, const char *place, const char *what,
                          struct config_report *report) {
    if (right != NET_OBSERVE) {
        config_list_add(&report->warnings, place,
                        "every node on the bus behind %s can move the bridge: LCC has no access "
                        "rights; allow \"operate\" only if you trust them all",
                        what);
    }
}

static void check_address(const char *address, const char *place, struct config_report *report) {
    if (!build_is_numeric(address)) {
        config_list_add(&report->errors, place,
                        "cannot read \"%.40s\": wanted a numeric address such as \"127.0.0.1\" or "
                        "\"::1\"",
                        address);
    }
}

static void check_listener(const struct lcc_setup *lcc, const struct net_setup *net, unsigned i,
                           struct config_report *report) {
    const struct net_listener_setup *listener = &lcc->listener[i];
    struct place address = build_place("/lcc/listen/%u/address", i);
    struct place whole = build_place("/lcc/listen/%u", i);
    check_address(listener->address, address.text, report);
    if (!network_is_own_machine(listener->address)) {
        config_list_add(&report->warnings, address.text,
                        "%s is open to other machines, and LCC has no passwords; open it only to a "
                        "network you trust%s",
                        listener->address,
                        listener->networks == 0 ? ", and say which: \"from\"" : "");
        warn_of_right(listener->right, build_place("/lcc/listen/%u/may", i).text, listener->address,
                      report);
    }
    for (unsigned other = 0; other < i; other++) {
        if (strcmp(listener->address, lcc->listener[other].address) == 0 &&
            listener->port == lcc->listener[other].port) {
            config_list_add(&report->errors, whole.text,
                            "listener %u already has this address and port", other);
        }
    }
    for (unsigned other = 0; other < net->listeners; other++) {
        if (strcmp(listener->address, net->listener[other].address) == 0 &&
            listener->port == net->listener[other].port) {
            config_list_add(&report->errors, whole.text,
                            "is already used by listener %u of the server", other);
        }
    }
}

static void build_listeners(const struct written_lcc *written, const struct net_setup *net,
                            struct lcc_setup *lcc, struct config_report *report) {
    lcc->listeners = written->listen.list.count;
    for (unsigned i = 0; i < lcc->listeners; i++) {
        const struct written_lcc_listener *from = &written->listen.item[i];
        struct net_listener_setup *to = &lcc->listener[i];
        memcpy(to->address, from->address, sizeof from->address);
        to->port = (uint16_t)from->port;
        to->right = (enum net_right)from->right;
        to->sessions_max = from->clients;
        to->networks = build_networks(from->from, build_place("/lcc/listen/%u/from", i).text,
                                      to->network, NET_NETWORKS_MAX, report);
        check_listener(lcc, net, i, report);
    }
}

/* A listener at all addresses is at this machine's own, too. */
static bool is_own(const struct net_listener_setup *listener, const struct lcc_hub_setup *hub) {
    bool is_everywhere =
        strcmp(listener->address, "0.0.0.0") == 0 || strcmp(listener->address, "::") == 0;
    return listener->port == hub->port && (strcmp(listener->address, hub->address) == 0 ||
                                           (is_everywhere && network_is_own_machine(hub->address)));
}

static void build_hubs(const struct written_lcc *written, struct lcc_setup *lcc,
                       struct config_report *report) {
    lcc->hubs = written->connect.list.count;
    for (unsigned i = 0; i < lcc->hubs; i++) {
        const struct written_lcc_hub *from = &written->connect.item[i];
        struct lcc_hub_setup *to = &lcc->hub[i];
        memcpy(to->address, from->address, sizeof to->address);
        to->port = (uint16_t)from->port;
        to->right = (enum net_right)from->right;
        check_address(to->address, build_place("/lcc/connect/%u/address", i).text, report);
        warn_of_right(to->right, build_place("/lcc/connect/%u/may", i).text, to->address, report);
        for (unsigned own = 0; own < lcc->listeners; own++) {
            if (is_own(&lcc->listener[own], to)) {
                config_list_add(&report->errors, build_place("/lcc/connect/%u", i).text,
                                "is this daemon's own listener %u: every frame would loop for ever",
                                own);
            }
        }
        for (unsigned other = 0; other < i; other++) {
            if (strcmp(to->address, lcc->hub[other].address) == 0 &&
                to->port == lcc->hub[other].port) {
                config_list_add(
                    &report->errors, build_place("/lcc/connect/%u", i).text,
                    "is hub %u again: every frame would come back the other way and loop for ever",
                    other);
            }
        }
    }
}

static bool is_interface(const char *name) {
    for (const char *at = name; *at != '\0'; at++) {
        if (!isgraph((unsigned char)*at) || *at == '/') {
            return false;
        }
    }
    return name[0] != '\0';
}

static void build_cans(const struct written_lcc *written, struct lcc_setup *lcc,
                       struct config_report *report) {
    lcc->buses = written->can.list.count;
    for (unsigned i = 0; i < lcc->buses; i++) {
        const struct written_lcc_can *from = &written->can.item[i];
        struct lcc_can_setup *to = &lcc->can[i];
        memcpy(to->interface, from->interface, sizeof to->interface);
        to->right = (enum net_right)from->right;
        struct place place = build_place("/lcc/can/%u/interface", i);
        if (!is_interface(to->interface)) {
            config_list_add(&report->errors, place.text,
                            "cannot read \"%s\": wanted an interface's name such as \"can0\"",
                            to->interface);
        }
        for (unsigned other = 0; other < i; other++) {
            if (strcmp(to->interface, lcc->can[other].interface) == 0) {
                config_list_add(&report->errors, place.text, "is already used by bus %u", other);
            }
        }
        warn_of_right(to->right, build_place("/lcc/can/%u/may", i).text, to->interface, report);
    }
}

static void build_clock(const struct written_lcc *written, struct net_setup *net,
                        struct lcc_setup *lcc, struct config_report *report) {
    uint64_t clock;
    net->follows_clock = written->clock[0] != '\0';
    if (!net->follows_clock) {
        return;
    }
    if (!lcc_identifier_read(written->clock, LCC_NODE_BYTES, &clock) || clock == 0) {
        config_list_add(&report->errors, "/lcc/clock",
                        "cannot read \"%.40s\": wanted six bytes such as \"01.01.00.00.01.00\"",
                        written->clock);
        return;
    }
    lcc->clock = clock << 16;
}

void build_lcc_links(const struct written_lcc *written, struct net_setup *net,
                     struct lcc_setup *lcc, struct config_report *report) {
    build_clock(written, net, lcc, report);
    build_listeners(written, net, lcc, report);
    build_hubs(written, lcc, report);
    build_cans(written, lcc, report);
}

static void check_node(const struct build *build, const struct lcc_setup *lcc, uint64_t node) {
    if (!lcc_node_id_is_allowed(node)) {
        build_error(build, "/lcc/node", "no node has an id that begins with 00 or FF");
    }
    if (node >> 40 == 0x08) {
        build_warning(build, "/lcc/node",
                      "ids that begin with 08 are leased, and no event ids may be derived from "
                      "them: set the id of every event");
    }
    for (unsigned other = 0; other < build->index; other++) {
        if (lcc->bridge[other].node == node) {
            build_error(build, "/lcc/node", "is already the node id of bridge %u", other);
        }
    }
    if (lcc->listeners + lcc->hubs + lcc->buses == 0) {
        build_warning(build, "/lcc/node",
                      "nothing leads to a bus: \"lcc\" of the whole file has no \"listen\", "
                      "\"connect\" or \"can\"");
    }
}

void build_lcc(const struct build *build, struct lcc_setup *lcc) {
    const struct written_node *written = &build->written->node;
    struct lcc_bridge_setup *bridge = &lcc->bridge[build->index];
    if (!written->is.is_given || written->node[0] == '\0') {
        return;
    }
    if (!lcc_identifier_read(written->node, LCC_NODE_BYTES, &bridge->node)) {
        build_error(
            build, "/lcc/node",
            "cannot read \"%.40s\": wanted six bytes such as \"0A.44.52.00.00.01\", of a range "
            "that is yours (config/README.md)",
            written->node);
        return;
    }
    check_node(build, lcc, bridge->node);
    build_lcc_events(build, bridge);
}

void build_lcc_check(const struct lcc_setup *lcc, unsigned bridges, struct config_report *report) {
    bool is_any = false;
    for (unsigned b = 0; b < bridges; b++) {
        is_any = is_any || lcc->bridge[b].node != 0;
    }
    if (!is_any && lcc->clock != 0) {
        config_list_add(&report->errors, "/lcc/clock",
                        "a bridge must be a node to ask for it: \"lcc\" of a bridge");
    }
    if (!is_any && lcc->listeners + lcc->hubs + lcc->buses > 0) {
        config_list_add(&report->warnings, "/lcc",
                        "no bridge has a node id (\"lcc\" of a bridge): the links only forward "
                        "frames of others");
    }
}
