#include "tools/drawtender/describe/watch.h"

#include "mechanics/number.h"
#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/client/movement.h"
#include "tools/drawtender/describe/bridge_text.h"
#include "tools/drawtender/describe/daemon_beside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Ports of the span, GA. */
enum { PORT_LOWER = 0, PORT_RAISE = 1, PORT_SEEN_CLEAR = 7 };

static const char pace[] = "20";

/* Of real time in which nothing is told: after it the phase is told again. */
enum { SILENCE_MS = 5000 };

struct watching {
    struct tool *tool;
    const struct answers *answers;
    struct tool_options options; /* those of the tool, but for where the daemon is */
    FILE *out;
};

/* How much of its way the span has gone; 0 where nobody knows. */
static double gone_frac(const struct watching *watching) {
    const struct picture *picture = &watching->tool->link.picture;
    bool is_vertical = answers_ask(watching->answers, Q_RISE);
    double travel = is_vertical ? 1000 * answers_number(watching->answers, Q_RISE)
                                : answers_number(watching->answers, Q_TRAVEL) * 180 / NUMBER_PI;
    double frac = picture->has_motion ? picture->motion.position / travel : 0;
    return isfinite(frac) ? fmin(fmax(frac, 0), 1) : 0;
}

/* A bar of the way that the span has gone. */
static void put_bar(const struct watching *watching) {
    enum { COLUMNS = 40 };
    const struct picture_motion *motion = &watching->tool->link.picture.motion;
    int columns = (int)lround(gone_frac(watching) * COLUMNS);
    fprintf(watching->out, " %5.0f %s |%.*s%*s|", motion->position, motion->unit, columns,
            "########################################", COLUMNS - columns, "");
}

static void put_phase(const struct watching *watching, const char *still) {
    const struct picture *picture = &watching->tool->link.picture;
    fprintf(watching->out, "  %s%-10s", still, picture->phase);
    if (picture->has_motion && isfinite(picture->motion.position)) {
        put_bar(watching);
    }
    fprintf(watching->out, "%s%s\n", picture->waits_for[0] != '\0' ? " waits for " : "",
            picture->waits_for);
    fflush(watching->out);
}

/* In the simulator somebody must be the hand that works a bar or a span without a drive. */
static enum outcome move_by_hand(const struct watching *watching, const char *words) {
    struct tool *tool = watching->tool;
    struct srcp_answer reply;
    char line[96];
    fprintf(watching->out, "  (the simulated hand: %s)\n", words);
    snprintf(line, sizeof line, "SET 0 GM 0 0 SIMULATE %u %s", tool->options->bus, words);
    return bridge_link_ask(&tool->link, line, &reply, &tool->error);
}

static enum outcome lend_hand(const struct watching *watching) {
    static const struct {
        const char *waits_for, *words;
        enum question_id id;
    } rows[] = {{"withdrawn by hand", "lock by-hand withdrawn", Q_LOCK},
                {"driven by hand", "lock by-hand driven", Q_LOCK}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (strstr(watching->tool->link.picture.waits_for, rows[i].waits_for) != NULL &&
            answers_is(watching->answers, rows[i].id, "hand")) {
            return move_by_hand(watching, rows[i].words);
        }
    }
    return OUTCOME_DONE;
}

/* A span without a drive goes where the hand takes it, once it is unlocked; down, from open. */
static enum outcome take_span(const struct watching *watching, enum movement movement) {
    const struct picture *picture = &watching->tool->link.picture;
    bool is_due = movement == MOVEMENT_DOWN
                      ? picture_is_phase(picture, "open")
                      : picture_is_phase(picture, "unlocking") &&
                            strstr(picture->waits_for, "moved by hand") != NULL;
    if (!is_due || !answers_is(watching->answers, Q_KIND, "hand")) {
        return OUTCOME_DONE;
    }
    return move_by_hand(watching, movement == MOVEMENT_UP ? "span by-hand 1" : "span by-hand 0");
}

/* Nobody is there who could look; nothing but the simulator's own trains could be. */
static enum outcome give_word(const struct watching *watching) {
    struct bridge_link *link = &watching->tool->link;
    if (strstr(link->picture.waits_for, "seen clear") == NULL) {
        return OUTCOME_DONE;
    }
    fputs(
        "  (said for you: \"drawtender seen-clear\"; at the real bridge look first, then say it)\n",
        watching->out);
    return bridge_link_set(link, bridge_link_span(link), PORT_SEEN_CLEAR, &watching->tool->error);
}

/* What comes next. Whoever watches is not left in silence: what is waited for is told again. */
static enum outcome next(const struct watching *watching, struct deadline limit,
                         struct picture_change *change) {
    struct tool *tool = watching->tool;
    enum talk_event event;
    uint64_t time_us;
    tool->link.deadline = deadline_in(SILENCE_MS);
    while ((event = bridge_link_next(&tool->link, change, &time_us)) == TALK_TIMED_OUT &&
           !deadline_is_past(limit)) {
        put_phase(watching, "still ");
        tool->link.deadline = deadline_in(SILENCE_MS);
    }
    if (event == TALK_ANSWER) {
        return OUTCOME_DONE;
    }
    const struct picture *picture = &tool->link.picture;
    error_set(&tool->error, "", "the simulated bridge did not come to its end: %s%s%.100s (%s)",
              picture->phase, picture->waits_for[0] != '\0' ? ", waits for " : "",
              picture->waits_for, talk_event_text(event));
    return OUTCOME_TIMED_OUT;
}

