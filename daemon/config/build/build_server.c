/* The network side: where clients connect, what they may do, and the limits set to them. */
#include "base/network.h"
#include "config/build/build.h"
#include "config/tables/tables.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool is_path(const char *address) {
    return address[0] == '/' && address[1] != '\0';
}

/* --- listeners */

/* What is not limited, in words; "" if all is. */
static void name_unlimited(const struct net_listener_setup *listener, char *words, size_t size) {
    const struct {
        bool is_limited;
        const char *key;
    } limits[] = {
        {listener->networks > 0, "from"},
        {listener->sessions_max > 0, "sessions"},
        {listener->arrivals_a_second > 0, "arrivals"},
        {listener->lines_a_second > 0, "lines"},
    };
    size_t length = 0;
    words[0] = '\0';
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        if (!limits[i].is_limited && length < size) {
            length += (size_t)snprintf(words + length, size - length, "%s\"%s\"",
                                       length == 0 ? "" : ", ", limits[i].key);
        }
    }
}

static void warn_of_openness(const struct net_listener_setup *listener, const char *place,
                             struct config_report *report) {
    char unlimited[64];
    name_unlimited(listener, unlimited, sizeof unlimited);
    if (listener->right != NET_OBSERVE) {
        config_list_add(&report->warnings, place,
                        "anyone who can reach %s can move the bridge: there are no passwords; open "
                        "it only to a network you trust%s%s",
                        listener->address,
                        unlimited[0] == '\0' ? "" : ", and limit its clients: ", unlimited);
    } else if (unlimited[0] != '\0') {
        config_list_add(&report->warnings, place,
                        "%s is open to other machines; limit its clients: %s", listener->address,
                        unlimited);
    }
}

static bool is_same_place(const struct net_listener_setup *a, const struct net_listener_setup *b) {
    return strcmp(a->address, b->address) == 0 && (is_path(a->address) || a->port == b->port);
}

static void check_listener(const struct net_setup *net, unsigned i, struct config_report *report) {
    const struct net_listener_setup *listener = &net->listener[i];
    struct place address = build_place("/server/listeners/%u/address", i);
    if (!build_is_numeric(listener->address) && !is_path(listener->address)) {
        config_list_add(&report->errors, address.text,
                        "found \"%.40s\", wanted a numeric address such as \"127.0.0.1\" or "
                        "\"::1\", or the whole path of a Unix socket",
                        listener->address);
    } else if (!network_is_own_machine(listener->address)) {
        warn_of_openness(listener, address.text, report);
    }
    if (is_path(listener->address) && listener->networks > 0) {
        config_list_add(&report->errors, build_place("/server/listeners/%u/from", i).text,
                        "clients of a Unix socket do not come from a network; the permissions of "
                        "its file and folder decide who may connect");
    }
    for (unsigned other = 0; other < i; other++) {
        if (is_same_place(listener, &net->listener[other])) {
            config_list_add(&report->errors, build_place("/server/listeners/%u", i).text,
                            "listener %u already has this address and port", other);
        }
    }
}

static unsigned limit(unsigned written) {
    return written == FIELD_NO_NUMBER ? 0 : written;
}

static void build_listener(const struct written_listener *from, struct net_listener_setup *to,
                           unsigned i, struct config_report *report) {
    memcpy(to->address, from->address, sizeof to->address);
    to->port = (uint16_t)from->port;
    to->right = (enum net_right)from->right;
    to->sessions_max = limit(from->sessions);
    to->arrivals_a_second = limit(from->arrivals);
    to->lines_a_second = limit(from->lines);
    to->networks = build_networks(from->from, build_place("/server/listeners/%u/from", i).text,
                                  to->network, NET_NETWORKS_MAX, report);
}

void build_server(const struct written_server *written, struct net_setup *net,
                  struct config_report *report) {
    net->sessions_max = written->sessions;
    net->backlog_bytes = (size_t)written->backlog_bytes;
    net->handshake_us = build_us(written->handshake_s);
    net->listeners = written->listeners.list.count;
    for (unsigned i = 0; i < net->listeners; i++) {
        build_listener(&written->listeners.item[i], &net->listener[i], i, report);
        check_listener(net, i, report);
    }
    if (net->listeners == 0) { /* not given: one with all defaults */
        struct written_listener all;
        memset(&all, 0, sizeof all);
        fields_read(&tables_listener, NULL, &all, NULL, NULL);
        net->listeners = 1;
        build_listener(&all, &net->listener[0], 0, report);
    }
}
