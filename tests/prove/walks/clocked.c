#include "prove/walks/clocked.h"

#include "core/words/names.h"
#include "prove/judges/judge.h"
#include "prove/walks/found.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* A core whose states have no end is broken, too. */
enum { BAR_IN = 2, STATES_MOST = 300000 };

struct world {
    int32_t place;
    int32_t bar;               /* 0 withdrawn, BAR_IN locked */
    int32_t is_read;           /* the readings have come, once and for all */
    int32_t has_phase_changed; /* in the last step: the next follows at once, whatever there is */
};

struct whole {
    struct node node;
    struct lengths lengths;
    struct world world;
    struct bridge_inputs last; /* what the step before was given */
};

struct walk {
    const struct clock_scene *scene;
    struct scene as_scene;
    struct clocked result;
    struct found states;
    size_t size; /* of a kept state */
    uint32_t *came_from;
    uint32_t *came_by;
    size_t came_room;
    uint32_t broken_from, broken_by;
};

/* ---- keeping: of the tracks only the first is there. What lies between the members of a struct
 * may be anything, and would make one state two. */

static void tidy_watch(struct watch *watch) {
    const struct watch copy = *watch;
    memset(watch, 0, sizeof *watch);
    watch->is_running = copy.is_running;
    watch->left_us = copy.left_us;
}

static void tidy_while(struct judged_while *it) {
    const struct judged_while copy = *it;
    memset(it, 0, sizeof *it);
    it->was_so = copy.was_so;
    it->for_us = copy.for_us;
}

static void tidy_jog(struct jog_state *jog) {
    const struct jog_state copy = *jog;
    memset(jog, 0, sizeof *jog);
    jog->direction = copy.direction;
    jog->effort_most = copy.effort_most;
    jog->left_us = copy.left_us;
}

static void tidy_throttle(struct throttle_state *throttle) {
    const struct throttle_state copy = *throttle;
    memset(throttle, 0, sizeof *throttle);
    throttle->share = copy.share;
    throttle->is_voltage = copy.is_voltage;
    throttle->left_us = copy.left_us;
}

/* Where nothing is counted, and nothing is driven that way, the next drive marks its start anew. */
static void tidy_stillness(struct motion_state *motion) {
    for (int way = 0; way < 2; way++) {
        bool is_driven = motion->direction == 1 - 2 * way;
        if (motion->no_movement[way].ease_us == 0 && !is_driven) {
            motion->watch_frac[way] = motion->watch_effort[way] = 0;
        }
    }
}

static void tidy(struct whole *w) {
    struct bridge_state *state = &w->node.state;
    struct track_state *track = &state->track[0];
    struct seen *seen = &w->node.judge;
    struct watch *const watches[] = {
        &state->phase_limit,
        &state->lock.driven,
        &state->lock.withdrawn,
        &state->motion.no_movement[0].watch,
        &state->motion.no_movement[1].watch,
        &state->motion.stall.watch,
        &state->motion.binding,
        &track->span_clear,
        &track->power_unproved,
        &track->told_off,
        &track->run_out,
        &track->end[0].approach_clear,
        &track->end[1].approach_clear,
        &track->end[0].stop_clear,
        &track->end[1].stop_clear,
        &track->end[0].signal_unproved,
        &track->end[1].signal_unproved,
        &track->end[0].power_unproved,
        &track->end[1].power_unproved,
        &track->end[0].told_stop,
        &track->end[1].told_stop,
        &track->end[0].told_off,
        &track->end[1].told_off,
    };
    struct judged_while *const whiles[] = {&seen->driven_in, &seen->driven_out,
                                           &seen->track[0].running_out};
    for (size_t i = 0; i < sizeof watches / sizeof watches[0]; i++) {
        tidy_watch(watches[i]);
    }
    for (size_t i = 0; i < sizeof whiles / sizeof whiles[0]; i++) {
        tidy_while(whiles[i]);
    }
    tidy_jog(&state->jog);
    tidy_throttle(&state->throttle);
    tidy_stillness(&state->motion);
    memset(&seen->proved, 0, sizeof seen->proved);
    state->openings = 0; /* counts, and decides nothing */
}

/* Clocks of the judge that count on need not, once they have reached what they are compared with.
 */
static void cap(uint32_t *time_us, uint32_t most_us) {
    *time_us = *time_us > most_us ? most_us : *time_us;
}

