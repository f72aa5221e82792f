/* The network side: where clients connect, what they may do, and the limits set to them. */
#include "config/build.h"
#include "config/tables.h"

#include <arpa/inet.h>
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { IPV4_BEFORE = 96 }; /* bits of struct net_network before those of IPv4 */

static bool is_path(const char *address) {
    return address[0] == '/' && address[1] != '\0';
}

/* Clients come from this machine only. */
static bool is_near(const char *address) {
    return is_path(address) || strncmp(address, "127.", 4) == 0 || strcmp(address, "::1") == 0;
}

/* --- networks */

/* Whole and decimal, at most `most`; what follows the "/". */
static bool read_bits(const char *text, unsigned most, unsigned *bits) {
    char *end;
    if (!isdigit((unsigned char)text[0])) {
        return false;
    }
    unsigned long value = strtoul(text, &end, 10);
    *bits = (unsigned)value;
    return *end == '\0' && value <= most;
}

/* The bits beyond those that count must be zero, or somebody meant something else. */
static bool is_rest_zero(const struct net_network *network) {
    for (unsigned bit = network->bits; bit < 8 * sizeof network->address; bit++) {
        if (network->address[bit / 8] & 0x80 >> bit % 8) {
            return false;
        }
    }
    return true;
}

/* "192.168.7.0/24", "fd00::/8", "192.168.7.12". */
static bool read_network(char *word, struct net_network *network) {
    memset(network, 0, sizeof *network);
    char *slash = strchr(word, '/');
    if (slash != NULL) {
        *slash = '\0';
    }
    unsigned bits = 128;
    if (inet_pton(AF_INET6, word, network->address) == 1) {
        network->bits = 128;
    } else if (inet_pton(AF_INET, word, network->address + 12) == 1) {
        memset(network->address + 10, 0xff, 2);
        network->bits = 32;
    } else {
        return false;
    }
    unsigned before = network->bits == 32 ? IPV4_BEFORE : 0;
    bits = network->bits;
    if (slash != NULL && !read_bits(slash + 1, network->bits, &bits)) {
        return false;
    }
    network->bits = bits + before;
    return is_rest_zero(network);
}

static void build_networks(const char *from, struct net_listener_setup *to, const char *place,
                           struct config_report *report) {
    while (*from != '\0') {
        size_t length = strcspn(from, " \t");
        char word[64];
        if (length > 0 && to->networks == NET_NETWORKS_MAX) {
            config_list_add(&report->errors, place, "found more than %u networks", to->networks);
            return;
        }
        if (length > 0) {
            bool is_read = length < sizeof word;
            snprintf(word, sizeof word, "%.*s", (int)length, from);
            if (!is_read || !read_network(word, &to->network[to->networks])) {
                config_list_add(&report->errors, place,
                                "cannot read \"%.*s\" as a network: wanted one such as "
                                "\"192.168.7.0/24\" or \"fd00::/8\", with zeros beyond the bits "
                                "that count",
                                length > 60 ? 60 : (int)length, from);
            } else {
                to->networks++;
            }
        }
        from += length + strspn(from + length, " \t");
    }
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
                        "whoever reaches %s can move the bridge: there are no passwords; open it "
                        "only to a network you trust%s%s",
                        listener->address,
                        unlimited[0] == '\0' ? "" : ", and set limits to its clients: ", unlimited);
    } else if (unlimited[0] != '\0') {
        config_list_add(&report->warnings, place,
                        "%s is open to other machines; set limits to its clients: %s",
                        listener->address, unlimited);
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
    } else if (!is_near(listener->address)) {
        warn_of_openness(listener, address.text, report);
    }
    if (is_path(listener->address) && listener->networks > 0) {
        config_list_add(&report->errors, build_place("/server/listeners/%u/from", i).text,
                        "a Unix socket's clients come from no network; the permissions of its "
                        "file and folder say who may");
    }
    for (unsigned other = 0; other < i; other++) {
        if (is_same_place(listener, &net->listener[other])) {
            config_list_add(&report->errors, build_place("/server/listeners/%u", i).text,
                            "listener %u has this address and port already", other);
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
    build_networks(from->from, to, build_place("/server/listeners/%u/from", i).text, report);
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
