/* Names and addresses: which protocol device is which part of the bridge. */
#include "config/build/build.h"
#include "mechanics/number.h"

#include <stdio.h>
#include <string.h>

/* A written address, or the next automatic one where the device is there; none otherwise. */
static unsigned address(unsigned written, bool is_there, unsigned *next) {
    if (!is_there) {
        return 0;
    }
    unsigned automatic = (*next)++;
    return written == FIELD_NO_NUMBER ? automatic : written;
}

static void number_track(const struct build *build, unsigned t, unsigned *signal,
                         unsigned *section) {
    const struct written_track *track = &build->written->tracks.item[t];
    const struct written_end *end = track->ends.item;
    struct net_address_map *map = &build->net->address;
    const struct track_setup *setup = &build->net->setup.track[t];
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        map->ga_signal[t][e] = address(end[e].signal_address, setup->end[e].is_used, signal);
    }
    map->fb_approach[t][0] =
        address(end[0].approach_address, setup->end[0].has_approach_detector, section);
    map->fb_stop[t][0] = address(end[0].stop_address, setup->end[0].has_stop_detector, section);
    map->fb_span[t] = address(track->span_address, setup->has_span_detector, section);
    map->fb_stop[t][1] = address(end[1].stop_address, setup->end[1].has_stop_detector, section);
    map->fb_approach[t][1] =
        address(end[1].approach_address, setup->end[1].has_approach_detector, section);
}

/* The next of several in order; 0 stays 0. */
static unsigned in_order(bool is_there, unsigned *next) {
    return is_there && *next != 0 ? (*next)++ : 0;
}

static void number_contacts(const struct build *build) {
    const struct written_contacts *written = &build->written->contacts;
    const bool is_there[NET_CONTACT_RAIL] = {
        [NET_CONTACT_SEATED] = true,
        [NET_CONTACT_NEARLY_SEATED] = written->nearly_seated,
        [NET_CONTACT_NEARLY_OPEN] = written->nearly_open,
        [NET_CONTACT_OPEN] = written->open,
        [NET_CONTACT_WITHIN_TRAVEL] = written->overtravel,
        [NET_CONTACT_LOCKED] = written->locked,
        [NET_CONTACT_WITHDRAWN] = written->withdrawn,
        [NET_CONTACT_STOP_CIRCUIT] = written->stop_circuit,
    };
    unsigned next = build->written->addresses.contacts;
    for (unsigned i = 0; i < NET_CONTACTS; i++) {
        bool is_one = i < NET_CONTACT_RAIL ? is_there[i] : i - NET_CONTACT_RAIL < written->rails;
        build->net->address.fb_contact[i] = in_order(is_one, &next);
    }
}

static void number_proofs(const struct build *build) {
    struct net_address_map *map = &build->net->address;
    unsigned next = build->written->addresses.proofs;
    for (unsigned t = 0; t < build->net->setup.tracks; t++) {
        const struct track_setup *track = &build->net->setup.track[t];
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const struct track_end_setup *end = &track->end[e];
            map->fb_standing[t][e] = in_order(end->has_standing_detector, &next);
            map->fb_signal_proof[t][e] = in_order(end->has_signal_proof, &next);
            map->fb_stop_proof[t][e] = in_order(end->has_stop_power_proof, &next);
        }
        map->fb_span_proof[t] = in_order(track->has_span_power_proof, &next);
    }
}

/* Every address in use so far, of one group, with where it was given. */
struct used {
    unsigned count;
    unsigned address[NET_ADDRESSES];
    struct place place[NET_ADDRESSES];
};

static void use(const struct build *build, struct used *used, unsigned address_,
                struct place place) {
    if (address_ == 0) {
        return;
    }
    for (unsigned i = 0; i < used->count; i++) {
        if (used->address[i] == address_) {
            build_error(build, place.text, "address %u is already taken: %s", address_,
                        used->place[i].text);
            return;
        }
    }
    used->address[used->count] = address_;
    used->place[used->count++] = place;
}

enum group { GA = 0, FB };

/* Those of NET_DEVICE_LIST. */
static void use_single(const struct build *build, struct used *used, enum group group) {
    static const struct {
        enum group group;
        const char *key;
    } devices[NET_DEVICES] = {
#define X(id, group, address, name, help) {group, name},
        NET_DEVICE_LIST(X)
#undef X
    };
    for (unsigned i = 0; i < NET_DEVICES; i++) {
        if (devices[i].group == group) {
            use(build, used, build->net->address.device[i],
                build_place("/addresses/%s", devices[i].key));
        }
    }
}

static void check_accessories(const struct build *build) {
    const struct net_address_map *map = &build->net->address;
    struct used used = {.count = 0};
    use_single(build, &used, GA);
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            use(build, &used, map->ga_signal[t][e],
                build_place("/tracks/%u/ends/%u/signal address", t, e));
        }
    }
}

static void check_feedback(const struct build *build) {
    const struct net_address_map *map = &build->net->address;
    struct used used = {.count = 0};
    use_single(build, &used, FB);
    for (unsigned t = 0; t < BRIDGE_TRACKS_MAX; t++) {
        use(build, &used, map->fb_span[t], build_place("/tracks/%u/span address", t));
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            use(build, &used, map->fb_approach[t][e],
                build_place("/tracks/%u/ends/%u/approach address", t, e));
            use(build, &used, map->fb_stop[t][e],
                build_place("/tracks/%u/ends/%u/stop address", t, e));
            use(build, &used, map->fb_standing[t][e], build_place("/addresses/proofs"));
            use(build, &used, map->fb_signal_proof[t][e], build_place("/addresses/proofs"));
            use(build, &used, map->fb_stop_proof[t][e], build_place("/addresses/proofs"));
        }
        use(build, &used, map->fb_span_proof[t], build_place("/addresses/proofs"));
    }
    for (unsigned i = 0; i < NET_CONTACTS; i++) {
        use(build, &used, map->fb_contact[i], build_place("/addresses/contacts"));
    }
}

void build_net(struct build *build) {
    const struct written_bridge *written = build->written;
    const struct written_addresses *addresses = &written->addresses;
    struct net_bridge_setup *net = build->net;
    bool is_length = written->lift.travel.quantity == QUANTITY_LENGTH;
    memcpy(net->name, written->name, sizeof net->name);
    memcpy(build->bridge->output, written->output, sizeof build->bridge->output);
    build->bridge->waits_for_power = written->waits_for_power;
    net->bus = written->bus == FIELD_NO_NUMBER ? build->index + 1 : written->bus;
    snprintf(net->travel_unit, sizeof net->travel_unit, "%s", is_length ? "mm" : "deg");
    net->supply_v = written->supply.is.is_given ? written->supply.voltage_v : 0;
    net->travel = written->lift.travel.value * (is_length ? 1000 : 180 / NUMBER_PI);
    net->address = (struct net_address_map){.device = {0}};
    memcpy(net->address.device, addresses->device, sizeof net->address.device);
    unsigned signal = NET_FIRST_SIGNAL;
    unsigned section = NET_FIRST_SECTION;
    for (unsigned t = 0; t < written->tracks.list.count; t++) {
        number_track(build, t, &signal, &section);
    }
    number_contacts(build);
    number_proofs(build);
    check_accessories(build);
    check_feedback(build);
}
