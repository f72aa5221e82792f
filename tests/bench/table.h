/* table.h: the rows that are printed. */
#ifndef BENCH_TABLE_H
#define BENCH_TABLE_H

#include <stddef.h>

enum goal_kind { GOAL_NONE = 0, GOAL_AT_MOST, GOAL_AT_LEAST };

struct goal {
    enum goal_kind kind;
    double bound;
};

void table_heading(void);

/* The medians of `count` rounds of both, and the median of the rounds' ratios, for which the goal
 * is. Sorts the values. */
void table_pair(const char *what, const char *unit, double *ours, double *theirs, size_t count,
                struct goal goal);

/* A figure that stands alone; the goal is for itself. */
void table_alone(const char *what, const char *unit, double value, struct goal goal);

/* "<= 3 met", "<= 3 MISSED", or nothing; for one line, until the next call. */
const char *table_verdict(double value, struct goal goal);

#endif