/* All that people do at the real bridge. */
static enum outcome lend_all_hands(const struct watching *watching, enum movement movement) {
    enum outcome outcome = lend_hand(watching);
    outcome = outcome == OUTCOME_DONE ? take_span(watching, movement) : outcome;
    return outcome == OUTCOME_DONE ? give_word(watching) : outcome;
}

static enum outcome follow(const struct watching *watching, enum movement movement) {
    struct tool *tool = watching->tool;
    const struct picture *picture = &tool->link.picture;
    struct deadline limit = options_deadline(tool->options, true);
    struct picture_change change = {.kind = PICTURE_PHASE};
    enum outcome outcome = OUTCOME_DONE;
    double shown = 0;
    while (outcome == OUTCOME_DONE) {
        bool is_far = fabs(gone_frac(watching) - shown) > 0.1;
        if (change.kind == PICTURE_PHASE || (change.kind == PICTURE_MOTION && is_far)) {
            shown = gone_frac(watching);
            put_phase(watching, "");
        }
        if (change.kind == PICTURE_PHASE) {
            enum movement_end end = movement_judge(movement, picture);
            if (end == MOVEMENT_ARRIVED) {
                return OUTCOME_DONE;
            }
            if (end != MOVEMENT_GOES_ON) {
                error_set(&tool->error, "", "the simulated bridge did not come to its end: %s%s%s",
                          movement_end_text(movement, end), picture_is_faulted(picture) ? ": " : "",
                          picture->fault_words);
                return OUTCOME_REFUSED;
            }
            outcome = lend_all_hands(watching, movement);
        }
        outcome = outcome == OUTCOME_DONE ? next(watching, limit, &change) : outcome;
    }
    return outcome;
}

static enum outcome move(const struct watching *watching, enum movement movement) {
    struct tool *tool = watching->tool;
    struct bridge_link *link = &tool->link;
    unsigned port = movement == MOVEMENT_UP ? PORT_RAISE : PORT_LOWER;
    enum outcome outcome = bridge_link_set(link, bridge_link_span(link), port, &tool->error);
    if (outcome == OUTCOME_DONE) {
        outcome = bridge_link_catch_up(link, &tool->error);
    }
    return outcome == OUTCOME_DONE ? follow(watching, movement) : outcome;
}

/* After a start contacts must prove where it is. Where they do not tell whether it is locked it is
 * held, and a request to lower drives the bar once more. */
static enum outcome line_up(const struct watching *watching) {
    struct tool *tool = watching->tool;
    const struct picture *picture = &tool->link.picture;
    struct deadline limit = options_deadline(tool->options, true);
    enum outcome outcome = OUTCOME_DONE;
    while (outcome == OUTCOME_DONE && !picture_is_phase(picture, "lined") &&
           !picture_is_phase(picture, "held")) {
        if (picture_is_faulted(picture)) {
            error_set(&tool->error, "", "the simulated bridge has a fault from its start: %s",
                      picture->fault_words);
            return OUTCOME_FAULT;
        }
        struct picture_change change;
        outcome = next(watching, limit, &change);
    }
    if (outcome != OUTCOME_DONE || picture_is_phase(picture, "lined")) {
        return outcome;
    }
    fputs(
        "  held: nothing tells whether the span is locked. So it is after each start of the real\n"
        "  bridge, too; \"drawtender lower\" comes first:\n",
        watching->out);
    return move(watching, MOVEMENT_DOWN);
}

static enum outcome run(struct watching *watching, const char *file) {
    struct tool *tool = watching->tool;
    struct daemon_beside daemon = {0};
    if (!daemon_beside_start(&daemon, file, pace, &tool->error)) {
        return OUTCOME_UNREACHABLE;
    }
    unlink(file); /* it is read */
    watching->options.host = "127.0.0.1";
    watching->options.port = daemon.port;
    enum outcome outcome = bridge_link_open(&tool->link, &watching->options, &tool->error);
    if (outcome == OUTCOME_DONE) {
        fprintf(watching->out, "\nSimulated, %s times as fast as life:\n", pace);
        outcome = line_up(watching);
    }
    if (outcome == OUTCOME_DONE) {
        outcome = move(watching, MOVEMENT_UP);
    }
    if (outcome == OUTCOME_DONE) {
        outcome = move(watching, MOVEMENT_DOWN);
    }
    bridge_link_close(&tool->link);
    daemon_beside_end(&daemon);
    return outcome;
}

enum outcome watch_opening(struct tool *tool, const struct answers *answers) {
    char file[] = "/tmp/drawtender-watch.XXXXXX";
    struct watching watching = {
        .tool = tool, .answers = answers, .options = *tool->options, .out = tool->streams.out};
    char *text = bridge_text(answers, true);
    int fd = text != NULL ? mkstemp(file) : -1;
    if (fd < 0) {
        free(text);
        error_set(&tool->error, "", "no room in /tmp for a temporary file");
        return OUTCOME_UNWRITTEN;
    }
    close(fd);
    enum outcome outcome =
        file_text_replace(file, text, &tool->error) ? run(&watching, file) : OUTCOME_UNWRITTEN;
    unlink(file);
    free(text);
    return outcome;
}
