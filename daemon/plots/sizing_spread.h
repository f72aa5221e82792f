/* sizing_spread.h: how far the verdicts and findings of a sizing report may be off, from how far
 * its inputs may be: each is moved by its spread either way, through the whole configuration, so
 * that defaults that are worked out from it move along; doubt.h adds up what follows. */
#ifndef PLOTS_SIZING_SPREAD_H
#define PLOTS_SIZING_SPREAD_H

#include "plots/sizing_report.h"

/* `report` are those of all bridges of the configuration `moves`, which must outlive them; fills
 * their doubts and refusals, and makes UNSURE what could go either way. False: no memory, and
 * nothing is changed. */
bool sizing_spread(struct config_moves *moves, unsigned bridges, struct sizing_report *report);

#endif
