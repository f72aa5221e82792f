/* The table of verbs. */
#include "tools/drawtender/verbs.h"

#include "base/near.h"

#include <string.h>

enum { ANY = OPTIONS_WORDS_MAX };

static const char no_daemon[] = "Needs no daemon and moves nothing.";
static const char goes_on[] =
    "Ctrl-C stops the span where it is. When the limit runs out, the bridge goes on by itself.";
static const char until_limit[] = "until the limit";
static const char record_unread[] = "the record cannot be read, or lacks that";

const struct verb verbs[VERBS] = {
    [VERB_STATE] = {.name = "state",
                    .form = {{"", "shows the bridge at a glance"}},
                    .run = verb_state},
    [VERB_FOLLOW] = {.name = "follow",
                     .form = {{"", "shows the bridge, then every change"}},
                     .waits = "until Ctrl-C or the limit",
                     .run = verb_follow},
    [VERB_RAISE] = {.name = "raise",
                    .form = {{"", "opens the bridge for the river"}},
                    .waits = "until it is open",
                    .details = goes_on,
                    .run = verb_raise},
    [VERB_LOWER] = {.name = "lower",
                    .form = {{"", "lines the bridge for rail"}},
                    .waits = "until it is lined",
                    .details = goes_on,
                    .run = verb_lower},
    [VERB_STOP] = {.name = "stop",
                   .form = {{"", "stops the span where it is; raise or lower goes on from there"}},
                   .run = verb_stop},
    [VERB_EMERGENCY_STOP] =
        {.name = "emergency-stop",
         .form = {{"", "puts the bridge into its safe state at once, and latches a fault"}},
         .run = verb_emergency_stop},
    [VERB_ACKNOWLEDGE] = {.name = "acknowledge",
                          .form = {{"", "clears a fault whose cause is gone"}},
                          .run = verb_acknowledge},
    [VERB_POWER] = {.name = "power",
                    .form = {{"on|off", "switches the guarded track power"}},
                    .words_min = 1,
                    .words_max = 1,
                    .run = verb_power},
    [VERB_SIGNAL] = {.name = "signal",
                     .form = {{"NAME|ADDRESS stop|proceed", "sets a home signal"}},
                     .example = {"signal main west proceed", "signal 11 stop"},
                     .words_min = 2,
                     .words_max = ANY,
                     .run = verb_signal},
    [VERB_WAIT] = {.name = "wait",
                   .form = {{"lined|open|held|fault", "waits until the bridge is so"},
                            {"FB ADDRESS [VALUE]", "waits until a feedback has this value (1)"},
                            {"GA ADDRESS PORT [VALUE]", "waits until a port has this value (1)"}},
                   .waits = until_limit,
                   .example = {"wait lined", "wait FB 3 1 --limit 90s"},
                   .words_min = 1,
                   .words_max = 4,
                   .run = verb_wait},
    [VERB_SEND] = {.name = "send",
                   .form = {{"LINE...", "sends one line of the protocol and prints the reply"}},
                   .waits = until_limit,
                   .example = {"send GET 1 FB 5"},
                   .words_min = 1,
                   .words_max = ANY,
                   .run = verb_send},
    [VERB_RECKON] = {.name = "reckon",
                     .form = {{"FILE",
                               "sizes the lift of a configuration: verdicts, tables and plots"}},
                     .details = no_daemon,
                     .example = {"reckon my-bridge.json --plots ."},
                     .exit = {{OUTCOME_REFUSED, "a verdict is bad"},
                              {OUTCOME_CONFIGURATION, "the configuration is wrong"}},
                     .words_min = 1,
                     .words_max = 1,
                     .run = verb_reckon},
    [VERB_BALANCE] =
        {.name = "balance",
         .form = {{"FILE record SAMPLES",
                   "runs the span up and down, and records position, speed and motor current"},
                  {"FILE fit SAMPLES [LOADED WEIGHT [FORWARD UP]]",
                   "finds balance and friction from recorded runs, with their errors, and which "
                   "blocks to move"},
                  {"FILE spring UP DOWN", "does the same from a spring scale at the toe"},
                  {"FILE trend SAMPLES...",
                   "compares openings, one file each: rising friction or a shifted balance"}},
         .waits = "record: until it is lined again",
         .example = {"balance my-bridge.json record june.csv",
                     "balance my-bridge.json spring \"12.9 N\" \"9.5 N\""},
         .words_min = 2,
         .words_max = ANY,
         .run = verb_balance},
    [VERB_COMMISSION] = {.name = "commission",
                         .form = {{"FILE", "sets up a real bridge, guided at the terminal, and "
                                           "writes what was found into FILE"}},
                         .waits = "until its end, or q",
                         .details =
                             "Contacts, direction, starting effort, seat, open, a full run. The "
                             "span moves: stay within reach of the hard-wired emergency stop.",
                         .words_min = 1,
                         .words_max = 1,
                         .run = verb_commission},
    [VERB_LOGBOOK] = {.name = "logbook",
                      .form = {{"RECORD [TABLE]",
                                "reports from a record: a summary, or one table of it"}},
                      .details = no_daemon,
                      .exit = {{OUTCOME_UNREAD, record_unread}},
                      .words_min = 1,
                      .words_max = 2,
                      .run = verb_logbook},
    [VERB_OPENING] = {.name = "opening",
                      .form = {{"RECORD NUMBER",
                                "shows one opening of a record: its steps, its plot"}},
                      .details = no_daemon,
                      .exit = {{OUTCOME_UNREAD, record_unread}},
                      .words_min = 2,
                      .words_max = 2,
                      .run = verb_opening},
    [VERB_SERVICED] =
        {.name = "serviced",
         .form = {{"RECORD", "notes that the lift was serviced: openings and hours count anew"}},
         .exit = {{OUTCOME_UNREAD, record_unread}},
         .words_min = 1,
         .words_max = 1,
         .run = verb_serviced},
    [VERB_REPLAY] = {.name = "replay",
                     .form = {{"RECORD [EVENT]",
                               "runs recorded steps again: the same must come out"}},
                     .details = no_daemon,
                     .exit = {{OUTCOME_REFUSED, "something else came out"},
                              {OUTCOME_UNREAD, record_unread}},
                     .words_min = 1,
                     .words_max = 2,
                     .run = verb_replay},
    [VERB_PERFORM] =
        {.name = "perform",
         .form = {{"FILE", "runs a session script (sessions.md)"}},
         .waits = "until its end",
         .details = "However it ends, Ctrl-C and a failed line included, the bridge is left safe.",
         .example = {"perform config/evening-session.script --dry-run"},
         .exit = {{OUTCOME_CONFIGURATION, "the file is wrong"}},
         .words_min = 1,
         .words_max = 1,
         .run = verb_perform},
    [VERB_PLAN] = {.name = "plan",
                   .form = {{"FILE",
                             "plans the openings of a timetable, and draws it (sessions.md)"}},
                   .details = no_daemon,
                   .exit = {{OUTCOME_REFUSED, "a boat waits too long"},
                            {OUTCOME_CONFIGURATION, "the file is wrong"}},
                   .words_min = 1,
                   .words_max = 1,
                   .run = verb_plan},
};

const struct verb *verbs_find(const char *name) {
    for (size_t i = 0; i < VERBS; i++) {
        if (strcmp(verbs[i].name, name) == 0) {
            return &verbs[i];
        }
    }
    return NULL;
}

const char *verbs_nearest(const char *name) {
    struct near near = near_begin(name);
    for (size_t i = 0; i < VERBS; i++) {
        near_offer(&near, verbs[i].name);
    }
    return near.best;
}

uint64_t verbs_bit(const struct verb *verb) {
    return UINT64_C(1) << (verb - verbs);
}