static void cap_contacts(struct seen *seen, uint32_t debounce_us) {
    struct judged_contact *const contacts[] = {
        &seen->seated,        &seen->locked,      &seen->withdrawn,    &seen->open,
        &seen->nearly_seated, &seen->nearly_open, &seen->within_travel};
    for (size_t i = 0; i < sizeof contacts / sizeof contacts[0]; i++) {
        cap(&contacts[i]->held_for_us, debounce_us);
    }
    for (unsigned i = 0; i < BRIDGE_RAILS_MAX; i++) {
        cap(&seen->rail[i].held_for_us, debounce_us);
    }
}

static void cap_all(const struct bridge_setup *setup, struct whole *w) {
    struct seen *seen = &w->node.judge;
    struct seen_track *track = &seen->track[0];
    cap_contacts(seen, setup->debounce_us);
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        cap(&track->end[e].approach_clear.for_us, setup->clear_us);
        cap(&track->end[e].stop_clear.for_us, setup->clear_us);
        cap(&track->end[e].told_stop.for_us, setup->proof_limit_us);
        cap(&track->end[e].told_off.for_us, setup->proof_limit_us);
    }
    cap(&track->span_clear.for_us, setup->clear_us);
    cap(&track->told_off.for_us, setup->proof_limit_us);
    cap(&track->running_out.for_us, setup->track[0].run_out_us);
    cap(&seen->driven_in.for_us, setup->lock_limit_us);
    cap(&seen->driven_out.for_us, setup->lock_limit_us);
    lengths_cap(setup, w->node.state.phase, &w->lengths);
}

static size_t pieces(const struct whole *w, const void *at[], size_t size[]) {
    const char *state = (const char *)&w->node.state;
    const char *seen = (const char *)&w->node.judge;
    const char *rest = (const char *)&w->lengths;
    size_t n = 0;
    at[n] = state;
    size[n++] = offsetof(struct bridge_state, track) + sizeof(struct track_state);
    at[n] = state + offsetof(struct bridge_state, motion);
    size[n++] = sizeof(struct bridge_state) - offsetof(struct bridge_state, motion);
    at[n] = seen;
    size[n++] = offsetof(struct seen, track) + sizeof(struct seen_track);
    at[n] = rest;
    size[n++] = sizeof *w - offsetof(struct whole, lengths);
    return n;
}

static size_t kept_size(void) {
    struct whole w;
    const void *at[4];
    size_t size[4], all = 0;
    for (size_t n = pieces(&w, at, size); n-- > 0;) {
        all += size[n];
    }
    return (all + 7) / 8 * 8;
}

static void keep(const struct whole *w, char *to) {
    const void *at[4];
    size_t size[4];
    size_t count = pieces(w, at, size);
    for (size_t n = 0; n < count; n++) {
        memcpy(to, at[n], size[n]);
        to += size[n];
    }
}

static void take_back(const char *from, struct whole *w) {
    const void *at[4];
    size_t size[4];
    memset(w, 0, sizeof *w);
    size_t count = pieces(w, at, size);
    for (size_t n = 0; n < count; n++) {
        memcpy((void *)(uintptr_t)at[n], from, size[n]);
        from += size[n];
    }
}

/* ---- the choices of one step, as digits of its number */

struct chosen {
    struct bridge_request request;
    bool is_restart;
    bool is_approach, is_approach_1, is_on_stop, is_on_span; /* trains */
    bool is_standing;
    bool is_signal_denied, is_power_denied;
    int span; /* 0 obeys, 1 sticks, 2 goes up by itself, 3 goes down, 4 too fast */
    bool is_current_high;
    bool is_seated_wrong, is_rail_wrong, is_open_dead;
    bool is_bar_stuck;
    bool reads_now;
    bool is_late, is_lost;
};

/* Takes one digit of the number, where that is at liberty. */
static unsigned digit(const struct clock_scene *scene, unsigned liberty, unsigned count,
                      unsigned *number, unsigned *all) {
    if ((scene->free & liberty) == 0) {
        return 0;
    }
    unsigned value = *number % count;
    *number /= count;
    *all *= count;
    return value;
}

static void add_request(enum bridge_request_kind *kinds, unsigned *count,
                        enum bridge_request_kind kind) {
    kinds[(*count)++] = kind;
}

