/* The worlds of a few true lengths: one for each thing that may go wrong, or be asked. */
#include "prove/walks/clocked.h"
#include "support/core/puppet.h"

#include <string.h>

enum { TICK_US = 250000, SLOW_US = 2 * LATE_MOST_US, WORD_US = SEEN_CLEAR_US / 4 };

/* One track, one end, every sensor. The span creeps one place a tick, or goes two; a warning and
 * limits of a few ticks. */
static struct bridge_setup small(void) {
    struct bridge_setup setup = puppet_setup();
    struct motion_setup *motion = &setup.motion;
    setup.track[0].end[1] = (struct track_end_setup){0};
    setup.track[0].end[0].approach_lock_us = 3 * TICK_US;
    setup.clear_us = 2 * TICK_US;
    setup.proof_limit_us = 3 * TICK_US;
    setup.lock_limit_us = 5 * TICK_US;
    setup.clearing_limit_us = 7 * TICK_US;
    setup.warning_us =
        7 * TICK_US; /* longer than the horn before it opens, not than before it closes */
    setup.short_blast_us = TICK_US;
    setup.prolonged_blast_us = 2 * TICK_US;
    setup.blast_gap_us = TICK_US;
    motion->full_speed_frac_s = 0.4;
    motion->creep_speed_frac_s = 0.2;
    motion->acceleration_frac_s2 = 1.6;
    motion->deceleration_frac_s2 = 1.6;
    motion->slow_zone_seat_frac = 0.1;
    motion->slow_zone_open_frac = 0.1;
    motion->no_movement_frac = 0.04; /* less than a place */
    motion->no_movement_us = 3 * TICK_US;
    motion->stall_us = 2 * TICK_US;
    motion->travel_limit_us = 24 * TICK_US;
    motion->seat_limit_us = 8 * TICK_US;
    motion->push_us = 2 * TICK_US;
    return setup;
}

static struct bridge_setup blind(void) {
    struct bridge_setup setup = small();
    setup.motion.has_position = false;
    return setup;
}

/* Four places, a tick each: where the way does not matter. */
static struct bridge_setup short_way(void) {
    struct bridge_setup setup = small();
    struct motion_setup *motion = &setup.motion;
    motion->full_speed_frac_s = motion->creep_speed_frac_s = 1;
    motion->acceleration_frac_s2 = motion->deceleration_frac_s2 = 100;
    motion->slow_zone_seat_frac = motion->slow_zone_open_frac = 0.25;
    motion->no_movement_frac = 0.2;
    motion->travel_limit_us = 6 * TICK_US;
    motion->push_us = TICK_US;
    setup.warning_us = 0;
    return setup;
}

/* Ticks of more than LATE_MOST_US: the time of a tick may all have come too late. */
static struct bridge_setup slow_looks(void) {
    struct bridge_setup setup = short_way();
    struct motion_setup *motion = &setup.motion;
    uint32_t *const times[] = {&setup.track[0].end[0].approach_lock_us,
                               &setup.clear_us,
                               &setup.proof_limit_us,
                               &setup.lock_limit_us,
                               &setup.clearing_limit_us,
                               &setup.short_blast_us,
                               &setup.prolonged_blast_us,
                               &setup.blast_gap_us,
                               &motion->no_movement_us,
                               &motion->stall_us,
                               &motion->travel_limit_us,
                               &motion->seat_limit_us,
                               &motion->push_us};
    for (size_t i = 0; i < sizeof times / sizeof times[0]; i++) {
        *times[i] = *times[i] / TICK_US * SLOW_US;
    }
    motion->full_speed_frac_s = motion->creep_speed_frac_s = 1 / (4 * (SLOW_US / 1e6));
    return setup;
}

/* Two limit switches. A word holds for four ticks. */
static struct bridge_setup unwatched(void) {
    struct bridge_setup setup = slow_looks();
    struct motion_setup *motion = &setup.motion;
    setup.has_lock = setup.has_lock_drive = setup.has_locked = setup.has_withdrawn = false;
    setup.has_nearly_seated = setup.has_nearly_open = setup.has_overtravel = false;
    setup.rails = 0;
    setup.track[0] = (struct track_setup){
        .end = {{.is_used = true, .is_automatic = true, .approach_lock_us = WORD_US}},
        .run_out_us = 3 * WORD_US};
    motion->has_position = motion->has_current = false;
    setup.clear_us = WORD_US;
    setup.proof_limit_us = 2 * WORD_US;
    setup.clearing_limit_us = 9 * WORD_US;
    setup.short_blast_us = setup.blast_gap_us = WORD_US;
    setup.prolonged_blast_us = 2 * WORD_US;
    motion->full_speed_frac_s = motion->creep_speed_frac_s = 1 / (2 * (WORD_US / 1e6));
    motion->no_movement_us = 3 * WORD_US;
    motion->travel_limit_us = 4 * WORD_US;
    motion->seat_limit_us = 3 * WORD_US;
    motion->push_us = 0;
    return setup;
}

