#include "mechanics/balance/balance.h"

#include "mechanics/number.h"

#include <math.h>

double balance_rectangle_inertia(double mass_kg, double length_m, double height_m, double off_m) {
    return mass_kg * ((length_m * length_m + height_m * height_m) / 12 + off_m * off_m);
}

static const char *item_check(const struct balance_item *item) {
    if (!number_is_positive(item->mass_kg)) {
        return "a mass must be above zero";
    }
    if (!point_is_finite(item->at)) {
        return "a mass needs a finite place";
    }
    if (!number_is_not_negative(item->length_m) || !number_is_not_negative(item->height_m)) {
        return "a mass's length and height must be finite and not negative";
    }
    return NULL;
}

const char *balance_of_items(enum lift_kind kind, double roll_radius_m,
                             const struct balance_item *items, size_t count,
                             struct balance *balance) {
    struct balance sum = {.kind = kind};
    if (kind == LIFT_VERTICAL) {
        return "a vertical lift is balanced by ropes, not about an axis";
    }
    if (kind == LIFT_ROLLING) {
        sum.roll_radius_m = roll_radius_m;
    }
    for (size_t i = 0; i < count; i++) {
        const char *wrong = item_check(&items[i]);
        if (wrong) {
            return wrong;
        }
        sum.mass_kg += items[i].mass_kg;
        sum.sx_kg_m += items[i].mass_kg * items[i].at.x_m;
        sum.sy_kg_m += items[i].mass_kg * items[i].at.y_m;
        sum.inertia_kg_m2 += balance_rectangle_inertia(
            items[i].mass_kg, items[i].length_m, items[i].height_m, point_radius_m(items[i].at));
    }
    const char *wrong = balance_check(&sum);
    if (!wrong) {
        *balance = sum;
    }
    return wrong;
}

static const char *ropes_check(const struct balance_ropes *ropes) {
    if (!number_is_positive(ropes->span_kg) || !number_is_not_negative(ropes->counterweight_kg)) {
        return "the span's mass must be above zero, the counterweight's not negative";
    }
    if (!number_is_not_negative(ropes->rope_kg_m)) {
        return "the rope's mass must be finite and not negative";
    }
    if (!number_is_not_negative(ropes->span_side_m) ||
        !number_is_not_negative(ropes->counterweight_side_m)) {
        return "the ropes' lengths must be finite and not negative";
    }
    return NULL;
}

static double ropes_mass_kg(const struct balance_ropes *ropes) {
    return ropes->ropes * ropes->rope_kg_m * (ropes->span_side_m + ropes->counterweight_side_m);
}

const char *balance_of_ropes(const struct balance_ropes *ropes, struct balance *balance) {
    const char *wrong = ropes_check(ropes);
    if (wrong) {
        return wrong;
    }
    *balance = (struct balance){
        .kind = LIFT_VERTICAL,
        .mass_kg = ropes->span_kg + ropes->counterweight_kg + ropes_mass_kg(ropes),
        .ropes = *ropes,
    };
    return NULL;
}

const char *balance_check(const struct balance *balance) {
    if (!number_is_positive(balance->mass_kg)) {
        return "the span's mass must be above zero";
    }
    if (balance->kind == LIFT_VERTICAL) {
        return ropes_check(&balance->ropes);
    }
    if (!isfinite(balance->sx_kg_m) || !isfinite(balance->sy_kg_m)) {
        return "the span's first moments must be finite";
    }
    if (!number_is_positive(balance->inertia_kg_m2)) {
        return "the span's inertia must be above zero";
    }
    if (balance->kind == LIFT_ROLLING && !number_is_positive(balance->roll_radius_m)) {
        return "the rolling segment's radius must be above zero";
    }
    return NULL;
}

/* Rope on the span's side less that on the counterweight's: kg. */
static double ropes_excess_kg(const struct balance_ropes *ropes, double height_m) {
    return ropes->ropes * ropes->rope_kg_m *
           (ropes->span_side_m - ropes->counterweight_side_m - 2 * height_m);
}

double balance_moment(const struct balance *balance, double position) {
    switch (balance->kind) {
    case LIFT_SECTOR:
    case LIFT_STRUT:
    case LIFT_ROLLING:
        return NUMBER_GRAVITY_M_S2 *
               (balance->sx_kg_m * cos(position) - balance->sy_kg_m * sin(position));
    case LIFT_VERTICAL:
        return NUMBER_GRAVITY_M_S2 * (balance->ropes.span_kg - balance->ropes.counterweight_kg +
                                      ropes_excess_kg(&balance->ropes, position));
    case LIFT_SWING:
        return 0.0;
    }
    return NAN;
}

double balance_inertia(const struct balance *balance, double position) {
    double radius = balance->roll_radius_m;
    switch (balance->kind) {
    case LIFT_SECTOR:
    case LIFT_STRUT:
    case LIFT_SWING:
        return balance->inertia_kg_m2;
    case LIFT_ROLLING:
        return balance->inertia_kg_m2 + balance->mass_kg * radius * radius +
               2 * radius * (balance->sx_kg_m * sin(position) + balance->sy_kg_m * cos(position));
    case LIFT_VERTICAL:
        return balance->mass_kg;
    }
    return NAN;
}

struct balance_resultant balance_resultant(const struct balance *balance) {
    struct balance_resultant resultant;
    resultant.weight_n = NUMBER_GRAVITY_M_S2 * balance->mass_kg;
    resultant.radius_m = hypot(balance->sx_kg_m, balance->sy_kg_m) / balance->mass_kg;
    resultant.angle_rad = atan2(balance->sy_kg_m, balance->sx_kg_m);
    resultant.even_rad = NUMBER_PI / 2 - resultant.angle_rad;
    return resultant;
}

double balance_toe_reaction_n(const struct balance *balance, double toe_x_m) {
    return balance_moment(balance, 0.0) / toe_x_m;
}

double balance_ropes_even_m(const struct balance_ropes *ropes) {
    double run_kg_m = ropes->ropes * ropes->rope_kg_m;
    if (!(run_kg_m > 0.0)) {
        return NAN;
    }
    double unbalanced_kg = ropes->span_kg - ropes->counterweight_kg;
    return (unbalanced_kg / run_kg_m + ropes->span_side_m - ropes->counterweight_side_m) / 2;
}
