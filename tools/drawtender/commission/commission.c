#include "tools/drawtender/commission/commission.h"

#include <inttypes.h>
#include <math.h>
#include <stdarg.h>
#include <string.h>

/* Above the scatter of a usual position reading (judgement, no source). */
const double commission_moved_frac = 0.003;

void commission_say(const struct commission *commission, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    vfprintf(commission->tool->streams.out, format, arguments);
    va_end(arguments);
    fflush(commission->tool->streams.out);
}

bool commission_report(const struct commission *commission, const char *what,
                       enum finding finding) {
    bool is_good = finding == FINDING_GOOD;
    commission_say(commission, "  %s: %s%s%s.\n", what, finding_text(finding), is_good ? "" : "; ",
                   finding_remedy(finding));
    return is_good;
}

enum outcome commission_left(struct commission *commission) {
    struct error *error = &commission->tool->error;
    if (commission->person.is_lost) {
        error_set(
            error, "",
            "lost the connection to the server; a jog stops by itself, a run continues to its end");
        return OUTCOME_UNREACHABLE;
    }
    error_set(error, "", "quit before the end; nothing was written");
    return commission->person.is_interrupted ? OUTCOME_INTERRUPTED : OUTCOME_REFUSED;
}

enum outcome commission_set(struct commission *commission, unsigned port, unsigned value) {
    struct tool *tool = commission->tool;
    char line[96];
    struct srcp_answer reply;
    snprintf(line, sizeof line, "SET %u GA %" PRId32 " %u %u -1", tool->options->bus,
             bridge_link_span(&tool->link), port, value);
    enum outcome outcome = bridge_link_ask(&tool->link, line, &reply, &tool->error);
    if (outcome == OUTCOME_REFUSED && reply.code == SRCP_FORBIDDEN) {
        error_set(&tool->error, "",
                  "not permitted: set-up needs a listener with \"may\": \"administer\", and a "
                  "bridge with a lift");
    }
    return outcome == OUTCOME_DONE ? bridge_link_catch_up(&tool->link, &tool->error) : outcome;
}

static bool is_one_of(const struct picture *picture, const char *const phases[]) {
    for (size_t i = 0; phases[i] != NULL; i++) {
        if (picture_is_phase(picture, phases[i])) {
            return true;
        }
    }
    return false;
}

enum outcome commission_not_there(struct commission *commission, const char *words) {
    const struct picture *picture = &commission->tool->link.picture;
    bool is_waiting = picture->waits_for[0] != '\0';
    error_set(&commission->tool->error, "", "%s: the bridge is %s%s%.90s", words, picture->phase,
              is_waiting ? " and waits for " : "", picture->waits_for);
    return OUTCOME_REFUSED;
}

/* Nothing has come for too long: the server is asked, or one that answers would be called dead. */
static enum outcome waited_in_vain(struct commission *commission) {
    struct tool *tool = commission->tool;
    enum outcome outcome = bridge_link_catch_up(&tool->link, &tool->error);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    commission_not_there(commission, "waited in vain");
    return OUTCOME_TIMED_OUT;
}

static enum outcome broken_off(struct commission *commission, enum talk_event event) {
    if (event == TALK_INTERRUPTED) {
        return commission_left(commission);
    }
    if (event == TALK_TIMED_OUT) {
        return waited_in_vain(commission);
    }
    commission_not_there(commission, talk_event_text(event));
    return OUTCOME_UNREACHABLE;
}

/* The fault's name may come after the phase. */
static enum outcome faulted(struct commission *commission) {
    struct tool *tool = commission->tool;
    struct error ignored;
    bridge_link_catch_up(&tool->link, &ignored);
    error_set(&tool->error, "", "a fault is latched: %s: %s", tool->link.picture.fault,
              tool->link.picture.fault_words);
    return OUTCOME_FAULT;
}

/* What comes next, or why not: Ctrl-C and q end only these waits, not the stop that follows. Keys
 * that answer nothing end none. */
static enum outcome next(struct commission *commission, struct picture_change *change,
                         uint64_t *time_us) {
    struct bridge_link *link = &commission->tool->link;
    enum talk_event event;
    link->info.interrupt = commission->person.interrupt;
    link->info.typed = person_watched(&commission->person);
    do {
        event = bridge_link_next(link, change, time_us);
    } while (event == TALK_INTERRUPTED && person_overhear(&commission->person));
    link->info.interrupt = link->info.typed = -1;
    return event == TALK_ANSWER ? OUTCOME_DONE : broken_off(commission, event);
}

static void tell_phase(const struct commission *commission) {
    const struct picture *picture = &commission->tool->link.picture;
    commission_say(commission, "    %s%s%s\n", picture->phase,
                   picture->waits_for[0] != '\0' ? ", waits for " : "", picture->waits_for);
}

static bool is_word_awaited(const struct commission *commission) {
    return strstr(commission->tool->link.picture.waits_for, "seen clear") != NULL;
}