static unsigned requests(const struct clock_scene *scene, enum bridge_request_kind *kinds) {
    unsigned count = 0;
    add_request(kinds, &count, REQUEST_NONE);
    if ((scene->free & (FREE_RAISE_LOWER | FREE_OPENING)) != 0) {
        add_request(kinds, &count, REQUEST_RAISE);
        add_request(kinds, &count, REQUEST_LOWER);
    }
    if ((scene->free & FREE_STOP) != 0) {
        add_request(kinds, &count, REQUEST_STOP);
    }
    if ((scene->free & FREE_JOG) != 0) {
        add_request(kinds, &count, REQUEST_JOG_UP);
        add_request(kinds, &count, REQUEST_JOG_DOWN);
    }
    if ((scene->free & FREE_THROTTLE) != 0) {
        add_request(kinds, &count, REQUEST_THROTTLE_UP);
        add_request(kinds, &count, REQUEST_THROTTLE_DOWN);
        add_request(kinds, &count, REQUEST_THROTTLE_HOLD);
    }
    if ((scene->free & FREE_EMERGENCY) != 0) {
        add_request(kinds, &count, REQUEST_EMERGENCY_STOP);
        add_request(kinds, &count, REQUEST_ACKNOWLEDGE);
        add_request(kinds, &count, REQUEST_POWER_ON);
    }
    if ((scene->free & FREE_PROCEED) != 0) {
        add_request(kinds, &count, REQUEST_SIGNAL_STOP);
        add_request(kinds, &count, REQUEST_SIGNAL_PROCEED);
    }
    if ((scene->free & FREE_WORD) != 0) {
        add_request(kinds, &count, REQUEST_SEEN_CLEAR);
    }
    return count;
}

/* Fills `chosen` by the number; returns how many numbers there are. */
static unsigned choose(const struct clock_scene *scene, unsigned number, struct chosen *chosen) {
    enum bridge_request_kind kinds[REQUEST_HORN_OFF + 1];
    unsigned all = requests(scene, kinds);
    memset(chosen, 0, sizeof *chosen);
    chosen->request.kind = kinds[number % all];
    number /= all;
    static const double shares[] = {1, 0.5, 0.02}; /* the last is out of the range */
    chosen->request.share = shares[digit(scene, FREE_THROTTLE, 3, &number, &all)];
    chosen->is_approach = digit(scene, FREE_APPROACH, 2, &number, &all);
    chosen->is_approach_1 = digit(scene, FREE_APPROACH_1, 2, &number, &all);
    chosen->is_on_stop = digit(scene, FREE_STOP_SECTION, 2, &number, &all);
    chosen->is_on_span = digit(scene, FREE_SPAN_SECTION, 2, &number, &all);
    chosen->is_standing = digit(scene, FREE_STANDING, 2, &number, &all);
    chosen->is_signal_denied = digit(scene, FREE_SIGNAL_PROOF, 2, &number, &all);
    chosen->is_power_denied = digit(scene, FREE_POWER_PROOF, 2, &number, &all);
    chosen->span = (int)digit(scene, FREE_SPAN, 5, &number, &all);
    chosen->span += (int)digit(scene, FREE_STICK, 2, &number, &all);
    chosen->is_current_high = digit(scene, FREE_CURRENT, 2, &number, &all);
    chosen->is_seated_wrong = digit(scene, FREE_CONTACT, 2, &number, &all);
    chosen->is_rail_wrong = digit(scene, FREE_RAIL, 2, &number, &all);
    chosen->is_open_dead = digit(scene, FREE_OPEN, 2, &number, &all);
    chosen->is_bar_stuck = digit(scene, FREE_BAR, 2, &number, &all);
    chosen->reads_now = digit(scene, FREE_READINGS, 2, &number, &all);
    chosen->is_late = digit(scene, FREE_LATE, 2, &number, &all);
    chosen->is_lost = digit(scene, FREE_LOST, 2, &number, &all);
    chosen->is_restart = digit(scene, FREE_RESTART, 2, &number, &all);
    return all;
}

/* ---- the world */

