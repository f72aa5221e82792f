#include "faults/catalog.h"

#include "io/simulated/world/sim_inputs.h"

#include <stdio.h>
#include <string.h>

enum { DEFECTS_MAX = 200, OUTAGE_US = 5000000 };

/* Not of one level: outputs that do not obey, sensors, power, the daemon, trains. */
static const struct bridge_defect others[] = {
    {FAULT_BY_WORDS, "fault contacts-swapped on", NULL, 0},
    {FAULT_BY_WORDS, "fault position-frozen on", NULL, 0},
    {FAULT_BY_WORDS, "fault position-jumps 0.2 on", NULL, 0},
    {FAULT_BY_WORDS, "fault position-jumps -0.2 on", NULL, 0},
    {FAULT_BY_WORDS, "fault position-flapping 0.2 on", NULL, 0},
    {FAULT_BY_WORDS, "fault position-late on", NULL, 0},
    {FAULT_BY_WORDS, "fault position-lost on", NULL, 0},
    {FAULT_BY_WORDS, "fault current-dead on", "the stall watch is blind", 0},
    {FAULT_BY_WORDS, "fault current-lost on", NULL, 0},
    {FAULT_BY_WORDS, "fault jam on", NULL, 0},
    {FAULT_BY_WORDS, "fault jam 0.5 on", NULL, 0},
    {FAULT_BY_WORDS, "fault motor-open on", NULL, 0},
    {FAULT_BY_WORDS, "fault motor-reversed on", NULL, 0},
    {FAULT_BY_WORDS, "fault motor-runs-on on",
     "no output stops this motor: the hard-wired stop that cuts its supply must", 0},
    {FAULT_BY_WORDS, "fault pinion-slips on", NULL, 0},
    {FAULT_BY_WORDS, "fault brake-stuck on", NULL, 0},
    {FAULT_BY_WORDS, "fault lock-stuck on", NULL, 0},
    {FAULT_BY_WORDS, "fault lock-withdraws on", NULL, 0},
    {FAULT_BY_WORDS, "fault signal-at-proceed main.west on",
     "the crew sees proceed: the dead stop section holds the train", 0},
    {FAULT_BY_WORDS, "fault signal-at-proceed main.east on", NULL, 0},
    {FAULT_BY_WORDS, "fault signal-at-stop main.west on", NULL, 0},
    {FAULT_BY_WORDS, "fault signal-at-stop main.east on", NULL, 0},
    {FAULT_BY_WORDS, "fault power-stuck-on main.west.stop on", NULL, 0},
    {FAULT_BY_WORDS, "fault power-stuck-on main.span on", NULL, 0},
    {FAULT_BY_WORDS, "fault power-stuck-on main.east.stop on", NULL, 0},
    {FAULT_BY_WORDS, "fault power-dead main.west.stop on", NULL, 0},
    {FAULT_BY_WORDS, "fault power-dead main.span on", NULL, 0},
    {FAULT_BY_WORDS, "fault power-dead main.east.stop on", NULL, 0},
    {FAULT_BY_WORDS, "fault stop-circuit-broken on", NULL, 0},
    {FAULT_BY_WORDS, "fault device-lost on", NULL, 0},
    {FAULT_POWER_LOSS, "power lost for 5 s", NULL, 0},
    {FAULT_KILLED, "daemon killed, back after 5 s", NULL, 0},
    {FAULT_BY_WORDS, "fault train-ignores-signals freight on", NULL, 0},
    {FAULT_BY_WORDS, "fault train-does-not-stop freight on",
     "neither signals nor dead rail stop this train", 1u << UNTRUE_WRECK},
};

static struct bridge_defect defects[FAULT_BRIDGES][DEFECTS_MAX];
static unsigned defect_counts[FAULT_BRIDGES];

static bool is_there(const struct bridge_setup *setup, unsigned input) {
    return (lines_there(setup).inputs >> input & 1) != 0;
}

static bool is_about(const struct bridge_defect *defect, const char *what) {
    return strstr(defect->words, what) != NULL;
}

