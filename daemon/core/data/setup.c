#include "core/data/setup.h"

#include <math.h>
#include <stddef.h>

static bool is_share(double value) {
    return value > 0 && value <= 1;
}

static bool is_positive(double value) {
    return value > 0 && isfinite(value);
}

static const char *speeds_fault(const struct motion_setup *motion) {
    if (!is_positive(motion->full_speed_frac_s) || !is_positive(motion->creep_speed_frac_s)) {
        return "full speed and creep speed must be positive";
    }
    if (motion->creep_speed_frac_s > motion->full_speed_frac_s) {
        return "creep speed must not exceed full speed";
    }
    if (!is_positive(motion->acceleration_frac_s2) || !is_positive(motion->deceleration_frac_s2)) {
        return "acceleration and deceleration must be positive";
    }
    if (!is_share(motion->slow_zone_seat_frac) || !is_share(motion->slow_zone_open_frac) ||
        motion->slow_zone_seat_frac + motion->slow_zone_open_frac > 1) {
        return "the slow zones must be positive and fit into the travel";
    }
    return NULL;
}

static bool can_watch_binding(const struct motion_setup *motion) {
    bool can = motion->has_current && is_positive(motion->binding_a);
    for (int i = 0; i < MOTION_PLACES; i++) {
        can = can && is_positive(motion->expected_a[0][i]) && is_positive(motion->expected_a[1][i]);
    }
    return can || motion->binding_us == 0;
}

static const char *watches_fault(const struct motion_setup *motion) {
    if (!is_share(motion->position_tolerance_frac) || !is_share(motion->overtravel_frac) ||
        !is_share(motion->drift_frac) || !is_share(motion->no_movement_frac)) {
        return "position tolerance, overtravel, drift and no-movement distances must be positive "
               "and "
               "within the travel";
    }
    if (motion->position_tolerance_frac >= 0.5) {
        return "the position tolerance must be less than half the travel, or seat and open are one";
    }
    if (!(motion->overspeed_ratio > 1)) {
        return "the overspeed ratio must be above 1";
    }
    if (motion->has_current && !is_positive(motion->stall_a)) {
        return "the stall current must be positive";
    }
    if (!can_watch_binding(motion)) {
        return "the binding watch needs a measured current, and expected currents and a margin "
               "that "
               "are positive";
    }
    if (motion->stall_us == 0 || motion->no_movement_us == 0 || motion->travel_limit_us == 0 ||
        motion->seat_limit_us == 0) {
        return "every watch of the movement needs a time";
    }
    if (motion->push_us >= motion->seat_limit_us) {
        return "the seating push must be shorter than the seating limit";
    }
    return NULL;
}

static const char *efforts_fault(const struct motion_setup *motion) {
    if (!is_share(motion->effort_full) || !is_share(motion->effort_push) ||
        !(motion->effort_start >= 0 && motion->effort_start <= motion->effort_full)) {
        return "efforts must lie between 0 and 1, the starting effort not above the full one";
    }
    return NULL;
}

/* A drive's time may stand for a contact; the time that a hand takes says nothing. */
static const char *lock_fault(const struct bridge_setup *setup) {
    if (!setup->has_lock && (setup->has_lock_drive || setup->has_locked || setup->has_withdrawn)) {
        return "where there is no lock bar there is neither a lock drive nor a contact of the bar";
    }
    if (!setup->has_lock || setup->has_lock_drive) {
        return NULL;
    }
    if (!setup->has_locked) {
        return "a lock bar worked by hand needs a contact that proves it locked (S1)";
    }
    if (!setup->is_hand_lifted && !setup->has_withdrawn) {
        return "a lock bar worked by hand under a powered lift needs a contact that proves it "
               "withdrawn (S3)";
    }
    return NULL;
}

static const char *lift_fault(const struct bridge_setup *setup) {
    if (!setup->has_open && !setup->motion.has_position) {
        return "a powered lift needs an open contact or a measured position";
    }
    const char *fault = speeds_fault(&setup->motion);
    if (fault == NULL) {
        fault = watches_fault(&setup->motion);
    }
    return fault != NULL ? fault : efforts_fault(&setup->motion);
}

static const char *end_fault(const struct bridge_setup *setup, const struct track_end_setup *end) {
    if (end->is_used && end->approach_lock_us == 0) {
        return "approach locking needs a time";
    }
    if (end->is_used && end->approach_lock_us > setup->clearing_limit_us) {
        return "approach locking must not outlast the clearing limit: no opening could wait for it";
    }
    return NULL;
}

static const char *tracks_fault(const struct bridge_setup *setup) {
    if (setup->tracks < 1 || setup->tracks > BRIDGE_TRACKS_MAX) {
        return "a bridge carries 1 to 4 tracks";
    }
    for (unsigned t = 0; t < setup->tracks; t++) {
        const struct track_setup *track = &setup->track[t];
        if (!track->end[0].is_used && !track->end[1].is_used) {
            return "each track needs at least one end that trains come from";
        }
        if (track->run_out_us > setup->clearing_limit_us) {
            return "the time in which a track runs out must not outlast the clearing limit: no "
                   "opening could wait for it";
        }
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            const char *fault = end_fault(setup, &track->end[e]);
            if (fault != NULL) {
                return fault;
            }
        }
    }
    return NULL;
}

const char *bridge_setup_fault(const struct bridge_setup *setup) {
    if (setup->rails > BRIDGE_RAILS_MAX) {
        return "a bridge has at most 4 rail contacts";
    }
    if (setup->proof_limit_us == 0 || setup->lock_limit_us == 0 || setup->clearing_limit_us == 0) {
        return "proofs, lock and clearing need a longest time";
    }
    if (setup->short_blast_us == 0 || setup->prolonged_blast_us == 0 || setup->blast_gap_us == 0) {
        return "blasts and the gap between them need a length";
    }
    if (setup->debounce_us > BRIDGE_DEBOUNCE_MAX_US) {
        return "contacts must be believed within half a second (S5)";
    }
    if (setup->is_hand_lifted && setup->has_lock_drive) {
        return "a hand-lifted span has no lock drive";
    }
    if (setup->is_hand_lifted && (setup->motion.has_position || setup->motion.has_current)) {
        return "a hand-lifted span tells by its contacts alone: no position, no motor current";
    }
    const char *fault = lock_fault(setup);
    if (fault == NULL) {
        fault = tracks_fault(setup);
    }
    if (fault == NULL && !setup->is_hand_lifted) {
        fault = lift_fault(setup);
    }
    return fault;
}
