/* The steps that move the span: direction, starting effort, seat, a full run, open. */
#include "core/words/names.h"
#include "tools/drawtender/commission/commission.h"

#include <math.h>
#include <string.h>

enum { NUDGES = 8, EFFORT_STEPS = 20, NUDGES_AN_EFFORT = 8 };

static const struct motion_setup *motion_of(const struct commission *commission) {
    return &commission->config.net.bridge[commission->bridge].setup.motion;
}

/* As far as the bridge itself wants to see a span go that is driven: or it would go on counting the
 * nudges of the next step to those of this one, and call it stuck. */
static int way(const struct commission *commission, double moved_frac) {
    double least_frac = fmax(commission_moved_frac, motion_of(commission)->no_movement_frac);
    return fabs(moved_frac) < least_frac ? 0 : moved_frac > 0 ? 1 : -1;
}

static bool is_phase(const struct commission *commission, const char *phase) {
    return picture_is_phase(&commission->tool->link.picture, phase);
}

/* Raised until it begins to move, and held there. Held or lined before that is given up. */
static enum outcome lift_off(struct commission *commission) {
    static const char *const moves[] = {"raising", "open", "held", "lined", NULL};
    static const char *const held[] = {"held", "open", NULL}; /* open: sooner than the stop */
    enum outcome outcome = commission_set(commission, COMMISSION_RAISE, 1);
    if (outcome == OUTCOME_DONE) {
        outcome = commission_wait(commission, moves, NULL);
    }
    if (outcome == OUTCOME_DONE &&
        (is_phase(commission, "held") || is_phase(commission, "lined"))) {
        return commission_not_there(commission, "given up before the span began to rise");
    }
    if (outcome == OUTCOME_DONE) {
        outcome = commission_set(commission, COMMISSION_STOP, 1);
    }
    return outcome == OUTCOME_DONE ? commission_wait(commission, held, NULL) : outcome;
}

/* The bridge's own watch has found out what the nudges are for: the span does not go that way. */
static bool is_held_fast(const struct commission *commission) {
    const char *fault = commission->tool->link.picture.fault;
    return strcmp(fault, bridge_fault_name(FAULT_STALL)) == 0 ||
           strcmp(fault, bridge_fault_name(FAULT_NO_MOVEMENT)) == 0;
}

/* Held again, so that the other way or more effort can be tried. On its seat again it is lined, and
 * no further nudge can move it: the person is told what to look at instead. */
static enum outcome acknowledge(struct commission *commission) {
    static const char *const rests[] = {"held", "open", "lined", NULL};
    commission_say(commission, "\n    stopped by the bridge: %s; acknowledged\n",
                   commission->tool->link.picture.fault_words);
    enum outcome outcome = commission_set(commission, COMMISSION_ACKNOWLEDGE, 1);
    if (outcome == OUTCOME_DONE) {
        outcome = commission_wait(commission, rests, NULL);
    }
    if (outcome == OUTCOME_DONE && is_phase(commission, "lined")) {
        error_set(&commission->tool->error, "",
                  "the nudges did not lift the span off its seat, and it is lined again: look at "
                  "motor, supply, driver and gears, or let more effort be given (\"full effort\", "
                  "\"creep speed\"), then begin again");
        return OUTCOME_REFUSED;
    }
    return outcome;
}

static bool has_position(const struct commission *commission) {
    return motion_of(commission)->has_position;
}

/* Eyes see nothing of a simulated span, and it has no position sensor to tell them. */
static void tell_of_simulation(const struct commission *commission, const char *reply) {
    if (commission->config.bridge[commission->bridge].has_simulation) {
        commission_say(commission, "  (simulated: there is nothing to see; answer %s)\n", reply);
    }
}

/* Off its seat, and without a position sensor, nothing but eyes sees which way it goes. */
static enum outcome ask_way(struct commission *commission, unsigned port, int *went) {
    static const char question[] = "Which way did it go, by your own eyes? (up, down, none):";
    char line[PERSON_LINE_SIZE];
    tell_of_simulation(commission, port == COMMISSION_JOG_UP ? "up" : "down");
    while (person_line(&commission->person, question, line)) {
        bool is_up = strcmp(line, "up") == 0 || strcmp(line, "u") == 0;
        bool is_down = strcmp(line, "down") == 0 || strcmp(line, "d") == 0;
        if (is_up || is_down || strcmp(line, "none") == 0 || strcmp(line, "n") == 0) {
            *went = is_up - is_down;
            return OUTCOME_DONE;
        }
        commission_say(commission, "Please answer up, down or none, or q to leave.\n");
    }
    return commission_left(commission);
}

