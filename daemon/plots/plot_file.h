/* plot_file.h: a drawing into a file of its own, named after the bridge and what it shows. */
#ifndef PLOTS_PLOT_FILE_H
#define PLOTS_PLOT_FILE_H

#include "base/error.h"

#include <stdbool.h>
#include <stdio.h>

/* What draws; false, and `error` filled, if there is nothing to draw from. */
typedef bool plot_file_draw(FILE *out, const void *context, struct error *error);

/* <folder>/<bridge>-<what>.svg, with all but letters and digits of the bridge's name as hyphens.
 * `folder` must exist; what is there is replaced. False, and `error` says what went
 * wrong; then no file is left. */
bool plot_file_write(const char *folder, const char *bridge, const char *what, plot_file_draw *draw,
                     const void *context, struct error *error);

#endif
