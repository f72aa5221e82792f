#include "io/simulated/sim_setup.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char where[] = "simulation";

static void fill(double *value, double otherwise) {
    if (*value == 0) {
        *value = otherwise;
    }
}

static void fill_contact(struct simulation_contact *contact, double place) {
    fill(&contact->makes_at_frac, place);
    fill(&contact->hysteresis_frac, 0.002);
}

static void fill_contacts(struct simulation_contacts *contacts) {
    fill_contact(&contacts->seated, 0.002);
    fill_contact(&contacts->nearly_seated, 0.05);
    fill_contact(&contacts->nearly_open, 0.95);
    fill_contact(&contacts->open, 0.998);
    fill_contact(&contacts->within_travel, 1.02);
    fill_contact(&contacts->rail, 0.002);
    if (contacts->lamp_relay_us == 0) {
        contacts->lamp_relay_us = 50000;
    }
}

static void fill_track(struct simulation_track *track, unsigned number) {
    if (track->name[0] == '\0') {
        snprintf(track->name, sizeof track->name, "track-%u", number + 1);
    }
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        if (track->end_name[e][0] == '\0') {
            snprintf(track->end_name[e], sizeof track->end_name[e], "end-%u", e);
        }
    }
}

static void fill_train(struct simulation_train *train) {
    fill(&train->acceleration_m_s2, train->braking_m_s2);
    fill(&train->coasting_m_s2, 0.0392266); /* g x 0.004, an assumed rolling resistance */
    fill(&train->set_back_speed_m_s, 0.1);
}

void sim_setup_fill(struct simulation_setup *setup, const struct bridge_setup *bridge) {
    fill(&setup->lift.rotor_inertia_kg_m2, 5e-6);
    fill(&setup->lift.end_stop_frac, 1.05);
    fill(&setup->lift.hand_speed_frac_s, 0.25);
    if (setup->lift.lock_travel_us == 0) {
        setup->lift.lock_travel_us = 1000000;
    }
    fill_contacts(&setup->contacts);
    for (unsigned t = 0; t < bridge->tracks && t < BRIDGE_TRACKS_MAX; t++) {
        fill_track(&setup->track[t], t);
    }
    for (unsigned i = 0; i < setup->trains && i < SIMULATION_TRAINS_MAX; i++) {
        fill_train(&setup->train[i]);
    }
}

static bool is_positive(double value) {
    return isfinite(value) && value > 0;
}

static bool is_not_negative(double value) {
    return isfinite(value) && value >= 0;
}

/* NULL, or what is wrong with motor, gears and leaf. */
static const char *mechanism_fault(const struct simulation_lift *lift) {
    const char *wrong = lift_check(&lift->lift);
    wrong = wrong != NULL ? wrong : balance_check(&lift->balance);
    wrong = wrong != NULL ? wrong : drive_check(&lift->drive);
    wrong = wrong != NULL ? wrong : motor_check(&lift->motor);
    if (wrong != NULL) {
        return wrong;
    }
    if (!is_positive(lift->supply_v)) {
        return "the motor's supply must be above 0 V";
    }
    if (!is_positive(lift->rotor_inertia_kg_m2)) {
        return "the rotor's inertia must be above zero";
    }
    if (!is_not_negative(lift->friction_running) || !isfinite(lift->friction_static) ||
        lift->friction_static < lift->friction_running) {
        return "friction must not be negative, and when static not less than when running";
    }
    if (!is_not_negative(lift->brake_torque_nm)) {
        return "the brake's torque must not be negative";
    }
    double end = lift->end_stop_frac * lift->lift.travel;
    if (!(lift->end_stop_frac > 1) || !(lift_rack_arm(&lift->lift, end) > 0)) {
        return "the end stop must lie beyond the travel, and where the drive still has an arm";
    }
    return NULL;
}

static const char *sensors_fault(const struct simulation_lift *lift) {
    if (!is_not_negative(lift->position_noise_frac) ||
        !is_not_negative(lift->position_quantum_frac) || !is_not_negative(lift->current_noise_a) ||
        !is_not_negative(lift->current_quantum_a)) {
        return "a sensor's noise and steps must not be negative";
    }
    if (!(lift->start_frac >= 0) || !(lift->start_frac <= 1)) {
        return "the span must start between 0 and 1 of its travel";
    }
    return is_positive(lift->hand_speed_frac_s) ? NULL : "a hand's speed must be above zero";
}

