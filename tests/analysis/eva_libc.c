/* eva_libc.c: what of libc Eva has no words for. C11 7.12.12: a NaN counts as missing. */
#include <math.h>

double fmin(double a, double b) {
    if (!(a >= -INFINITY)) {
        return b;
    }
    return b < a ? b : a;
}

double fmax(double a, double b) {
    if (!(a >= -INFINITY)) {
        return b;
    }
    return b > a ? b : a;
}
