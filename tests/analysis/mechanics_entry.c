/* mechanics_entry.c: the mechanics with any number at all, for Eva. Not compiled into any program.
 */
#include "analysis/mechanics_walk.h"

#include <__fc_builtin.h>
#include <float.h>
#include <math.h>

double walk_number(void) {
    switch (Frama_C_interval(0, 3)) {
    case 0:
        return NAN;
    case 1:
        return INFINITY;
    case 2:
        return -INFINITY;
    }
    return Frama_C_double_interval(-DBL_MAX, DBL_MAX);
}

unsigned walk_choice(unsigned below) {
    return Frama_C_unsigned_int_interval(0, below - 1);
}

void mechanics_entry(void) {
    walk_mechanics();
}
