#include "mechanics/parallelogram.h"

#include "mechanics/number.h"

#include <math.h>

const char *parallelogram_check(const struct parallelogram *parallelogram, double travel_rad) {
    if (!number_is_positive(parallelogram->leaf_kg) ||
        !number_is_positive(parallelogram->counterweight_kg) ||
        !number_is_not_negative(parallelogram->link_kg)) {
        return "leaf and counterweight must have a mass above zero, the link's not negative";
    }
    if (!point_is_finite(parallelogram->leaf) || !point_is_finite(parallelogram->counterweight) ||
        !point_is_finite(parallelogram->link_pin) || !point_is_finite(parallelogram->tower)) {
        return "the parallelogram's points need finite places";
    }
    if (!number_is_positive(point_radius_m(parallelogram->link_pin)) ||
        !number_is_positive(point_radius_m(parallelogram->tower))) {
        return "link pin and counterweight's trunnion must lie away from the leaf's trunnion";
    }
    if (!number_is_positive(travel_rad) || travel_rad >= NUMBER_PI) {
        return "the travel must be above zero and less than half a turn";
    }
    double to_line = point_bearing_rad(parallelogram->tower) -
                     point_bearing_rad(parallelogram->link_pin); /* also half a turn on */
    to_line -= NUMBER_PI * floor(to_line / NUMBER_PI);
    if (to_line <= travel_rad) {
        return "the parallelogram falls into one line within the travel and could flip over";
    }
    return NULL;
}

struct point parallelogram_balance_point(const struct parallelogram *parallelogram) {
    const struct parallelogram *p = parallelogram;
    double x = p->leaf_kg * p->leaf.x_m + p->link_kg * p->link_pin.x_m;
    double y = p->leaf_kg * p->leaf.y_m + p->link_kg * p->link_pin.y_m;
    return (struct point){-x / p->counterweight_kg, -y / p->counterweight_kg};
}

/* Every point of the link goes the same way as A, so its mass counts there, and its own inertia
 * does not, for it does not turn. */
const char *parallelogram_balance(const struct parallelogram *parallelogram,
                                  struct balance *balance) {
    const struct parallelogram *p = parallelogram;
    struct balance_item items[] = {
        {.mass_kg = p->leaf_kg, .at = p->leaf},
        {.mass_kg = p->counterweight_kg, .at = p->counterweight},
        {.mass_kg = p->link_kg, .at = p->link_pin},
    };
    size_t count = p->link_kg > 0.0 ? 3 : 2;
    return balance_of_items(LIFT_STRUT, 0.0, items, count, balance);
}
