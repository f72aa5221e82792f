/* options.h: the command line, read and checked whole before anything is connected. */
#ifndef TOOLS_DRAWTENDER_OPTIONS_H
#define TOOLS_DRAWTENDER_OPTIONS_H

#include "base/error.h"
#include "base/text/option_table.h"
#include "tools/drawtender/base/deadline.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum {
    OPTIONS_WORDS_MAX = 64,
    OPTIONS_HOST_SIZE = 256,   /* a name's 253 characters (RFC 1035) */
    OPTIONS_PORT = 4303,       /* of SRCP in IANA's registry of services and ports */
    OPTIONS_LIMIT_MS = 300000, /* ours: a whole opening, trains included */
    OPTIONS_REPLY_MS = 5000,   /* ours: longest time for a connect or a reply */
};

struct tool_lcc {
    char host[OPTIONS_HOST_SIZE]; /* "": that of the daemon */
    uint16_t port;                /* 0: none was given */
};

struct tool_options {
    const char *host; /* points into the arguments, as the words do */
    uint16_t port;
    struct tool_lcc lcc; /* follow: a listener */
    unsigned bus;        /* 1 and up */
    bool has_bus_option; /* --bus was given */
    bool is_json;
    bool is_quiet;
    bool is_no_wait;
    bool is_voltage;       /* hand: what it sets; else the speed */
    bool has_limit_option; /* --limit was given */
    bool has_limit;        /* it was not "none"; true at first */
    uint32_t limit_ms;     /* for what the bridge does, not for the server's replies */
    const char *plots;     /* folder for plots; NULL: none wanted */
    const char *keep;      /* replay: file for the steps; NULL: none wanted */
    bool is_csv;
    uint64_t from_us, to_us; /* of a record, since the Unix epoch; all of it at first */
    bool is_dry_run;         /* perform: ask the server about each line, and do nothing */
    unsigned scale;          /* perform: model to real time, 1 to 2000; 0: as the script says */
    const char *script;      /* plan: files to write; NULL: none wanted */
    const char *diagram;
    const char *config; /* plan: files to know the bridge's times from; NULL: none */
    const char *record;
    const char *bridge;  /* plan: name of the bridge in `config`; NULL: not said */
    const char *answers; /* describe: file to take answers from; NULL: ask */
    uint32_t seed;       /* plan: of random traffic, 1 and up; 0: not given */
    uint32_t reply_ms;   /* no option; tests make it small */
    bool wants_help;
    bool wants_version;
    uint64_t given;   /* rows of tool_options_table, a bit each */
    const char *verb; /* NULL: none was given */
    size_t words;     /* after the verb */
    const char *word[OPTIONS_WORDS_MAX];
};

/* Every option; its rows name the verbs that take it. */
extern const struct option_table tool_options_table;

/* Now and the limit, if there is one; a verb that has no limit by itself has one only if asked for.
 */
struct deadline options_deadline(const struct tool_options *options, bool by_itself);

/* Reads the arguments after the program's name. Options may stand anywhere, as --name value or
 * --name=value; after "--" all are words. A word may begin with one '-', as the protocol's -1 does.
 * An option that the verb does not take is refused, as is a time that ends before it begins.
 * Returns false and fills `error`. */
bool options_parse(int count, char *const arguments[], struct tool_options *options,
                   struct error *error);

#endif
