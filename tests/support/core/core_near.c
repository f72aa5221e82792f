#include "support/core/core_near.h"

#include <math.h>

void core_near(double got, double want, double tolerance, const char *file, int line) {
    if (!(fabs(got - want) <= tolerance)) {
        print_error("%.12g is not within %g of %.12g\n", got, tolerance, want);
        _fail(file, line);
    }
}
