/* The pages for browsers: where they are served, to whom, and who must show a token first. */
#include "base/network.h"
#include "config/build/build.h"

#include <ctype.h>
#include <string.h>

/* "tablet.local bridge-house": letters, digits, hyphens and dots. */
static bool are_names(const char *names) {
    for (const char *at = names; *at != '\0'; at++) {
        if (!isascii((unsigned char)*at) ||
            (!isalnum((unsigned char)*at) && strchr("-. ", *at) == NULL)) {
            return false;
        }
    }
    return true;
}

static void check_openness(const struct panel_listener_setup *panel, unsigned i,
                           struct config_report *report) {
    struct place token = build_place("/server/panels/%u/token file", i);
    struct place address = build_place("/server/panels/%u/address", i);
    if (!build_is_numeric(panel->address)) {
        config_list_add(&report->errors, address.text,
                        "found \"%.40s\", wanted a numeric address such as \"127.0.0.1\" or "
                        "\"::1\"",
                        panel->address);
    } else if (panel->is_behind_tls && !network_is_own_machine(panel->address)) {
        config_list_add(&report->errors, address.text,
                        "%s is open to other machines: wanted an address of this machine, for "
                        "nothing is encrypted between the TLS proxy and the panel",
                        panel->address);
    } else if (panel->is_behind_tls && panel->token_file[0] == '\0') {
        config_list_add(&report->errors, token.text,
                        "the TLS proxy brings browsers of other machines: wanted a file with a "
                        "word of 16 characters or more that is asked for first");
    } else if (network_is_own_machine(panel->address)) {
        return;
    } else if (panel->token_file[0] == '\0') {
        config_list_add(&report->errors, token.text,
                        "%s is open to other machines: wanted a file with a token of 16 characters "
                        "or more, which browsers must enter",
                        panel->address);
    } else {
        config_list_add(&report->warnings, address.text,
                        "%s is open to other machines, and nothing is encrypted: anyone listening "
                        "on the network can read the token; open it only to one you trust%s",
                        panel->address, panel->networks == 0 ? ", and say which: \"from\"" : "");
    }
}

static void check_place(const struct panel_setup *panels, const struct net_setup *net, unsigned i,
                        struct config_report *report) {
    const struct panel_listener_setup *panel = &panels->listener[i];
    struct place place = build_place("/server/panels/%u", i);
    for (unsigned other = 0; other < i; other++) {
        if (strcmp(panel->address, panels->listener[other].address) == 0 &&
            panel->port == panels->listener[other].port) {
            config_list_add(&report->errors, place.text, "is already used by panel %u", other);
        }
    }
    for (unsigned other = 0; other < net->listeners; other++) {
        if (strcmp(panel->address, net->listener[other].address) == 0 &&
            panel->port == net->listener[other].port) {
            config_list_add(&report->errors, place.text, "is already used by listener %u", other);
        }
    }
}

/* A browser has up to six connections to one panel, and a quarter is kept for those who ask. */
static void check_room(const struct panel_listener_setup *panel, unsigned i,
                       struct config_report *report) {
    enum { ENOUGH = 8 };
    if (panel->clients_max < ENOUGH) {
        config_list_add(&report->warnings, build_place("/server/panels/%u/clients", i).text,
                        "found %u: loading a page takes up to 6 connections at once, and a stop "
                        "requested meanwhile may have to wait; allow %u or more",
                        panel->clients_max, ENOUGH);
    }
}

void build_panel(const struct written_server *written, const struct net_setup *net,
                 struct panel_setup *panel, struct config_report *report) {
    panel->listeners = written->panels.list.count;
    for (unsigned i = 0; i < panel->listeners; i++) {
        const struct written_panel *from = &written->panels.item[i];
        struct panel_listener_setup *to = &panel->listener[i];
        memcpy(to->address, from->address, sizeof to->address);
        memcpy(to->token_file, from->token_file, sizeof to->token_file);
        memcpy(to->names, from->names, sizeof to->names);
        to->is_behind_tls = from->is_behind_tls;
        to->port = (uint16_t)from->port;
        to->right = (enum panel_right)from->right;
        to->clients_max = from->clients;
        to->networks = build_networks(from->from, build_place("/server/panels/%u/from", i).text,
                                      to->network, PANEL_NETWORKS_MAX, report);
        if (!are_names(to->names)) {
            config_list_add(&report->errors, build_place("/server/panels/%u/names", i).text,
                            "found \"%.40s\", wanted host names of letters, digits, hyphens and "
                            "dots, separated by spaces",
                            to->names);
        }
        check_openness(to, i, report);
        check_room(to, i, report);
        check_place(panel, net, i, report);
    }
}