/* Whether the bridge has what is wrong there. */
static bool can_have(const struct bridge_setup *setup, const struct bridge_defect *defect) {
    return (setup->motion.has_position || !is_about(defect, "fault position")) &&
           (setup->motion.has_current || !is_about(defect, "fault current")) &&
           (setup->has_lock || !is_about(defect, "fault lock")) &&
           (setup->has_stop_circuit || !is_about(defect, "fault stop-circuit"));
}

/* ---- what no input shows, of each bridge: a lie that contradicts nothing else at some moment, or
 * an output that does what nothing proves */

struct lie {
    const char *words;
    const char *unseen;
    uint32_t may_be_untrue;
};

static const char half_bar[] =
    "told made while the bar is on its way, it is believed, and the bar stays half way";

static const struct lie lies_of_whole[] = {
    {"contact main.span made",
     "a train that stands on the span is not seen: only counting trains would show it",
     1u << UNTRUE_WRECK | 1u << UNTRUE_LIFT_TRAIN},
    {"contact locked made", half_bar, 1u << UNTRUE_POWER | 1u << UNTRUE_SIGNAL},
    {"contact locked flapping", half_bar, 1u << UNTRUE_POWER | 1u << UNTRUE_SIGNAL},
    {"fault contact-inverted main.span on", "a train that stands on the span is not seen",
     1u << UNTRUE_WRECK | 1u << UNTRUE_LIFT_TRAIN},
    {"fault contact-inverted locked on", half_bar, 1u << UNTRUE_POWER | 1u << UNTRUE_SIGNAL},
    {"fault contact-inverted withdrawn on", half_bar, 1u << UNTRUE_LIFT_LOCK},
    {"contact withdrawn made", half_bar, 1u << UNTRUE_LIFT_LOCK},
    {"contact withdrawn flapping", half_bar, 1u << UNTRUE_LIFT_LOCK},
    {NULL, NULL, 0},
};

/* With no other contact, and no position, the seat alone says that the span is down. */
static const char seat_alone[] =
    "told made while the span is on its way, it is believed: nothing else says where the span is";
static const char unseen_signal[] =
    "the signal has no proof: a train that goes by it dies on the stop section, unseen";
static const char unseen_train[] = "it goes by its signal, and no detector sees where it stands";
static const char unseen_runner[] =
    "neither signals nor dead rail stop it, and no detector sees it";

#define LIES_OF_TWO_SWITCHES                                                                       \
    {"contact seated made", seat_alone,                                                            \
     1u << UNTRUE_WRECK | 1u << UNTRUE_POWER | 1u << UNTRUE_SIGNAL},                               \
        {"contact seated flapping", seat_alone, 1u << UNTRUE_POWER | 1u << UNTRUE_SIGNAL},         \
        {"fault contact-inverted seated on", seat_alone,                                           \
         1u << UNTRUE_WRECK | 1u << UNTRUE_POWER | 1u << UNTRUE_SIGNAL},                           \
        {"fault signal-at-proceed main.west on", unseen_signal, 1u << UNTRUE_LIFT_TRAIN},          \
        {"fault train-ignores-signals freight on", unseen_train, 1u << UNTRUE_LIFT_TRAIN}, {       \
        "fault train-does-not-stop freight on", unseen_runner,                                     \
            1u << UNTRUE_WRECK | 1u << UNTRUE_LIFT_TRAIN                                           \
    }

#define LIES_OF_SPAN_DETECTOR                                                                      \
    {"contact main.span made", "a train that stands on the span is not seen",                      \
     1u << UNTRUE_WRECK | 1u << UNTRUE_LIFT_TRAIN},                                                \
    {                                                                                              \
        "fault contact-inverted main.span on", "a train that stands on the span is not seen",      \
            1u << UNTRUE_WRECK | 1u << UNTRUE_LIFT_TRAIN                                           \
    }

