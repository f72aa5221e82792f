/* The make-believe world around a bridge. */
#include "base/text/near.h"
#include "config/build/build.h"

#include <math.h>
#include <string.h>

/* As io/simulated/simulation_setup.h has it. */
static const double default_end_stop_frac = 1.05;

static uint64_t long_us(double seconds) {
    return (uint64_t)llround(seconds * 1e6);
}

static double or_zero(double written) {
    return isnan(written) ? 0 : written;
}

/* Beyond the travel, and where the drive still has an arm. */
static void check_end_stop(const struct build *build, const struct simulation_lift *lift) {
    const char *place = "/simulation/end stop";
    double stop_frac = isnan(build->written->simulation.end_stop.value) ? default_end_stop_frac
                                                                        : lift->end_stop_frac;
    if (build->is_travel_known && stop_frac <= 1) {
        build_error(build, place, "must lie beyond the whole travel");
    } else if (build->bridge->has_lift &&
               !(lift_rack_arm(&lift->lift, stop_frac * lift->lift.travel) > 0)) {
        build_error(build, place, "lies where the drive no longer has a lever arm");
    }
}

static void set_lift(struct build *build, struct simulation_lift *lift) {
    const struct written_simulation *written = &build->written->simulation;
    const struct written_motor *motor = &build->written->motor;
    *lift = (struct simulation_lift){
        .lift = build->bridge->lift,
        .balance = build->bridge->balance,
        .drive = build->bridge->drive,
        .motor = build->bridge->motor,
        .supply_v = build->bridge->supply_v,
        .rotor_inertia_kg_m2 = build->chain.rotor_inertia_kg_m2,
        .friction_static = build->chain.friction_static,
        .friction_running = build->chain.friction_running,
        .brake_torque_nm = motor->brake_nm,
        .end_stop_frac = build_fraction(build, &written->end_stop, "/simulation/end stop", 0),
        .hand_speed_frac_s =
            build_fraction(build, &written->hand_speed, "/simulation/hand speed", 0),
        .start_frac = written->start_frac,
        .starts_unlocked = written->starts_unlocked,
        .lock_travel_us = build_us(written->lock_travel_s),
        .measures_position = build->written->sensors.position,
        .position_noise_frac =
            build_fraction(build, &written->position_noise, "/simulation/position noise", 0),
        .position_quantum_frac =
            build_fraction(build, &written->position_step, "/simulation/position step", 0),
        .measures_current = build->written->sensors.current,
        .current_noise_a = written->current_noise_a,
        .current_quantum_a = written->current_step_a};
    check_end_stop(build, lift);
}

static void set_contacts(const struct build *build, struct simulation_contacts *contacts) {
    const struct written_contact_places *places = &build->written->simulation.contacts;
    const struct motion_setup *motion = &build->net->setup.motion;
    const struct {
        struct simulation_contact *contact;
        const struct written_either *written;
        const char *place;
        double otherwise;
    } rows[] = {
        {&contacts->seated, &places->seated, "seated", 0},
        {&contacts->nearly_seated, &places->nearly_seated, "nearly seated",
         motion->slow_zone_seat_frac},
        {&contacts->nearly_open, &places->nearly_open, "nearly open",
         motion->slow_zone_open_frac > 0 ? 1 - motion->slow_zone_open_frac : 0},
        {&contacts->open, &places->open, "open", 0},
        {&contacts->within_travel, &places->overtravel, "overtravel", 0},
        {&contacts->rail, &places->rails, "rails", 0},
    };
    double hysteresis =
        build_fraction(build, &places->hysteresis, "/simulation/contact places/hysteresis", 0);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct place place = build_place("/simulation/contact places/%s", rows[i].place);
        rows[i].contact->makes_at_frac =
            build_fraction(build, rows[i].written, place.text, rows[i].otherwise);
        rows[i].contact->hysteresis_frac = hysteresis;
    }
    contacts->lamp_relay_us = build_us(build->written->simulation.signal_delay_s);
}

static void set_track(const struct build *build, unsigned t, struct simulation_track *track) {
    const struct written_track *written = &build->written->tracks.item[t];
    memcpy(track->name, written->name, sizeof written->name);
    track->span_m = or_zero(written->span_m);
    for (unsigned e = 0; e < written->ends.list.count; e++) {
        memcpy(track->end_name[e], written->ends.item[e].name, sizeof track->end_name[e]);
        track->approach_m[e] = or_zero(written->ends.item[e].approach_m);
        track->stop_m[e] = or_zero(written->ends.item[e].stop_m);
    }
}

static bool complain_of_name(const struct build *build, const char *place, const char *what,
                             struct near near) {
    if (near.best != NULL) {
        return build_error(build, place, "there is no %s \"%s\" (did you mean \"%s\"?)", what,
                           near.word, near.best);
    }
    return build_error(build, place, "there is no %s \"%s\"", what, near.word);
}