/* Nothing else tells the bridge of a train there. Refused, it is told why, and asked again. */
static enum outcome give_word(struct commission *commission) {
    if (!person_word(&commission->person,
                     "No detector sees the whole track. Do you see span and stop sections clear, "
                     "no train, no wagon? (yes):",
                     "yes")) {
        return commission_left(commission);
    }
    enum outcome outcome = commission_set(commission, COMMISSION_SEEN_CLEAR, 1);
    if (outcome == OUTCOME_REFUSED) {
        commission_say(commission, "    %s\n", commission->tool->error.what);
        return OUTCOME_DONE;
    }
    return outcome;
}

enum outcome commission_wait(struct commission *commission, const char *const phases[],
                             double *moving_s) {
    static const char *const moving[] = {"raising", "lowering", "seating", NULL};
    struct bridge_link *link = &commission->tool->link;
    const struct picture *picture = &link->picture;
    uint64_t began_us = 0;
    uint64_t now_us = 0;
    link->deadline = options_deadline(commission->tool->options, true);
    while (!is_one_of(picture, phases)) {
        if (picture_is_faulted(picture)) {
            return faulted(commission);
        }
        struct picture_change change = {.kind = PICTURE_NOTHING};
        enum outcome outcome = is_word_awaited(commission) ? give_word(commission)
                                                           : next(commission, &change, &now_us);
        if (outcome != OUTCOME_DONE) {
            return outcome;
        }
        bool is_moving = is_one_of(picture, moving);
        if (change.kind == PICTURE_PHASE) {
            began_us = is_moving && began_us == 0 ? now_us : began_us;
            tell_phase(commission);
        }
        if (change.kind == PICTURE_MOTION && is_moving) {
            commission->found.most_a =
                fmax(commission->found.most_a, fabs(picture->motion.current_a));
        }
    }
    if (moving_s != NULL) {
        *moving_s = began_us != 0 ? (double)(now_us - began_us) / 1e6 : (double)NAN;
    }
    return OUTCOME_DONE;
}

bool commission_contact(const struct commission *commission, const char *name) {
    char label[64];
    snprintf(label, sizeof label, "contact %s", name);
    return picture_value(picture_labelled(&commission->tool->link.picture, SRCP_FB, label), 0, 0) ==
           1;
}

static bool is_jogging(const struct picture *picture, unsigned port) {
    const struct picture_device *span = picture_labelled(picture, SRCP_GA, "span");
    return picture_value(span, port, 0) != 0;
}

/* Where the span is, in fractions of its travel; NAN: not measured. */
static double place_frac(const struct commission *commission) {
    const struct picture *picture = &commission->tool->link.picture;
    const struct net_bridge_setup *net = &commission->config.net.bridge[commission->bridge];
    return net->setup.motion.has_position ? picture->motion.position / net->travel : (double)NAN;
}

enum outcome commission_nudge(struct commission *commission, unsigned port, unsigned permille,
                              double *moved_frac, double *current_a) {
    struct bridge_link *link = &commission->tool->link;
    double from_frac = place_frac(commission);
    bool was_seated = commission_contact(commission, "seated");
    enum outcome outcome = commission_set(commission, port, permille);
    link->deadline = deadline_in(commission->tool->options->reply_ms);
    while (outcome == OUTCOME_DONE && is_jogging(&link->picture, port)) {
        struct picture_change change;
        uint64_t time_us;
        outcome = next(commission, &change, &time_us);
    }
    if (outcome == OUTCOME_DONE) { /* the place of rest is told after the port */
        outcome = bridge_link_catch_up(link, &commission->tool->error);
    }
    if (outcome == OUTCOME_DONE && picture_is_faulted(&link->picture)) {
        return faulted(commission);
    }
    int left_seat = was_seated - commission_contact(commission, "seated");
    *moved_frac = isnan(from_frac) ? left_seat : place_frac(commission) - from_frac;
    *current_a = link->picture.motion.current_a;
    return outcome;
}

/* A refusal is told, and the person goes on. */
static enum outcome jog_by_key(struct commission *commission, int key) {
    unsigned port = key == 'u' ? COMMISSION_JOG_UP : COMMISSION_JOG_DOWN;
    enum outcome outcome = commission_set(commission, port, 1);
    if (outcome == OUTCOME_REFUSED) {
        commission_say(commission, "    %s\n", commission->tool->error.what);
        return OUTCOME_DONE;
    }
    return outcome;
}

enum outcome commission_jog(struct commission *commission, const char *question) {
    enum outcome outcome = OUTCOME_DONE;
    int key = 0;
    char words[256];
    snprintf(words, sizeof words,
             "%s\n"
             "    hold u: up; hold d: down; let go: it stops within half a second; Enter: accept "
             "this place; q: quit\n",
             question);
    if (!person_ask_for_keys(&commission->person, words)) {
        return commission_left(commission);
    }
    while (outcome == OUTCOME_DONE && key != '\n') {
        key = person_key(&commission->person);
        if (key == PERSON_LEFT || key == 'q') {
            commission->person.has_left = true;
            outcome = commission_left(commission);
        } else if (key == 'u' || key == 'd') {
            outcome = jog_by_key(commission, key);
        }
    }
    return outcome == OUTCOME_DONE ? commission_set(commission, COMMISSION_STOP, 1) : outcome;
}
