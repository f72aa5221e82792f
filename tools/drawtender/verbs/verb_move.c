/* The verbs raise and lower: ask, watch the movement, and stop it on Ctrl-C. */
#include "tools/drawtender/base/interrupt.h"
#include "tools/drawtender/client/movement.h"
#include "tools/drawtender/client/progress.h"
#include "tools/drawtender/verbs/verbs.h"

/* Ports of the span, GA: what setting one to 1 asks for. */
enum { PORT_LOWER = 0, PORT_RAISE = 1, PORT_STOP = 2 };

/* Whoever started the movement and turns away from it would leave it without eyes. */
static enum outcome stop_on_interrupt(struct tool *tool) {
    struct bridge_link *link = &tool->link;
    struct error error;
    enum outcome outcome = bridge_link_set(link, bridge_link_span(link), PORT_STOP, &error);
    if (outcome != OUTCOME_DONE) {
        error_set(&tool->error, "",
                  "interrupted, and the span could NOT be stopped (%.100s): it may be moving. Use "
                  "the hard-wired emergency stop",
                  error.what);
        return outcome;
    }
    error_set(&tool->error, "",
              "interrupted: asked the span to stop where it is; raise or lower goes on from there");
    return OUTCOME_INTERRUPTED;
}

/* `waited_for`: what it waited for before it gave up clearing; "": it did not. */
static enum outcome conclude(struct tool *tool, enum movement movement, enum movement_end end,
                             const char *waited_for) {
    const struct picture *picture = &tool->link.picture;
    const char *words = movement_end_text(movement, end);
    switch (end) {
    case MOVEMENT_GOES_ON:
    case MOVEMENT_ARRIVED:
        snprintf(tool->result, sizeof tool->result, "%s", words);
        return OUTCOME_DONE;
    case MOVEMENT_FAULTED:
        bridge_link_catch_up(&tool->link, NULL); /* the fault's name may come after the phase */
        error_set(&tool->error, "", "%s: %s: %s", words, picture->fault, picture->fault_words);
        return OUTCOME_FAULT;
    case MOVEMENT_HELD:
    case MOVEMENT_GIVEN_UP:
        if (waited_for[0] != '\0') {
            error_set(&tool->error, "", "%s; it waited for %.120s", words, waited_for);
            return OUTCOME_REFUSED;
        }
        error_set(&tool->error, "", "%s", words);
        return OUTCOME_REFUSED;
    case MOVEMENT_REVERSED:
        error_set(&tool->error, "", "%s", words);
        return OUTCOME_REFUSED;
    }
    return OUTCOME_UNREACHABLE;
}

/* The wait broke off before the movement did. */
static enum outcome break_off(struct tool *tool, enum movement movement, enum talk_event event) {
    if (event == TALK_INTERRUPTED) {
        return stop_on_interrupt(tool);
    }
    const char *name = movement_name(movement);
    if (event == TALK_TIMED_OUT) {
        error_set(&tool->error, "", "the limit expired in phase %s; the bridge continues to %s",
                  tool->link.picture.phase, name);
        return OUTCOME_TIMED_OUT;
    }
    error_set(&tool->error, "", "%s in phase %s; the bridge continues to %s by itself",
              talk_event_text(event), tool->link.picture.phase, name);
    return OUTCOME_UNREACHABLE;
}

static enum outcome watch(struct tool *tool, enum movement movement, struct progress *progress) {
    struct picture_change change = {.kind = PICTURE_PHASE};
    /* Without marks the picture may be older than the grant: only the next phase tells. */
    bool is_current = tool->link.has_marks;
    char waited_for[sizeof tool->link.picture.waits_for] = "";
    for (;;) {
        progress_show(progress, &change);
        enum movement_end end = movement_judge(movement, &tool->link.picture);
        if (is_current && change.kind == PICTURE_PHASE && end != MOVEMENT_GOES_ON) {
            return conclude(tool, movement, end, waited_for);
        }
        bool is_clearing = picture_is_phase(&tool->link.picture, "clearing");
        snprintf(waited_for, sizeof waited_for, "%s",
                 is_clearing ? tool->link.picture.waits_for : "");
        uint64_t time_us;
        enum talk_event event = bridge_link_next(&tool->link, &change, &time_us);
        if (event != TALK_ANSWER) {
            return break_off(tool, movement, event);
        }
        is_current = true;
    }
}

static enum outcome ask(struct tool *tool, enum movement movement) {
    struct bridge_link *link = &tool->link;
    unsigned port = movement == MOVEMENT_UP ? PORT_RAISE : PORT_LOWER;
    enum outcome outcome = bridge_link_set(link, bridge_link_span(link), port, &tool->error);
    if (outcome == OUTCOME_UNREACHABLE) {
        struct error first = tool->error;
        error_set(&tool->error, "", "%.120s; the bridge may still have accepted the request",
                  first.what);
    }
    return outcome;
}

/* Signals are caught from before the request on, so that none between it and the wait is lost. */
static enum outcome ask_and_watch(struct tool *tool, enum movement movement) {
    int interrupt = interrupt_catch();
    enum outcome outcome = ask(tool, movement);
    if (outcome == OUTCOME_DONE) {
        outcome = bridge_link_catch_up(&tool->link, &tool->error);
    }
    if (outcome == OUTCOME_DONE) {
        struct progress progress = {.tool = tool};
        tool->link.info.interrupt = interrupt;
        tool->link.deadline = options_deadline(tool->options, true);
        outcome = watch(tool, movement, &progress);
        progress_end(&progress);
    }
    interrupt_release();
    return outcome;
}

static enum outcome move(struct tool *tool, enum movement movement) {
    enum outcome outcome = bridge_link_open(&tool->link, tool->options, &tool->error);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    if (!tool->options->is_no_wait) {
        return ask_and_watch(tool, movement);
    }
    outcome = ask(tool, movement);
    snprintf(tool->result, sizeof tool->result, "granted: %s", movement_name(movement));
    return outcome;
}

enum outcome verb_raise(struct tool *tool) {
    return move(tool, MOVEMENT_UP);
}

enum outcome verb_lower(struct tool *tool) {
    return move(tool, MOVEMENT_DOWN);
}
