/* setup.h: what the bridges are told as nodes of LCC: the links to the bus, and for each bridge its
 * node id and the events by which it tells and is asked. */
#ifndef LCC_SETUP_H
#define LCC_SETUP_H

#include "core/data/request.h"
#include "core/data/setup.h"
#include "sockets/setup.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    LCC_LISTENERS_MAX = 4,
    LCC_HUBS_MAX = 4,
    LCC_BUSES_MAX = 4,
    LCC_BRIDGES_MAX = 8,
    LCC_HUB_ADDRESS_SIZE = 48,
    LCC_INTERFACE_SIZE = 16, /* IFNAMSIZ */
    LCC_EVENT_NAME_SIZE = 128
};

/* A hub that the daemon connects to; `right` as of a listener, never NET_ADMINISTER. */
struct lcc_hub_setup {
    char address[LCC_HUB_ADDRESS_SIZE]; /* numeric IPv4 or IPv6 */
    uint16_t port;
    enum net_right right;
};

/* A CAN bus of this computer. */
struct lcc_can_setup {
    char interface[LCC_INTERFACE_SIZE];
    enum net_right right;
};

/* What a bridge tells. */
enum lcc_state {
    LCC_STATE_LINED = 0,
    LCC_STATE_MOVING,
    LCC_STATE_OPEN,
    LCC_STATE_FAULT,
    LCC_STATE_SEATED,
    LCC_STATE_LOCKED,
    LCC_STATE_GOAL_UP,
    LCC_STATE_GOAL_DOWN,
    LCC_STATES_OF_BRIDGE,
    LCC_STATE_PROCEED = LCC_STATES_OF_BRIDGE, /* track, end: the home signal */
    LCC_STATE_APPROACH,                       /* track, end: occupied */
    LCC_STATE_STOP_SECTION,                   /* track, end: occupied */
    LCC_STATE_STOP_POWER,                     /* track, end */
    LCC_STATE_SPAN_SECTION,                   /* track: occupied */
    LCC_STATE_SPAN_POWER,                     /* track */
    LCC_STATES
};

enum {
    LCC_STATES_MAX = LCC_STATES_OF_BRIDGE + BRIDGE_TRACKS_MAX * (TRACK_ENDS * 4 + 2),
    LCC_REQUESTS_MAX = 9,
    LCC_COMMANDS_MAX =
        BRIDGE_TRACKS_MAX * (TRACK_ENDS * 2 + 1),             /* a signal, or a section's power */
    LCC_POINTS_MAX = BRIDGE_TRACKS_MAX * (TRACK_ENDS * 5 + 2) /* a detector, or a proof */
};

struct lcc_state_setup {
    enum lcc_state what;
    unsigned track, end;
    uint64_t event[2]; /* [1]: it has come to be so, [0]: it is so no more */
    char name[2][LCC_EVENT_NAME_SIZE];
};

struct lcc_request_setup {
    enum bridge_request_kind kind;
    bool is_of_bus; /* the emergency of the whole bus: acts whatever the link's right */
    uint64_t event;
    char name[LCC_EVENT_NAME_SIZE];
};

/* A line of the bridge that is a device of another node (io/nodes): the pair of events by which it
 * is commanded, or by which it tells. */
struct lcc_line_setup {
    uint64_t event[2]; /* [1]: on */
    char name[2][LCC_EVENT_NAME_SIZE];
};

struct lcc_bridge_setup {
    uint64_t node; /* 0: this bridge is not a node */
    unsigned states;
    struct lcc_state_setup state[LCC_STATES_MAX];
    unsigned requests;
    struct lcc_request_setup request[LCC_REQUESTS_MAX];
    unsigned commands;
    struct lcc_line_setup command[LCC_COMMANDS_MAX];
    unsigned points;
    struct lcc_line_setup point[LCC_POINTS_MAX];
};

struct lcc_setup {
    unsigned listeners;
    struct net_listener_setup listener[LCC_LISTENERS_MAX];
    unsigned hubs;
    struct lcc_hub_setup hub[LCC_HUBS_MAX];
    unsigned buses;
    struct lcc_can_setup can[LCC_BUSES_MAX];
    uint64_t clock; /* any event of the clock that is followed; 0: none */
    struct lcc_bridge_setup bridge[LCC_BRIDGES_MAX]; /* as the configuration's bridges */
};

#endif
