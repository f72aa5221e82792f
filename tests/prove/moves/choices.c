#include "prove/moves/choices.h"

#include "prove/scenes/show.h"

#include <assert.h>

/* ---- in which phases an input can matter (before the step; a step takes one row of the table) */

enum {
    IN_UNPROVED = 1 << PHASE_UNPROVED,
    IN_FAULT = 1 << PHASE_FAULT,
    /* Signals can show proceed, or be about to: lined, or one row before it. */
    NEAR_LINED = 1 << PHASE_LINED | 1 << PHASE_PROVING,
    /* The lift is driven, or about to. */
    NEAR_DRIVEN = 1 << PHASE_UNLOCKING | 1 << PHASE_RAISING | 1 << PHASE_LOWERING |
                  1 << PHASE_SEATING | 1 << PHASE_HELD | 1 << PHASE_OPEN,
    /* Rows and faults that ask for "open"; an acknowledgment leads through unproved. */
    NEAR_OPEN = IN_UNPROVED | IN_FAULT | 1 << PHASE_RAISING | 1 << PHASE_OPEN | 1 << PHASE_LOWERING,
};

struct offers {
    const struct bridge_setup *setup;
    const struct node *node;
    struct product *product;
    bool has_throttle;
};

static bool is_in(const struct offers *o, int phases) {
    return (phases >> o->node->state.phase & 1) != 0;
}

static void offer(const struct offers *o, enum what what, unsigned count, unsigned track,
                  unsigned end) {
    struct product *product = o->product;
    if (count > 1) {
        assert(product->choices < PRODUCT_CHOICES_MAX);
        product->choice[product->choices++] = (struct choice){count, what, track, end};
        product->count *= count;
    }
}

/* ---- span, lock bar, requests */

static void offer_span(const struct offers *o, struct span_choice span) {
    assert(o->product->spans < PRODUCT_SPANS_MAX);
    o->product->span[o->product->spans++] = span;
}

/* Time is a proof there; and a lost device, unlike other faults, ends it. */
static bool is_sparse(const struct bridge_setup *setup) {
    return scene_is_unwatched(setup) || scene_is_bar_blind(setup) || scene_lacks_proofs(setup);
}

static bool is_of_throttle(enum bridge_request_kind request) {
    return request == REQUEST_THROTTLE_UP || request == REQUEST_THROTTLE_DOWN ||
           request == REQUEST_THROTTLE_HOLD;
}

/* Requests that would change goal or phase; the others are among the extras. */
static bool is_worth_asking(const struct bridge_setup *setup, const struct bridge_state *state,
                            enum bridge_request_kind request) {
    bool is_fault = state->phase == PHASE_FAULT;
    bool is_refused = is_fault || state->phase == PHASE_UNPROVED;
    bool is_down = state->phase == PHASE_LINED || state->phase == PHASE_PROVING;
    switch (request) {
    case REQUEST_NONE:
        return true;
    case REQUEST_RAISE:
        return !is_refused && state->goal != GOAL_UP;
    case REQUEST_LOWER:
        return !is_refused && state->goal != GOAL_DOWN && !is_down;
    case REQUEST_STOP:
        return !is_refused && !is_down && state->phase != PHASE_OPEN &&
               (state->phase != PHASE_HELD || state->jog.left_us > 0);
    case REQUEST_THROTTLE_UP: /* what is under way is taken into the hand */
        return !is_refused && (state->goal != GOAL_UP || state->throttle.share == 0);
    case REQUEST_THROTTLE_DOWN:
        return !is_refused && !is_down && (state->goal != GOAL_DOWN || state->throttle.share == 0);
    case REQUEST_THROTTLE_HOLD: /* nothing but a countdown, which goes on as well without it */
        break;
    case REQUEST_JOG_UP:
    case REQUEST_JOG_DOWN:
        return state->phase == PHASE_OPEN || state->phase == PHASE_HELD;
    case REQUEST_ACKNOWLEDGE:
        return is_fault;
    case REQUEST_SEEN_CLEAR:
        return scene_is_unwatched(setup) &&
               (state->phase == PHASE_CLEARING || state->phase == PHASE_HELD ||
                state->phase == PHASE_OPEN);
    case REQUEST_EMERGENCY_STOP: /* has the effect of a lost device, where no time is lost with it
                                  */
        return is_sparse(setup) && !is_fault;
    case REQUEST_SIGNAL_STOP: /* these only set the wanted flags, which are chosen freely */
    case REQUEST_SIGNAL_PROCEED:
    case REQUEST_POWER_OFF:
    case REQUEST_POWER_ON:
    case REQUEST_HORN_ON: /* nothing depends on these */
    case REQUEST_HORN_OFF:
        break;
    }
    return false;
}

