#include "tools/drawtender/options.h"

#include "base/moment.h"
#include "protocol/request.h"
#include "tools/drawtender/duration.h"

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

static bool set_host(struct tool_options *options, const char *value, struct error *error) {
    if (value[0] == '\0') {
        return error_set(error, "", "wanted a name or an address");
    }
    options->host = value;
    return true;
}

static bool set_port(struct tool_options *options, const char *value, struct error *error) {
    unsigned long port;
    if (!take_count(value, UINT16_MAX, &port, error)) {
        return false;
    }
    options->port = (uint16_t)port;
    return true;
}

static bool set_bus(struct tool_options *options, const char *value, struct error *error) {
    unsigned long bus;
    if (!take_count(value, INT_MAX, &bus, error)) {
        return false;
    }
    options->bus = (unsigned)bus;
    options->has_bus_option = true;
    return true;
}

static bool set_limit(struct tool_options *options, const char *value, struct error *error) {
    options->has_limit_option = true;
    options->has_limit = strcmp(value, "none") != 0;
    return !options->has_limit || duration_parse(value, &options->limit_ms, error);
}

static bool set_scale(struct tool_options *options, const char *value, struct error *error) {
    unsigned long scale;
    if (!take_count(value, SRCP_TIME_RATE_MAX, &scale, error)) {
        return false;
    }
    options->scale = (unsigned)scale;
    return true;
}

static bool set_seed(struct tool_options *options, const char *value, struct error *error) {
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

static bool set_script(struct tool_options *options, const char *value, struct error *error) {
    return set_file(&options->script, value, error);
}

static bool set_diagram(struct tool_options *options, const char *value, struct error *error) {
    return set_file(&options->diagram, value, error);
}

static bool set_config(struct tool_options *options, const char *value, struct error *error) {
    return set_file(&options->config, value, error);
}

static bool set_record(struct tool_options *options, const char *value, struct error *error) {
    return set_file(&options->record, value, error);
}

static bool set_bridge(struct tool_options *options, const char *value, struct error *error) {
    options->bridge = value;
    return value[0] != '\0' || error_set(error, "", "wanted a bridge's name");
}

static bool set_plots(struct tool_options *options, const char *value, struct error *error) {
    if (value[0] == '\0') {
        return error_set(error, "", "wanted a folder");
    }
    options->plots = value;
    return true;
}

static bool set_keep(struct tool_options *options, const char *value, struct error *error) {
    if (value[0] == '\0') {
        return error_set(error, "", "wanted a file");
    }
    options->keep = value;
    return true;
}

static bool set_from(struct tool_options *options, const char *value, struct error *error) {
    return moment_parse(value, &options->from_us, error);
}

static bool set_to(struct tool_options *options, const char *value, struct error *error) {
    return moment_parse(value, &options->to_us, error);
}

/* An option either sets a value or raises a flag. */
struct option_row {
    const char *name;
    bool (*set)(struct tool_options *options, const char *value, struct error *error);
    size_t flag;       /* where in struct tool_options, if there is no `set` */
    const char *verbs; /* that take it, parted by blanks; NULL: it does no harm with any */
};

#define FLAG(name) NULL, offsetof(struct tool_options, name)

static const struct option_row table[] = {
    {"--host", set_host, 0, NULL},
    {"--port", set_port, 0, NULL},
    {"--bus", set_bus, 0, NULL},
    {"--limit", set_limit, 0, NULL},
    {"--json", FLAG(is_json), NULL},
    {"--quiet", FLAG(is_quiet), NULL},
    {"--no-wait", FLAG(is_no_wait), NULL},
    {"--help", FLAG(wants_help), NULL},
    {"--version", FLAG(wants_version), NULL},
    {"--dry-run", FLAG(is_dry_run), "perform"},
    {"--scale", set_scale, 0, "perform"},
    {"--csv", FLAG(is_csv), "logbook opening"},
    {"--plots", set_plots, 0, "reckon logbook opening"},
    {"--from", set_from, 0, "logbook opening replay plan"},
    {"--to", set_to, 0, "logbook opening replay plan"},
    {"--keep", set_keep, 0, "replay"},
    {"--seed", set_seed, 0, "plan"},
    {"--script", set_script, 0, "plan"},
    {"--diagram", set_diagram, 0, "plan"},
    {"--config", set_config, 0, "plan"},
    {"--record", set_record, 0, "plan"},
    {"--bridge", set_bridge, 0, "plan"},
};

enum { ROWS = sizeof table / sizeof table[0] };

_Static_assert(ROWS <= 32, "tool_options.given has a bit for each row");

/* The row of "--name" or "--name=value"; `value` is what follows the '=', or NULL. */
static const struct option_row *find(const char *argument, const char **value) {
    size_t length = strcspn(argument, "=");
    *value = argument[length] == '=' ? argument + length + 1 : NULL;
    for (size_t i = 0; i < ROWS; i++) {
        if (strlen(table[i].name) == length && strncmp(table[i].name, argument, length) == 0) {
            return &table[i];
        }
    }
    return NULL;
}

static bool take_value(const struct option_row *row, const char *value,
                       struct tool_options *options, struct error *error) {
    if (value == NULL) {
        return error_set(error, row->name, "wants a value");
    }
    struct error inner;
    return row->set(options, value, &inner) || error_set(error, row->name, "%s", inner.what);
}

static bool take_flag(const struct option_row *row, const char *value, struct tool_options *options,
                      struct error *error) {
    if (value != NULL) {
        return error_set(error, row->name, "takes no value");
    }
    *(bool *)((char *)options + row->flag) = true;
    return true;
}

static bool take_option(const char *argument, const char *next, bool *took_next,
                        struct tool_options *options, struct error *error) {
    const char *value = NULL;
    const struct option_row *row = find(argument, &value);
    if (row == NULL) {
        return error_set(error, "", "no option '%.40s'", argument);
    }
    options->given |= UINT32_C(1) << (row - table);
    if (row->set == NULL) {
        return take_flag(row, value, options, error);
    }
    *took_next = value == NULL;
    return take_value(row, *took_next ? next : value, options, error);
}

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

static bool lists(const char *verbs, const char *verb) {
    size_t length = strlen(verb);
    for (const char *at = verbs; at[0] != '\0'; at += strspn(at, " ")) {
        size_t word = strcspn(at, " ");
        if (word == length && strncmp(at, verb, length) == 0) {
            return true;
        }
        at += word;
    }
    return false;
}

/* What was given and does not go together. An option that a verb would pass over is a mistake:
 * whoever asks to raise with --dry-run does not expect the span to move. */
static bool check_whole(const struct tool_options *options, struct error *error) {
    for (size_t i = 0; i < ROWS && options->verb != NULL; i++) {
        bool is_given = (options->given & UINT32_C(1) << i) != 0;
        if (is_given && table[i].verbs != NULL && !lists(table[i].verbs, options->verb)) {
            return error_set(error, table[i].name, "'%.40s' does not take it; it is for %s",
                             options->verb, table[i].verbs);
        }
    }
    if (options->from_us >= options->to_us) {
        return error_set(error, "--to",
                         "wanted a moment later than --from; a day alone, such as "
                         "2026-03-01, is the moment at which it begins");
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
        } else if (takes_options && strncmp(argument, "--", 2) == 0) {
            bool took_next = false;
            const char *next = i + 1 < count ? arguments[i + 1] : NULL;
            if (!take_option(argument, next, &took_next, options, error)) {
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
