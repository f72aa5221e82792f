#include "mechanics/drive/lead.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

/* IEC 60228 (from memory), and the American gauges nearest to them: 24, 22, 20, 18, 16, 14 ... */
static const double wires_mm2[] = {0.2, 0.34, 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16};

static const double copper_ohm_mm2_m = 1 / 58.0;
static const double mm2_per_a = 700 * 5.067075e-4; /* a circular mil: pi/4 thousandths of an inch */

double lead_loss_v(double current_a, double length_m, double area_mm2) {
    return current_a * copper_ohm_mm2_m * 2 * length_m / area_mm2;
}

double lead_fuse_a(double current_a) {
    static const double row[] = {1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10};
    double wanted_a = LEAD_SPARE * current_a;
    double decade = pow(10, floor(log10(wanted_a)));
    size_t i = 0;
    while (i + 1 < sizeof row / sizeof row[0] && row[i] * decade < wanted_a * (1 - 1e-9)) {
        i++;
    }
    return row[i] * decade;
}

double lead_carrying_mm2(double fuse_a) {
    return fuse_a * mm2_per_a;
}

double lead_wire_mm2(double current_a, double fuse_a, double length_m, double supply_v) {
    for (size_t i = 0; i < sizeof wires_mm2 / sizeof wires_mm2[0]; i++) {
        bool carries = wires_mm2[i] >= lead_carrying_mm2(fuse_a);
        double loss_v = lead_loss_v(current_a, length_m, wires_mm2[i]);
        if (carries && loss_v <= LEAD_LOSS_MOST * supply_v) {
            return wires_mm2[i];
        }
    }
    return INFINITY;
}