static bool is_bar_in_question(const struct offers *o, enum place place, enum bar bar) {
    switch (bar) {
    case BAR_LOCKED:
        return place == PLACE_SEATED;
    case BAR_LOCKED_RAILS_OFF: /* rails are asked for with the lock, and while power is not cut */
        return place == PLACE_SEATED && o->setup->rails > 0 &&
               is_in(o, NEAR_LINED | 1 << PHASE_CLEARING);
    case BAR_BETWEEN: /* where no contact tells, one place of the bar is as good as another */
        return place != PLACE_SEATED || o->setup->has_locked || o->setup->has_withdrawn;
    case BAR_WITHDRAWN:
        return o->setup->has_withdrawn && (is_in(o, NEAR_DRIVEN) || scene_is_bar_blind(o->setup));
    case BARS:
        break;
    }
    return false;
}

static bool is_place_in_question(const struct offers *o, enum place place) {
    return place == PLACE_NEAR_SEAT ? is_in(o, 1 << PHASE_LOWERING)
                                    : place != PLACE_OPEN || is_in(o, NEAR_OPEN);
}

/* The one choice of span, bar and request after which signals may show proceed. */
static bool is_clearing(const struct offers *o, const struct span_choice *span) {
    return is_in(o, NEAR_LINED) && span->place == PLACE_SEATED && span->bar == BAR_LOCKED &&
           span->request == REQUEST_NONE;
}

static void offer_spans_with(const struct offers *o, enum trouble trouble,
                             enum bridge_request_kind request) {
    for (enum place place = 0; place < PLACES; place++) {
        for (enum bar bar = 0; bar < BARS && is_place_in_question(o, place); bar++) {
            const struct span_choice span = {place, bar, trouble, 0, request};
            if (is_bar_in_question(o, place, bar) &&
                is_clearing(o, &span) == (o->product->part == PART_CLEARING)) {
                offer_span(o, span);
            }
        }
    }
}

/* Under power a late look loses the time of a track that is not watched whole. */
static bool may_lose_time(const struct offers *o) {
    return is_in(o, NEAR_LINED | 1 << PHASE_CLEARING) && scene_is_unwatched(o->setup);
}

static void offer_troubles(const struct offers *o) {
    offer_span(o, (struct span_choice){PLACE_MIDDLE, BAR_BETWEEN, TROUBLE_DEVICE_LOST, 0, 0});
    if (scene_is_bar_blind(o->setup)) { /* the seat alone decides there whether its time goes on */
        offer_span(o, (struct span_choice){PLACE_SEATED, BAR_LOCKED, TROUBLE_DEVICE_LOST, 0, 0});
    }
    if (is_in(o, IN_UNPROVED)) { /* elsewhere it is a fault like the lost device */
        offer_span(o, (struct span_choice){PLACE_MIDDLE, BAR_BETWEEN, TROUBLE_UNKNOWN, 0, 0});
        offer_span(o, (struct span_choice){PLACE_SEATED, BAR_LOCKED, TROUBLE_UNKNOWN, 0, 0});
    }
}