/* Nudges until the span has moved; each is asked for. */
static enum outcome nudge_until_moved(struct commission *commission, unsigned port, int *went,
                                      double *most_a) {
    double sum_frac = 0;
    *went = 0;
    for (unsigned i = 0; i < NUDGES && *went == 0; i++) {
        double moved_frac;
        double current_a;
        if (!person_enter(&commission->person, port == COMMISSION_JOG_UP
                                                   ? "Enter: one nudge UP:"
                                                   : "Enter: one nudge DOWN:")) {
            return commission_left(commission);
        }
        enum outcome outcome = commission_nudge(commission, port, 1, &moved_frac, &current_a);
        if (outcome == OUTCOME_FAULT && is_held_fast(commission)) {
            return acknowledge(commission);
        }
        if (outcome != OUTCOME_DONE) {
            return outcome;
        }
        sum_frac += moved_frac;
        *most_a = fmax(*most_a, current_a);
        *went = way(commission, sum_frac);
        if (*went == 0 && !has_position(commission)) {
            outcome = ask_way(commission, port, went);
        }
        if (outcome != OUTCOME_DONE) {
            return outcome;
        }
    }
    return OUTCOME_DONE;
}

enum outcome commission_direction(struct commission *commission) {
    commission_say(commission,
                   "\nStep 2: direction. THE SPAN MOVES: after the warning it is unlocked, raised "
                   "until it begins to move, and held; then it is nudged at creep speed for less "
                   "than half a second at a time. Keep clear of the span and the counterweight, "
                   "with a hand on the hard-wired stop.\n");
    if (!person_word(&commission->person,
                     "Type raise and Enter to unlock and raise it:", "raise")) {
        return commission_left(commission);
    }
    struct findings_nudge seen = {0};
    double most_a = NAN;
    enum outcome outcome = lift_off(commission);
    if (outcome == OUTCOME_DONE) {
        outcome = nudge_until_moved(commission, COMMISSION_JOG_UP, &seen.went_when_up, &most_a);
    }
    if (outcome == OUTCOME_DONE && seen.went_when_up == 0) {
        outcome = nudge_until_moved(commission, COMMISSION_JOG_DOWN, &seen.went_when_down, &most_a);
    }
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    seen.current =
        findings_current(most_a, commission->config.bridge[commission->bridge].motor.no_load_a);
    enum finding finding = findings_of_nudge(&seen);
    if (!commission_report(commission, "lift", finding)) {
        error_set(&commission->tool->error, "", "fix the lift first: %s", finding_text(finding));
        return OUTCOME_REFUSED;
    }
    return OUTCOME_DONE;
}

/* As hard as creep takes: no jog is harder. */
static double creep_effort(const struct motion_setup *motion) {
    return motion->effort_start + (motion->effort_full - motion->effort_start) *
                                      motion->creep_speed_frac_s / motion->full_speed_frac_s;
}

/* A few nudges in a row with the same effort: whether the span has moved. */
static enum outcome try_effort(struct commission *commission, unsigned permille, bool *has_moved) {
    double sum_frac = 0;
    enum outcome outcome = OUTCOME_DONE;
    *has_moved = false;
    for (unsigned i = 0; i < NUDGES_AN_EFFORT && outcome == OUTCOME_DONE && !*has_moved; i++) {
        double moved_frac;
        double current_a;
        outcome =
            commission_nudge(commission, COMMISSION_JOG_UP, permille, &moved_frac, &current_a);
        if (outcome == OUTCOME_FAULT && is_held_fast(commission)) {
            return acknowledge(commission); /* a slow machine's nudges are longer */
        }
        sum_frac += moved_frac;
        *has_moved = way(commission, sum_frac) > 0;
    }
    if (outcome != OUTCOME_DONE || *has_moved || has_position(commission)) {
        return outcome;
    }
    tell_of_simulation(commission, "yes");
    return person_yes(&commission->person, "Did it go up, by your own eyes? (yes, no)", has_moved)
               ? OUTCOME_DONE
               : commission_left(commission);
}

enum outcome commission_start(struct commission *commission) {
    commission_say(
        commission,
        "\nStep 3: least starting effort. THE SPAN MOVES a little: each Enter gives up "
        "to eight upward nudges with one effort, the next Enter with a little more. %s\n",
        has_position(commission) ? "The step ends when the position has changed."
                                 : "No position sensor sees it move: watch it, you are asked.");
    double most = creep_effort(motion_of(commission));
    for (unsigned i = 1; i <= EFFORT_STEPS; i++) {
        char question[80];
        bool has_moved;
        unsigned permille = (unsigned)fmax(2, ceil(most * i / EFFORT_STEPS * 1000));
        snprintf(question, sizeof question,
                 "Enter: UP with %.1f %% of the supply:", permille / 10.0);
        if (!person_enter(&commission->person, question)) {
            return commission_left(commission);
        }
        enum outcome outcome = try_effort(commission, permille, &has_moved);
        if (outcome != OUTCOME_DONE) {
            return outcome;
        }
        if (has_moved) {
            commission->found.starting_effort = permille / 1000.0;
            commission_say(commission, "  it moved with %.1f %% of the supply.\n", permille / 10.0);
            return OUTCOME_DONE;
        }
    }
    commission_say(
        commission,
        "  it did not move, even with the effort for creep; the starting effort stays as it is.\n");
    return OUTCOME_DONE;
}

