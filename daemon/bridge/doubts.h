/* doubts.h: what the sums behind a sizing report find bad, as warnings for people. */
#ifndef DAEMON_DOUBTS_H
#define DAEMON_DOUBTS_H

#include "config/config.h"

#include <stdio.h>

/* One line for each bad verdict and finding on a bridge of `file`, and one that says where to read
 * more; returns how many are bad. Without memory it says so and returns 0. */
unsigned doubts_print(FILE *out, const char *file, const struct config *config);

#endif
