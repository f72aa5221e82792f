/* The verb hand: run the span by a throttle, from keys that are held or lines that are repeated. */
#include "tools/drawtender/base/interrupt.h"
#include "tools/drawtender/base/keyboard.h"
#include "tools/drawtender/client/progress.h"
#include "tools/drawtender/hand/hand_input.h"
#include "tools/drawtender/hand/hand_text.h"
#include "tools/drawtender/verbs/verbs.h"

#include <errno.h>
#include <poll.h>
#include <string.h>
#include <unistd.h>

/* Ports of the span, GA: up, down, hold on, by speed; then the same by voltage. */
enum { PORT_THROTTLE = 8, THROTTLE_ACTS = 3 };

struct run {
    struct tool *tool;
    struct hand hand;
    struct hand_input input;
    int interrupt;
    bool is_terminal; /* what is read is one */
    struct termios as_found;
    struct progress progress;
    char shown[3 * PICTURE_TEXT_SIZE]; /* the newest line */
};

/* ---- asking */

static enum outcome ask(struct run *run, enum hand_ask what) {
    struct bridge_link *link = &run->tool->link;
    unsigned act = what == HAND_UP ? 0 : what == HAND_DOWN ? 1 : 2;
    unsigned port =
        PORT_THROTTLE + act + (run->tool->options->is_voltage ? (unsigned)THROTTLE_ACTS : 0);
    char line[96];
    struct srcp_answer reply;
    snprintf(line, sizeof line, "SET %u GA %d %u %u -1", link->picture.bus,
             (int)bridge_link_span(link), port, what == HAND_LET_GO ? 0 : run->hand.permille);
    return bridge_link_ask(link, line, &reply, &run->tool->error);
}

static enum outcome lost(struct tool *tool) {
    struct error first = tool->error;
    error_set(&tool->error, "",
              "%.120s; the bridge holds the span by itself within half a second: look whether it "
              "does",
              first.what);
    return OUTCOME_UNREACHABLE;
}

/* A person reads why, and goes on; a script ends. What is over without a refusal is none. */
static enum outcome refused(struct run *run, enum hand_ask what, enum outcome outcome) {
    struct tool *tool = run->tool;
    hand_refused(&run->hand);
    if (what == HAND_HOLD && outcome == OUTCOME_REFUSED) {
        return OUTCOME_DONE; /* open, down, or stopped: the picture tells */
    }
    if (!run->is_terminal) {
        return outcome;
    }
    progress_end(&run->progress);
    fprintf(tool->streams.err, "refused: %s\n", tool->error.what);
    return OUTCOME_DONE;
}

/* All that is due now. What was typed while a push lapsed is older than that. */
static enum outcome act(struct run *run) {
    for (;;) {
        bool has_lapsed;
        enum hand_ask what = hand_due(&run->hand, deadline_now_ms(), &has_lapsed);
        if (has_lapsed && run->is_terminal) {
            tcflush(run->tool->streams.in, TCIFLUSH);
        }
        if (what == HAND_NOTHING) {
            return OUTCOME_DONE;
        }
        enum outcome outcome = ask(run, what);
        if (outcome == OUTCOME_UNREACHABLE) {
            return lost(run->tool);
        }
        if (outcome != OUTCOME_DONE) {
            outcome = refused(run, what, outcome);
        }
        if (outcome != OUTCOME_DONE) {
            return outcome;
        }
    }
}

/* ---- telling */

/* On a terminal all of it, elsewhere what changed of the order and of what bounds the hand. */
static void show(struct run *run) {
    const struct tool *tool = run->tool;
    const struct picture *picture = &tool->link.picture;
    char line[sizeof run->shown];
    if (tool->options->is_quiet || tool->options->is_json) {
        return;
    }
    if (tool->streams.is_terminal) {
        hand_text(&run->hand, tool->options->is_voltage, picture, line, sizeof line);
    } else {
        snprintf(line, sizeof line, "%s: %s", picture->phase, hand_text_bound(&run->hand, picture));
    }
    if (strcmp(line, run->shown) != 0) {
        snprintf(run->shown, sizeof run->shown, "%s", line);
        progress_draw(&run->progress, line);
    }
}

/* ---- what comes in */

static enum outcome hear(struct run *run) {
    struct bridge_link *link = &run->tool->link;
    do {
        if (bridge_link_catch_up(link, &run->tool->error) != OUTCOME_DONE) {
            return lost(run->tool);
        }
    } while (link->info.unread.length > 0);
    return OUTCOME_DONE;
}

