/* outcome.h: how a run of the tool ends. The numbers are its exit codes. */
#ifndef TOOLS_DRAWTENDER_OUTCOME_H
#define TOOLS_DRAWTENDER_OUTCOME_H

enum outcome {
    OUTCOME_DONE = 0,
    OUTCOME_REFUSED = 1,
    OUTCOME_TIMED_OUT = 2, /* the bridge may still be moving */
    OUTCOME_UNREACHABLE = 3,
    OUTCOME_FAULT = 4,
    OUTCOME_USAGE = 64,         /* EX_USAGE of sysexits.h */
    OUTCOME_UNREAD = 66,        /* EX_NOINPUT */
    OUTCOME_UNWRITTEN = 73,     /* EX_CANTCREAT */
    OUTCOME_CONFIGURATION = 78, /* EX_CONFIG */
    OUTCOME_INTERRUPTED = 130,  /* 128 + SIGINT, as shells count */
};

struct outcome_row {
    enum outcome outcome;
    const char *name; /* one word, hyphens within: "timed-out" */
    const char *what; /* for the help; "" where only verbs say when */
};

/* Every outcome once, in the order of the numbers. */
extern const struct outcome_row outcomes[];
extern const unsigned outcomes_count;

/* Returns the outcome's name. Static storage. */
const char *outcome_name(enum outcome outcome);

#endif
