/* verb_commission.c: guides through setting up a real bridge. */
#include "base/text/word.h"
#include "tools/drawtender/base/file_text.h"
#include "tools/drawtender/base/interrupt.h"
#include "tools/drawtender/commission/commission.h"
#include "tools/drawtender/verbs/verbs.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char cautions[] =
    "Setting up a bridge. The span will move, at first perhaps the wrong way.\n"
    "CAUTION: a moving span and its counterweight crush fingers. Before you go on: a hard-wired\n"
    "emergency stop that cuts the motor's supply, tried and within reach; a current limit or fuse\n"
    "on the supply; guards on; nobody and nothing near span, counterweight and gears; no trains "
    "on\n"
    "the approaches. Local electrical codes and licensed practice come first. This software is no\n"
    "safety device. Answer when you are asked: what is typed earlier answers nothing, but q "
    "leaves\n"
    "at any time, and leaving stops the span where it is.\n";

/* One after another; the first that is not done ends it. */
static enum outcome (*const steps[])(struct commission *) = {
    commission_contacts, commission_direction, commission_start,    commission_seat,
    commission_run_up,   commission_open,      commission_run_down, commission_write,
};

static enum outcome read_file(struct commission *commission) {
    struct tool *tool = commission->tool;
    commission->text = file_text_read(commission->file, &tool->error);
    if (commission->text == NULL) {
        struct error why = tool->error;
        error_set(&tool->error, "", "%.80s: %.80s", commission->file, why.what);
        return OUTCOME_CONFIGURATION;
    }
    if (!config_read_text(commission->text, strlen(commission->text), &commission->config,
                          &commission->report)) {
        error_set(&tool->error, "", "%.80s is wrong; drawtenderd --check says where",
                  commission->file);
        return OUTCOME_CONFIGURATION;
    }
    const struct net_setup *net = &commission->config.net;
    while (commission->bridge < net->bridges &&
           net->bridge[commission->bridge].bus != tool->options->bus) {
        commission->bridge++;
    }
    if (commission->bridge == net->bridges) {
        error_set(&tool->error, "", "%.80s has no bridge on bus %u", commission->file,
                  tool->options->bus);
        return OUTCOME_CONFIGURATION;
    }
    if (!commission->config.bridge[commission->bridge].has_lift) {
        error_set(&tool->error, "", "the bridge is lifted by hand: there is no lift to set up");
        return OUTCOME_REFUSED;
    }
    return OUTCOME_DONE;
}

/* The home signal of an end as the file has it, if it has an address, is the server's. */
static bool is_signal_there(const struct picture *picture, const struct net_bridge_setup *net,
                            unsigned track, unsigned end) {
    char label[PICTURE_TEXT_SIZE];
    char names[2][NET_NAME_SIZE];
    unsigned address = net->address.ga_signal[track][end];
    if (address == 0 || !net->setup.track[track].end[end].is_used) {
        return true;
    }
    word_of_name(net->track_name[track], names[0], sizeof names[0]);
    word_of_name(net->end_name[track][end], names[1], sizeof names[1]);
    snprintf(label, sizeof label, "signal %s %s", names[0], names[1]);
    const struct picture_device *device = picture_find(picture, SRCP_GA, (int32_t)address);
    return device != NULL && strcmp(device->label, label) == 0;
}

/* What is measured on one bridge and written into the file of another would mislead its watches. */
static enum outcome check_is_of_file(struct commission *commission) {
    const struct net_bridge_setup *net = &commission->config.net.bridge[commission->bridge];
    const struct picture *picture = &commission->tool->link.picture;
    bool is_same = !picture->has_motion || strcmp(picture->motion.unit, net->travel_unit) == 0;
    for (unsigned track = 0; track < net->setup.tracks; track++) {
        for (unsigned end = 0; end < TRACK_ENDS; end++) {
            is_same = is_same && is_signal_there(picture, net, track, end);
        }
    }
    if (!is_same) {
        error_set(&commission->tool->error, "",
                  "that daemon is not running %.80s: bus %u has a different unit of travel or "
                  "different home signals; start it with that file",
                  commission->file, net->bus);
    }
    return is_same ? OUTCOME_DONE : OUTCOME_REFUSED;
}

static enum outcome take_steps(struct commission *commission) {
    enum outcome outcome = OUTCOME_DONE;
    commission_say(commission, "%s", cautions);
    if (!person_enter(&commission->person, "Enter: all of this is true:")) {
        return commission_left(commission);
    }
    for (size_t i = 0; i < sizeof steps / sizeof steps[0] && outcome == OUTCOME_DONE; i++) {
        outcome = steps[i](commission);
    }
    return outcome;
}

/* Whatever ended it, the span is asked to stop, and the person told how it stands. */
static void leave_safe(struct commission *commission, enum outcome outcome) {
    struct bridge_link *link = &commission->tool->link;
    struct error error;
    bool is_asked =
        bridge_link_set(link, bridge_link_span(link), COMMISSION_STOP, &error) == OUTCOME_DONE &&
        bridge_link_catch_up(link, &error) == OUTCOME_DONE;
    if (!is_asked) {
        commission_say(commission, "The span could NOT be asked to stop: use the hard-wired stop "
                                   "if it moves.\n");
    } else if (outcome != OUTCOME_DONE && picture_is_faulted(&link->picture)) {
        commission_say(commission,
                       "The bridge has a fault; it is latched, and nothing is driven.\n");
    } else if (outcome != OUTCOME_DONE) {
        commission_say(commission, "The bridge is %s.\n", link->picture.phase);
    }
}

static enum outcome run(struct commission *commission) {
    struct tool *tool = commission->tool;
    enum outcome outcome = read_file(commission);
    if (outcome == OUTCOME_DONE) {
        outcome = bridge_link_open(&tool->link, tool->options, &tool->error);
    }
    if (outcome == OUTCOME_DONE) {
        outcome = check_is_of_file(commission);
    }
    if (outcome != OUTCOME_DONE) {
        return outcome;
    }
    int interrupt = interrupt_catch();
    person_begin(&commission->person, tool->streams.in, tool->streams.out, interrupt, &tool->link);
    outcome = take_steps(commission);
    leave_safe(commission, outcome);
    person_end(&commission->person);
    interrupt_release();
    return outcome;
}

enum outcome verb_commission(struct tool *tool) {
    struct commission *commission = calloc(1, sizeof *commission);
    if (commission == NULL) {
        error_set(&tool->error, "", "out of memory");
        return OUTCOME_UNWRITTEN;
    }
    commission->tool = tool;
    commission->file = tool->options->word[0];
    commission->found = (struct commission_values){NAN, NAN, NAN, NAN, NAN, NAN};
    enum outcome outcome = run(commission);
    free(commission->text);
    free(commission);
    return outcome;
}
