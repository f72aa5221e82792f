#include "io/simulated/sim_faults.h"

#include "base/text/near.h"
#include "io/simulated/world/sim_inputs.h"

#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char where[] = "simulation";

_Static_assert(LINES_LEVELS <= 64 && SIMULATION_TRAINS_MAX <= 64, "one bit each");

enum value_kind {
    VALUE_NONE = 0,
    VALUE_FRACTION, /* may be left out: the default below */
    VALUE_INPUT,
    VALUE_SIGNAL,
    VALUE_SECTION,
    VALUE_TRAIN
};

struct fault_row {
    const char *name;
    enum value_kind kind;
    double least, most, otherwise; /* of a fraction */
};

static const struct fault_row rows[SIM_FAULTS] = {
    [SIM_CONTACT_MADE] = {"contact-made", VALUE_INPUT, 0, 0, 0},
    [SIM_CONTACT_OPEN] = {"contact-open", VALUE_INPUT, 0, 0, 0},
    [SIM_CONTACT_BROKEN] = {"contact-broken", VALUE_INPUT, 0, 0, 0},
    [SIM_CONTACT_FLAPPING] = {"contact-flapping", VALUE_INPUT, 0, 0, 0},
    [SIM_CONTACT_LATE] = {"contact-late", VALUE_INPUT, 0, 0, 0},
    [SIM_CONTACT_INVERTED] = {"contact-inverted", VALUE_INPUT, 0, 0, 0},
    [SIM_CONTACTS_SWAPPED] = {"contacts-swapped", VALUE_NONE, 0, 0, 0},
    [SIM_JAM] = {"jam", VALUE_FRACTION, 0, 1.1, NAN},
    [SIM_MOTOR_OPEN] = {"motor-open", VALUE_NONE, 0, 0, 0},
    [SIM_MOTOR_REVERSED] = {"motor-reversed", VALUE_NONE, 0, 0, 0},
    [SIM_MOTOR_RUNS_ON] = {"motor-runs-on", VALUE_NONE, 0, 0, 0},
    [SIM_PINION_SLIPS] = {"pinion-slips", VALUE_NONE, 0, 0, 0},
    [SIM_BRAKE_STUCK] = {"brake-stuck", VALUE_NONE, 0, 0, 0},
    [SIM_LOCK_STUCK] = {"lock-stuck", VALUE_NONE, 0, 0, 0},
    [SIM_LOCK_WITHDRAWS] = {"lock-withdraws", VALUE_NONE, 0, 0, 0},
    [SIM_SIGNAL_PROCEED] = {"signal-at-proceed", VALUE_SIGNAL, 0, 0, 0},
    [SIM_SIGNAL_STOP] = {"signal-at-stop", VALUE_SIGNAL, 0, 0, 0},
    [SIM_POWER_STUCK] = {"power-stuck-on", VALUE_SECTION, 0, 0, 0},
    [SIM_POWER_DEAD] = {"power-dead", VALUE_SECTION, 0, 0, 0},
    [SIM_CURRENT_DEAD] = {"current-dead", VALUE_NONE, 0, 0, 0},
    [SIM_CURRENT_LOST] = {"current-lost", VALUE_NONE, 0, 0, 0},
    [SIM_POSITION_FROZEN] = {"position-frozen", VALUE_NONE, 0, 0, 0},
    [SIM_POSITION_JUMPS] = {"position-jumps", VALUE_FRACTION, -1, 1, 0.2},
    [SIM_POSITION_FLAPPING] = {"position-flapping", VALUE_FRACTION, -1, 1, 0.2},
    [SIM_POSITION_LATE] = {"position-late", VALUE_NONE, 0, 0, 0},
    [SIM_POSITION_LOST] = {"position-lost", VALUE_NONE, 0, 0, 0},
    [SIM_DEVICE_LOST] = {"device-lost", VALUE_NONE, 0, 0, 0},
    [SIM_TRAIN_BLIND] = {"train-ignores-signals", VALUE_TRAIN, 0, 0, 0},
    [SIM_TRAIN_UNSTOPPABLE] = {"train-does-not-stop", VALUE_TRAIN, 0, 0, 0},
    [SIM_STOP_CIRCUIT] = {"stop-circuit-broken", VALUE_NONE, 0, 0, 0},
};

const char *sim_fault_name(enum sim_fault fault) {
    return rows[fault].name;
}

