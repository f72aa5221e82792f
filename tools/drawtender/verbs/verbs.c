/* The table of verbs. */
#include "tools/drawtender/verbs/verbs.h"

enum { ANY = OPTIONS_WORDS_MAX };

static const char no_daemon[] = "Needs no daemon and moves nothing.";
static const char goes_on[] =
    "Ctrl-C stops the span where it is. If the limit expires, the bridge continues by itself.";
static const char until_limit[] = "until the limit";
static const char record_unread[] = "the record cannot be read, or does not contain it";

const struct verb verbs[VERBS] = {
    [VERB_STATE] = {.form = {{"", "shows the state of the bridge"}}},
    [VERB_FOLLOW] =
        {.form = {{"", "shows the state of the bridge, then every change"},
                  {"[FILE]",
                   "with --lcc: shows every frame on a bus of Layout Command Control; FILE, a "
                   "configuration, names its events"}},
         .waits = "until Ctrl-C or the limit",
         .details = "With --lcc it only listens: it sends nothing and takes no alias. A node's id "
                    "is shown once the node has told it; before that, '-'.",
         .example = {"follow", "follow --lcc 12021 my-bridge.json",
                     "follow --lcc 192.168.7.20:12021 --json"},
         .exit = {{OUTCOME_CONFIGURATION, "FILE is wrong"},
                  {OUTCOME_INTERRUPTED, "interrupted, with the span left alone"}},
         .words_max = 1},
    [VERB_RAISE] = {.form = {{"", "opens the bridge for the river"}},
                    .waits = "until it is open",
                    .details = goes_on},
    [VERB_LOWER] = {.form = {{"", "lines the bridge for rail"}},
                    .waits = "until it is lined",
                    .details = goes_on},
    [VERB_HAND] =
        {.form = {{"",
                   "runs the span by a throttle: only while a key is held, or a line repeated"}},
         .waits = "until q, Ctrl-C or the end of its input",
         .details =
             "Hold the arrow up or down (or u, d): the bridge does first all that it does for any "
             "raise or lower, then the span runs, no faster than you ask and never above its own "
             "limits. Let go, and it rests. Right and left (or +, -) ask for more and less, 1 to "
             "9 for so many tenths, 0 for all; any other key lets go. Look at the span, not at "
             "the screen: for up to a quarter of a second after the last key, three quarters "
             "after a first one, it runs without your hand, and half a second more if this "
             "program or the network fails. From a pipe it reads lines: up PERCENT, down PERCENT, "
             "rest, quit; each holds for half a second, so a script says it again and again.",
         .example = {"hand", "hand --voltage"},
         .exit = {{OUTCOME_REFUSED, "a run that a pipe asked for was refused"},
                  {OUTCOME_USAGE, "a line of its input is wrong"}}},
    [VERB_STOP] = {.form = {{"", "stops the span where it is; raise or lower goes on from there"}}},
    [VERB_EMERGENCY_STOP] =
        {.form = {{"", "puts the bridge into its safe state at once, and latches a fault"}}},
    [VERB_ACKNOWLEDGE] = {.form = {{"", "clears a fault whose cause is gone"}}},
    [VERB_SEEN_CLEAR] =
        {.form =
             {{"",
               "reports that you see the whole span and its stop sections, and no train on them"}},
         .details = "For a bridge without those detectors. The report is valid for 20 s and for "
                    "one opening; the record keeps who gave it."},
    [VERB_POWER] = {.form = {{"on|off", "switches the guarded track power"}},
                    .words_min = 1,
                    .words_max = 1},
    [VERB_SIGNAL] = {.form = {{"NAME|ADDRESS stop|proceed", "sets a home signal"}},
                     .example = {"signal main west proceed", "signal 11 stop"},
                     .words_min = 2,
                     .words_max = ANY},
    [VERB_WAIT] = {.form = {{"lined|open|held|fault", "waits until the bridge is in this state"},
                            {"FB ADDRESS [VALUE]", "waits until a feedback has this value (1)"},
                            {"GA ADDRESS PORT [VALUE]", "waits until a port has this value (1)"}},
                   .waits = until_limit,
                   .example = {"wait lined", "wait FB 3 1 --limit 90s"},
                   .words_min = 1,
                   .words_max = 4},
    [VERB_SEND] = {.form = {{"LINE...", "sends one line of the protocol and prints the reply"}},
                   .waits = until_limit,
                   .example = {"send GET 1 FB 5"},
                   .words_min = 1,
                   .words_max = ANY},
    [VERB_DESCRIBE] =
        {.form = {{"FILE", "asks about a bridge, and writes its first configuration"}},
         .waits = "until its end, or q",
         .details = "Use any unit; ? if you do not know, < to go back. Answers are kept in "
                    "FILE.answers: after a stop the same command resumes. Nothing real moves, and "
                    "no existing file is overwritten.",
         .example = {"describe my-bridge.json"},
         .exit = {{OUTCOME_CONFIGURATION, "the answers are wrong, or the daemon would refuse them"},
                  {OUTCOME_INTERRUPTED, "stopped; the answers so far are kept"}},
         .words_min = 1,
         .words_max = 1,
         .is_local = true},
    [VERB_RECKON] =
        {.form = {{"FILE", "sizes the lift of a configuration: verdicts, tables and plots"}},
         .details = no_daemon,
         .example = {"reckon my-bridge.json --plots ."},
         .exit = {{OUTCOME_REFUSED, "a verdict is bad"},
                  {OUTCOME_CONFIGURATION, "the configuration is wrong or lacks values"}},
         .words_min = 1,
         .words_max = 1},
    [VERB_MEASURE] =
        {.form = {{"leaf|motor|ratio [NAME=VALUE...]",
                   "turns readings of tape, scale and meter into configuration "
                   "values; without values, tells how to measure"},
                  {"friction [FILE NAME=VALUE...]",
                   "the same for friction, with the motor and gears of FILE"}},
         .details = no_daemon,
         .example = {"measure leaf",
                     "measure leaf \"toe=2.25 m\" \"level=4.1 kg +- 0.1 kg\" \"mass=18 kg\"",
                     "measure ratio fast=320 slow=1"},
         .exit = {{OUTCOME_REFUSED, "the readings are impossible"},
                  {OUTCOME_CONFIGURATION, "FILE is wrong"}},
         .words_min = 1,
         .words_max = ANY,
         .is_local = true},
    [VERB_BALANCE] =
        {.form = {{"FILE record SAMPLES",
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
         .words_max = ANY},
    [VERB_COMMISSION] = {.form = {{"FILE", "sets up a real bridge step by step at the terminal, "
                                           "and writes the results to FILE"}},
                         .waits = "until its end, or q",
                         .details =
                             "Contacts, direction, starting effort, seat, open, a full run. The "
                             "span moves: stay within reach of the hard-wired emergency stop.",
                         .words_min = 1,
                         .words_max = 1},
    [VERB_EVENTS] =
        {.form = {{"FILE", "lists the LCC events of a configuration's bridges, by name and id"}},
         .details = no_daemon,
         .example = {"events my-bridge.json --csv"},
         .exit = {{OUTCOME_CONFIGURATION, "the configuration is wrong, or no bridge is a node"}},
         .words_min = 1,
         .words_max = 1},
    [VERB_LOGBOOK] = {.form = {{"RECORD [TABLE]",
                                "reports from a record: a summary, or one table"}},
                      .details = no_daemon,
                      .exit = {{OUTCOME_UNREAD, record_unread}},
                      .words_min = 1,
                      .words_max = 2},
    [VERB_OPENING] = {.form = {{"RECORD NUMBER",
                                "shows one opening of a record: its steps, its plot"}},
                      .details = no_daemon,
                      .exit = {{OUTCOME_UNREAD, record_unread}},
                      .words_min = 2,
                      .words_max = 2},
    [VERB_SERVICED] =
        {.form = {{"RECORD",
                   "notes that the lift was serviced: openings and hours count from zero"}},
         .exit = {{OUTCOME_UNREAD, record_unread}},
         .words_min = 1,
         .words_max = 1},
    [VERB_REPLAY] = {.form = {{"RECORD [EVENT]", "replays recorded steps: the results must match"}},
                     .details = no_daemon,
                     .exit = {{OUTCOME_REFUSED, "the results differ"},
                              {OUTCOME_UNREAD, record_unread}},
                     .words_min = 1,
                     .words_max = 2},
    [VERB_PERFORM] =
        {.form = {{"FILE", "runs a session script (sessions.md)"}},
         .waits = "until its end",
         .details = "However it ends, even by Ctrl-C or a failed line, the bridge is left safe.",
         .example = {"perform config/evening-session.script --dry-run"},
         .exit = {{OUTCOME_CONFIGURATION, "the file is wrong"}},
         .words_min = 1,
         .words_max = 1},
    [VERB_PLAN] = {.form = {{"FILE",
                             "plans the openings of a timetable, and draws it (sessions.md)"}},
                   .details = no_daemon,
                   .exit = {{OUTCOME_REFUSED, "a boat waits too long"},
                            {OUTCOME_CONFIGURATION, "the file is wrong"}},
                   .words_min = 1,
                   .words_max = 1},
};

enum outcome verbs_run(enum verb_id id, struct tool *tool) {
    static enum outcome (*const functions[VERBS])(struct tool *) = {
#define X(id, function, name) [VERB_##id] = verb_##function,
        VERB_LIST(X)
#undef X
    };
    return functions[id](tool);
}
