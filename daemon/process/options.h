/* options.h: the daemon's command line. */
#ifndef DAEMON_OPTIONS_H
#define DAEMON_OPTIONS_H

#include "base/log.h"
#include "base/text/option_table.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

enum options_verdict {
    OPTIONS_RUN,   /* go on with `options` */
    OPTIONS_DONE,  /* --help or --version has been answered: exit 0 */
    OPTIONS_WRONG, /* complained of: exit EX_USAGE */
};

struct options {
    const char *config; /* NULL: the built-in demo */
    bool is_check;
    const char *against;  /* the configuration to compare with; NULL: none */
    bool is_dry;          /* read all, drive nothing */
    bool is_wiring;       /* print the wiring tables and end */
    bool is_announcement; /* print the service file for avahi and end */
    const char *drawing;  /* of the wiring, as SVG: file to write and end; NULL: none wanted */
    const char *sound;    /* WAV file to write, in layout time, instead of playing; NULL: none */
    long realtime;        /* priority, 1 to 99; 0: none */
    const char *watchdog; /* the kernel's watchdog device; NULL: none */
    double pace;          /* layout seconds in a real second */
    long port;            /* of the first listener; -1: as configured */
    long panel_port;      /* of the first panel; -1: as configured */
    enum log_level log;
    bool wants_version, wants_help;
};

/* Every option. */
extern const struct option_table options_table;

/* Answers go to `out`, complaints to `err`. Strings point into `arguments`. */
enum options_verdict options_read(int count, char **arguments, struct options *options, FILE *out,
                                  FILE *err);

enum { OPTIONS_UNCHANGED = 1 }; /* exit status of --against */

/* Every exit status, in the order of the numbers. */
struct options_exit {
    int status;
    const char *what; /* what happened: a phrase without a final stop */
};

extern const struct options_exit options_exits[];
extern const size_t options_exits_count;

/* Which signals end it, and how. */
extern const char options_ending[];

/* What everybody near a moving bridge must know. */
extern const char options_cautions[];

#endif
