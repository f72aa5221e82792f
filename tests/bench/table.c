#include "bench/table.h"

#include "bench/figures.h"

#include <stdbool.h>
#include <stdio.h>

enum { ROUNDS_MAX = 64 };

void table_heading(void) {
    printf("%-44s %12s %12s %-9s %7s  %s\n", "median of each, taken in turns", "drawtender", "bare",
           "", "ratio", "goal");
}

const char *table_verdict(double value, struct goal goal) {
    static char words[48];
    bool is_met = false;
    const char *sign = "";
    switch (goal.kind) {
    case GOAL_NONE:
        return "";
    case GOAL_AT_MOST:
        is_met = value <= goal.bound;
        sign = "<=";
        break;
    case GOAL_AT_LEAST:
        is_met = value >= goal.bound;
        sign = ">=";
        break;
    }
    snprintf(words, sizeof words, "%s %g %s", sign, goal.bound, is_met ? "met" : "MISSED");
    return words;
}

void table_pair(const char *what, const char *unit, double *ours, double *theirs, size_t count,
                struct goal goal) {
    double ratio[ROUNDS_MAX];
    if (count > ROUNDS_MAX) {
        figures_fail("too many rounds");
    }
    for (size_t i = 0; i < count; i++) {
        ratio[i] = ours[i] / theirs[i];
    }
    double of_both = figures_median(ratio, count);
    printf("%-44s %12.4g %12.4g %-9s %7.3g  %s\n", what, figures_median(ours, count),
           figures_median(theirs, count), unit, of_both, table_verdict(of_both, goal));
    fflush(stdout);
}

void table_alone(const char *what, const char *unit, double value, struct goal goal) {
    printf("%-44s %12.4g %12s %-9s %7s  %s\n", what, value, "", unit, "",
           table_verdict(value, goal));
    fflush(stdout);
}