bool sim_faults_is_flapped(uint64_t world_us) {
    return world_us / SIM_FLAP_US % 2 == 1;
}

uint64_t sim_faults_due_us(const struct sim_faults *faults, uint64_t world_us) {
    bool is_any = (faults->on[SIM_CONTACT_FLAPPING] | faults->on[SIM_POSITION_FLAPPING]) != 0;
    return is_any ? (world_us / SIM_FLAP_US + 1) * SIM_FLAP_US : UINT64_MAX;
}

unsigned sim_faults_signal(unsigned track, unsigned end) {
    return track * TRACK_ENDS + end;
}

unsigned sim_faults_stop_section(unsigned track, unsigned end) {
    return track * (TRACK_ENDS + 1) + end;
}

unsigned sim_faults_span_section(unsigned track) {
    return track * (TRACK_ENDS + 1) + TRACK_ENDS;
}

bool sim_faults_is_on(const struct sim_faults *faults, enum sim_fault fault, unsigned which) {
    return (faults->on[fault] >> which & 1) != 0;
}

/* Names come from people, with spaces; commands have none, so that a hyphen stands for one. */
static bool is_same_name(const char *word, const char *name) {
    for (; *word != '\0' && *name != '\0'; word++, name++) {
        int a = tolower((unsigned char)*word);
        int b = tolower((unsigned char)*name);
        if (a != b && !(a == '-' && b == ' ')) {
            return false;
        }
    }
    return *word == *name;
}

/* Offers one name to a search; true: it is the one. */
struct search {
    const char *word;
    char near_name[LINE_NAME_SIZE];
    struct near near;
};

static struct search search_begin(const char *word) {
    return (struct search){.word = word, .near = near_begin(word)};
}

static bool search_offer(struct search *search, const char *name) {
    if (is_same_name(search->word, name)) {
        return true;
    }
    const char *best = search->near.best;
    near_offer(&search->near, name);
    if (search->near.best != best) { /* `name` may not live as long as the search */
        snprintf(search->near_name, sizeof search->near_name, "%s", name);
        search->near.best = search->near_name;
    }
    return false;
}

static bool search_failed(const struct search *search, const char *what, struct error *error) {
    if (search->near.best == NULL) {
        return error_set(error, where, "no %s named \"%s\"", what, search->word);
    }
    return error_set(error, where, "no %s named \"%s\"; nearest: \"%s\"", what, search->word,
                     search->near_name);
}

static bool find_fault(const char *name, enum sim_fault *fault, struct error *error) {
    struct search search = search_begin(name);
    for (unsigned i = 0; i < SIM_FAULTS; i++) {
        if (search_offer(&search, rows[i].name)) {
            *fault = (enum sim_fault)i;
            return true;
        }
    }
    return search_failed(&search, "fault", error);
}

bool sim_faults_find_input(const struct simulation_setup *setup, unsigned tracks, const char *word,
                           unsigned *input, struct error *error) {
    struct search search = search_begin(word);
    for (unsigned i = 0; i < lines_levels(tracks); i++) {
        char name[LINE_NAME_SIZE];
        sim_inputs_name(setup->track, i, name);
        if (search_offer(&search, name)) {
            *input = i;
            return true;
        }
    }
    return search_failed(&search, "input", error);
}

/* Signals and sections are named by track and end: "main.west", "main.west.stop", "main.span". */
static bool find_at_track(const struct simulation_setup *setup, unsigned tracks, const char *word,
                          bool is_section, unsigned *which, struct error *error) {
    struct search search = search_begin(word);
    char name[LINE_NAME_SIZE];
    for (unsigned t = 0; t < tracks; t++) {
        const struct simulation_track *track = &setup->track[t];
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            snprintf(name, sizeof name, "%s.%s%s", track->name, track->end_name[e],
                     is_section ? ".stop" : "");
            if (search_offer(&search, name)) {
                *which = is_section ? sim_faults_stop_section(t, e) : sim_faults_signal(t, e);
                return true;
            }
        }
        snprintf(name, sizeof name, "%s.span", track->name);
        if (is_section && search_offer(&search, name)) {
            *which = sim_faults_span_section(t);
            return true;
        }
    }
    return search_failed(&search, is_section ? "section" : "signal", error);
}

