/* setup.h: what the network side is told at the start: listeners, limits, and which protocol device
 * is which part of which bridge. */
#ifndef NET_SETUP_H
#define NET_SETUP_H

#include "core/data/setup.h"
#include "core/words/lines.h"
#include "sockets/setup.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { NET_LISTENERS_MAX = 8, NET_BRIDGES_MAX = 8, NET_NAME_SIZE = 48 };

/* The bridge's own contacts, as they read. */
enum net_contact {
    NET_CONTACT_SEATED = 0,
    NET_CONTACT_NEARLY_SEATED,
    NET_CONTACT_NEARLY_OPEN,
    NET_CONTACT_OPEN,
    NET_CONTACT_WITHIN_TRAVEL,
    NET_CONTACT_LOCKED,
    NET_CONTACT_WITHDRAWN,
    NET_CONTACT_STOP_CIRCUIT,
    NET_CONTACT_RAIL, /* the first of BRIDGE_RAILS_MAX */
    NET_CONTACTS = NET_CONTACT_RAIL + BRIDGE_RAILS_MAX
};

/* The devices that a bridge has once: group, address unless the configuration moves it, name, and
 * its help in the configuration, where the name is its key. From this list come the keys, the
 * automatic addresses, the check that no two are the same, and what the tool calls them. */
/* clang-format off */
#define NET_DEVICE_LIST(X) \
    X(SPAN, GA, 1, "span", "GA") \
    X(LOCK, GA, 2, "lock", "GA") \
    X(HORN, GA, 3, "horn", "GA") \
    X(RIVER, GA, 4, "river", "GA of the river lights") \
    X(SEATED, FB, 1, "seated", "FB") \
    X(LOCKED, FB, 2, "locked", "FB") \
    X(OPEN, FB, 3, "open", "FB") \
    X(MOVING, FB, 4, "moving", "FB") \
    X(LINED, FB, 5, "lined", "FB: lined for rail") \
    X(FAULT, FB, 6, "fault", "FB: a fault is latched")
/* clang-format on */

enum net_device_id {
#define X(id, group, address, name, help) NET_DEVICE_##id,
    NET_DEVICE_LIST(X)
#undef X
        NET_DEVICES
};

/* The first automatic address of home signals (GA) and of sections (FB). */
enum { NET_FIRST_SIGNAL = 11, NET_FIRST_SECTION = 101 };

/* Addresses of one bridge's devices on its bus; 0: not there. */
struct net_address_map {
    unsigned device[NET_DEVICES];
    unsigned ga_signal[BRIDGE_TRACKS_MAX][TRACK_ENDS];
    unsigned fb_approach[BRIDGE_TRACKS_MAX][TRACK_ENDS];
    unsigned fb_stop[BRIDGE_TRACKS_MAX][TRACK_ENDS];
    unsigned fb_span[BRIDGE_TRACKS_MAX];
    unsigned fb_contact[NET_CONTACTS];
    unsigned fb_standing[BRIDGE_TRACKS_MAX][TRACK_ENDS];
    unsigned fb_signal_proof[BRIDGE_TRACKS_MAX][TRACK_ENDS]; /* 1: proved at stop */
    unsigned fb_stop_proof[BRIDGE_TRACKS_MAX][TRACK_ENDS];   /* 1: proved dead */
    unsigned fb_span_proof[BRIDGE_TRACKS_MAX];
};

/* How many devices a bridge can have at most: the map holds nothing but addresses. */
enum { NET_ADDRESSES = sizeof(struct net_address_map) / sizeof(unsigned) };

struct net_bridge_setup {
    char name[NET_NAME_SIZE];
    unsigned bus; /* 1 and up */
    struct bridge_setup setup;
    struct net_address_map address;
    char track_name[BRIDGE_TRACKS_MAX][NET_NAME_SIZE];
    char end_name[BRIDGE_TRACKS_MAX][TRACK_ENDS][NET_NAME_SIZE];
    double travel;       /* whole travel in travel_unit, to show fractions as people measure them */
    char travel_unit[8]; /* "deg" or "mm" */
    double supply_v;     /* of the motor; 0: not known */
};

/* The names of all tracks, in use or not; they live as long as `bridge`. */
static inline void net_name_tracks(const struct net_bridge_setup *bridge,
                                   struct line_track tracks[BRIDGE_TRACKS_MAX]) {
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        tracks[t] = (struct line_track){bridge->track_name[t],
                                        {bridge->end_name[t][0], bridge->end_name[t][1]}};
    }
}

/* The voltage that the lift's motor is told by this effort, either way; NAN: not known. */
static inline double net_volts(const struct net_bridge_setup *bridge, double effort) {
    return bridge->supply_v > 0 ? fabs(effort) * bridge->supply_v : (double)NAN;
}

/* The clock of the layout, as somebody else keeps it. */
struct net_clock {
    uint64_t model_us; /* since its day 0 began */
    uint32_t fx, fy;   /* model to layout; fx 0: it stands */
};

struct net_setup {
    bool follows_clock; /* nobody may set TIME: net_server_follow() does */
    unsigned listeners;
    struct net_listener_setup listener[NET_LISTENERS_MAX];
    unsigned bridges;
    struct net_bridge_setup bridge[NET_BRIDGES_MAX];
    unsigned sessions_max;
    size_t backlog_bytes; /* unsent bytes at which a slow reader's session ends */
    uint32_t handshake_us;
};

#endif
