/* The mechanics with any numbers: everything that a check lets pass goes to the functions behind
 * it, and each comes back (analysis/mechanics_walk.h). */
#include "analysis/mechanics_walk.h"
#include "fuzz/fuzz.h"

#include <math.h>
#include <string.h>

static const uint8_t *bytes;
static size_t left;

unsigned walk_choice(unsigned below) {
    if (left == 0) {
        return 0;
    }
    left--;
    return *bytes++ % below;
}

/* Mostly numbers of a size that a bridge has, sometimes any bits at all. */
double walk_number(void) {
    static const double odd[] = {0,     -0.0,     1,         -1,  1e-300,
                                 1e300, INFINITY, -INFINITY, NAN, 1.5707963267948966};
    unsigned kind = walk_choice(8);
    double number = 0;
    if (kind == 0) {
        return odd[walk_choice(sizeof odd / sizeof odd[0])];
    }
    if (kind == 1 && left >= sizeof number) {
        memcpy(&number, bytes, sizeof number);
        bytes += sizeof number;
        left -= sizeof number;
        return number;
    }
    return (walk_choice(256) + walk_choice(256) / 256.0) / (kind < 5 ? 100 : 5) -
           (kind == 7 ? 10 : 0);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    bytes = data;
    left = size;
    walk_mechanics();
    return 0;
}
