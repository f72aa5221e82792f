/* sizing_report.h: one bridge of a configuration with everything calculated for it, to be written
 * as text, JSON or plots. */
#ifndef PLOTS_SIZING_REPORT_H
#define PLOTS_SIZING_REPORT_H

#include "config/config.h"
#include "config/moves.h"
#include "mechanics/balance/weights.h"
#include "mechanics/findings/findings.h"
#include "mechanics/verdict.h"

enum { SIZING_POSITIONS_MAX = 40 };

/* An end of what an input may be at which the bridge would be refused. */
struct sizing_refusal {
    size_t input;
    int way; /* -1: its least, 1: its most */
    struct error complaint;
};
enum { SIZING_REFUSALS_MAX = 16 };
struct sizing_refusals {
    size_t count; /* of all; the first are kept */
    struct sizing_refusal refusal[SIZING_REFUSALS_MAX];
};

struct sizing_report {
    unsigned index; /* of the bridge in the configuration */
    const struct net_bridge_setup *net;
    const struct config_bridge *bridge;
    const struct sizing_given *given;
    struct units units;   /* in which its configuration is written, for texts and drawings */
    struct sizing sizing; /* unset if moved by hand, as the positions are */
    struct verdicts verdicts;
    const struct config_moves *moves; /* the inputs that doubts number; NULL: nobody looked */
    struct sizing_refusals refusals;
    struct weights weights;
    struct findings findings;
    unsigned positions; /* round ones, and the end of the travel */
    struct sizing_point position[SIZING_POSITIONS_MAX];
};

/* `config` must outlive the report. */
void sizing_report_of(const struct config *config, unsigned index, struct sizing_report *report);

/* Only what can be good or bad: verdicts and findings. */
void sizing_report_judge(const struct config *config, unsigned index, struct sizing_report *report);

/* Lift, leaf and drive are known: there are sums over the travel. */
bool sizing_report_has_chain(const struct sizing_report *report);

/* Positions for programs: degrees, or millimetres of a vertical lift; and the unit's name. */
double sizing_report_shown(const struct sizing_report *report, double position);
const char *sizing_report_unit(const struct sizing_report *report);

/* The same for people, in the units of the configuration: degrees, millimetres, inches. */
struct units_unit sizing_report_position(const struct sizing_report *report);

#endif
