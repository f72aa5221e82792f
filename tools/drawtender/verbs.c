#include "tools/drawtender/verbs.h"

#include <string.h>

enum { ANY = OPTIONS_WORDS_MAX };

const struct verb verbs[] = {
    {"state", "", "show the bridge at a glance", 0, 0, verb_state},
    {"follow", "", "show it, then every change, until Ctrl-C or the limit", 0, 0, verb_follow},
    {"raise", "", "open the bridge for the river", 0, 0, verb_raise},
    {"lower", "", "line the bridge for rail", 0, 0, verb_lower},
    {"stop", "", "stop the span where it is; raise or lower goes on from there", 0, 0, verb_stop},
    {"emergency-stop", "", "safe state at once, latched as a fault", 0, 0, verb_emergency_stop},
    {"acknowledge", "", "clear a fault whose cause is gone", 0, 0, verb_acknowledge},
    {"power", "on|off", "switch the guarded track power", 1, 1, verb_power},
    {"signal", "NAME|ADDRESS stop|proceed", "set a home signal", 2, ANY, verb_signal},
    {"send", "LINE...", "send one line of the protocol and print the reply", 1, ANY, verb_send},
    {"commission", "FILE", "set up a real bridge, guided; writes what was found into FILE", 1, 1,
     verb_commission},
    {"balance", "FILE record SAMPLES", "run up and down, and record what the motor takes", 2, ANY,
     verb_balance},
    {"balance", "FILE fit SAMPLES [LOADED WEIGHT]", "balance and friction from recorded runs", 2,
     ANY, verb_balance},
    {"balance", "FILE spring UP DOWN", "... from a spring scale at the toe", 2, ANY, verb_balance},
    {"balance", "FILE trend SAMPLES...", "... opening after opening: what has changed", 2, ANY,
     verb_balance},
    {"perform", "FILE", "run a session script; see --dry-run and --scale", 1, 1, verb_perform},
    {"plan", "FILE", "plan the openings of a timetable; see --script and --diagram", 1, 1,
     verb_plan},
    {"reckon", "FILE", "size the lift of a configuration: verdicts, tables, plots", 1, 1,
     verb_reckon},
    {"logbook", "RECORD [TABLE]", "what a record tells: a summary, or one table of it", 1, 2,
     verb_logbook},
    {"opening", "RECORD NUMBER", "one opening of a record: its steps, its plot", 2, 2,
     verb_opening},
    {"serviced", "RECORD", "note that the lift was looked after", 1, 1, verb_serviced},
    {"replay", "RECORD [EVENT]", "run recorded steps again: the same must come out", 1, 2,
     verb_replay},
    {"wait", "lined|open|held|fault", "wait until the bridge is so", 1, 4, verb_wait},
    {"wait", "FB ADDRESS [VALUE]", "... until a feedback has this value (1)", 1, 4, verb_wait},
    {"wait", "GA ADDRESS PORT [VALUE]", "... until a port has this value (1)", 1, 4, verb_wait},
};

const size_t verbs_count = sizeof verbs / sizeof verbs[0];

const struct verb *verbs_find(const char *name) {
    for (size_t i = 0; i < verbs_count; i++) {
        if (strcmp(verbs[i].name, name) == 0) {
            return &verbs[i];
        }
    }
    return NULL;
}