static bool may_ask(const struct offers *o, enum bridge_request_kind kind) {
    return o->has_throttle || !is_of_throttle(kind);
}

static void offer_spans(const struct offers *o) {
    for (enum bridge_request_kind kind = 0; kind <= REQUEST_HORN_OFF; kind++) {
        if (may_ask(o, kind) && is_worth_asking(o->setup, &o->node->state, kind)) {
            offer_spans_with(o, TROUBLE_NONE, kind);
            if (may_lose_time(o)) {
                offer_spans_with(o, TROUBLE_LATE, kind);
            }
        }
    }
    if (o->product->part == PART_REST) {
        offer_troubles(o);
    }
}

static void offer_extras_at(const struct offers *o, enum place place, enum bar bar) {
    for (enum bridge_request_kind kind = 0; kind <= REQUEST_HORN_OFF; kind++) {
        if (may_ask(o, kind)) {
            offer_span(o, (struct span_choice){place, bar, TROUBLE_NONE, 0, kind});
        }
    }
    for (enum trouble trouble = 0; trouble < TROUBLES; trouble++) {
        bool is_of_many = trouble == TROUBLE_RAIL || trouble == TROUBLE_FEEDBACK ||
                          trouble == TROUBLE_CONTACT_UNKNOWN ||
                          trouble == TROUBLE_DETECTOR_UNKNOWN ||
                          trouble == TROUBLE_FEEDBACK_UNKNOWN;
        if (is_of_many && bar != BAR_LOCKED && bar != BAR_WITHDRAWN) {
            continue;
        }
        for (unsigned number = 0; number < show_troubles(o->setup, trouble); number++) {
            offer_span(o, (struct span_choice){place, bar, trouble, number, REQUEST_NONE});
        }
    }
}

static void offer_extra_spans(const struct offers *o) {
    for (enum place place = 0; place < PLACES; place++) {
        for (enum bar bar = place == PLACE_SEATED ? 0 : BAR_BETWEEN; bar < BARS; bar++) {
            offer_extras_at(o, place, bar);
        }
    }
}

/* ---- tracks */

static bool has_signal_proof(const struct bridge_setup *setup) {
    for (unsigned t = 0; t < setup->tracks; t++) {
        if (setup->track[t].end[0].has_signal_proof || setup->track[t].end[1].has_signal_proof) {
            return true;
        }
    }
    return false;
}

static bool has_power_proof(const struct track_setup *track) {
    return track->has_span_power_proof || track->end[0].has_stop_power_proof ||
           track->end[1].has_stop_power_proof;
}

static bool is_locking(const struct node *node, unsigned track, unsigned end) {
    return node->state.track[track].end[end].approach_lock_us > 0 ||
           node->judge.track[track].end[end].lock_left_us > 0;
}

/* Where approach locking runs already, its time goes on instead of starting anew. */
bool choices_could_lock_anew(const struct bridge_setup *setup, const struct node *node,
                             unsigned track, unsigned end) {
    return setup->track[track].end[end].has_signal_proof &&
           !node->state.track[track].end[end].shows_proceed && !is_locking(node, track, end);
}

/* All proved; or one that is not, with nobody in its face; or with trains in the faces of some.
 * Where it is not asked they could still start approach locking, as a lost device does. */
static unsigned signal_proofs(const struct offers *o) {
    unsigned could_lock = 0;
    if (!has_signal_proof(o->setup) || is_in(o, IN_UNPROVED | IN_FAULT)) {
        return 1;
    }
    for (unsigned t = 0; t < o->setup->tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            could_lock += choices_could_lock_anew(o->setup, o->node, t, e) ? 1 : 0;
        }
    }
    return 1 + (1u << could_lock);
}

static bool is_still_clearing(const struct watch *clear) {
    return clear->is_running && clear->left_us > 0;
}

