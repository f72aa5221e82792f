#include "faults/bridges.h"

#include "faults/closed.h"

/* The train of these trials takes 22 s from 3 m before its signal until its tail has left the far
 * stop section; one that goes a third as fast, 66 s. */
enum { RUN_OUT_US = 70000000 };

/* Limit switches at the seat and open; no bar, no detector, no proof, no measure. */
static struct bridge_setup contacts_alone(struct bridge_setup setup) {
    setup.has_lock = setup.has_lock_drive = setup.has_locked = setup.has_withdrawn = false;
    setup.has_nearly_seated = setup.has_nearly_open = setup.has_overtravel = false;
    setup.has_stop_circuit = false;
    setup.rails = 0;
    setup.motion.has_position = setup.motion.has_current = false;
    setup.track[0].has_span_detector = setup.track[0].has_span_power_proof = false;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        struct track_end_setup *end = &setup.track[0].end[e];
        end->has_approach_detector = end->has_standing_detector = end->has_stop_detector = false;
        end->has_signal_proof = end->has_stop_power_proof = false;
    }
    return setup;
}

static struct bridge_setup approach_alone(struct bridge_setup setup) {
    setup = contacts_alone(setup);
    setup.track[0].end[0].has_approach_detector = true;
    setup.track[0].end[1].has_approach_detector = true;
    setup.track[0].run_out_us = RUN_OUT_US;
    return setup;
}

static struct bridge_setup span_alone(struct bridge_setup setup) {
    setup = contacts_alone(setup);
    setup.track[0].has_span_detector = true;
    setup.track[0].run_out_us = RUN_OUT_US;
    return setup;
}

static struct bridge_setup blind_lock(struct bridge_setup setup) {
    setup.has_locked = setup.has_withdrawn = false;
    return setup;
}

struct bridge_setup bridges_setup(enum fault_bridge bridge, uint32_t debounce_us) {
    struct bridge_setup setup = closed_bridge(debounce_us);
    switch (bridge) {
    case BRIDGE_CONTACTS_ALONE:
        return contacts_alone(setup);
    case BRIDGE_APPROACH_ALONE:
        return approach_alone(setup);
    case BRIDGE_SPAN_ALONE:
        return span_alone(setup);
    case BRIDGE_BLIND_LOCK:
        return blind_lock(setup);
    case BRIDGE_WHOLE:
    case FAULT_BRIDGES:
        break;
    }
    return setup;
}

const char *bridges_title(enum fault_bridge bridge) {
    static const char *const titles[FAULT_BRIDGES] = {
        [BRIDGE_WHOLE] = "Single faults",
        [BRIDGE_CONTACTS_ALONE] = "Two limit switches alone",
        [BRIDGE_APPROACH_ALONE] = "Two limit switches and approach detectors",
        [BRIDGE_SPAN_ALONE] = "Two limit switches and a span detector",
        [BRIDGE_BLIND_LOCK] = "Everything but the contacts of the lock bar",
    };
    return titles[bridge];
}

const char *bridges_about(enum fault_bridge bridge) {
    static const char *const about[FAULT_BRIDGES] = {
        [BRIDGE_WHOLE] = "Every contact, detector and feedback.",
        [BRIDGE_CONTACTS_ALONE] = "No lock bar, and nobody has told how long a train takes: a "
                                  "person looks, and says that the span is seen clear.",
        [BRIDGE_APPROACH_ALONE] = "No lock bar. The longest time of the slowest train stands for "
                                  "the detectors of stop and span sections.",
        [BRIDGE_SPAN_ALONE] = "No lock bar. The longest time of the slowest train stands for the "
                              "detectors of the stop sections.",
        [BRIDGE_BLIND_LOCK] = "The longest time of the bar's drive stands for its contacts.",
    };
    return about[bridge];
}