static struct bridge_setup proved(void) {
    struct bridge_setup setup = unwatched();
    setup.track[0].end[0].has_signal_proof = true;
    return setup;
}

static struct bridge_setup span_detector(void) {
    struct bridge_setup setup = unwatched();
    setup.track[0].has_span_detector = true;
    return setup;
}

static struct bridge_setup approach_detector(void) {
    struct bridge_setup setup = unwatched();
    setup.track[0].end[0].has_approach_detector = setup.track[0].end[0].has_signal_proof = true;
    return setup;
}

static struct bridge_setup blind_bar(bool has_locked, bool has_withdrawn) {
    struct bridge_setup setup = short_way();
    setup.has_locked = has_locked;
    setup.has_withdrawn = has_withdrawn;
    setup.lock_limit_us = 3 * TICK_US;
    return setup;
}

static struct bridge_setup ten_places(void) {
    struct bridge_setup setup = small();
    struct motion_setup *motion = &setup.motion;
    motion->full_speed_frac_s = 0.8;
    motion->creep_speed_frac_s = 0.4;
    motion->acceleration_frac_s2 = motion->deceleration_frac_s2 = 3.2;
    motion->no_movement_frac = 0.08;
    motion->travel_limit_us = 14 * TICK_US;
    motion->push_us = TICK_US;
    setup.warning_us = 0;
    return setup;
}

static struct bridge_setup two_ends(void) {
    struct bridge_setup setup = short_way();
    setup.track[0].end[1] = setup.track[0].end[0];
    setup.track[0].end[1].approach_lock_us = 4 * TICK_US;
    return setup;
}

static struct bridge_setup debounced(void) {
    struct bridge_setup setup = short_way();
    setup.debounce_us = 2 * TICK_US;
    setup.motion.has_position = false; /* which would contradict contacts that lag */
    setup.lock_limit_us = 7 * TICK_US;
    setup.motion.travel_limit_us = 10 * TICK_US;
    setup.rails = 3;
    return setup;
}

size_t clock_scenes(void) {
    return 26;
}

