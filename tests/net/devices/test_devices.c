/* The device map: addresses, ports, what they show. The map is our own. */
#include "net/devices/devices.h"
#include "support/check.h"
#include "support/net/net_host.h"

#include <math.h>

static struct net_setup setup;
static struct fake_host host;
static struct device list[DEVICES_MAX];
static size_t devices;

static int make_list(void **state) {
    (void)state;
    fake_setup(&setup, 1);
    fake_host_init(&host);
    devices = devices_list(&setup.bridge[0], list);
    return 0;
}

static const struct device *at(enum device_group group, unsigned address) {
    for (size_t i = 0; i < devices; i++) {
        if (device_group(&list[i]) == group && list[i].address == address) {
            return &list[i];
        }
    }
    fail_msg("no device at %u", address);
    return NULL;
}

static int value(enum device_group group, unsigned address, unsigned port) {
    return device_value(at(group, address), port, &setup.bridge[0].setup, &host.view[0]);
}

static void list_is_in_order_and_without_what_is_not_there(void **state) {
    (void)state;
    assert_int_equal(devices, 6 + 11);
    for (size_t i = 1; i < devices; i++) {
        assert_true(device_group(&list[i - 1]) < device_group(&list[i]) ||
                    list[i - 1].address < list[i].address);
    }
    setup.bridge[0].address.device[NET_DEVICE_RIVER] = 0;
    setup.bridge[0].address.fb_approach[0][1] = 0;
    setup.bridge[0].address.ga_signal[1][0] = 13; /* of a track that is not there */
    assert_int_equal(devices_list(&setup.bridge[0], list), devices - 2);
}

