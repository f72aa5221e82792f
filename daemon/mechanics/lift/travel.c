#include "mechanics/lift/travel.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

/* Steps through the shorter of ramp and travel, and at most, so that the slowest span ends too. */
enum { ARMS = 64, RAMP_STEPS = 300, MARCH_MAX = 200000 };

/* How much slower the span is than the law where it is: least arm / arm there. */
struct slowness {
    double share[ARMS + 1];
    double greatest; /* of law to span */
};

static struct slowness slowness_of(const struct lift *lift) {
    struct slowness slowness = {.greatest = 1};
    double least = INFINITY;
    for (int i = 0; i <= ARMS; i++) {
        slowness.share[i] = lift == NULL ? 1 : lift_rack_arm(lift, lift->travel * i / ARMS);
        least = fmin(least, slowness.share[i]);
    }
    for (int i = 0; i <= ARMS; i++) {
        slowness.share[i] = least / slowness.share[i];
        slowness.greatest = fmax(slowness.greatest, 1 / slowness.share[i]);
    }
    return slowness;
}

static double share_at(const struct slowness *slowness, double position_frac) {
    double place = fmin(fmax(position_frac, 0), 1) * ARMS;
    int below = (int)fmin(place, ARMS - 1);
    double part = place - below;
    return (1 - part) * slowness->share[below] + part * slowness->share[below + 1];
}

struct march {
    const struct travel_law *law;
    int way;
    double time_s;
    double position_frac;
    double law_frac_s;
    double zone_s;
    unsigned steps;
};

static double to_zone_frac(const struct march *march) {
    return march->way > 0 ? 1 - march->law->zone_open_frac - march->position_frac
                          : march->position_frac - march->law->zone_seat_frac;
}

static void step(struct march *march, const struct slowness *slowness, double dt_s) {
    const struct travel_law *law = march->law;
    double to_zone = to_zone_frac(march);
    double square =
        law->creep_frac_s * law->creep_frac_s + 2 * law->deceleration_frac_s2 * fmax(to_zone, 0);
    double allowed = fmin(law->full_frac_s, sqrt(square));
    march->law_frac_s = fmin(march->law_frac_s + law->acceleration_frac_s2 * dt_s, allowed);
    march->position_frac +=
        march->way * march->law_frac_s * share_at(slowness, march->position_frac) * dt_s;
    march->time_s += dt_s;
    march->steps++;
    if (to_zone <= 0) {
        march->zone_s += dt_s;
    }
}

static bool has_arrived(const struct march *march) {
    return march->way > 0 ? march->position_frac >= 1 : march->position_frac <= 0;
}

/* Twice as far as a march that arrives can come: numbers too far apart to add up never do. */
static bool is_lost(const struct march *march) {
    return march->steps >= 2 * MARCH_MAX;
}

static struct march begin(const struct travel_law *law, int way) {
    return (struct march){.law = law, .way = way, .position_frac = way > 0 ? 0 : 1};
}

static void note(const struct march *march, const struct slowness *slowness,
                 struct travel_moment *moment) {
    moment->time_s = march->time_s;
    moment->position_frac = fmin(fmax(march->position_frac, 0), 1);
    moment->speed_frac_s = march->law_frac_s * share_at(slowness, march->position_frac);
}

void travel_run(const struct travel_law *law, const struct lift *lift, int way,
                struct travel *travel) {
    struct slowness slowness = slowness_of(lift);
    double ramp_s = law->full_frac_s / law->acceleration_frac_s2;
    double longest_s = slowness.greatest * (1 / law->creep_frac_s) + ramp_s;
    double shortest_s = fmin(1 / law->full_frac_s, ramp_s);
    double dt_s = fmax(shortest_s / RAMP_STEPS, longest_s / MARCH_MAX);
    *travel = (struct travel){0};

    struct march march = begin(law, way);
    while (!has_arrived(&march) && !is_lost(&march)) {
        step(&march, &slowness, dt_s);
        travel->peak_frac_s =
            fmax(travel->peak_frac_s, march.law_frac_s * share_at(&slowness, march.position_frac));
    }
    travel->duration_s = has_arrived(&march) ? march.time_s : INFINITY;
    travel->creep_s = march.zone_s;

    march = begin(law, way);
    for (int i = 0; i < TRAVEL_MOMENTS; i++) {
        double until_s = travel->duration_s * i / (TRAVEL_MOMENTS - 1);
        while (march.time_s < until_s - dt_s / 2 && !is_lost(&march)) {
            step(&march, &slowness, dt_s);
        }
        note(&march, &slowness, &travel->moment[i]);
    }
}
