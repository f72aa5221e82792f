#include "core/words/guards.h"

#include <stddef.h>

#define S(number) (1u << (number))

struct place {
    const struct bridge_setup *setup;
    unsigned t;
    unsigned e;
};

typedef uint32_t find_time(const struct place *at);

/* One of the ways in which a thing may be guarded. */
struct way {
    enum guard how;
    const char *rests_on;
    const char *unseen;
    const char *add;
    find_time *time; /* of one by time */
};

#define PROVED(rests_on, unseen, add)                                                              \
    { GUARD_PROVED, rests_on, unseen, add, NULL }
#define BY_TIME(time, rests_on, unseen, add)                                                       \
    { GUARD_BY_TIME, rests_on, unseen, add, time }
#define BY_WORD(rests_on, unseen, add)                                                             \
    { GUARD_BY_WORD, rests_on, unseen, add, NULL }
#define MISSING(unseen, add)                                                                       \
    { GUARD_MISSING, "", unseen, add, NULL }

typedef const struct way *find_way(const struct place *at); /* NULL: the bridge has no such thing */

static const struct track_setup *track_at(const struct place *at) {
    return &at->setup->track[at->t];
}

static const struct track_end_setup *end_at(const struct place *at) {
    return &track_at(at)->end[at->e];
}

/* ---- times */

static uint32_t proof_time(const struct place *at) {
    return at->setup->proof_limit_us;
}

static uint32_t approach_time(const struct place *at) {
    return end_at(at)->approach_lock_us;
}

static uint32_t run_out_time(const struct place *at) {
    return track_at(at)->run_out_us;
}

static uint32_t lock_time(const struct place *at) {
    return at->setup->lock_limit_us;
}

static uint32_t leaving_time(const struct place *at) {
    return at->setup->motion.no_movement_us;
}

static uint32_t travel_time(const struct place *at) {
    return at->setup->motion.travel_limit_us;
}

/* ---- signals and power */

static const struct way *signal_way(const struct place *at) {
    static const struct way proved = PROVED("the signal's proof", "", "");
    static const struct way by_time = BY_TIME(proof_time, "commanded to stop continuously",
                                              "a signal that does not obey", "a signal proof");
    return end_at(at)->has_signal_proof ? &proved : &by_time;
}

/* Time in every case: a train that is seen to stand only shortens it. */
static const struct way *approach_way(const struct place *at) {
    static const struct way seen =
        BY_TIME(approach_time, "approach locking, where a train is seen in the approach",
                "a train that takes longer", "");
    static const struct way blind =
        BY_TIME(approach_time, "approach locking, at every opening",
                "whether there is a train; one that takes longer", "an approach detector");
    return end_at(at)->has_approach_detector ? &seen : &blind;
}

static const struct way *dead_way(bool has_proof) {
    static const struct way proved = PROVED("the section's power proof", "", "");
    static const struct way by_time =
        BY_TIME(proof_time, "commanded off continuously",
                "a stuck relay, or a feeder that bypasses it", "a power proof");
    return has_proof ? &proved : &by_time;
}

static const struct way *stop_dead_way(const struct place *at) {
    return dead_way(end_at(at)->has_stop_power_proof);
}

static const struct way *span_dead_way(const struct place *at) {
    return dead_way(track_at(at)->has_span_power_proof);
}

/* ---- trains: a section with a detector has one row, one without has three */

static const struct way *trains_way(bool has_detector) {
    static const struct way proved = PROVED(
        "the section's detector", "what it cannot sense, such as cars without a resistor", "");
    return has_detector ? &proved : NULL;
}

static const struct way *stop_trains_way(const struct place *at) {
    return trains_way(end_at(at)->has_stop_detector);
}

static const struct way *span_trains_way(const struct place *at) {
    return trains_way(track_at(at)->has_span_detector);
}

static const struct way *left_way(const struct place *at, bool has_detector) {
    static const struct way by_time = BY_TIME(
        run_out_time, "all signals at stop, track power on, and the slowest train's time to leave",
        "a train that stands, or is slower or longer than configured", "a detector");
    static const struct way by_word = BY_WORD(
        "a person who reports it seen clear, for this one opening", "what that person does not see",
        "a detector; or slowest and length of the trains, to go by time");
    if (has_detector) {
        return NULL;
    }
    return track_at(at)->run_out_us > 0 ? &by_time : &by_word;
}

static const struct way *stop_left_way(const struct place *at) {
    return left_way(at, end_at(at)->has_stop_detector);
}

