/* builder_plots.h: drawings of what a builder asks: loads over the opening, the motor's warmth over
 * an evening. */
#ifndef PLOTS_BUILDER_PLOTS_H
#define PLOTS_BUILDER_PLOTS_H

#include "plots/sizing_report.h"

#include <stdio.h>

void builder_plots_loads(FILE *out, const struct sizing_report *report);
void builder_plots_heat(FILE *out, const struct sizing_report *report);

#endif
