#include "faults/catalog.h"

#include "io/sim_inputs.h"

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

static struct bridge_defect defects[DEFECTS_MAX];
static unsigned defect_count;

static bool is_there(const struct closed *closed, unsigned input) {
    return (lines_there(&closed->bridge).inputs >> input & 1) != 0;
}

static const char half_bar[] =
    "told made while the bar is on its way, it is believed, and the bar stays half way";

/* Contacts whose lie contradicts nothing else at some moment. */
static const struct bridge_defect lies[] = {
    {FAULT_BY_WORDS, "contact main.span made",
     "a train that stands on the span is not seen: only counting trains would show it",
     1u << UNTRUE_WRECK | 1u << UNTRUE_LIFT_TRAIN},
    {FAULT_BY_WORDS, "contact locked made", half_bar, 1u << UNTRUE_POWER | 1u << UNTRUE_SIGNAL},
    {FAULT_BY_WORDS, "contact locked flapping", half_bar, 1u << UNTRUE_POWER | 1u << UNTRUE_SIGNAL},
    {FAULT_BY_WORDS, "fault contact-inverted main.span on",
     "a train that stands on the span is not seen", 1u << UNTRUE_WRECK | 1u << UNTRUE_LIFT_TRAIN},
    {FAULT_BY_WORDS, "fault contact-inverted locked on", half_bar,
     1u << UNTRUE_POWER | 1u << UNTRUE_SIGNAL},
    {FAULT_BY_WORDS, "fault contact-inverted withdrawn on", half_bar, 1u << UNTRUE_LIFT_LOCK},
    {FAULT_BY_WORDS, "contact withdrawn made", half_bar, 1u << UNTRUE_LIFT_LOCK},
    {FAULT_BY_WORDS, "contact withdrawn flapping", half_bar, 1u << UNTRUE_LIFT_LOCK},
};

static void add(const struct bridge_defect *defect) {
    struct bridge_defect *added = &defects[defect_count++];
    *added = *defect;
    for (size_t i = 0; i < sizeof lies / sizeof lies[0]; i++) {
        if (strcmp(defect->words, lies[i].words) == 0) {
            *added = lies[i];
        }
    }
}

static void add_contact(const char *name, const char *reading) {
    struct bridge_defect defect = {.kind = FAULT_BY_WORDS};
    snprintf(defect.words, sizeof defect.words, "contact %.60s %s", name, reading);
    add(&defect);
}

static void add_inverted(const char *name) {
    struct bridge_defect defect = {.kind = FAULT_BY_WORDS};
    snprintf(defect.words, sizeof defect.words, "fault contact-inverted %.50s on", name);
    add(&defect);
}

static void fill(void) {
    static const char *const readings[] = {"made", "open", "broken", "flapping", "late"};
    static struct closed closed;
    closed_begin(&closed, 0);
    defect_count = 0;
    for (unsigned i = 0; i < lines_levels(1); i++) {
        char name[LINE_NAME_SIZE];
        sim_inputs_name(closed.sim.setup.track, i, name);
        for (size_t r = 0; r < sizeof readings / sizeof readings[0] && is_there(&closed, i); r++) {
            add_contact(name, readings[r]);
        }
        if (is_there(&closed, i)) {
            add_inverted(name);
        }
    }
    memcpy(&defects[defect_count], others, sizeof others);
    defect_count += sizeof others / sizeof others[0];
}

const struct bridge_defect *catalog_defects(unsigned *count) {
    if (defect_count == 0) {
        fill();
    }
    *count = defect_count;
    return defects;
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