static int gone(const struct clock_scene *scene, const struct whole *w, const struct chosen *c) {
    const struct motion_state *motion = &w->node.state.motion;
    double tick_s = scene->tick_us / 1e6;
    int obeyed =
        w->node.judge.before.lift_effort == 0
            ? 0
            : motion->direction * (int)ceil(motion->speed_frac_s * tick_s * scene->places - 1e-9);
    switch (c->span) {
    case 1:
        return 0;
    case 2:
        return 1;
    case 3:
        return -1;
    case 4:
        return obeyed * 2;
    default:
        return obeyed;
    }
}

static void go_on(const struct clock_scene *scene, struct whole *w, const struct chosen *c) {
    struct world *world = &w->world;
    bool may_leave = (scene->free & FREE_SPAN) != 0; /* beyond its end, too */
    int most = scene->places + (may_leave ? 2 : 0);
    world->place += gone(scene, w, c);
    world->place = world->place < 0 ? 0 : world->place > most ? most : world->place;
    enum lock_drive lock = w->node.judge.before.lock;
    world->bar += c->is_bar_stuck                                    ? 0
                  : lock == LOCK_DRIVE_DRIVEN && world->bar < BAR_IN ? 1
                  : lock == LOCK_DRIVE_WITHDRAWN && world->bar > 0   ? -1
                                                                     : 0;
    world->is_read = world->is_read || c->reads_now || (scene->free & FREE_READINGS) == 0;
}

static enum level made_if(bool is_made) {
    return is_made ? LEVEL_ON : LEVEL_OFF;
}

static void show_span(const struct clock_scene *scene, const struct whole *w,
                      const struct chosen *c, struct bridge_inputs *in) {
    int open = scene->places;
    const struct world *world = &w->world;
    in->seated = made_if((world->place == 0) != c->is_seated_wrong);
    in->nearly_seated = made_if(world->place * 10 <= open);
    in->open = made_if(world->place >= open && !c->is_open_dead);
    in->nearly_open = made_if((open - world->place) * 10 <= open);
    in->within_travel = made_if(world->place <= open + 1);
    in->locked = made_if(world->bar == BAR_IN);
    in->withdrawn = made_if(world->bar == 0);
    in->position_frac = (double)world->place / open;
    in->current_a = c->is_current_high ? 9 : 1;
    in->stop_circuit = LEVEL_ON;
    for (unsigned i = 0; i < BRIDGE_RAILS_MAX; i++) {
        in->rail[i] = made_if(world->place == 0);
    }
}

static void show_tracks(const struct clock_scene *scene, const struct whole *w,
                        const struct chosen *c, struct bridge_inputs *in) {
    const struct track_outputs *before = &w->node.judge.before.track[0];
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        bool is_near = e == 0 ? c->is_approach : c->is_approach_1;
        struct track_end_inputs *end = &in->track[0].end[e];
        end->approach_clear = made_if(!is_near);
        end->standing = made_if(c->is_standing && is_near);
        end->stop_clear = made_if(!(c->is_on_stop && e == 0));
        end->signal_at_stop =
            made_if(!before->end[e].signal_proceed && !(c->is_signal_denied && e == 0));
        end->stop_dead = made_if(!before->end[e].stop_power);
    }
    in->track[0].span_clear = made_if(!c->is_on_span);
    in->track[0].span_dead = made_if(!before->span_power && !c->is_power_denied);
    if (c->is_rail_wrong && scene->setup.rails > 0) {
        enum level *rail = &in->rail[scene->setup.rails - 1];
        *rail = made_if(*rail != LEVEL_ON);
    }
}

static void show(const struct clock_scene *scene, const struct whole *w, const struct chosen *c,
                 struct bridge_inputs *in) {
    memset(in, 0, sizeof *in);
    show_span(scene, w, c, in);
    show_tracks(scene, w, c, in);
    in->is_device_lost = c->is_lost;
    in->late_us = c->is_late ? scene->tick_us : 0;
    if (!w->world.is_read) {
        in->position_frac = NAN;
        in->seated = in->nearly_seated = LEVEL_UNKNOWN;
    }
}

/* ---- a step */

static void start(const struct walk *x, struct whole *w) {
    node_start(&x->as_scene, &w->node);
    w->node.judge.has_begun = false;
    memset(&w->lengths, 0, sizeof w->lengths);
}

static bool is_same_input(const struct bridge_inputs *a, const struct bridge_inputs *b) {
    return memcmp(a, b, sizeof *a) == 0;
}