static const struct way *span_left_way(const struct place *at) {
    return left_way(at, track_at(at)->has_span_detector);
}

static bool is_any_automatic(const struct track_setup *track) {
    return (track->end[0].is_used && track->end[0].is_automatic) ||
           (track->end[1].is_used && track->end[1].is_automatic);
}

/* The person who requests proceed must look first. An automatic signal asks nobody. */
static const struct way *free_way(const struct place *at, bool has_detector) {
    static const struct way by_word =
        BY_WORD("the person who requests proceed; the request stays in effect",
                "a second train, while the signal shows proceed", "a detector");
    static const struct way missing =
        MISSING("a train there, before a signal that clears by itself",
                "a detector; or home signals that are not automatic");
    if (has_detector) {
        return NULL;
    }
    return is_any_automatic(track_at(at)) ? &missing : &by_word;
}

static const struct way *stop_free_way(const struct place *at) {
    return free_way(at, end_at(at)->has_stop_detector);
}

static const struct way *span_free_way(const struct place *at) {
    return free_way(at, track_at(at)->has_span_detector);
}

/* Where nothing sees a train come, the dead stop section keeps it away, as surely as that is known
 * to be dead. */
static const struct way *kept_away_way(bool has_proof) {
    static const struct way proved =
        PROVED("the dead stop section before it, by its power proof",
               "a train that is pushed, rolls, or carries its own current", "a detector");
    static const struct way by_time =
        BY_TIME(proof_time, "the dead stop section before it, commanded off continuously",
                "a train that is pushed, rolls, or carries its own current", "a detector");
    return has_proof ? &proved : &by_time;
}

static const struct way *stop_comes_way(const struct place *at) {
    return end_at(at)->has_stop_detector ? NULL : kept_away_way(end_at(at)->has_stop_power_proof);
}

static const struct way *span_comes_way(const struct place *at) {
    static const struct way by_neighbours = PROVED(
        "the detectors of the stop sections", "a train set down on the span itself", "a detector");
    const struct track_setup *track = track_at(at);
    bool are_all_seen = true;
    bool are_all_proved = true;
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        bool is_unseen = track->end[e].is_used && !track->end[e].has_stop_detector;
        are_all_seen = are_all_seen && !is_unseen;
        are_all_proved = are_all_proved && (!is_unseen || track->end[e].has_stop_power_proof);
    }
    if (track->has_span_detector) {
        return NULL;
    }
    return are_all_seen ? &by_neighbours : kept_away_way(are_all_proved);
}

/* ---- the span and its lock */

static const struct way *seated_way(const struct place *at) {
    static const struct way proved = PROVED("the seated contact", "", "");
    (void)at;
    return &proved;
}

static const struct way *locked_way(const struct place *at) {
    static const struct way no_bar =
        PROVED("the seated contact: there is no lock bar",
               "a span that its own weight does not hold down", "a lock bar");
    static const struct way proved = PROVED("the locked contact", "", "");
    static const struct way by_time = BY_TIME(
        lock_time, "the lock drive, driven on a seated span continuously; again after a start",
        "a bar that jams, or slips out again", "a locked contact");
    static const struct way missing =
        MISSING("where the hand has left the bar", "a locked contact");
    if (!at->setup->has_lock) {
        return &no_bar;
    }
    if (at->setup->has_locked) {
        return &proved;
    }
    return at->setup->has_lock_drive ? &by_time : &missing;
}

static const struct way *rails_way(const struct place *at) {
    static const struct way proved = PROVED("the rail contacts", "", "");
    static const struct way by_seat = PROVED(
        "the seated contact alone", "rail ends that do not meet on a seated span", "rail contacts");
    return at->setup->rails > 0 ? &proved : &by_seat;
}

static const struct way *withdrawn_way(const struct place *at) {
    static const struct way proved = PROVED("the withdrawn contact", "", "");
    static const struct way by_time =
        BY_TIME(lock_time, "the lock drive, driven continuously",
                "a bar that jams: the lift would pull against it", "a withdrawn contact");
    static const struct way missing =
        MISSING("where the hand has left the bar", "a withdrawn contact");
    const struct bridge_setup *setup = at->setup;
    if (setup->is_hand_lifted || !setup->has_lock) {
        return NULL;
    }
    if (setup->has_withdrawn) {
        return &proved;
    }
    return setup->has_lock_drive ? &by_time : &missing;
}