static const char *contacts_fault(const struct simulation_contacts *contacts) {
    const struct simulation_contact *all[] = {&contacts->seated,        &contacts->nearly_seated,
                                              &contacts->nearly_open,   &contacts->open,
                                              &contacts->within_travel, &contacts->rail};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        if (!is_not_negative(all[i]->makes_at_frac) || !is_positive(all[i]->hysteresis_frac)) {
            return "a contact's place must not be negative, its hysteresis must be above zero";
        }
    }
    return NULL;
}

static const char *track_fault(const struct simulation_track *track) {
    if (memchr(track->name, '\0', sizeof track->name) == NULL ||
        memchr(track->end_name[0], '\0', sizeof track->end_name[0]) == NULL ||
        memchr(track->end_name[1], '\0', sizeof track->end_name[1]) == NULL) {
        return "names of tracks and ends must end within their array";
    }
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        if (!is_not_negative(track->approach_m[e]) || !is_not_negative(track->stop_m[e])) {
            return "lengths of sections must not be negative";
        }
    }
    return is_not_negative(track->span_m) ? NULL : "the span's length must not be negative";
}

static const char *train_fault(const struct simulation_train *train,
                               const struct bridge_setup *bridge) {
    if (memchr(train->name, '\0', sizeof train->name) == NULL || train->name[0] == '\0') {
        return "a train must have a name";
    }
    if (train->track >= bridge->tracks || train->from_end >= TRACK_ENDS ||
        !bridge->track[train->track].end[train->from_end].is_used) {
        return "a train must come from an end of a track that is used";
    }
    if (!is_positive(train->length_m) || !is_positive(train->speed_m_s) ||
        !is_positive(train->braking_m_s2) || !is_positive(train->acceleration_m_s2) ||
        !is_positive(train->coasting_m_s2) || !is_positive(train->set_back_speed_m_s)) {
        return "a train's length, speeds and rates must be above zero";
    }
    if (!is_not_negative(train->pickup_m) || train->pickup_m > train->length_m) {
        return "a train's pickup must not be negative or longer than the train";
    }
    return is_not_negative(train->start_before_m) ? NULL
                                                  : "a train must start before its home signal";
}

/* The first thing wrong with tracks and trains, or NULL; `number` says which. */
static const char *traffic_fault(const struct simulation_setup *setup,
                                 const struct bridge_setup *bridge, unsigned *number) {
    for (unsigned t = 0; t < bridge->tracks; t++) {
        const char *wrong = track_fault(&setup->track[t]);
        if (wrong != NULL) {
            *number = t;
            return wrong;
        }
    }
    for (unsigned i = 0; i < setup->trains; i++) {
        const char *wrong = train_fault(&setup->train[i], bridge);
        *number = i;
        if (wrong != NULL) {
            return wrong;
        }
        for (unsigned other = 0; other < i; other++) {
            if (strcmp(setup->train[i].name, setup->train[other].name) == 0) {
                return "two trains have the same name";
            }
        }
    }
    return NULL;
}

bool sim_setup_check(const struct simulation_setup *setup, const struct bridge_setup *bridge,
                     struct error *error) {
    if (bridge->tracks > BRIDGE_TRACKS_MAX || setup->trains > SIMULATION_TRAINS_MAX ||
        setup->faults > SIMULATION_FAULTS_MAX) {
        return error_set(error, where, "at most %d tracks, %d trains and %d faults",
                         BRIDGE_TRACKS_MAX, SIMULATION_TRAINS_MAX, SIMULATION_FAULTS_MAX);
    }
    const char *wrong = bridge->is_hand_lifted ? NULL : mechanism_fault(&setup->lift);
    wrong = wrong != NULL ? wrong : sensors_fault(&setup->lift);
    wrong = wrong != NULL ? wrong : contacts_fault(&setup->contacts);
    if (wrong != NULL) {
        return error_set(error, where, "%s", wrong);
    }
    unsigned number = 0;
    wrong = traffic_fault(setup, bridge, &number);
    return wrong == NULL || error_set(error, where, "%s (number %u)", wrong, number + 1);
}

bool sim_setup_fault(const struct simulation_setup *setup, unsigned tracks, unsigned number,
                     struct sim_faults *faults, struct error *error) {
    char words[SIMULATION_WORDS_SIZE];
    snprintf(words, sizeof words, "%.*s", SIMULATION_WORDS_SIZE - 1, setup->fault[number].words);
    char *rest = NULL;
    const char *name = strtok_r(words, " \t", &rest);
    const char *value = strtok_r(NULL, " \t", &rest);
    if (name == NULL || strtok_r(NULL, " \t", &rest) != NULL) {
        return error_set(error, where, "fault number %u: wants NAME or NAME VALUE", number + 1);
    }
    return sim_faults_switch(faults, setup, tracks, name, value, true, error);
}