/* Told so, by the core's watch or by what the step before put out, and not for long enough yet. */
static bool is_settling(const struct offers *o, const struct watch *told, bool is_told,
                        const struct judged_while *judged) {
    return is_still_clearing(told) || (is_told && judged->for_us < o->setup->proof_limit_us);
}

static bool is_signal_settling(const struct offers *o, unsigned t, unsigned e) {
    return !o->setup->track[t].end[e].has_signal_proof &&
           is_settling(o, &o->node->state.track[t].end[e].told_stop,
                       !o->node->judge.before.track[t].end[e].signal_proceed,
                       &o->node->judge.track[t].end[e].told_stop);
}

static bool is_power_settling(const struct offers *o) {
    bool is_any = false;
    for (unsigned t = 0; t < o->setup->tracks; t++) {
        const struct track_setup *has = &o->setup->track[t];
        const struct track_state *track = &o->node->state.track[t];
        const struct seen_track *judged = &o->node->judge.track[t];
        bool is_off = !o->node->judge.before.track[t].span_power;
        is_any = is_any || (!has->has_span_power_proof &&
                            is_settling(o, &track->told_off, is_off, &judged->told_off));
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            is_any = is_any ||
                     (has->end[e].is_used && !has->end[e].has_stop_power_proof &&
                      is_settling(o, &track->end[e].told_off, is_off, &judged->end[e].told_off));
        }
    }
    return is_any;
}

/* A bar that is driven, where only the time of that tells. */
static bool is_bar_settling(const struct offers *o) {
    const struct lock_state *lock = &o->node->state.lock;
    const struct seen *judged = &o->node->judge;
    return scene_is_bar_blind(o->setup) &&
           (lock->driven.left_us > 0 || lock->withdrawn.left_us > 0 ||
            (judged->before.lock == LOCK_DRIVE_DRIVEN && !judged->is_bar_in) ||
            (judged->before.lock == LOCK_DRIVE_WITHDRAWN && !judged->is_bar_out));
}

/* The proofs of signals and power are asked for in three ways only: are all signals proved at stop,
 * are all sections of all tracks proved dead (while unpowered), and is one of this track proved
 * dead (while powered). */
static void offer_proofs(const struct offers *o) {
    bool has_unpowered_proof = false;
    for (unsigned t = 0; t < o->setup->tracks; t++) {
        bool has_proof = has_power_proof(&o->setup->track[t]);
        bool is_powered = o->node->state.track[t].is_powered;
        has_unpowered_proof = has_unpowered_proof || (has_proof && !is_powered);
        if (has_proof && is_powered && o->product->part == PART_CLEARING) {
            offer(o, CHOICE_POWER_LEFT, 2, t, 0);
        }
    }
    bool is_dead_asked = has_unpowered_proof && is_in(o, NEAR_DRIVEN | 1 << PHASE_CUTTING);
    offer(o, CHOICE_DEAD, is_dead_asked ? 2 : 1, 0, 0);
    offer(o, CHOICE_SIGNAL_PROOF, signal_proofs(o), 0, 0);
}

bool choices_could_clear(const struct node *node, unsigned track, unsigned end) {
    return node->state.track[track].end[end].is_powered;
}

/* Wanted signals: every set of those that could clear; and one more: power is not wanted. It
 * matters where it is not cut, or about to come back. */
static void offer_wanted(const struct offers *o) {
    unsigned signals = 0;
    for (unsigned t = 0; t < o->setup->tracks && o->product->part == PART_CLEARING; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            signals += choices_could_clear(o->node, t, e) ? 1 : 0;
        }
    }
    bool is_asked = !o->node->state.is_cut || is_in(o, 1 << PHASE_PROVING);
    offer(o, CHOICE_WANTED, is_asked ? (1u << signals) + 1 : 1, 0, 0);
}

