#include "prove/scenes/node.h"

#include <assert.h>
#include <string.h>

/* One walk over the fields packs and unpacks: so the two cannot differ. */
struct codec {
    uint64_t *word;
    unsigned at_bit;
    bool is_unpacking;
};

static unsigned code(struct codec *codec, unsigned value, unsigned bits) {
    if (codec->at_bit % 64 + bits > 64) { /* no value lies across two words */
        codec->at_bit += 64 - codec->at_bit % 64;
    }
    assert(value < 1u << bits && codec->at_bit + bits <= NODE_WORDS * 64);
    uint64_t *word = &codec->word[codec->at_bit / 64];
    unsigned shift = codec->at_bit % 64;
    codec->at_bit += bits;
    if (codec->is_unpacking) {
        return (unsigned)(*word >> shift) & ((1u << bits) - 1);
    }
    *word |= (uint64_t)value << shift;
    return value;
}

static void code_bool(struct codec *codec, bool *value) {
    *value = code(codec, *value ? 1 : 0, 1) != 0;
}

/* Running or not: how long it still runs is chosen anew in every step. */
static void code_countdown(struct codec *codec, uint32_t *left_us) {
    bool is_running = *left_us > 0;
    code_bool(codec, &is_running);
    *left_us = is_running ? SCENE_WHOLE_US : 0;
}

static void code_watch(struct codec *codec, struct watch *watch) {
    code_bool(codec, &watch->is_running);
    code_countdown(codec, &watch->left_us);
}

/* The judge's clock of something that must be so for a while: not so, so, so for long enough. */
static void code_while(struct codec *codec, struct judged_while *it, uint32_t limit_us) {
    bool is_long = it->was_so && it->for_us >= limit_us;
    code_bool(codec, &it->was_so);
    code_bool(codec, &is_long);
    it->for_us = is_long ? limit_us : 0;
}

/* What counts as proved once it has been told for long enough, where no proof is fitted. */
static void code_told(struct codec *codec, const struct scene *scene, bool has_proof,
                      struct watch *told, struct judged_while *judged) {
    if (has_proof) {
        *told = (struct watch){0};
        *judged = (struct judged_while){0};
    } else {
        code_watch(codec, told);
        code_while(codec, judged, scene->setup.proof_limit_us);
    }
}

/* Left out, because every step reads them anew before it uses them: is_occupied, is_approached,
 * is_just_left. Left out, because nothing decides by them: is_fresh (it only asks for an early
 * step). Left out, because the next move chooses them freely, which allows all that they could be:
 * the wanted flags (clients set them) and the watch of the approach (a move may let it be expired
 * or not whenever the approach reads clear, and it is neither running nor expired when it does
 * not). Left out as never expired, because its expiry is a fault, which a move can always have by a
 * lost device: signal_unproved, power_unproved. */
static void code_end(struct codec *codec, const struct scene *scene, struct node *node, unsigned t,
                     unsigned e) {
    const struct track_end_setup *has = &scene->setup.track[t].end[e];
    struct track_end_state *end = &node->state.track[t].end[e];
    struct track_end_outputs *before = &node->judge.before.track[t].end[e];
    struct seen_end *judged = &node->judge.track[t].end[e];
    if (end->approach_lock_us > 0) { /* the core may lock more than it must; the judge as much */
        judged->lock_left_us = end->approach_lock_us;
    }
    code_countdown(codec, &end->approach_lock_us);
    code_countdown(codec, &judged->lock_left_us);
    code_bool(codec, &end->shows_proceed);
    code_bool(codec, &before->signal_proceed);
    code_bool(codec, &end->is_powered);
    code_bool(codec, &before->stop_power);
    if (has->has_stop_detector) {
        code_watch(codec, &end->stop_clear);
        code_while(codec, &judged->stop_clear, scene->setup.clear_us);
    } else { /* always clear */
        end->stop_clear = (struct watch){.is_running = true};
    }
    code_told(codec, scene, has->has_signal_proof, &end->told_stop, &judged->told_stop);
    code_told(codec, scene, has->has_stop_power_proof, &end->told_off, &judged->told_off);
}

/* Has it run out, or does its time run: how much of that is left a move chooses anew. */
static void code_run_out(struct codec *codec, const struct scene *scene, struct node *node,
                         unsigned t) {
    struct seen_track *judged = &node->judge.track[t];
    if (seen_is_watched_whole(&scene->setup.track[t])) {
        return;
    }
    code_watch(codec, &node->state.track[t].run_out);
    code_bool(codec, &judged->has_run_out);
    code_bool(codec, &judged->running_out.was_so);
    judged->running_out.for_us = 0;
}

static void code_track(struct codec *codec, const struct scene *scene, struct node *node,
                       unsigned t) {
    struct track_state *track = &node->state.track[t];
    code_bool(codec, &track->is_powered);
    code_bool(codec, &node->judge.before.track[t].span_power);
    if (scene->setup.track[t].has_span_detector) {
        code_watch(codec, &track->span_clear);
        code_while(codec, &node->judge.track[t].span_clear, scene->setup.clear_us);
    } else {
        track->span_clear = (struct watch){.is_running = true};
    }
    code_told(codec, scene, scene->setup.track[t].has_span_power_proof, &track->told_off,
              &node->judge.track[t].told_off);
    code_run_out(codec, scene, node, t);
    for (unsigned e = 0; e < TRACK_ENDS; e++) {
        if (scene->setup.track[t].end[e].is_used) {
            code_end(codec, scene, node, t, e);
        }
    }
}

