/* The command line. */
#include "tools/drawtender/options.h"

#include "base/text/moment.h"
#include "protocol/request.h"
#include "tools/drawtender/base/duration.h"
#include "tools/drawtender/verbs/verb_id.h"

#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>

static bool take_count(const char *text, unsigned long most, unsigned long *count,
                       struct error *error) {
    char *end = NULL;
    errno = 0;
    unsigned long value = strtoul(text, &end, 10);
    if (text[0] < '0' || text[0] > '9' || *end != '\0' || errno != 0 || value < 1 || value > most) {
        return error_set(error, "", "'%.40s' is not a whole number from 1 to %lu", text, most);
    }
    *count = value;
    return true;
}

static bool set_host(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    if (value[0] == '\0') {
        return error_set(error, "", "wanted a name or an address");
    }
    options->host = value;
    return true;
}

static bool set_port(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    unsigned long port;
    if (!take_count(value, UINT16_MAX, &port, error)) {
        return false;
    }
    options->port = (uint16_t)port;
    return true;
}

/* The host may be an address of IPv6, in brackets or not: the last colon parts them. */
static bool set_lcc(void *to, const char *value, struct error *error) {
    struct tool_lcc *lcc = &((struct tool_options *)to)->lcc;
    const char *colon = strrchr(value, ':');
    size_t length = colon != NULL ? (size_t)(colon - value) : 0;
    bool is_bracketed = length > 2 && value[0] == '[' && value[length - 1] == ']';
    length -= is_bracketed ? 2 : 0;
    if (colon == value || length >= sizeof lcc->host) {
        return error_set(error, "", "wanted a name or an address before ':PORT'");
    }
    memcpy(lcc->host, value + is_bracketed, length);
    lcc->host[length] = '\0';
    unsigned long port;
    if (!take_count(colon != NULL ? colon + 1 : value, UINT16_MAX, &port, error)) {
        return false;
    }
    lcc->port = (uint16_t)port;
    return true;
}

static bool set_bus(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    unsigned long bus;
    if (!take_count(value, INT_MAX, &bus, error)) {
        return false;
    }
    options->bus = (unsigned)bus;
    options->has_bus_option = true;
    return true;
}

static bool set_limit(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    options->has_limit_option = true;
    options->has_limit = strcmp(value, "none") != 0;
    return !options->has_limit || duration_parse(value, &options->limit_ms, error);
}

static bool set_scale(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    unsigned long scale;
    if (!take_count(value, SRCP_TIME_RATE_MAX, &scale, error)) {
        return false;
    }
    options->scale = (unsigned)scale;
    return true;
}

static bool set_seed(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    unsigned long seed;
    if (!take_count(value, UINT32_MAX, &seed, error)) {
        return false;
    }
    options->seed = (uint32_t)seed;
    return true;
}

static bool set_file(const char **file, const char *value, struct error *error) {
    *file = value;
    return value[0] != '\0' || error_set(error, "", "wanted a file");
}

static bool set_script(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    return set_file(&options->script, value, error);
}

static bool set_diagram(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    return set_file(&options->diagram, value, error);
}

static bool set_config(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    return set_file(&options->config, value, error);
}

static bool set_record(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    return set_file(&options->record, value, error);
}

static bool set_answers(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    return set_file(&options->answers, value, error);
}

static bool set_bridge(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    options->bridge = value;
    return value[0] != '\0' || error_set(error, "", "wanted a bridge's name");
}

static bool set_plots(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    if (value[0] == '\0') {
        return error_set(error, "", "wanted a folder");
    }
    options->plots = value;
    return true;
}

static bool set_keep(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    if (value[0] == '\0') {
        return error_set(error, "", "wanted a file");
    }
    options->keep = value;
    return true;
}

static bool set_from(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    return moment_parse(value, &options->from_us, error);
}

static bool set_to(void *to, const char *value, struct error *error) {
    struct tool_options *options = to;
    return moment_parse(value, &options->to_us, error);
}

#define FLAG(name) .flag = offsetof(struct tool_options, name)
#define FOR(verb) (UINT64_C(1) << VERB_##verb)
#define READ_RECORD (FOR(LOGBOOK) | FOR(OPENING) | FOR(REPLAY) | FOR(PLAN))