bool sim_faults_find_train(const struct simulation_setup *setup, const char *name, unsigned *train,
                           struct error *error) {
    struct search search = search_begin(name);
    for (unsigned i = 0; i < setup->trains; i++) {
        if (search_offer(&search, setup->train[i].name)) {
            *train = i;
            return true;
        }
    }
    return search_failed(&search, "train", error);
}

static bool read_fraction(const struct fault_row *row, const char *word, double *value,
                          struct error *error) {
    *value = row->otherwise;
    if (word == NULL) {
        return true;
    }
    char *end = NULL;
    errno = 0;
    double number = strtod(word, &end);
    if (end == word || *end != '\0' || errno != 0 || !(number >= row->least) ||
        !(number <= row->most)) {
        return error_set(error, where, "%s wants a fraction of the travel, %g to %g, not \"%s\"",
                         row->name, row->least, row->most, word);
    }
    *value = number;
    return true;
}

/* What a fault's value points to. */
static bool read_value(const struct fault_row *row, const struct simulation_setup *setup,
                       unsigned tracks, const char *word, unsigned *which, double *value,
                       struct error *error) {
    *which = 0;
    *value = 0;
    if (row->kind == VALUE_FRACTION) {
        return read_fraction(row, word, value, error);
    }
    if (row->kind == VALUE_NONE) {
        return word == NULL ||
               error_set(error, where, "%s takes no value, found \"%s\"", row->name, word);
    }
    if (word == NULL) {
        return error_set(error, where, "%s wants the name of what has the fault", row->name);
    }
    switch (row->kind) {
    case VALUE_INPUT:
        return sim_faults_find_input(setup, tracks, word, which, error);
    case VALUE_SIGNAL:
        return find_at_track(setup, tracks, word, false, which, error);
    case VALUE_SECTION:
        return find_at_track(setup, tracks, word, true, which, error);
    case VALUE_TRAIN:
        return sim_faults_find_train(setup, word, which, error);
    case VALUE_NONE:
    case VALUE_FRACTION:
        break;
    }
    return false;
}

/* An input has one contact fault at most. */
static void free_contact(struct sim_faults *faults, unsigned input) {
    for (int f = SIM_CONTACT_MADE; f <= SIM_CONTACT_LATE; f++) {
        faults->on[f] &= ~(UINT64_C(1) << input);
    }
}

static void set_bit(struct sim_faults *faults, enum sim_fault fault, unsigned which, bool on) {
    uint64_t bit = UINT64_C(1) << which;
    faults->on[fault] = on ? faults->on[fault] | bit : faults->on[fault] & ~bit;
}

bool sim_faults_switch(struct sim_faults *faults, const struct simulation_setup *setup,
                       unsigned tracks, const char *name, const char *value, bool on,
                       struct error *error) {
    enum sim_fault fault = SIM_FAULTS;
    unsigned which;
    double number;
    if (!find_fault(name, &fault, error) ||
        !read_value(&rows[fault], setup, tracks, value, &which, &number, error)) {
        return false;
    }
    if (rows[fault].kind == VALUE_INPUT && fault != SIM_CONTACT_INVERTED && on) {
        free_contact(faults, which);
    }
    set_bit(faults, fault, which, on);
    faults->value[fault] = number;
    return true;
}

bool sim_faults_set_contact(struct sim_faults *faults, const struct simulation_setup *setup,
                            unsigned tracks, const char *name, const char *reading,
                            struct error *error) {
    static const struct {
        const char *word;
        enum sim_fault fault; /* SIM_FAULTS: none */
    } readings[] = {{"made", SIM_CONTACT_MADE},     {"open", SIM_CONTACT_OPEN},
                    {"broken", SIM_CONTACT_BROKEN}, {"flapping", SIM_CONTACT_FLAPPING},
                    {"late", SIM_CONTACT_LATE},     {"free", SIM_FAULTS}};
    unsigned input;
    if (!sim_faults_find_input(setup, tracks, name, &input, error)) {
        return false;
    }
    for (size_t i = 0; i < sizeof readings / sizeof readings[0]; i++) {
        if (strcmp(reading, readings[i].word) == 0) {
            free_contact(faults, input);
            if (readings[i].fault != SIM_FAULTS) {
                set_bit(faults, readings[i].fault, input, true);
            }
            return true;
        }
    }
    return error_set(error, where,
                     "a contact is made, open, broken, flapping, late or free, not \"%s\"",
                     reading);
}