/* Of the motion only the direction is kept. Position and is_known come with the next move, by
 * reading, contact or (estimated) by choice; without a reading nothing but a fault depends on them.
 * The speed decides only the size of the effort. Its other fields only serve watches whose expiry
 * is a fault, which a lost device gives as well. */
static void code_motion(struct codec *codec, struct node *node) {
    struct motion_state *motion = &node->state.motion;
    motion->direction = (int)code(codec, (unsigned)(motion->direction + 1), 2) - 1;
    bool was_driven = node->judge.before.lift_effort != 0;
    code_bool(codec, &was_driven);
    node->judge.before.lift_effort = was_driven ? 1 : 0;
}

static void code_drive(struct codec *codec, enum lock_drive *drive) {
    *drive = (enum lock_drive)code(codec, *drive, 2);
}

/* What was put out to the bar; and, where a contact is missing, what its time says. */
static void code_lock(struct codec *codec, const struct scene *scene, struct node *node) {
    const struct bridge_setup *has = &scene->setup;
    code_drive(codec, &node->judge.before.lock);
    code_drive(codec, &node->state.lock.put_out);
    if (!has->has_lock_drive || (has->has_locked && has->has_withdrawn)) {
        node->state.lock.driven = node->state.lock.withdrawn = (struct watch){0};
        return;
    }
    code_watch(codec, &node->state.lock.driven);
    code_watch(codec, &node->state.lock.withdrawn);
    code_while(codec, &node->judge.driven_in, has->lock_limit_us);
    code_while(codec, &node->judge.driven_out, has->lock_limit_us);
    code_bool(codec, &node->judge.is_bar_in);
    code_bool(codec, &node->judge.is_bar_out);
}

/* Up, down or none; how hard it drives decides nothing. */
static void code_jog(struct codec *codec, struct jog_state *jog) {
    int direction = jog->left_us > 0 ? jog->direction : 0;
    direction = (int)code(codec, (unsigned)(direction + 1), 2) - 1;
    *jog = (struct jog_state){direction, 0, direction != 0 ? SCENE_WHOLE_US : 0};
}

/* In a hand or not. How fast it asks to go decides only the size of the effort. */
static void code_throttle(struct codec *codec, struct throttle_state *throttle) {
    bool is_held = throttle->share > 0;
    code_bool(codec, &is_held);
    *throttle = (struct throttle_state){0};
    if (is_held) {
        *throttle = (struct throttle_state){SCENE_SHARE, false, SCENE_WHOLE_US};
    }
}

/* The horn is silent, or sounds its last blast, which may end in any step or not. */
static void code_horn(struct codec *codec, struct horn_state *horn) {
    bool sounds = horn->signal != HORN_SILENT;
    code_bool(codec, &sounds);
    *horn = (struct horn_state){HORN_SILENT, 0, 0};
    if (sounds) { /* the gap after the second of "Ps" */
        *horn = (struct horn_state){HORN_OPENING, 3, SCENE_WHOLE_US};
    }
}

/* The longest time of proving is left out as never over: where rails are missing its end is a
 * fault, which a lost device gives as well, and where they are not it is nothing. */
static void code_limit(struct codec *codec, struct bridge_state *state) {
    if (state->phase == PHASE_PROVING) {
        state->phase_limit = (struct watch){true, SCENE_WHOLE_US};
    } else {
        code_watch(codec, &state->phase_limit);
    }
}

/* Left out, because nothing decides by them: fault (its cause), is_horn_asked, has_opened,
 * has_given_up, openings. Left out as over, because more is granted so: word_barred_left_us.
 * Contacts are left out because these scenes do not debounce: each step takes them whole.
 * Debouncing puts another contact in front, whose believed levels are again any sequence of levels,
 * and bridge_step() reads nothing else of it. */
static void code_node(struct codec *codec, const struct scene *scene, struct node *node) {
    struct bridge_state *state = &node->state;
    state->phase = code(codec, state->phase, 4);
    state->goal = code(codec, state->goal, 2);
    code_limit(codec, state);
    code_countdown(codec, &state->warning_left_us);
    code_countdown(codec, &state->push_left_us);
    code_bool(codec, &state->is_cut);
    code_jog(codec, &state->jog);
    code_throttle(codec, &state->throttle);
    code_motion(codec, node);
    code_lock(codec, scene, node);
    code_countdown(codec, &state->seen_clear_left_us);
    if (state->seen_clear_left_us == 0) { /* a word that was not taken gives the core no right */
        node->judge.word_left_us = 0;
    }
    code_countdown(codec, &node->judge.word_left_us);
    code_horn(codec, &state->horn);
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        code_track(codec, scene, node, t);
    }
}

struct packed node_pack(const struct scene *scene, struct node *node) {
    struct packed packed = {{0}};
    struct codec codec = {packed.word, 0, false};
    code_node(&codec, scene, node);
    return packed;
}

void node_unpack(const struct scene *scene, const struct packed *packed, struct node *node) {
    struct packed copy = *packed;
    struct codec codec = {copy.word, 0, true};
    memset(node, 0, sizeof *node);
    node->judge.has_begun = true;
    code_node(&codec, scene, node);
}

void node_start(const struct scene *scene, struct node *node) {
    memset(node, 0, sizeof *node);
    bridge_start(&scene->setup, &node->state);
    node->judge.has_begun = true;
    for (unsigned t = 0; t < scene->setup.tracks; t++) {
        for (unsigned e = 0; e < TRACK_ENDS; e++) {
            node->judge.track[t].end[e].lock_left_us =
                scene->setup.track[t].end[e].approach_lock_us;
        }
    }
}
