/* sizing_plots.h: the plots of a sizing report, as SVG files: the leaf's positions in its room;
 * imbalance and motor torque, current and voltage over the opening; position and speed over time.
 * One thread at a time. */
#ifndef PLOTS_SIZING_PLOTS_H
#define PLOTS_SIZING_PLOTS_H

#include "base/error.h"
#include "plots/sizing_report.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* Into `folder`, which must exist: <name>-leaf.svg, -torque.svg, -current.svg, -speed.svg, <name>
 * being the bridge's with all but letters and digits as hyphens. Replaces what is there. A span
 * moved by hand has none. False, and `error` says which could not be written. */
bool sizing_plots_write(const struct sizing_report *report, const char *folder,
                        struct error *error);

/* "leaf", "torque", "current" or "speed"; false, and nothing drawn, for any other and for a span
 * moved by hand. */
bool sizing_plots_draw(FILE *out, const struct sizing_report *report, const char *what);

void sizing_plots_torque(FILE *out, const struct sizing_report *report);
void sizing_plots_current(FILE *out, const struct sizing_report *report);
void sizing_plots_speed(FILE *out, const struct sizing_report *report);

#endif