struct clock_scene clock_scene_at(size_t index) {
    const struct clock_scene all[] = {
        {"clock-opening", "openings and closings, asked and stopped at any tick", ten_places(),
         TICK_US, FREE_RAISE_LOWER | FREE_STOP, 10, CLOCK_SEATED | CLOCK_HALF | CLOCK_OPEN, true},
        {"clock-blind", "the same without a position sensor", blind(), TICK_US,
         FREE_OPENING | FREE_STOP, 20, CLOCK_SEATED | CLOCK_HALF | CLOCK_OPEN, true},
        {"clock-start", "starts, readings late; emergency stops", ten_places(), TICK_US,
         FREE_OPENING | FREE_EMERGENCY | FREE_READINGS | FREE_RESTART, 10,
         CLOCK_SEATED | CLOCK_HALF | CLOCK_OPEN, true},
        {"clock-approach", "trains that come, a signal not proved", short_way(), TICK_US,
         FREE_OPENING | FREE_APPROACH | FREE_SIGNAL_PROOF, 4, CLOCK_SEATED, false},
        {"clock-standing", "trains that come and stand, signals asked for", short_way(), TICK_US,
         FREE_RAISE_LOWER | FREE_APPROACH | FREE_STANDING | FREE_PROCEED, 4, CLOCK_SEATED, false},
        {"clock-both", "approaches of two ends, with locking of two lengths", two_ends(), TICK_US,
         FREE_RAISE_LOWER | FREE_APPROACH | FREE_APPROACH_1, 4, CLOCK_SEATED, false},
        {"clock-sections", "trains on stop and span section, power not proved", short_way(),
         TICK_US, FREE_RAISE_LOWER | FREE_STOP_SECTION | FREE_SPAN_SECTION | FREE_POWER_PROOF, 4,
         CLOCK_SEATED, false},
        {"clock-motion", "a span that sticks, runs or drifts", ten_places(), TICK_US,
         FREE_OPENING | FREE_SPAN, 10, CLOCK_SEATED | CLOCK_HALF | CLOCK_OPEN, false},
        {"clock-beyond", "the same, and an open contact that may be dead", ten_places(), TICK_US,
         FREE_OPENING | FREE_SPAN | FREE_OPEN, 10, CLOCK_HALF | CLOCK_OPEN, false},
        {"clock-current", "a motor that takes too much", ten_places(), TICK_US,
         FREE_OPENING | FREE_CURRENT, 10, CLOCK_SEATED | CLOCK_HALF | CLOCK_OPEN, false},
        {"clock-jog", "jogs", ten_places(), TICK_US, FREE_STOP | FREE_JOG | FREE_OPENING, 10,
         CLOCK_HALF | CLOCK_OPEN, false},
        {"clock-stick", "jogs of a span that sticks", ten_places(), TICK_US,
         FREE_STOP | FREE_JOG | FREE_STICK, 10, CLOCK_HALF, false},
        {"clock-throttle", "run by hand, let go, stopped at any tick", ten_places(), TICK_US,
         FREE_THROTTLE | FREE_STOP, 10, CLOCK_SEATED | CLOCK_HALF | CLOCK_OPEN, true},
        {"clock-late", "looks that come late", short_way(), TICK_US,
         FREE_OPENING | FREE_LATE | FREE_APPROACH | FREE_STOP_SECTION, 4, CLOCK_SEATED, false},
        {"clock-gap", "looks so late that it is a fault while something is driven", slow_looks(),
         SLOW_US, FREE_OPENING | FREE_LATE, 4, CLOCK_SEATED, false},
        {"clock-unwatched", "no detector, no proof: time and somebody's word", unwatched(), WORD_US,
         FREE_OPENING | FREE_WORD | FREE_PROCEED, 2, CLOCK_SEATED | CLOCK_OPEN, false},
        {"clock-unlost", "the same, and a device that is lost", unwatched(), WORD_US,
         FREE_OPENING | FREE_WORD | FREE_LOST, 2, CLOCK_SEATED, false},
        {"clock-word-gap", "the same with a signal proof, and words that may be old", proved(),
         WORD_US, FREE_OPENING | FREE_WORD | FREE_LATE, 2, CLOCK_SEATED, false},
        {"clock-span-detector", "the same with a span detector", span_detector(), WORD_US,
         FREE_OPENING | FREE_WORD | FREE_SPAN_SECTION, 2, CLOCK_SEATED, false},
        {"clock-approach-detector", "the same with an approach detector", approach_detector(),
         WORD_US, FREE_OPENING | FREE_APPROACH, 2, CLOCK_SEATED, false},
        {"clock-bar", "a driven bar without contacts", blind_bar(false, false), TICK_US,
         FREE_RAISE_LOWER | FREE_STOP, 4, CLOCK_SEATED | CLOCK_OPEN, true},
        {"clock-bar-lost", "the same, and a device that is lost", blind_bar(false, false), TICK_US,
         FREE_OPENING | FREE_EMERGENCY | FREE_LOST, 4, CLOCK_SEATED | CLOCK_OPEN, false},
        {"clock-bar-locked", "one with its locked contact", blind_bar(true, false), TICK_US,
         FREE_RAISE_LOWER | FREE_STOP | FREE_BAR, 4, CLOCK_SEATED | CLOCK_OPEN, false},
        {"clock-bar-withdrawn", "one with its withdrawn contact", blind_bar(false, true), TICK_US,
         FREE_RAISE_LOWER | FREE_STOP | FREE_BAR, 4, CLOCK_SEATED | CLOCK_OPEN, false},
        {"clock-seated", "a seated contact that flickers, debounced", debounced(), TICK_US,
         FREE_CONTACT | FREE_OPENING, 4, CLOCK_SEATED | CLOCK_HALF, false},
        {"clock-rail", "the last rail contact flickers, debounced", debounced(), TICK_US,
         FREE_RAIL | FREE_OPENING, 4, CLOCK_SEATED | CLOCK_HALF, false},
    };
    return all[index];
}

bool clock_scene_find(const char *name, struct clock_scene *scene) {
    for (size_t i = 0; i < clock_scenes(); i++) {
        *scene = clock_scene_at(i);
        if (strcmp(scene->name, name) == 0) {
            return true;
        }
    }
    return false;
}