static const struct lie lies_of_two_switches[] = {LIES_OF_TWO_SWITCHES, {NULL, NULL, 0}};

static const struct lie lies_of_span_alone[] = {
    LIES_OF_TWO_SWITCHES, LIES_OF_SPAN_DETECTOR, {NULL, NULL, 0}};

static const struct lie lies_of_blind_lock[] = {
    LIES_OF_SPAN_DETECTOR,
    {"fault lock-stuck on", "the bar is believed to be where its drive should have brought it",
     1u << UNTRUE_POWER | 1u << UNTRUE_SIGNAL | 1u << UNTRUE_LIFT_LOCK},
    {"fault lock-withdraws on", "the bar is believed to stay where its drive has brought it",
     1u << UNTRUE_POWER | 1u << UNTRUE_SIGNAL},
    {NULL, NULL, 0},
};

static const struct lie *const lies[FAULT_BRIDGES] = {
    [BRIDGE_WHOLE] = lies_of_whole,
    [BRIDGE_CONTACTS_ALONE] = lies_of_two_switches,
    [BRIDGE_APPROACH_ALONE] = lies_of_two_switches,
    [BRIDGE_SPAN_ALONE] = lies_of_span_alone,
    [BRIDGE_BLIND_LOCK] = lies_of_blind_lock,
};

static void add(enum fault_bridge bridge, const struct bridge_defect *defect) {
    struct bridge_defect *added = &defects[bridge][defect_counts[bridge]++];
    *added = *defect;
    for (const struct lie *lie = lies[bridge]; lie->words != NULL; lie++) {
        if (strcmp(defect->words, lie->words) == 0) {
            added->unseen = lie->unseen;
            added->may_be_untrue = lie->may_be_untrue;
        }
    }
}

static void add_contact(enum fault_bridge bridge, const char *name, const char *reading) {
    struct bridge_defect defect = {.kind = FAULT_BY_WORDS};
    snprintf(defect.words, sizeof defect.words, "contact %.60s %s", name, reading);
    add(bridge, &defect);
}

static void add_inverted(enum fault_bridge bridge, const char *name) {
    struct bridge_defect defect = {.kind = FAULT_BY_WORDS};
    snprintf(defect.words, sizeof defect.words, "fault contact-inverted %.50s on", name);
    add(bridge, &defect);
}

static void fill(enum fault_bridge bridge) {
    static const char *const readings[] = {"made", "open", "broken", "flapping", "late"};
    static struct closed closed;
    const struct bridge_setup setup = bridges_setup(bridge, 0);
    closed_begin_with(&closed, &setup);
    for (unsigned i = 0; i < lines_levels(1); i++) {
        char name[LINE_NAME_SIZE];
        sim_inputs_name(closed.sim.setup.track, i, name);
        for (size_t r = 0; r < sizeof readings / sizeof readings[0] && is_there(&setup, i); r++) {
            add_contact(bridge, name, readings[r]);
        }
        if (is_there(&setup, i)) {
            add_inverted(bridge, name);
        }
    }
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        if (can_have(&setup, &others[i])) {
            add(bridge, &others[i]);
        }
    }
}

const struct bridge_defect *catalog_defects(enum fault_bridge bridge, unsigned *count) {
    if (defect_counts[bridge] == 0) {
        fill(bridge);
    }
    *count = defect_counts[bridge];
    return defects[bridge];
}

void catalog_strike(const struct bridge_defect *defect, struct closed *closed) {
    switch (defect->kind) {
    case FAULT_BY_WORDS:
        closed_tell(closed, defect->words);
        closed_ask(closed, REQUEST_NONE);
        break;
    case FAULT_POWER_LOSS:
        closed_tell(closed, "fault device-lost on");
        closed_restart(closed, OUTAGE_US);
        closed_run_for(closed, OUTAGE_US);
        closed_tell(closed, "fault device-lost off");
        closed_ask(closed, REQUEST_NONE);
        break;
    case FAULT_KILLED:
        closed_restart(closed, OUTAGE_US);
        break;
    }
}
