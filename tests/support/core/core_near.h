/* core_near.h: doubles compared as doubles (cmocka's own comparison rounds to float). */
#ifndef SUPPORT_CORE_NEAR_H
#define SUPPORT_CORE_NEAR_H

#include "support/check.h"

#define assert_near(got, want, tolerance) core_near((got), (want), (tolerance), __FILE__, __LINE__)

void core_near(double got, double want, double tolerance, const char *file, int line);

#endif