static void offer_end(const struct offers *o, unsigned t, unsigned e) {
    const struct track_end_setup *has = &o->setup->track[t].end[e];
    const struct track_end_state *end = &o->node->state.track[t].end[e];
    /* The approach matters to a signal that shows proceed, or could, or may not be at stop yet;
     * and, under power, to the time of a track that is not watched whole. */
    bool could_clear = o->product->part == PART_CLEARING && choices_could_clear(o->node, t, e);
    bool could_lock = !has->has_signal_proof && !end->shows_proceed && !is_locking(o->node, t, e);
    bool is_approach_asked =
        has->has_approach_detector && (end->shows_proceed || could_clear || could_lock);
    unsigned stop_readings = is_still_clearing(&end->stop_clear) ? 3 : 2;
    offer(o, CHOICE_APPROACH_LOCK, is_locking(o->node, t, e) ? 2 : 1, t, e);
    offer(o, CHOICE_TOLD_STOP, is_signal_settling(o, t, e) ? 2 : 1, t, e);
    bool is_left_asked = has->has_approach_detector && o->node->state.track[t].is_powered &&
                         !seen_is_watched_whole(&o->setup->track[t]);
    offer(o, CHOICE_APPROACH, is_left_asked ? 3 : is_approach_asked ? 2 : 1, t, e);
    offer(o, CHOICE_STOP_SECTION, has->has_stop_detector ? stop_readings : 1, t, e);
}

static void offer_tracks(const struct offers *o) {
    for (unsigned t = 0; t < o->setup->tracks; t++) {
        unsigned readings = is_still_clearing(&o->node->state.track[t].span_clear) ? 3 : 2;
        bool has_detector = o->setup->track[t].has_span_detector;
        bool runs_out =
            o->setup->track[t].run_out_us > 0 && o->node->state.track[t].run_out.left_us > 0;
        offer(o, CHOICE_SPAN_SECTION, has_detector ? readings : 1, t, 0);
        offer(o, CHOICE_RUN_OUT, runs_out ? 2 : 1, t, 0);
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            if (o->setup->track[t].end[e].is_used) {
                offer_end(o, t, e);
            }
        }
    }
}

/* ---- times. The end of other phases' longest times is a fault, as the lost device is. */

static void offer_times(const struct offers *o) {
    const struct bridge_state *state = &o->node->state;
    bool is_limited = is_in(o, 1 << PHASE_CLEARING) && state->phase_limit.left_us > 0;
    offer(o, CHOICE_PHASE_LIMIT, is_limited ? 2 : 1, 0, 0);
    offer(o, CHOICE_WARNING, state->warning_left_us > 0 ? 2 : 1, 0, 0);
    offer(o, CHOICE_HORN, state->horn.signal != HORN_SILENT ? 2 : 1, 0, 0);
    offer(o, CHOICE_PUSH, state->push_left_us > 0 ? 2 : 1, 0, 0);
    offer(o, CHOICE_JOG, state->jog.left_us > 0 ? 2 : 1, 0, 0);
    offer(o, CHOICE_THROTTLE, state->throttle.left_us > 0 ? 2 : 1, 0, 0);
    bool has_word = state->seen_clear_left_us > 0 || o->node->judge.word_left_us > 0;
    offer(o, CHOICE_WORD, has_word ? 2 : 1, 0, 0);
    offer(o, CHOICE_BAR, is_bar_settling(o) ? 2 : 1, 0, 0);
    offer(o, CHOICE_TOLD_OFF, is_power_settling(o) ? 2 : 1, 0, 0);
}

void choices_offer(const struct scene *scene, const struct node *node, enum part part,
                   struct product *product) {
    const struct offers o = {&scene->setup, node, product, scene->has_throttle};
    product->part = part;
    product->spans = 0;
    product->choices = 0;
    product->count = 1;
    if (part == PART_EXTRAS) {
        offer_extra_spans(&o);
    } else {
        offer_spans(&o);
        offer_proofs(&o);
        offer_wanted(&o);
        offer_tracks(&o);
        offer_times(&o);
    }
    product->count *= product->spans;
}
