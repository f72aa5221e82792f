/* leaf_plot.h: where the span is as it opens, in its room: seated, on its way, open; to scale.
 * Seen from the side; of a swing span from above. */
#ifndef PLOTS_LEAF_PLOT_H
#define PLOTS_LEAF_PLOT_H

#include "plots/sizing_report.h"

#include <stdio.h>

/* Without an outline: a line from the counterweight over the axis to the toe, as far as known. */
void leaf_plot_write(FILE *out, const struct sizing_report *report);

#endif
