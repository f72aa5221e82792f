/* doubts.h: what the sums behind a sizing report find bad, as warnings for people. */
#ifndef DAEMON_DOUBTS_H
#define DAEMON_DOUBTS_H

#include "config/config.h"

#include <stdio.h>

/* One line for each verdict and finding on a bridge that is bad or not known well enough, and for
 * each value that may be so far off that the bridge would be refused; and one that says where to
 * read more. `file` is the name shown; `path`, or the built-in demo if it is NULL, is where
 * `config` was read from. Returns how many are bad. Without memory it says so and returns 0. */
unsigned doubts_print(FILE *out, const char *file, const char *path, const struct config *config);

#endif
