#include "tools/drawtender/help.h"

#include "tools/drawtender/verbs.h"

static const char head[] = "usage: drawtender [OPTION...] VERB [WORD...]\n"
                           "Works a model drawbridge through its daemon, drawtenderd.\n"
                           "\n"
                           "verbs:\n";

static const char options[] =
    "\n"
    "options:\n"
    "  --host NAME     where the daemon is (127.0.0.1)\n"
    "  --port NUMBER   its port (4303)\n"
    "  --bus NUMBER    the bridge's bus (1)\n"
    "  --limit TIME    longest wait of raise, lower, wait, send and follow: 90s, 5 min, none\n"
    "                  (5 min; follow: none). The bridge goes on when it runs out\n"
    "  --no-wait       raise, lower: do not wait for the end\n"
    "  --plots FOLDER  reckon, logbook, opening: write plots there, as SVG files\n"
    "  --from, --to    logbook, replay: of the record only this: 2026-03-01,\n"
    "                  2026-03-01T12:00:05, local time\n"
    "  --csv           logbook, opening: print CSV\n"
    "  --keep FILE     replay: write the steps there, as a text that can be a test\n"
    "  --dry-run       perform: check every line against the daemon's devices, do nothing\n"
    "  --scale NUMBER  perform: model time this many times as fast as real time\n"
    "  --script FILE   plan: write the openings there, as a session script\n"
    "  --diagram FILE  plan: write trains, boats and openings there, as an SVG file\n"
    "  --seed NUMBER   plan: another random traffic (1)\n"
    "  --config FILE, --bridge NAME  plan: reckon the bridge's times from its configuration\n"
    "  --record FILE   plan: measure them from its record\n"
    "  --json          print JSON: one object, or one a line with follow\n"
    "  --quiet         print errors alone; the exit code tells\n"
    "  --version, --help\n"
    "  --              what follows is words, no options\n"
    "\n"
    "Ctrl-C while raise, lower or perform waits stops the span where it is.\n"
    "\n"
    "exit codes:\n"
    "  0    done\n"
    "  1    refused by the bridge or the server, or overtaken by what somebody else asked;\n"
    "       reckon: a verdict is bad; replay: something else came out;\n"
    "       plan: a boat waits too long\n"
    "  2    the limit ran out\n"
    "  3    no daemon there, no answer, or the connection was lost\n"
    "  4    a fault is latched on the bridge\n"
    "  64   the command line is wrong\n"
    "  66   logbook, opening, serviced, replay: the record cannot be read, or lacks that\n"
    "  73   a plot, a file of --keep, --script or --diagram, or a report itself could not be\n"
    "       written whole\n"
    "  78   reckon: the configuration is wrong; perform, plan: the file is\n"
    "  130  interrupted; the span was asked to stop\n";

static const char cautions[] =
    "\n"
    "CAUTION: a moving span and its counterweight crush fingers, and they start without warning\n"
    "when someone elsewhere asks. Keep hands, hair, children and animals clear; look before you\n"
    "raise or lower. Have a hard-wired emergency stop that cuts the motor's supply within reach,\n"
    "and guards where people can come near. What reckon works out is no proof, and a worm that\n"
    "locks on paper is no brake. Local electrical codes and licensed practice come\n"
    "first. This software is no safety device: neither stop nor emergency-stop replaces the\n"
    "hard-wired one.\n";

void help_print(FILE *out) {
    fputs(head, out);
    for (size_t i = 0; i < verbs_count; i++) {
        char left[64];
        snprintf(left, sizeof left, "%s %s", verbs[i].name, verbs[i].words);
        fprintf(out, "  %-34s %s\n", left, verbs[i].what);
    }
    fprintf(out, "  %-34s %s\n", "help", "this text");
    fputs(options, out);
    fputs(cautions, out);
}