static void span_shows_goal_or_place(void **state) {
    (void)state;
    static const struct {
        enum bridge_phase phase;
        enum bridge_goal goal;
        enum bridge_fault fault;
        int ports[8];
        int jog;
    } cases[] = {
        {PHASE_LINED, GOAL_NONE, FAULT_NONE, {1, 0, 0, 0, 0, 0, 0}, 0},
        {PHASE_LINED, GOAL_UP, FAULT_NONE, {0, 1, 0, 0, 0, 0, 0}, 0},
        {PHASE_RAISING, GOAL_UP, FAULT_NONE, {0, 1, 0, 0, 0, 0, 0}, 0},
        {PHASE_OPEN, GOAL_NONE, FAULT_NONE, {0, 1, 0, 0, 0, 0, 0}, 0},
        {PHASE_OPEN, GOAL_DOWN, FAULT_NONE, {1, 0, 0, 0, 0, 0, 0}, 0},
        {PHASE_HELD, GOAL_NONE, FAULT_NONE, {0, 0, 1, 0, 0, 0, 0}, 0},
        {PHASE_HELD, GOAL_NONE, FAULT_NONE, {0, 0, 1, 0, 0, 1, 0}, 1},
        {PHASE_HELD, GOAL_NONE, FAULT_NONE, {0, 0, 1, 0, 0, 0, 1}, -1},
        {PHASE_UNPROVED, GOAL_NONE, FAULT_NONE, {0, 0, 0, 0, 0, 0, 0}, 0},
        {PHASE_FAULT, GOAL_NONE, FAULT_STALL, {0, 0, 0, 0, 0, 0, 0}, 0},
        {PHASE_FAULT, GOAL_NONE, FAULT_EMERGENCY_STOP, {0, 0, 0, 1, 0, 0, 0}, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        host.view[0].state.phase = cases[i].phase;
        host.view[0].state.goal = cases[i].goal;
        host.view[0].state.fault = cases[i].fault;
        host.view[0].state.jog = (struct jog_state){cases[i].jog, 0, cases[i].jog != 0 ? 1 : 0};
        for (unsigned port = 0; port < 8; port++) {
            assert_int_equal(value(DEVICE_GA, 1, port), cases[i].ports[port]);
        }
    }
    host.view[0].state.seen_clear_left_us = 1;
    assert_int_equal(value(DEVICE_GA, 1, 7), 1);
}

static void span_shows_who_runs_it_by_hand(void **state) {
    (void)state;
    static const struct {
        enum bridge_goal goal;
        struct throttle_state throttle;
        int ports[6]; /* 8 and up */
    } cases[] = {
        {GOAL_UP, {0, false, 0}, {0, 0, 0, 0, 0, 0}},
        {GOAL_UP, {0.5, false, 1}, {1, 0, 1, 0, 0, 0}},
        {GOAL_DOWN, {0.5, false, 1}, {0, 1, 1, 0, 0, 0}},
        {GOAL_UP, {1, true, 1}, {0, 0, 0, 1, 0, 1}},
        {GOAL_DOWN, {1, true, 1}, {0, 0, 0, 0, 1, 1}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        host.view[0].state.goal = cases[i].goal;
        host.view[0].state.throttle = cases[i].throttle;
        for (unsigned k = 0; k < 6; k++) {
            assert_int_equal(value(DEVICE_GA, 1, 8 + k), cases[i].ports[k]);
        }
    }
}

/* Where time stands for a contact the device tells what is believed; without a bar there is none.
 */
static void lock_without_contacts_shows_what_is_believed(void **state) {
    (void)state;
    struct bridge_setup *own = &setup.bridge[0].setup;
    struct bridge_state *bridge = &host.view[0].state;
    own->has_lock = own->has_lock_drive = true;
    own->has_locked = own->has_withdrawn = false;
    assert_int_equal(value(DEVICE_FB, 2, 0), 0);
    bridge->lock.driven = (struct watch){.is_running = true};
    assert_int_equal(value(DEVICE_FB, 2, 0), 1);
    assert_int_equal(value(DEVICE_GA, 2, 1), 1);
    assert_int_equal(value(DEVICE_GA, 2, 0), 0);
    bridge->lock = (struct lock_state){.withdrawn = {.is_running = true}};
    assert_int_equal(value(DEVICE_GA, 2, 0), 1);

    own->has_lock = own->has_lock_drive = false;
    assert_int_equal(devices_list(&setup.bridge[0], list), devices - 1);
    bridge->contacts.seated.believed = LEVEL_ON;
    assert_int_equal(value(DEVICE_FB, 2, 0), 1);
}

static void lock_horn_lights_and_signals_show_what_is_put_out(void **state) {
    (void)state;
    struct bridge_view *view = &host.view[0];
    view->state.contacts.locked.believed = LEVEL_UNKNOWN;
    assert_int_equal(value(DEVICE_GA, 2, 0), 0);
    assert_int_equal(value(DEVICE_GA, 2, 1), 0);
    view->state.contacts.withdrawn.believed = LEVEL_ON;
    assert_int_equal(value(DEVICE_GA, 2, 0), 1);
    view->outputs.horn = true;
    assert_int_equal(value(DEVICE_GA, 3, 0), 1);
    view->outputs.river = RIVER_RED_FLASHING;
    assert_int_equal(value(DEVICE_GA, 4, 0), 1);
    assert_int_equal(value(DEVICE_GA, 4, 1), 0);
    view->outputs.river = RIVER_GREEN;
    assert_int_equal(value(DEVICE_GA, 4, 0), 0);
    assert_int_equal(value(DEVICE_GA, 4, 1), 1);
    view->outputs.track[0].end[1].signal_proceed = true;
    assert_int_equal(value(DEVICE_GA, 11, 0), 1);
    assert_int_equal(value(DEVICE_GA, 12, 0), 0);
    assert_int_equal(value(DEVICE_GA, 12, 1), 1);
}

/* Closed circuit, 49 CFR 236.5: a section that is not proved clear is occupied. */
static void section_not_proved_clear_is_occupied(void **state) {
    (void)state;
    struct track_inputs *track = &host.view[0].inputs.track[0];
    struct {
        unsigned address;
        enum level *clear;
    } sections[] = {
        {101, &track->end[0].approach_clear},
        {102, &track->end[0].stop_clear},
        {103, &track->span_clear},
        {104, &track->end[1].stop_clear},
        {105, &track->end[1].approach_clear},
    };
    for (size_t i = 0; i < sizeof sections / sizeof sections[0]; i++) {
        assert_int_equal(value(DEVICE_FB, sections[i].address, 0), 0);
        *sections[i].clear = LEVEL_OFF;
        assert_int_equal(value(DEVICE_FB, sections[i].address, 0), 1);
        *sections[i].clear = LEVEL_UNKNOWN;
        assert_int_equal(value(DEVICE_FB, sections[i].address, 0), 1);
        *sections[i].clear = LEVEL_ON;
    }
}

/* Raw: what the input shows in this moment, not what is believed. */
static void raw_readings_are_fed_back(void **state) {
    (void)state;
    struct net_address_map *map = &setup.bridge[0].address;
    for (unsigned i = 0; i < NET_CONTACTS; i++) {
        map->fb_contact[i] = 11 + i;
    }
    map->fb_standing[0][1] = 31;
    map->fb_signal_proof[0][0] = 32;
    map->fb_stop_proof[0][1] = 33;
    map->fb_span_proof[0] = 34;
    devices = devices_list(&setup.bridge[0], list);
    struct bridge_inputs *in = &host.view[0].inputs;
    const struct {
        unsigned address;
        enum level *level;
        const char *label;
    } cases[] = {
        {11, &in->seated, "contact seated"},
        {12, &in->nearly_seated, "contact nearly-seated"},
        {13, &in->nearly_open, "contact nearly-open"},
        {14, &in->open, "contact open"},
        {15, &in->within_travel, "contact within-travel"},
        {16, &in->locked, "contact locked"},
        {17, &in->withdrawn, "contact withdrawn"},
        {18, &in->stop_circuit, "contact stop-circuit"},
        {19, &in->rail[0], "contact rail-1"},
        {22, &in->rail[3], "contact rail-4"},
        {31, &in->track[0].end[1].standing, "standing main east"},
        {32, &in->track[0].end[0].signal_at_stop, "at-stop main west"},
        {33, &in->track[0].end[1].stop_dead, "dead-stop main east"},
        {34, &in->track[0].span_dead, "dead-span main"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char label[DEVICE_LABEL_SIZE];
        device_label(at(DEVICE_FB, cases[i].address), &setup.bridge[0], label);
        assert_string_equal(label, cases[i].label);
        for (enum level level = LEVEL_UNKNOWN; level <= LEVEL_ON; level++) {
            *cases[i].level = level;
            assert_int_equal(value(DEVICE_FB, cases[i].address, 0), level == LEVEL_ON);
        }
        *cases[i].level = LEVEL_OFF;
    }
}

static void contacts_motion_and_fault_are_fed_back(void **state) {
    (void)state;
    struct bridge_view *view = &host.view[0];
    assert_int_equal(value(DEVICE_FB, 1, 0), 1);
    view->state.contacts.seated.believed = LEVEL_UNKNOWN;
    assert_int_equal(value(DEVICE_FB, 1, 0), 0);
    assert_int_equal(value(DEVICE_FB, 2, 0), 1);
    view->state.contacts.locked.believed = LEVEL_OFF;
    assert_int_equal(value(DEVICE_FB, 2, 0), 0);
    assert_int_equal(value(DEVICE_FB, 4, 0), 0);
    view->outputs.lift_effort = -0.1;
    assert_int_equal(value(DEVICE_FB, 4, 0), 1);
    assert_int_equal(value(DEVICE_FB, 5, 0), 1);
    assert_int_equal(value(DEVICE_FB, 6, 0), 0);
    fake_is_at_fault(view);
    assert_int_equal(value(DEVICE_FB, 5, 0), 0);
    assert_int_equal(value(DEVICE_FB, 6, 0), 1);
}

static void open_is_the_contact_or_else_the_position(void **state) {
    (void)state;
    struct bridge_view *view = &host.view[0];
    view->state.motion.position_frac = 1;
    assert_int_equal(value(DEVICE_FB, 3, 0), 0);
    view->state.contacts.open.believed = LEVEL_ON;
    assert_int_equal(value(DEVICE_FB, 3, 0), 1);

    setup.bridge[0].setup.has_open = false;
    setup.bridge[0].setup.motion.position_tolerance_frac = 0.02;
    assert_int_equal(value(DEVICE_FB, 3, 0), 1);
    view->state.motion.position_frac = 0.97;
    assert_int_equal(value(DEVICE_FB, 3, 0), 0);
    view->state.motion.position_frac = NAN;
    assert_int_equal(value(DEVICE_FB, 3, 0), 0);
    view->state.motion.position_frac = 1;
    view->state.motion.is_known = false;
    assert_int_equal(value(DEVICE_FB, 3, 0), 0);
}

static void power_is_on_when_every_section_is(void **state) {
    (void)state;
    struct track_outputs *track = &host.view[0].outputs.track[0];
    bool *const sections[] = {&track->span_power, &track->end[0].stop_power,
                              &track->end[1].stop_power};
    assert_true(devices_power_is_on(&setup.bridge[0].setup, &host.view[0]));
    for (size_t i = 0; i < 3; i++) {
        *sections[i] = false;
        assert_false(devices_power_is_on(&setup.bridge[0].setup, &host.view[0]));
        *sections[i] = true;
    }
    setup.bridge[0].setup.track[0].end[1].is_used = false; /* no stop section there */
    track->end[1].stop_power = false;
    assert_true(devices_power_is_on(&setup.bridge[0].setup, &host.view[0]));
}

static void bridge_holds_signals_and_span_only(void **state) {
    (void)state;
    for (size_t i = 0; i < devices; i++) {
        assert_false(device_is_held(&list[i], &host.view[0]));
    }
    fake_starts_clearing(&host.view[0]);
    for (size_t i = 0; i < devices; i++) {
        unsigned address = list[i].address;
        bool holds =
            device_group(&list[i]) == DEVICE_GA && (address == 1 || address == 11 || address == 12);
        assert_int_equal(device_is_held(&list[i], &host.view[0]), holds);
    }
}

#define WITH_LIST(test) cmocka_unit_test_setup(test, make_list)

/* A device that has an address and is not in the list would be there in the configuration alone. */
static void every_address_of_the_map_makes_a_device(void **state) {
    (void)state;
    static struct net_bridge_setup bridge;
    static struct device all[DEVICES_MAX];
    bridge.setup.tracks = BRIDGE_TRACKS_MAX;
    bridge.setup.has_lock = true;
    unsigned *address = (unsigned *)&bridge.address;
    for (unsigned i = 0; i < NET_ADDRESSES; i++) {
        address[i] = i + 1;
    }
    size_t count = devices_list(&bridge, all);
    bool is_listed[NET_ADDRESSES + 1] = {false};
    for (size_t i = 0; i < count; i++) {
        is_listed[all[i].address] = true;
    }
    for (unsigned i = 0; i < NET_ADDRESSES; i++) {
        if (!is_listed[i + 1]) {
            fail_msg("word %u of struct net_address_map: no add() in daemon/net/devices/devices.c",
                     i);
        }
    }
    assert_int_equal(count, NET_ADDRESSES);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        WITH_LIST(list_is_in_order_and_without_what_is_not_there),
        WITH_LIST(span_shows_goal_or_place),
        WITH_LIST(span_shows_who_runs_it_by_hand),
        WITH_LIST(lock_without_contacts_shows_what_is_believed),
        WITH_LIST(lock_horn_lights_and_signals_show_what_is_put_out),
        WITH_LIST(section_not_proved_clear_is_occupied),
        WITH_LIST(raw_readings_are_fed_back),
        WITH_LIST(contacts_motion_and_fault_are_fed_back),
        WITH_LIST(open_is_the_contact_or_else_the_position),
        WITH_LIST(power_is_on_when_every_section_is),
        WITH_LIST(bridge_holds_signals_and_span_only),
        cmocka_unit_test(every_address_of_the_map_makes_a_device),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
