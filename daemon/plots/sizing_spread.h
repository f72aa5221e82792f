/* sizing_spread.h: how far the verdicts of a sizing report may be off, from how far its inputs may
 * be: each is moved by its spread either way, and half the difference counts; together the root of
 * the sum of squares (first order: JCGM 100, Guide to the expression of uncertainty in measurement,
 * 2008, 5.1.2, from memory). Checked against draws at random (tests). Whatever is moved goes
 * through the whole configuration: defaults that are worked out from it move along. */
#ifndef PLOTS_SIZING_SPREAD_H
#define PLOTS_SIZING_SPREAD_H

#include "plots/sizing_report.h"

/* `report` are those of all bridges of the configuration `text`; fills their verdicts' spread,
 * cause and state, and `doubtful`. False: no memory, and nothing is changed. */
bool sizing_spread(const char *text, size_t length, unsigned bridges, struct sizing_report *report,
                   struct config_doubtful *doubtful);

#endif
