#include "options.h"

#include <errno.h>
#include <getopt.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

const char options_cautions[] =
    "CAUTION: a moving span crushes fingers, and its counterweight does so out of sight.\n"
    "  Fit a hard-wired emergency stop that cuts the motor's supply, current limits and guards.\n"
    "  Keep hands, hair, sleeves and children clear whenever the motor has power.\n"
    "  Mains wiring is for licensed people; local electrical codes come before anything said "
    "here.\n"
    "  This software is no safety device. It can fail; the hardware around it must not rely on "
    "it.\n";

static const char usage[] =
    "usage: drawtenderd [--config FILE] [--check | --wiring | --dry-run] [--pace N] [--port N]\n"
    "                   [--panel-port N] [--realtime PRIORITY] [--watchdog DEVICE] [--log LEVEL]\n"
    "\n"
    "Runs the drawbridges of a model railroad: takes SRCP commands over TCP, interlocks each span\n"
    "with its home signals and track power, and drives its lift.\n"
    "\n"
    "  --config FILE  the bridges and listeners, in JSON; without it the built-in demo bridge "
    "runs\n"
    "                 on a simulated span\n"
    "  --check        read the configuration, report every mistake, and end\n"
    "  --wiring       print which signal is at which terminal of this computer, and end\n"
    "  --dry-run      read all inputs, log them and what each output would do, and drive nothing:\n"
    "                 for the first trial of real wiring\n"
    "  --pace N       run layout time N times as fast, 1 to 1000 (simulated bridges only)\n"
    "  --port N       listen on TCP port N instead of the first listener's; 0 takes a free one,\n"
    "                 for the panel too\n"
    "  --panel-port N serve the first panel on TCP port N; 0 takes a free one\n"
    "  --realtime PRIORITY  run before other programs (SCHED_FIFO, 1 to 99) and lock the memory\n"
    "  --watchdog DEVICE    let the kernel's watchdog, such as /dev/watchdog, reset the machine\n"
    "                 should this program hang or die\n"
    "  --log LEVEL    error, warning, notice (default) or debug; lines go to standard error\n"
    "  --version      print the version and end\n"
    "  --help         print this and end\n"
    "\n"
    "SIGTERM and SIGINT end it in order: every output goes to its safe state first.\n"
    "\n"
    "exit status: 0 ended in order; 64 wrong command line; 66 no such configuration file;\n"
    "  69 a listener could not be opened; 70 internal error; 71 the system refused something;\n"
    "  74 an output could not be opened; 78 mistakes in the configuration\n"
    "\n";

enum {
    OPTION_CONFIG = 256,
    OPTION_CHECK,
    OPTION_WIRING,
    OPTION_DRY_RUN,
    OPTION_REALTIME,
    OPTION_WATCHDOG,
    OPTION_PACE,
    OPTION_PORT,
    OPTION_PANEL_PORT,
    OPTION_LOG,
    OPTION_VERSION,
    OPTION_HELP
};

static const struct option long_options[] = {
    {"config", required_argument, NULL, OPTION_CONFIG},
    {"check", no_argument, NULL, OPTION_CHECK},
    {"wiring", no_argument, NULL, OPTION_WIRING},
    {"dry-run", no_argument, NULL, OPTION_DRY_RUN},
    {"realtime", required_argument, NULL, OPTION_REALTIME},
    {"watchdog", required_argument, NULL, OPTION_WATCHDOG},
    {"pace", required_argument, NULL, OPTION_PACE},
    {"port", required_argument, NULL, OPTION_PORT},
    {"panel-port", required_argument, NULL, OPTION_PANEL_PORT},
    {"log", required_argument, NULL, OPTION_LOG},
    {"version", no_argument, NULL, OPTION_VERSION},
    {"help", no_argument, NULL, OPTION_HELP},
    {NULL, 0, NULL, 0},
};

static enum options_verdict wrong(FILE *err, const char *what, const char *found) {
    fprintf(err, "drawtenderd: %s: '%s'; see drawtenderd --help\n", what, found);
    return OPTIONS_WRONG;
}

static bool read_pace(const char *word, double *pace) {
    char *end;
    errno = 0;
    double value = strtod(word, &end);
    if (errno != 0 || end == word || *end != '\0' || !(value >= 1 && value <= 1000)) {
        return false;
    }
    *pace = value;
    return true;
}

static bool read_whole(const char *word, long least, long most, long *number) {
    char *end;
    errno = 0;
    long value = strtol(word, &end, 10);
    if (errno != 0 || end == word || *end != '\0' || value < least || value > most) {
        return false;
    }
    *number = value;
    return true;
}

static enum options_verdict read_one(int option, char **arguments, struct options *options,
                                     FILE *out, FILE *err) {
    switch (option) {
    case OPTION_CONFIG:
        options->config = optarg;
        return OPTIONS_RUN;
    case OPTION_CHECK:
        options->is_check = true;
        return OPTIONS_RUN;
    case OPTION_WIRING:
        options->is_wiring = true;
        return OPTIONS_RUN;
    case OPTION_DRY_RUN:
        options->is_dry = true;
        return OPTIONS_RUN;
    case OPTION_REALTIME:
        return read_whole(optarg, 1, 99, &options->realtime)
                   ? OPTIONS_RUN
                   : wrong(err, "--realtime wants a whole number from 1 to 99", optarg);
    case OPTION_WATCHDOG:
        options->watchdog = optarg;
        return OPTIONS_RUN;
    case OPTION_PACE:
        return read_pace(optarg, &options->pace)
                   ? OPTIONS_RUN
                   : wrong(err, "--pace wants a number from 1 to 1000", optarg);
    case OPTION_PORT:
        return read_whole(optarg, 0, 65535, &options->port)
                   ? OPTIONS_RUN
                   : wrong(err, "--port wants a whole number from 0 to 65535", optarg);
    case OPTION_PANEL_PORT:
        return read_whole(optarg, 0, 65535, &options->panel_port)
                   ? OPTIONS_RUN
                   : wrong(err, "--panel-port wants a whole number from 0 to 65535", optarg);
    case OPTION_LOG:
        return log_level_parse(optarg, &options->log)
                   ? OPTIONS_RUN
                   : wrong(err, "--log wants error, warning, notice or debug", optarg);
    case OPTION_VERSION:
        fputs("drawtenderd " DRAWTENDER_VERSION "\n", out);
        return OPTIONS_DONE;
    case OPTION_HELP:
        fputs(usage, out);
        fputs(options_cautions, out);
        return OPTIONS_DONE;
    }
    const char *found = arguments[optind - 1];
    return option == ':' ? wrong(err, "this option wants a value", found)
                         : wrong(err, "no such option, or not with a value", found);
}

enum options_verdict options_read(int count, char **arguments, struct options *options, FILE *out,
                                  FILE *err) {
    *options = (struct options){.pace = 1, .port = -1, .panel_port = -1, .log = LOG_NOTICE};
    enum options_verdict verdict = OPTIONS_RUN;
    int option;
    optind = 1;
    opterr = 0; /* its words would have the program's whole path, and no way to the help */
    while (verdict == OPTIONS_RUN &&
           (option = getopt_long(count, arguments, ":", long_options, NULL)) != -1) {
        verdict = read_one(option, arguments, options, out, err);
    }
    if (verdict == OPTIONS_RUN && optind < count) {
        return wrong(err, "drawtenderd takes options only", arguments[optind]);
    }
    return verdict;
}