static enum outcome read_hand(struct run *run) {
    char bytes[256];
    ssize_t got = read(run->tool->streams.in, bytes, sizeof bytes);
    if (got < 0 && (errno == EINTR || errno == EAGAIN)) {
        return OUTCOME_DONE;
    }
    if (got <= 0) {
        run->input.has_left = true;
        return OUTCOME_DONE;
    }
    bool is_right = hand_input_take(&run->input, &run->hand, bytes, (size_t)got, deadline_now_ms(),
                                    &run->tool->error);
    return is_right ? OUTCOME_DONE : OUTCOME_USAGE;
}

static int sooner(int one_ms, int other_ms) {
    return one_ms < 0 ? other_ms : other_ms < 0 || one_ms < other_ms ? one_ms : other_ms;
}

/* Waits for the hand, the bridge or the time. */
static enum outcome await(struct run *run) {
    struct tool *tool = run->tool;
    struct pollfd polled[] = {{.fd = tool->streams.in, .events = POLLIN},
                              {.fd = run->interrupt, .events = POLLIN},
                              {.fd = tool->link.info.socket, .events = POLLIN}};
    int wait_ms =
        sooner(hand_wait_ms(&run->hand, deadline_now_ms()), deadline_poll_ms(tool->link.deadline));
    if (poll(polled, 3, wait_ms) < 0) {
        return errno == EINTR ? OUTCOME_DONE : OUTCOME_INTERRUPTED;
    }
    if (polled[1].revents != 0) {
        return OUTCOME_INTERRUPTED;
    }
    if (deadline_is_past(tool->link.deadline)) {
        return OUTCOME_TIMED_OUT;
    }
    enum outcome outcome = polled[2].revents != 0 ? hear(run) : OUTCOME_DONE;
    return outcome == OUTCOME_DONE && polled[0].revents != 0 ? read_hand(run) : outcome;
}

/* ---- a run */

static enum outcome run_by_hand(struct run *run) {
    for (;;) {
        show(run);
        enum outcome outcome = await(run);
        if (outcome == OUTCOME_DONE && !run->input.has_left) {
            outcome = act(run);
        }
        if (outcome != OUTCOME_DONE || run->input.has_left) {
            return outcome;
        }
    }
}

/* However it ended: nobody's hand is there any more. */
static enum outcome leave(struct run *run, enum outcome outcome) {
    struct tool *tool = run->tool;
    struct error why = tool->error;
    hand_rest(&run->hand);
    bool is_reached = outcome != OUTCOME_UNREACHABLE && act(run) != OUTCOME_UNREACHABLE &&
                      bridge_link_catch_up(&tool->link, &tool->error) == OUTCOME_DONE;
    if (outcome == OUTCOME_UNREACHABLE) {
        tool->error = why;
    } else if (!is_reached) {
        outcome = lost(tool);
    } else if (outcome == OUTCOME_INTERRUPTED) {
        error_set(&tool->error, "", "interrupted: let go; the bridge is %s",
                  tool->link.picture.phase);
    } else if (outcome == OUTCOME_TIMED_OUT) {
        error_set(&tool->error, "", "the limit expired: let go; the bridge is %s",
                  tool->link.picture.phase);
    } else {
        tool->error = why;
        snprintf(tool->result, sizeof tool->result, "let go; the bridge is %s",
                 tool->link.picture.phase);
    }
    return outcome;
}

/* A key that suspends would leave the terminal without echo: it lets go, as any other. */
static void take_keys(struct run *run) {
    struct termios settings = run->as_found;
    settings.c_cc[VSUSP] = _POSIX_VDISABLE;
    keyboard_give_keys(run->tool->streams.in, &settings);
}

static const char caution[] =
    "THE SPAN MOVES while you hold a key, after its warning. Keep clear of span and counterweight, "
    "look at them, and stay within reach of the hard-wired emergency stop.\n"
    "Hold up or down to run; right and left: more and less; q leaves.\n";

enum outcome verb_hand(struct tool *tool) {
    struct run run = {.tool = tool, .progress = {.tool = tool}};
    enum outcome outcome = bridge_link_open(&tool->link, tool->options, &tool->error);
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    run.is_terminal = keyboard_find(tool->streams.in, &run.as_found);
    run.input.is_line = !run.is_terminal;
    run.interrupt = interrupt_catch();
    tool->link.deadline = options_deadline(tool->options, false);
    hand_begin(&run.hand);
    if (run.is_terminal) {
        fputs(caution, tool->streams.err);
        take_keys(&run);
    }
    outcome = leave(&run, run_by_hand(&run));
    progress_end(&run.progress);
    if (run.is_terminal) {
        tcsetattr(tool->streams.in, TCSANOW, &run.as_found);
    }
    interrupt_release();
    return outcome;
}