/* What has no name could not be read: then nothing is said of the names of others. */
static bool find_track(const struct build *build, unsigned i, unsigned *track) {
    const struct written_tracks *tracks = &build->written->tracks;
    const char *name = build->written->simulation.trains.item[i].track;
    struct near near = near_begin(name);
    bool are_all_named = tracks->list.count > 0;
    *track = 0;
    if (name[0] == '\0') {
        return tracks->list.count > 0;
    }
    for (unsigned t = 0; t < tracks->list.count; t++) {
        are_all_named = are_all_named && tracks->item[t].name[0] != '\0';
        if (strcmp(tracks->item[t].name, name) == 0) {
            *track = t;
            return true;
        }
        near_offer(&near, tracks->item[t].name);
    }
    struct place place = build_place("/simulation/trains/%u/track", i);
    return are_all_named && complain_of_name(build, place.text, "track", near);
}

static bool find_end(const struct build *build, unsigned i, unsigned track, unsigned *end) {
    const struct written_ends *ends = &build->written->tracks.item[track].ends;
    const char *name = build->written->simulation.trains.item[i].from;
    struct near near = near_begin(name);
    bool are_all_named = ends->list.count > 0 && name[0] != '\0';
    for (unsigned e = 0; e < ends->list.count; e++) {
        are_all_named = are_all_named && ends->item[e].name[0] != '\0';
        if (strcmp(ends->item[e].name, name) == 0) {
            *end = e;
            return true;
        }
        near_offer(&near, ends->item[e].name);
    }
    struct place place = build_place("/simulation/trains/%u/from", i);
    return are_all_named && complain_of_name(build, place.text, "end of that track", near);
}

/* To the run-time commands a hyphen and a space are the same. */
static bool is_same_name(const char *a, const char *b) {
    for (; *a != '\0' && (*a == '-' ? ' ' : *a) == (*b == '-' ? ' ' : *b); a++) {
        b++;
    }
    return *a == *b;
}

static void check_train(const struct build *build, unsigned i, const struct written_track *track,
                        const struct written_end *end) {
    const struct written_trains *trains = &build->written->simulation.trains;
    const struct written_train *train = &trains->item[i];
    for (unsigned other = 0; other < i; other++) {
        if (is_same_name(trains->item[other].name, train->name)) {
            build_error(build, build_place("/simulation/trains/%u/name", i).text,
                        "\"%s\" is already the name of train %u", train->name, other);
        }
    }
    if (train->pickup_m > train->length_m) {
        build_error(build, build_place("/simulation/trains/%u/pickup", i).text,
                    "is longer than the train");
    }
    if (train->start_before_m > end->approach_m) {
        build_error(build, build_place("/simulation/trains/%u/starts before signal", i).text,
                    "is beyond the %.3g m of the approach", end->approach_m);
    }
    if (isnan(end->approach_m) || isnan(end->stop_m) || isnan(track->span_m)) {
        build_error(build, build_place("/simulation/trains/%u/track", i).text,
                    "its approach, stop section and span need lengths for trains to run");
    }
}

static void set_train(const struct build *build, unsigned i, struct simulation_train *train) {
    const struct written_train *written = &build->written->simulation.trains.item[i];
    unsigned track = 0;
    unsigned end = 0;
    if (!find_track(build, i, &track) || !find_end(build, i, track, &end)) {
        return;
    }
    const struct written_track *on = &build->written->tracks.item[track];
    check_train(build, i, on, &on->ends.item[end]);
    *train = (struct simulation_train){
        .track = track,
        .from_end = end,
        .length_m = written->length_m,
        .pickup_m = isnan(written->pickup_m) ? written->length_m : written->pickup_m,
        .speed_m_s = written->speed_m_s,
        .acceleration_m_s2 = or_zero(written->acceleration_m_s2),
        .braking_m_s2 = written->braking_m_s2,
        .coasting_m_s2 = or_zero(written->coasting_m_s2),
        .start_before_m = isnan(written->start_before_m) ? or_zero(on->ends.item[end].approach_m)
                                                         : written->start_before_m,
        .start_us = long_us(written->start_s),
        .return_us = long_us(written->return_s),
        .set_back_us = long_us(written->set_back_s),
        .set_back_speed_m_s = written->set_back_speed_m_s,
        .ignores_signals = written->ignores_signals};
    memcpy(train->name, written->name, sizeof train->name);
}

void build_simulation(struct build *build) {
    const struct written_simulation *written = &build->written->simulation;
    struct simulation_setup *simulation = &build->bridge->simulation;
    build->bridge->has_simulation = strcmp(build->bridge->output, "simulated") == 0;
    set_lift(build, &simulation->lift);
    set_contacts(build, &simulation->contacts);
    for (unsigned t = 0; t < build->written->tracks.list.count; t++) {
        set_track(build, t, &simulation->track[t]);
    }
    simulation->trains = written->trains.list.count;
    for (unsigned i = 0; i < simulation->trains; i++) {
        set_train(build, i, &simulation->train[i]);
    }
    simulation->faults = written->faults.list.count;
    for (unsigned i = 0; i < simulation->faults; i++) {
        memcpy(simulation->fault[i].words, written->faults.item[i].words,
               sizeof simulation->fault[i].words);
        simulation->fault[i].after_us = long_us(written->faults.item[i].after_s);
    }
    simulation->seed = written->seed;
}
