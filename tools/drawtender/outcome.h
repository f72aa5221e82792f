/* outcome.h: how a run of the tool ends. The numbers are its exit codes. */
#ifndef TOOLS_DRAWTENDER_OUTCOME_H
#define TOOLS_DRAWTENDER_OUTCOME_H

enum outcome {
    OUTCOME_DONE = 0,
    OUTCOME_REFUSED = 1,   /* the server or the bridge said no, or someone else decided otherwise; a
                              verdict is bad */
    OUTCOME_TIMED_OUT = 2, /* the limit ran out; the bridge may still be moving */
    OUTCOME_UNREACHABLE = 3,    /* no server, no answer, a lost connection, or not this protocol */
    OUTCOME_FAULT = 4,          /* a fault is latched on the bridge */
    OUTCOME_USAGE = 64,         /* the command line; EX_USAGE of sysexits.h */
    OUTCOME_UNREAD = 66,        /* a record could not be read; EX_NOINPUT */
    OUTCOME_UNWRITTEN = 73,     /* a file could not be written; EX_CANTCREAT */
    OUTCOME_CONFIGURATION = 78, /* a configuration file is wrong; EX_CONFIG */
    OUTCOME_INTERRUPTED = 130,  /* 128 + SIGINT, as shells count */
};

/* One word, hyphens within: "timed-out". Static storage. */
const char *outcome_name(enum outcome outcome);

#endif