/* Whoever calls the core may sleep until the time that it gives; so nothing may come of a tick that
 * lies before; nor may that be so far ahead that a gap within it would pass unnoticed. But for the
 * end of a contact's chatter: it lies within its debouncing, and whoever sleeps through that finds
 * the contact settled. */
static const char *judge_wake(const struct walk *x, const struct whole *before,
                              const struct move *move, const struct whole *w) {
    uint32_t wake_us = bridge_wake_us(&x->scene->setup, &before->node.state);
    if (wake_us > LOOK_PERIOD_US && wake_us != UINT32_MAX) {
        return "the next look is planned too far ahead";
    }
    bool may_sleep = wake_us > x->scene->tick_us && !before->world.has_phase_changed &&
                     move->request.kind == REQUEST_NONE &&
                     is_same_input(&before->last, &move->inputs);
    bool is_same =
        before->node.state.phase == w->node.state.phase &&
        memcmp(&before->node.judge.before, &w->node.judge.before, sizeof w->node.judge.before) == 0;
    bool is_chatter_over =
        w->node.state.phase == PHASE_FAULT && w->node.state.fault == FAULT_INPUT_LOST;
    return may_sleep && !is_same && !is_chatter_over ? "something comes before the time to wake"
                                                     : NULL;
}

static const char *judge_sound(const struct walk *x, const struct whole *w) {
    bool is_fault =
        w->node.state.phase == PHASE_FAULT && w->node.state.fault != FAULT_EMERGENCY_STOP;
    return x->scene->is_sound && is_fault ? "a fault where nothing failed" : NULL;
}

/* One opening after another, none turned round. */
static void hold_back(const struct clock_scene *scene, enum bridge_phase phase,
                      struct bridge_request *request) {
    bool is_early = request->kind == REQUEST_RAISE ? phase != PHASE_LINED
                                                   : request->kind == REQUEST_LOWER &&
                                                         phase != PHASE_OPEN && phase != PHASE_HELD;
    if ((scene->free & FREE_OPENING) != 0 && is_early) {
        request->kind = REQUEST_NONE;
    }
}

static const char *go(struct walk *x, struct whole *w, unsigned number) {
    struct chosen chosen;
    choose(x->scene, number, &chosen);
    if (chosen.is_restart) {
        start(x, w);
        w->world.has_phase_changed = true;
        return NULL;
    }
    const struct whole before = *w;
    hold_back(x->scene, before.node.state.phase, &chosen.request);
    go_on(x->scene, w, &chosen);
    /* The first look is the start itself. */
    uint32_t dt_us = before.node.judge.has_begun ? x->scene->tick_us : 0;
    struct move move = {.request = chosen.request, .dt_us = dt_us};
    show(x->scene, w, &chosen, &move.inputs);
    const char *broken = judge_step(&x->as_scene, &move, &w->node, &w->lengths, NULL);
    w->last = move.inputs;
    w->world.has_phase_changed =
        w->node.state.phase != before.node.state.phase || chosen.request.kind != REQUEST_NONE;
    if (broken == NULL) {
        broken = judge_wake(x, &before, &move, w);
    }
    return broken != NULL ? broken : judge_sound(x, w);
}

/* ---- the walk */

static void add(struct walk *x, struct whole *w, uint32_t from, uint32_t by) {
    char kept[8192];
    assert(x->size <= sizeof kept);
    memset(kept, 0, x->size);
    cap_all(&x->scene->setup, w);
    tidy(w);
    keep(w, kept);
    uint32_t before = x->states.count;
    uint32_t number = found_add(&x->states, kept);
    if (number != before) {
        return;
    }
    if (number == x->came_room) {
        x->came_room = x->states.room;
        x->came_from = found_grown(x->came_from, x->came_room * sizeof *x->came_from);
        x->came_by = found_grown(x->came_by, x->came_room * sizeof *x->came_by);
    }
    x->came_from[number] = from;
    x->came_by[number] = by;
    x->result.states = x->states.count;
    x->result.phases |= 1u << w->node.state.phase;
    x->result.faults |= w->node.state.phase == PHASE_FAULT ? 1u << w->node.state.fault : 0;
}