static const struct option_row rows[] = {
    {"--host", "NAME", "where the daemon is", "127.0.0.1", .set = set_host},
    {"--port", "NUMBER", "the daemon's port", "4303", .set = set_port},
    {"--bus", "NUMBER", "the bridge's bus", "1", .set = set_bus},
    {"--limit", "TIME",
     "longest wait for the bridge, in real time: 90s, 5 min, none. The bridge carries on when it "
     "expires",
     "5 min; follow, hand: none", .set = set_limit},
    {"--lcc", "PORT",
     "shows every frame at an LCC listener, a daemon's or a hub's, often at port 12021; HOST:PORT "
     "for one that is not on --host",
     NULL, .set = set_lcc, .commands = FOR(FOLLOW)},
    {"--no-wait", NULL, "raise, lower: return as soon as the request is granted", NULL,
     FLAG(is_no_wait)},
    {"--voltage", NULL, "sets the voltage, as at a transformer, and not the speed", NULL,
     FLAG(is_voltage), .commands = FOR(HAND)},
    {"--plots", "FOLDER", "writes plots to FOLDER, as SVG files", NULL, .set = set_plots,
     .commands = FOR(RECKON) | FOR(LOGBOOK) | FOR(OPENING)},
    {"--from", "MOMENT",
     "uses only what was recorded after this: 2026-03-01 (from the start of the day) or "
     "2026-03-01T12:00:05, local time",
     NULL, .set = set_from, .commands = READ_RECORD},
    {"--to", "MOMENT", "uses only what was recorded before this", NULL, .set = set_to,
     .commands = READ_RECORD},
    {"--csv", NULL, "prints CSV (RFC 4180)", NULL, FLAG(is_csv),
     .commands = FOR(LOGBOOK) | FOR(OPENING) | FOR(EVENTS)},
    {"--keep", "FILE", "writes the steps to FILE, as text that can become a test", NULL,
     .set = set_keep, .commands = FOR(REPLAY)},
    {"--dry-run", NULL,
     "checks every line against the daemon's devices, but sends nothing that acts", NULL,
     FLAG(is_dry_run), .commands = FOR(PERFORM)},
    {"--scale", "NUMBER", "runs model time this many times faster than the layout's",
     "as the script says", .set = set_scale, .commands = FOR(PERFORM)},
    {"--script", "FILE", "writes the openings to FILE, as a session script", NULL,
     .set = set_script, .commands = FOR(PLAN)},
    {"--diagram", "FILE", "draws trains, boats and openings in FILE, as SVG", NULL,
     .set = set_diagram, .commands = FOR(PLAN)},
    {"--seed", "NUMBER", "seed of the random river traffic", "1", .set = set_seed,
     .commands = FOR(PLAN)},
    {"--config", "FILE", "calculates the bridge's times from its configuration",
     "as the timetable says", .set = set_config, .commands = FOR(PLAN)},
    {"--bridge", "NAME", "which bridge of that configuration", "the one on --bus",
     .set = set_bridge, .commands = FOR(PLAN)},
    {"--record", "FILE", "measures the bridge's times from its record", NULL, .set = set_record,
     .commands = FOR(PLAN)},
    {"--answers", "FILE", "takes all answers from FILE, and asks nothing", NULL, .set = set_answers,
     .commands = FOR(DESCRIBE)},
    {"--json", NULL, "prints JSON: one object, or with follow one a line", NULL, FLAG(is_json)},
    {"--quiet", NULL, "prints errors only; the exit code tells the rest", NULL, FLAG(is_quiet)},
    {"--version", NULL, "prints the version", NULL, FLAG(wants_version)},
    {"--help", NULL, "prints help, after a verb that verb's help; also -h", NULL, FLAG(wants_help)},
};

const struct option_table tool_options_table = {rows, sizeof rows / sizeof rows[0]};

_Static_assert(sizeof rows / sizeof rows[0] <= 64, "tool_options.given has a bit for each row");
_Static_assert(VERBS <= 64, "an option row has a bit for each verb");

static bool take_word(const char *argument, struct tool_options *options, struct error *error) {
    if (options->verb == NULL) {
        options->verb = argument;
        return true;
    }
    if (options->words == OPTIONS_WORDS_MAX) {
        return error_set(error, "", "more than %d words", OPTIONS_WORDS_MAX);
    }
    options->word[options->words++] = argument;
    return true;
}

/* An option that a verb would pass over is a mistake: whoever asks to raise with --dry-run does not
 * expect the span to move. An unknown verb is told of elsewhere. */
static bool check_taken(const struct tool_options *options, struct error *error) {
    enum verb_id verb = options->verb != NULL ? verb_id_find(options->verb) : VERBS;
    for (size_t i = 0; verb != VERBS && i < tool_options_table.rows; i++) {
        bool is_given = (options->given >> i & 1) != 0;
        if (is_given && rows[i].commands != 0 && (rows[i].commands & verb_id_bit(verb)) == 0) {
            char takers[128];
            option_table_takers(&rows[i], verb_names, takers, sizeof takers);
            return error_set(error, rows[i].name, "'%.40s' does not take this option; it is for %s",
                             options->verb, takers);
        }
    }
    return true;
}

static bool check_whole(const struct tool_options *options, struct error *error) {
    if (!check_taken(options, error)) {
        return false;
    }
    if (options->verb != NULL && verb_id_find(options->verb) == VERB_FOLLOW && options->words > 0 &&
        options->lcc.port == 0) {
        return error_set(error, "", "follow takes FILE only with --lcc");
    }
    if (options->from_us >= options->to_us) {
        return error_set(error, "--to",
                         "wanted a time later than --from; a date alone, such as 2026-03-01, means "
                         "the start of that day");
    }
    return true;
}

bool options_parse(int count, char *const arguments[], struct tool_options *options,
                   struct error *error) {
    *options = (struct tool_options){.host = "127.0.0.1",
                                     .port = OPTIONS_PORT,
                                     .bus = 1,
                                     .has_limit = true,
                                     .limit_ms = OPTIONS_LIMIT_MS,
                                     .to_us = INT64_MAX,
                                     .reply_ms = OPTIONS_REPLY_MS};
    bool takes_options = true;
    for (int i = 0; i < count; i++) {
        const char *argument = arguments[i];
        if (takes_options && strcmp(argument, "--") == 0) {
            takes_options = false;
        } else if (takes_options && option_table_is_option(argument)) {
            bool took_next = false;
            const char *next = i + 1 < count ? arguments[i + 1] : NULL;
            if (!option_table_take(&tool_options_table, argument, next, &took_next, options,
                                   &options->given, error)) {
                return false;
            }
            i += took_next;
        } else if (!take_word(argument, options, error)) {
            return false;
        }
    }
    return options->wants_help || check_whole(options, error);
}

struct deadline options_deadline(const struct tool_options *options, bool by_itself) {
    bool is_limited = options->has_limit && (by_itself || options->has_limit_option);
    return is_limited ? deadline_in(options->limit_ms) : (struct deadline){0};
}