/* Names a contact that does not read as it must in this place. */
static void tell_place(const struct commission *commission, const char *contact) {
    char label[64];
    snprintf(label, sizeof label, "contact %s", contact);
    bool is_there = picture_labelled(&commission->tool->link.picture, SRCP_FB, label) != NULL;
    if (is_there && !commission_contact(commission, contact)) {
        commission_say(commission, "  %s does not read made here: move the contact.\n", contact);
    }
}

static double place(const struct commission *commission) {
    return has_position(commission) ? commission->tool->link.picture.motion.position : (double)NAN;
}

enum outcome commission_seat(struct commission *commission) {
    commission_say(commission, "\nStep 4: seated. THE SPAN MOVES while you hold a key.\n");
    enum outcome outcome =
        commission_jog(commission, "Jog it down until you see it rest on its seat.");
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    commission->found.seated = place(commission);
    if (has_position(commission)) {
        commission_say(commission, "  the position reads %.1f %s here.\n", commission->found.seated,
                       commission->tool->link.picture.motion.unit);
    }
    tell_place(commission, "seated");
    tell_place(commission, "nearly-seated");
    tell_place(commission, "rail-1");
    tell_place(commission, "rail-2");
    return OUTCOME_DONE;
}

/* What was not measured is left out. */
static void tell_run(const struct commission *commission, double moving_s) {
    double most_a = commission->found.most_a;
    if (!isnan(moving_s)) {
        commission_say(commission, "  it took %.1f s.\n", moving_s);
    }
    if (!isnan(most_a)) {
        commission_say(commission, "  it took at most %.2f A so far.\n", most_a);
    }
}

static enum outcome run(struct commission *commission, unsigned port, const char *const end[],
                        double *moving_s) {
    enum outcome outcome = commission_set(commission, port, 1);
    if (outcome == OUTCOME_DONE) {
        outcome = commission_wait(commission, end, moving_s);
    }
    if (outcome == OUTCOME_DONE && !is_phase(commission, end[0])) {
        return commission_not_there(commission, "the run did not come to its end");
    }
    if (outcome == OUTCOME_DONE) {
        tell_run(commission, *moving_s);
    }
    return outcome;
}

enum outcome commission_run_up(struct commission *commission) {
    static const char *const open[] = {"open", "lined", "held", NULL};
    commission_say(commission,
                   "\nStep 5: a full run up at the configured speed (begin with a slow one). THE "
                   "SPAN MOVES all the way, after the warning. Ctrl-C or q asks it to stop; the "
                   "hard-wired stop is quicker.\n");
    if (!person_word(&commission->person,
                     "Type raise and Enter to raise it all the way:", "raise")) {
        return commission_left(commission);
    }
    /* From where it is held a raise begins with clearing: the phase has changed by then. */
    return run(commission, COMMISSION_RAISE, open, &commission->found.up_s);
}

enum outcome commission_open(struct commission *commission) {
    commission_say(commission, "\nStep 6: open. THE SPAN MOVES while you hold a key.\n");
    enum outcome outcome = commission_jog(commission, "Jog it until you see it fully open.");
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    commission->found.open = place(commission);
    if (has_position(commission)) {
        commission_say(commission, "  the position reads %.1f %s here.\n", commission->found.open,
                       commission->tool->link.picture.motion.unit);
    }
    tell_place(commission, "open");
    tell_place(commission, "nearly-open");
    tell_place(commission, "within-travel");
    return OUTCOME_DONE;
}

enum outcome commission_run_down(struct commission *commission) {
    static const char *const lined[] = {"lined", "open", NULL};
    commission_say(commission, "\nStep 7: a full run down. THE SPAN MOVES all the way, after the "
                               "warning, and is locked. Ctrl-C or q asks it to stop.\n");
    if (!person_word(&commission->person,
                     "Type lower and Enter to lower it all the way:", "lower")) {
        return commission_left(commission);
    }
    return run(commission, COMMISSION_LOWER, lined, &commission->found.down_s);
}