static void walk_from(struct walk *x, uint32_t from) {
    struct whole at;
    struct chosen chosen;
    take_back(found_at(&x->states, from), &at);
    unsigned count = choose(x->scene, 0, &chosen);
    for (unsigned number = 0; number < count && x->result.broken == NULL; number++) {
        struct whole w = at;
        x->result.broken = go(x, &w, number);
        x->result.steps++;
        if (x->result.broken != NULL) {
            x->broken_from = from;
            x->broken_by = number;
            return;
        }
        add(x, &w, from, number);
    }
    if (x->result.states > STATES_MOST) {
        x->result.broken = "there are more states than there may be";
        x->broken_from = from;
    }
}

static void tell_if(bool is_so, const char *words) {
    if (is_so) {
        printf(", %s", words);
    }
}

static void tell_step(struct walk *x, uint32_t from, uint32_t number) {
    struct whole w;
    struct chosen c;
    take_back(found_at(&x->states, from), &w);
    choose(x->scene, number, &c);
    enum bridge_phase before = w.node.state.phase;
    go(x, &w, number);
    printf("  %s, %s", bridge_phase_name(before), bridge_request_name(c.request.kind));
    tell_if(c.is_restart, "restart");
    tell_if(c.is_approach, "train in approach");
    tell_if(c.is_approach_1, "train in the other approach");
    tell_if(c.is_on_stop, "train on stop section");
    tell_if(c.is_on_span, "train on span section");
    tell_if(c.is_standing, "stands");
    tell_if(c.is_signal_denied, "signal not proved");
    tell_if(c.is_power_denied, "not proved dead");
    tell_if(c.span == 1, "span sticks");
    tell_if(c.span == 2 || c.span == 3, "span moves by itself");
    tell_if(c.span == 4, "span too fast");
    tell_if(c.is_current_high, "current high");
    tell_if(c.is_seated_wrong, "seated contact wrong");
    tell_if(c.is_rail_wrong, "rail contact wrong");
    tell_if(c.is_open_dead, "open contact dead");
    tell_if(c.is_bar_stuck, "bar stuck");
    tell_if(c.is_late, "late");
    tell_if(c.is_lost, "device lost");
    printf("; at %d, bar %d, effort %.2f, lock %d -> %s", (int)w.world.place, (int)w.world.bar,
           w.node.judge.before.lift_effort, (int)w.node.judge.before.lock,
           bridge_phase_name(w.node.state.phase));
    tell_if(w.node.state.phase == PHASE_FAULT, bridge_fault_name(w.node.state.fault));
    putchar('\n');
}

static void tell(struct walk *x) {
    size_t length = 0;
    uint32_t *way = found_grown(NULL, (x->states.count + 1) * sizeof *way);
    for (uint32_t at = x->broken_from; x->came_from[at] != FOUND_NOTHING; at = x->came_from[at]) {
        way[length++] = at;
    }
    while (length > 0) {
        uint32_t at = way[--length];
        tell_step(x, x->came_from[at], x->came_by[at]);
    }
    tell_step(x, x->broken_from, x->broken_by);
    printf("  broken: %s\n", x->result.broken);
    free(way);
}

static bool is_start(const struct clock_scene *scene, int place) {
    return (place == 0 && (scene->start & CLOCK_SEATED) != 0) ||
           (place == scene->places && (scene->start & CLOCK_OPEN) != 0) ||
           (place == scene->places / 2 && (scene->start & CLOCK_HALF) != 0);
}

struct clocked clocked_walk(const struct clock_scene *scene) {
    struct walk x = {.scene = scene, .size = kept_size()};
    x.as_scene.setup = scene->setup;
    assert(bridge_setup_fault(&scene->setup) == NULL);
    found_start(&x.states, x.size);
    for (int place = 0; place <= scene->places; place++) {
        struct whole w;
        memset(&w, 0, sizeof w);
        start(&x, &w);
        w.world = (struct world){place, place == 0 ? BAR_IN : 0, (scene->free & FREE_READINGS) == 0,
                                 true};
        if (is_start(scene, place)) {
            add(&x, &w, FOUND_NOTHING, 0);
        }
    }
    for (uint32_t from = 0; from < x.result.states && x.result.broken == NULL; from++) {
        walk_from(&x, from);
    }
    if (x.result.broken != NULL) {
        tell(&x);
    }
    found_free(&x.states);
    free(x.came_from);
    free(x.came_by);
    return x.result;
}