static const struct way *hand_lock_way(const struct place *at) {
    static const struct way by_word =
        BY_WORD("the person at the bar waits until the bridge says so",
                "a hand that does not wait: power and signals drop only when the contact shows it",
                "a lock drive");
    const struct bridge_setup *setup = at->setup;
    bool is_by_hand = !setup->is_hand_lifted && setup->has_lock && !setup->has_lock_drive;
    return is_by_hand ? &by_word : NULL;
}

static const struct way *hand_lift_way(const struct place *at) {
    static const struct way by_word = BY_WORD(
        "the person lifting the span waits until the bridge says so",
        "a hand that does not wait: power and signals drop only when a contact shows it", "");
    return at->setup->is_hand_lifted ? &by_word : NULL;
}

/* ---- the movement */

static const struct way *hand_seat_sticks_way(const struct bridge_setup *setup) {
    static const struct way at_open =
        PROVED("the contact at the other end: both made is a fault", "the way between the ends",
               "rail contacts or a nearly seated contact");
    static const struct way by_word =
        BY_WORD("the person driving the bar sees the span on its seat", "",
                "rail contacts or a nearly seated contact");
    static const struct way missing = MISSING(
        "a raised span: no second contact shows it",
        "rail contacts, a nearly seated contact, an open contact, or a lock bar with a locked "
        "contact");
    if (setup->has_open || setup->has_nearly_open) {
        return &at_open;
    }
    return setup->has_lock ? &by_word : &missing;
}

static const struct way *seat_sticks_way(const struct place *at) {
    static const struct way rails = PROVED("the rail contacts", "", "");
    static const struct way contradicted =
        PROVED("the nearly seated contact or the measured position, which contradict it",
               "one that sticks just above the seat: trains would be let onto a raised span",
               "rail contacts");
    static const struct way by_time =
        BY_TIME(leaving_time, "a rising span must leave the contact",
                "one that sticks on the way down: trains would be let onto a raised span",
                "rail contacts, a nearly seated contact or a position sensor");
    const struct bridge_setup *setup = at->setup;
    if (setup->rails > 0) {
        return &rails;
    }
    if (setup->has_nearly_seated || setup->motion.has_position) {
        return &contradicted;
    }
    return setup->is_hand_lifted ? hand_seat_sticks_way(setup) : &by_time;
}

static const struct way *open_way(const struct place *at) {
    static const struct way proved = PROVED("the open contact", "", "");
    static const struct way measured = PROVED("the measured position", "", "");
    static const struct way missing =
        MISSING("a lift that has arrived", "an open contact or a position sensor");
    const struct bridge_setup *setup = at->setup;
    if (setup->is_hand_lifted) {
        return NULL;
    }
    if (setup->has_open) {
        return &proved;
    }
    return setup->motion.has_position ? &measured : &missing;
}

static const struct way *open_fails_way(const struct place *at) {
    static const struct way contact = PROVED("the overtravel contact", "", "");
    static const struct way measured = PROVED("the measured position", "", "");
    static const struct way frozen =
        BY_TIME(leaving_time, "a position that must change while driven",
                "a wrong position reading", "an open or an overtravel contact");
    static const struct way current = PROVED("the motor's current at the end stop",
                                             "the way up to the end stop", "an overtravel contact");
    static const struct way by_time = BY_TIME(travel_time, "the longest time of the travel",
                                              "a lift that pushes against its end stop until then",
                                              "an overtravel contact or a position sensor");
    const struct bridge_setup *setup = at->setup;
    if (setup->is_hand_lifted) {
        return NULL;
    }
    if (setup->has_overtravel) {
        return &contact;
    }
    /* A position that alone ends the opening cannot tell of its own failure. */
    if (setup->motion.has_position) {
        return setup->has_open ? &measured : &frozen;
    }
    return setup->motion.has_current ? &current : &by_time;
}

static const struct way *blocked_way(const struct place *at) {
    static const struct way current = PROVED("the motor's current", "", "");
    static const struct way measured =
        PROVED("the measured position", "", "a current sensor: it reacts sooner");
    static const struct way by_time =
        BY_TIME(travel_time, "the longest time of the travel", "what is crushed until then",
                "a current sensor, or a position sensor");
    const struct bridge_setup *setup = at->setup;
    if (setup->is_hand_lifted) {
        return NULL;
    }
    if (setup->motion.has_current) {
        return &current;
    }
    return setup->motion.has_position ? &measured : &by_time;
}

static const struct way *place_way(const struct place *at) {
    static const struct way proved = PROVED("its contacts, or its measured position", "", "");
    static const struct way seat_alone =
        PROVED("the seated contact alone", "how far it is up", "an open contact");
    const struct bridge_setup *setup = at->setup;
    return setup->has_open || setup->motion.has_position ? &proved : &seat_alone;
}

