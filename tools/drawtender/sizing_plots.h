/* sizing_plots.h: the plots of a sizing report, as SVG files: the leaf's positions in its room;
 * imbalance and motor torque, current and voltage over the opening; position and speed over time.
 */
#ifndef TOOLS_DRAWTENDER_SIZING_PLOTS_H
#define TOOLS_DRAWTENDER_SIZING_PLOTS_H

#include "base/error.h"
#include "tools/drawtender/sizing_report.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* Into `folder`, which must exist: <name>-leaf.svg, -torque.svg, -current.svg, -speed.svg, <name>
 * being the bridge's with all but letters and digits as hyphens. Replaces what is there. A span
 * moved by hand has none. False, and `error` says which could not be written. */
bool sizing_plots_write(const struct sizing_report *report, const char *folder,
                        struct error *error);

void sizing_plots_torque(FILE *out, const struct sizing_report *report);
void sizing_plots_current(FILE *out, const struct sizing_report *report);
void sizing_plots_speed(FILE *out, const struct sizing_report *report);

#endif
