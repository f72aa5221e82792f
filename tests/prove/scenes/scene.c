#include "prove/scenes/scene.h"

#include "support/core/puppet.h"
#include "support/core/seen.h"

#include <string.h>

/* Every contact, detector and feedback, and trains from both ends. */
static struct bridge_setup both_ends(struct bridge_setup setup) {
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        setup.track[0].end[e].approach_lock_us = SCENE_WHOLE_US;
    }
    if (!setup.is_hand_lifted) {
        setup.motion.stall_us = SCENE_WHOLE_US;
        setup.motion.no_movement_us = SCENE_WHOLE_US;
        setup.motion.travel_limit_us = SCENE_WHOLE_US;
        setup.motion.seat_limit_us = SCENE_WHOLE_US;
        setup.motion.push_us = SCENE_TICK_US;
    }
    setup.clear_us = SCENE_WHOLE_US;
    setup.proof_limit_us = SCENE_WHOLE_US;
    setup.lock_limit_us = SCENE_WHOLE_US;
    setup.clearing_limit_us = SCENE_WHOLE_US;
    setup.warning_us = SCENE_WHOLE_US;
    setup.short_blast_us = SCENE_WHOLE_US;
    setup.prolonged_blast_us = SCENE_WHOLE_US;
    setup.blast_gap_us = SCENE_WHOLE_US;
    return setup;
}

static struct bridge_setup one_end(struct bridge_setup setup) {
    setup = both_ends(setup);
    setup.track[0].end[1] = (struct track_end_setup){0};
    return setup;
}

static struct bridge_setup two_tracks(void) {
    struct bridge_setup setup = one_end(puppet_setup());
    setup.tracks = 2;
    setup.track[1] = setup.track[0];
    return setup;
}

static struct bridge_setup no_position(void) {
    struct bridge_setup setup = one_end(puppet_setup());
    setup.motion.has_position = false;
    setup.motion.has_current = false;
    return setup;
}

/* As little as a powered lift may have; the lock bar is worked by hand. */
static struct bridge_setup bare(void) {
    struct bridge_setup setup = no_position();
    setup.has_lock_drive = false;
    setup.has_nearly_seated = false;
    setup.has_nearly_open = false;
    setup.has_overtravel = false;
    setup.has_stop_circuit = false;
    setup.rails = 0;
    setup.track[0] =
        (struct track_setup){.end = {{.is_used = true, .approach_lock_us = SCENE_WHOLE_US}}};
    return setup;
}

/* Two of everything that the core counts, and no times that make the walk long. */
static struct bridge_setup quick(struct bridge_setup setup) {
    setup.rails = 3;
    setup.clear_us = 0;
    setup.warning_us = 0;
    setup.motion.push_us = 0;
    return setup;
}

/* Limit switches at the seat and open, and nothing else: no lock bar, no detector, no proof. How
 * long a train takes nobody has told. */
static struct bridge_setup contacts_alone(void) {
    struct bridge_setup setup = bare();
    setup.has_lock = false;
    setup.has_locked = false;
    setup.has_withdrawn = false;
    return setup;
}

/* Detectors of the approaches, and nothing but time and words for what is behind the signals. */
static struct bridge_setup approach_alone(void) {
    struct bridge_setup setup = contacts_alone();
    setup.track[0].end[0].has_approach_detector = true;
    setup.track[0].run_out_us = SCENE_WHOLE_US;
    return setup;
}

static struct bridge_setup span_alone(void) {
    struct bridge_setup setup = contacts_alone();
    setup.track[0].has_span_detector = true;
    setup.track[0].run_out_us = SCENE_WHOLE_US;
    return setup;
}

/* A lock drive without its contacts; `locked` or `withdrawn`: with one of them. */
static struct bridge_setup blind_lock(bool locked, bool withdrawn) {
    struct bridge_setup setup = quick(one_end(puppet_setup()));
    setup.has_locked = locked;
    setup.has_withdrawn = withdrawn;
    return setup;
}

static struct bridge_setup hand_alone(void) {
    struct bridge_setup setup = one_end(puppet_hand_setup());
    setup.track[0] = contacts_alone().track[0];
    setup.track[0].run_out_us = SCENE_WHOLE_US;
    return setup;
}

/* Times that a setup may leave at zero; no open contact: the measured position tells. */
static struct bridge_setup no_waiting(void) {
    struct bridge_setup setup = one_end(puppet_setup());
    setup.has_open = false;
    setup.clear_us = 0;
    setup.warning_us = 0;
    setup.motion.push_us = 0;
    return setup;
}

struct scene scene_at(size_t index) {
    const struct scene all[SCENES] = {
        {"one-end", "one track, trains from one end", one_end(puppet_setup()), 2000, true},
        {"both-ends", "one track, trains from both ends", both_ends(puppet_setup()), 200, false},
        {"two-tracks", "two tracks, trains from one end of each", two_tracks(), 50, false},
        {"hand", "hand-lifted, one track, trains from one end", one_end(puppet_hand_setup()), 2000,
         false},
        {"hand-both", "hand-lifted, one track, both ends", both_ends(puppet_hand_setup()), 200,
         false},
        {"no-position", "no position sensor and no current sensor", no_position(), 2000, true},
        {"bare", "the least a powered lift may have, lock by hand", bare(), 5000, true},
        {"both-quick", "both ends, and no time to be clear, warn or push",
         quick(both_ends(puppet_setup())), 500, false},
        {"two-quick", "two tracks, likewise", quick(two_tracks()), 500, false},
        {"contacts-alone", "two limit switches and nothing else", contacts_alone(), 2000, true},
        {"approach-alone", "the same and approach detectors", approach_alone(), 2000, false},
        {"span-alone", "the same and span detectors", span_alone(), 2000, false},
        {"blind-lock", "a lock drive without its contacts", blind_lock(false, false), 500, false},
        {"locked-alone", "a lock drive with its locked contact alone", blind_lock(true, false), 500,
         false},
        {"withdrawn-alone", "the same with its withdrawn contact", blind_lock(false, true), 500,
         false},
        {"hand-alone", "hand-lifted, two contacts and nothing else", hand_alone(), 2000, false},
        {"no-waiting", "no clear time, warning or push; no open contact", no_waiting(), 2000,
         false},
        {"throttle", "the same, run by hand", no_waiting(), 1000, true},
    };
    return all[index];
}

bool scene_find(const char *name, struct scene *scene) {
    for (size_t i = 0; i < SCENES; i++) {
        *scene = scene_at(i);
        if (strcmp(scene->name, name) == 0) {
            return true;
        }
    }
    return false;
}

bool scene_is_unwatched(const struct bridge_setup *setup) {
    bool is_any = false;
    for (unsigned t = 0; t < setup->tracks; t++) {
        is_any = is_any || !seen_is_watched_whole(&setup->track[t]);
    }
    return is_any;
}

bool scene_is_bar_blind(const struct bridge_setup *setup) {
    return setup->has_lock && setup->has_lock_drive && !(setup->has_locked && setup->has_withdrawn);
}

bool scene_lacks_proofs(const struct bridge_setup *setup) {
    bool are_all = true;
    for (unsigned t = 0; t < setup->tracks; t++) {
        const struct track_setup *has = &setup->track[t];
        are_all = are_all && has->has_span_power_proof;
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            are_all = are_all && (!has->end[e].is_used || (has->end[e].has_signal_proof &&
                                                           has->end[e].has_stop_power_proof));
        }
    }
    return !are_all;
}
