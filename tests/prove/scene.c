#include "prove/scene.h"

#include "support/puppet.h"

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
        {"one-end", "one track, trains from one end", one_end(puppet_setup()), 2000},
        {"both-ends", "one track, trains from both ends", both_ends(puppet_setup()), 200},
        {"two-tracks", "two tracks, trains from one end of each", two_tracks(), 50},
        {"hand", "hand-lifted, one track, trains from one end", one_end(puppet_hand_setup()), 2000},
        {"hand-both", "hand-lifted, one track, both ends", both_ends(puppet_hand_setup()), 200},
        {"no-position", "no position sensor and no current sensor", no_position(), 2000},
        {"bare", "the least a powered lift may have, lock by hand", bare(), 5000},
        {"no-waiting", "no clear time, warning or push; no open contact", no_waiting(), 2000},
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
