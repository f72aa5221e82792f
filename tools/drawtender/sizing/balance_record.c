/* Records what the motor takes on a run up and a run down, as the server tells of it. */
#include "mechanics/number.h"
#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/base/interrupt.h"
#include "tools/drawtender/client/movement.h"
#include "tools/drawtender/sizing/balance.h"

#include <math.h>
#include <string.h>

enum { PORT_LOWER = 0, PORT_RAISE = 1, PORT_STOP = 2 };

static void keep(struct balance_run *run, FILE *file, bool is_raising) {
    static const double rad_per_deg = NUMBER_PI / 180;
    const struct picture_motion *motion = &run->tool->link.picture.motion;
    const struct balance_sample sample = {.position_rad = motion->position * rad_per_deg,
                                          .speed_rad_s = motion->speed * rad_per_deg,
                                          .current_a = motion->current_a,
                                          .is_raising = is_raising};
    if (isfinite(sample.position_rad) && isfinite(sample.speed_rad_s) &&
        isfinite(sample.current_a)) {
        samples_print(file, &sample);
        run->samples.count++;
    }
}

/* Until the movement has ended; whatever breaks it off, the span is asked to stop. */
static enum outcome follow(struct balance_run *run, FILE *file, enum movement movement) {
    struct tool *tool = run->tool;
    struct bridge_link *link = &tool->link;
    const char *moving = movement == MOVEMENT_UP ? "raising" : "lowering";
    enum movement_end end;
    while ((end = movement_judge(movement, &link->picture)) == MOVEMENT_GOES_ON) {
        struct picture_change change;
        uint64_t time_us;
        enum talk_event event = bridge_link_next(link, &change, &time_us);
        if (event != TALK_ANSWER) {
            error_set(&tool->error, "", "%s; asked the span to stop", talk_event_text(event));
            return event == TALK_INTERRUPTED ? OUTCOME_INTERRUPTED
                   : event == TALK_TIMED_OUT ? OUTCOME_TIMED_OUT
                                             : OUTCOME_UNREACHABLE;
        }
        if (change.kind == PICTURE_MOTION && picture_is_phase(&link->picture, moving)) {
            keep(run, file, movement == MOVEMENT_UP);
        }
    }
    if (end != MOVEMENT_ARRIVED) {
        error_set(&tool->error, "", "%s", movement_end_text(movement, end));
        return end == MOVEMENT_FAULTED ? OUTCOME_FAULT : OUTCOME_REFUSED;
    }
    return OUTCOME_DONE;
}

static enum outcome record_run(struct balance_run *run, FILE *file, enum movement movement) {
    struct tool *tool = run->tool;
    struct bridge_link *link = &tool->link;
    unsigned port = movement == MOVEMENT_UP ? PORT_RAISE : PORT_LOWER;
    enum outcome outcome = bridge_link_set(link, bridge_link_span(link), port, &tool->error);
    if (outcome == OUTCOME_DONE) {
        outcome = bridge_link_catch_up(link, &tool->error);
    }
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    link->deadline = options_deadline(tool->options, true);
    link->info.interrupt = interrupt_catch();
    outcome = follow(run, file, movement);
    link->info.interrupt = -1;
    interrupt_release();
    if (outcome != OUTCOME_DONE) {
        struct error ignored;
        bridge_link_set(link, bridge_link_span(link), PORT_STOP, &ignored);
    }
    return outcome;
}

static enum outcome record_both(struct balance_run *run, FILE *file) {
    struct tool *tool = run->tool;
    enum outcome outcome = bridge_link_open(&tool->link, tool->options, &tool->error);
    if (outcome == OUTCOME_DONE && !picture_is_phase(&tool->link.picture, "lined")) {
        error_set(&tool->error, "", "the bridge must be lined for rail first; it is %s",
                  tool->link.picture.phase);
        return OUTCOME_REFUSED;
    }
    samples_print_heading(file);
    if (outcome == OUTCOME_DONE) {
        outcome = record_run(run, file, MOVEMENT_UP);
    }
    return outcome == OUTCOME_DONE ? record_run(run, file, MOVEMENT_DOWN) : outcome;
}

enum outcome balance_record(struct balance_run *run, const char *path) {
    struct tool *tool = run->tool;
    if (!run->net->setup.motion.has_position || !run->net->setup.motion.has_current) {
        error_set(&tool->error, "",
                  "this needs a position sensor and a current sensor; without them use a spring "
                  "scale at the toe");
        return OUTCOME_REFUSED;
    }
    if (file_text_is_same(path, tool->options->word[0])) {
        error_set(&tool->error, "", "the samples would overwrite %.150s, which is an input", path);
        return OUTCOME_USAGE;
    }
    FILE *file = fopen(path, "w");
    if (file == NULL) {
        error_set(&tool->error, "", "%.100s cannot be written", path);
        return OUTCOME_UNWRITTEN;
    }
    fputs("CAUTION: the span runs all the way up and down. Keep clear of span and counterweight.\n",
          tool->streams.err);
    enum outcome outcome = record_both(run, file);
    bool is_written = ferror(file) == 0;
    is_written = fclose(file) == 0 && is_written;
    if (outcome == OUTCOME_DONE && !is_written) {
        error_set(&tool->error, "", "%.100s could not be written completely", path);
        return OUTCOME_UNWRITTEN;
    }
    snprintf(tool->result, sizeof tool->result, "%zu samples in %.150s", run->samples.count, path);
    return outcome;
}