static const struct way *stop_way(const struct place *at) {
    static const struct way proved = PROVED("the stop circuit", "", "");
    static const struct way by_word =
        BY_WORD("a client's request, over a network",
                "a pressed hard-wired stop: it cuts the motor without the bridge knowing",
                "a stop circuit");
    return at->setup->has_stop_circuit ? &proved : &by_word;
}

/* ---- the table */

static const struct rule {
    unsigned invariants;
    find_way *way;
} rules[GUARD_THINGS] = {
    [GUARD_SIGNAL] = {S(3) | S(4), signal_way},
    [GUARD_APPROACH] = {S(3) | S(4) | S(6), approach_way},
    [GUARD_STOP_DEAD] = {S(2) | S(3) | S(4), stop_dead_way},
    [GUARD_STOP_TRAINS] = {S(1) | S(3) | S(4) | S(8), stop_trains_way},
    [GUARD_STOP_LEFT] = {S(3) | S(4), stop_left_way},
    [GUARD_STOP_FREE] = {S(1), stop_free_way},
    [GUARD_STOP_COMES] = {S(8), stop_comes_way},
    [GUARD_SPAN_DEAD] = {S(2) | S(3) | S(4), span_dead_way},
    [GUARD_SPAN_TRAINS] = {S(1) | S(3) | S(4) | S(8), span_trains_way},
    [GUARD_SPAN_LEFT] = {S(3) | S(4), span_left_way},
    [GUARD_SPAN_FREE] = {S(1), span_free_way},
    [GUARD_SPAN_COMES] = {S(8), span_comes_way},
    [GUARD_SEATED] = {S(1) | S(2) | S(4), seated_way},
    [GUARD_LOCKED] = {S(1) | S(2), locked_way},
    [GUARD_RAILS] = {S(1) | S(2), rails_way},
    [GUARD_WITHDRAWN] = {S(3), withdrawn_way},
    [GUARD_HAND_LOCK] = {S(4), hand_lock_way},
    [GUARD_HAND_LIFT] = {S(3) | S(4), hand_lift_way},
    [GUARD_SEAT_STICKS] = {S(5), seat_sticks_way},
    [GUARD_OPEN] = {S(5), open_way},
    [GUARD_OPEN_FAILS] = {S(5), open_fails_way},
    [GUARD_BLOCKED] = {S(5), blocked_way},
    [GUARD_PLACE] = {S(6), place_way},
    [GUARD_STOP] = {S(9), stop_way},
};

bool guard_is_of_end(enum guard_thing thing) {
    return thing <= GUARD_STOP_COMES;
}

bool guard_is_of_track(enum guard_thing thing) {
    return thing > GUARD_STOP_COMES && thing <= GUARD_SPAN_COMES;
}

static void add_row(struct guards *guards, enum guard_thing thing, const struct place *at) {
    const struct rule *rule = &rules[thing];
    const struct way *way = rule->way(at);
    if (way != NULL) {
        guards->row[guards->rows++] =
            (struct guard_row){.thing = thing,
                               .how = way->how,
                               .invariants = rule->invariants,
                               .track = at->t,
                               .end = at->e,
                               .time_us = way->time != NULL ? way->time(at) : 0,
                               .rests_on = way->rests_on,
                               .unseen = way->unseen,
                               .add = way->add};
    }
}

static void add_track(struct guards *guards, const struct bridge_setup *setup, unsigned t) {
    for (unsigned thing = 0; thing < GUARD_THINGS; thing++) {
        for (unsigned e = 0; guard_is_of_end(thing) && e < TRACK_ENDS; e++) {
            if (setup->track[t].end[e].is_used) {
                add_row(guards, thing, &(struct place){setup, t, e});
            }
        }
        if (guard_is_of_track(thing)) {
            add_row(guards, thing, &(struct place){setup, t, 0});
        }
    }
}

void guards_of(const struct bridge_setup *setup, struct guards *guards) {
    guards->rows = 0;
    for (unsigned t = 0; t < setup->tracks; t++) {
        add_track(guards, setup, t);
    }
    for (unsigned thing = GUARD_SPAN_COMES + 1; thing < GUARD_THINGS; thing++) {
        add_row(guards, thing, &(struct place){setup, 0, 0});
    }
}

bool guard_is_restrictive(const struct guard_row *row) {
    return row->how == GUARD_BY_WORD || row->how == GUARD_MISSING || row->add[0] != '\0';
}
