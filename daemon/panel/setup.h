/* setup.h: where the panel is served, to whom, and what they may do. */
#ifndef PANEL_SETUP_H
#define PANEL_SETUP_H

#include "base/network.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    PANEL_LISTENERS_MAX = 4,
    PANEL_ADDRESS_SIZE = 48,
    PANEL_PATH_SIZE = 256,
    PANEL_NAMES_SIZE = 256,
    PANEL_NETWORKS_MAX = 16
};

/* Nobody administers from a panel. */
enum panel_right { PANEL_OBSERVE = 0, PANEL_OPERATE };

struct panel_listener_setup {
    char address[PANEL_ADDRESS_SIZE]; /* numeric IPv4 or IPv6 */
    uint16_t port;                    /* 0: any that is free */
    enum panel_right right;
    char token_file[PANEL_PATH_SIZE]; /* empty: nobody is asked for a token */
    bool is_behind_tls;               /* browsers come by https, through a proxy on this machine */
    char names[PANEL_NAMES_SIZE]; /* parted by blanks: what browsers may call it, beside addresses
                                     and "localhost" */
    unsigned networks;            /* where clients may come from; 0: from everywhere */
    struct network network[PANEL_NETWORKS_MAX];
    unsigned clients_max; /* connections at once; more wait */
};

struct panel_setup {
    unsigned listeners; /* 0: no panel */
    struct panel_listener_setup listener[PANEL_LISTENERS_MAX];
};

#endif
