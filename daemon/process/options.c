/* The daemon's command line, as a table. */
#include "process/options.h"

#include "base/text/wrapped.h"

#include <errno.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <sysexits.h>

const char options_cautions[] =
    "CAUTION: a moving span crushes fingers, and its counterweight does so out of sight.\n"
    "  Fit a hard-wired emergency stop that cuts the motor's supply, current limits and guards.\n"
    "  Keep hands, hair, sleeves and children clear whenever the motor has power.\n"
    "  Mains wiring is for licensed people; local electrical codes take precedence over anything "
    "here.\n"
    "  This software is not a safety device. It can fail; the hardware around it must not rely on "
    "it.\n";

static bool take_whole(const char *word, long least, long most, long *number, struct error *error) {
    char *end;
    errno = 0;
    long value = strtol(word, &end, 10);
    if (errno != 0 || end == word || *end != '\0' || value < least || value > most) {
        return error_set(error, "", "'%.40s' is not a whole number from %ld to %ld", word, least,
                         most);
    }
    *number = value;
    return true;
}

static bool take_file(const char *value, const char **file, struct error *error) {
    *file = value;
    return value[0] != '\0' || error_set(error, "", "the name of the file is empty");
}

static bool set_config(void *to, const char *value, struct error *error) {
    return take_file(value, &((struct options *)to)->config, error);
}

static bool set_against(void *to, const char *value, struct error *error) {
    return take_file(value, &((struct options *)to)->against, error);
}

static bool set_drawing(void *to, const char *value, struct error *error) {
    return take_file(value, &((struct options *)to)->drawing, error);
}

static bool set_sound(void *to, const char *value, struct error *error) {
    return take_file(value, &((struct options *)to)->sound, error);
}

static bool set_pace(void *to, const char *value, struct error *error) {
    struct options *options = to;
    char *end;
    errno = 0;
    options->pace = strtod(value, &end);
    bool is_number = errno == 0 && end != value && *end == '\0';
    return (is_number && options->pace >= 1 && options->pace <= 1000) ||
           error_set(error, "", "'%.40s' is not a number from 1 to 1000", value);
}

static bool set_port(void *to, const char *value, struct error *error) {
    return take_whole(value, 0, 65535, &((struct options *)to)->port, error);
}

static bool set_panel_port(void *to, const char *value, struct error *error) {
    return take_whole(value, 0, 65535, &((struct options *)to)->panel_port, error);
}

static bool set_realtime(void *to, const char *value, struct error *error) {
    return take_whole(value, 1, 99, &((struct options *)to)->realtime, error);
}

static bool set_watchdog(void *to, const char *value, struct error *error) {
    struct options *options = to;
    options->watchdog = value;
    return value[0] != '\0' || error_set(error, "", "the name of the device is empty");
}

static bool set_log(void *to, const char *value, struct error *error) {
    struct options *options = to;
    return log_level_parse(value, &options->log) ||
           error_set(error, "", "'%.40s' is not error, warning, notice or debug", value);
}

#define FLAG(name) .flag = offsetof(struct options, name)

static const struct option_row rows[] = {
    {"--config", "FILE", "bridges and listeners, in JSON",
     "the built-in demo bridge, with a simulated span", .set = set_config},
    {"--check", NULL,
     "checks the configuration, reports every mistake, prints what guards each bridge, and exits",
     NULL, FLAG(is_check)},
    {"--against", "FILE",
     "with --check: prints how the configuration differs from FILE, without the guards", NULL,
     .set = set_against},
    {"--wiring", NULL, "prints which signal is at which terminal of this computer, and exits", NULL,
     FLAG(is_wiring)},
    {"--wiring-drawing", "FILE", "draws the same to a new SVG file, and exits", NULL,
     .set = set_drawing},
    {"--dns-sd", NULL,
     "prints a service file for avahi, which announces panel and protocols to the network, and "
     "ends",
     NULL, FLAG(is_announcement)},
    {"--dry-run", NULL,
     "reads all inputs, logs them and what each output would do, but drives nothing: for a first "
     "test of real wiring",
     NULL, FLAG(is_dry)},
    {"--pace", "N", "runs layout time N times faster, 1 to 1000; simulated bridges only", "1",
     .set = set_pace},
    {"--port", "N", "TCP port of the first listener; 0 picks a free one, for the panel too",
     "as configured", .set = set_port},
    {"--panel-port", "N", "TCP port of the first panel; 0 picks a free one", "as configured",
     .set = set_panel_port},
    {"--sound", "FILE",
     "writes what is heard of the first bridge to a new WAV file, in layout time, instead of "
     "playing it",
     NULL, .set = set_sound},
    {"--realtime", "PRIORITY",
     "runs at real-time priority (SCHED_FIFO, 1 to 99) and locks its memory", NULL,
     .set = set_realtime},
    {"--watchdog", "DEVICE",
     "has the kernel watchdog, such as /dev/watchdog, reset the machine if this program hangs or "
     "dies",
     NULL, .set = set_watchdog},
    {"--log", "error|warning|notice|debug", "how much to log to standard error", "notice",
     .set = set_log},
    {"--version", NULL, "prints the version and exits", NULL, FLAG(wants_version)},
    {"--help", NULL, "prints this help and exits; also -h", NULL, FLAG(wants_help)},
};

