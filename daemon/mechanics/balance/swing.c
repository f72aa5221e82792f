#include "mechanics/balance/swing.h"

#include "mechanics/number.h"

#include <math.h>
#include <stdbool.h>

static bool is_length_or_unknown(double length_m) {
    return isnan(length_m) || number_is_positive(length_m);
}

const char *swing_check(const struct swing_stand *stand) {
    if (!number_is_not_negative(stand->bearing_m) || !number_is_not_negative(stand->wheels_m)) {
        return "the radii of pivot bearing and balance wheels must be finite and not negative";
    }
    if (stand->wheels_m > 0 && stand->wheels < 3) {
        return "a span does not stand on fewer than three balance wheels";
    }
    if (!is_length_or_unknown(stand->toe_m) || !is_length_or_unknown(stand->heel_m)) {
        return "the ends must rest away from the pivot";
    }
    if (!number_is_not_negative(stand->wedge_n)) {
        return "the wedges' force must be finite and not negative";
    }
    return NULL;
}

static double held_m(const struct swing_stand *stand) {
    double by_wheels = stand->wheels_m > 0 ? stand->wheels_m * cos(NUMBER_PI / stand->wheels) : 0;
    return fmax(stand->bearing_m, by_wheels);
}

static void seat(const struct swing_stand *stand, double moment_n_m, double weight_n,
                 struct swing *swing) {
    if (moment_n_m >= 0) {
        swing->heel_n = stand->wedge_n;
        swing->toe_n = (moment_n_m + stand->wedge_n * stand->heel_m) / stand->toe_m;
    } else {
        swing->toe_n = stand->wedge_n;
        swing->heel_n = (stand->wedge_n * stand->toe_m - moment_n_m) / stand->heel_m;
    }
    swing->pivot_n = weight_n - swing->toe_n - swing->heel_n;
}

struct swing swing_of(const struct balance *balance, const struct swing_stand *stand) {
    double off_kg_m = hypot(balance->sx_kg_m, balance->sy_kg_m);
    struct swing swing = {.offset_m = off_kg_m / balance->mass_kg,
                          .tipping_n_m = NUMBER_GRAVITY_M_S2 * off_kg_m,
                          .held_m = held_m(stand),
                          .wheel_n = NAN,
                          .toe_n = NAN,
                          .heel_n = NAN,
                          .pivot_n = NAN};
    if (stand->wheels_m > 0) {
        swing.wheel_n = swing.tipping_n_m / stand->wheels_m;
    }
    if (!isnan(stand->toe_m) && !isnan(stand->heel_m)) {
        seat(stand, NUMBER_GRAVITY_M_S2 * balance->sx_kg_m, NUMBER_GRAVITY_M_S2 * balance->mass_kg,
             &swing);
    }
    return swing;
}