const struct option_table options_table = {rows, sizeof rows / sizeof rows[0]};

const char options_ending[] =
    "SIGTERM, SIGINT, SIGHUP (unless ignored at start) and SIGQUIT shut it down cleanly: every "
    "output of every bridge goes to its safe state first; devices on other servers have 3 s to "
    "confirm. SIGUSR1 reloads the configuration: the file is checked, the changes are logged, and "
    "they are applied if every bridge is lined and at rest with its power on and no train near; "
    "otherwise the reason is logged, and nothing changes.";

const struct options_exit options_exits[] = {
    {EX_OK, "clean exit"},
    {OPTIONS_UNCHANGED, "--against: no difference"},
    {EX_USAGE, "the command line is wrong"},
    {EX_NOINPUT, "the configuration file does not exist"},
    {EX_UNAVAILABLE, "a listener could not be opened, or another daemon writes the same record"},
    {EX_SOFTWARE, "internal error"},
    {EX_OSERR, "the operating system refused something"},
    {EX_CANTCREAT, "the drawing could not be written, or already exists"},
    {EX_IOERR, "an output could not be opened, or is not known to be safe at exit"},
    {EX_CONFIG, "errors in the configuration"},
};

const size_t options_exits_count = sizeof options_exits / sizeof options_exits[0];

static void print_help(FILE *out) {
    enum { CODE_COLUMN = 7 };
    fputs(
        "usage: drawtenderd [OPTION...]\n"
        "Operates model railroad drawbridges: takes SRCP commands over TCP, interlocks each span\n"
        "with its home signals and track power, and drives its lift.\n"
        "\n"
        "options:\n",
        out);
    option_table_help(&options_table, 0, NULL, out);
    fputc('\n', out);
    wrapped_text(out, 0, options_ending);
    fputs("\nexit codes:\n", out);
    for (size_t i = 0; i < options_exits_count; i++) {
        char left[16];
        snprintf(left, sizeof left, "  %d", options_exits[i].status);
        wrapped_row(out, left, CODE_COLUMN, options_exits[i].what);
    }
    fputc('\n', out);
    fputs(options_cautions, out);
}

static bool read_all(int count, char **arguments, struct options *options, struct error *error) {
    uint64_t given = 0;
    for (int i = 1; i < count && !options->wants_help && !options->wants_version; i++) {
        const char *next = i + 1 < count ? arguments[i + 1] : NULL;
        bool took_next = false;
        if (!option_table_is_option(arguments[i])) {
            return error_set(error, "", "'%.40s': only options are accepted", arguments[i]);
        }
        if (!option_table_take(&options_table, arguments[i], next, &took_next, options, &given,
                               error)) {
            return false;
        }
        i += took_next;
    }
    if (options->against != NULL && (!options->is_check || options->config == NULL)) {
        return error_set(error, "--against", "needs --check and --config");
    }
    return true;
}

enum options_verdict options_read(int count, char **arguments, struct options *options, FILE *out,
                                  FILE *err) {
    *options = (struct options){.pace = 1, .port = -1, .panel_port = -1, .log = LOG_NOTICE};
    struct error error;
    if (!read_all(count, arguments, options, &error)) {
        option_table_complain("drawtenderd", &error, err);
        return OPTIONS_WRONG;
    }
    if (options->wants_version) {
        fputs("drawtenderd " DRAWTENDER_VERSION "\n", out);
        return OPTIONS_DONE;
    }
    if (options->wants_help) {
        print_help(out);
        return OPTIONS_DONE;
    }
    return OPTIONS_RUN;
}
