#include "mechanics/lift/travel.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

/* Steps through the shorter of ramp and travel, and at most, so that the slowest span ends too. */
enum { ARMS = 64, RAMP_STEPS = 20, MARCH_MAX = 20000 };

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
    double place = (position_frac < 0 ? 0 : position_frac > 1 ? 1 : position_frac) * ARMS;
    int below = place < ARMS - 1 ? (int)place : ARMS - 1;
    double part = place - below;
    return (1 - part) * slowness->share[below] + part * slowness->share[below + 1];
}

struct march {
    const struct travel_law *law;
    const struct slowness *slowness;
    int way;
    double time_s;
    double position_frac;
    double law_frac_s;
    double zone_from_s; /* when it came to the zone; NAN: not yet */
    unsigned steps;
};

static double to_zone_frac(const struct march *march, double position_frac) {
    return march->way > 0 ? 1 - march->law->zone_open_frac - position_frac
                          : position_frac - march->law->zone_seat_frac;
}

static double law_after(const struct march *march, double position_frac, double seconds) {
    const struct travel_law *law = march->law;
    double gained = march->law_frac_s + law->acceleration_frac_s2 * seconds;
    double left = to_zone_frac(march, position_frac);
    double square = law->creep_frac_s * law->creep_frac_s +
                    (left > 0 ? 2 * law->deceleration_frac_s2 * left : 0);
    double wanted = gained < law->full_frac_s ? gained : law->full_frac_s;
    return square < wanted * wanted ? sqrt(square) : wanted;
}

/* Of the span, > 0 either way. */
static double speed_frac_s(const struct march *march, double law_frac_s, double position_frac) {
    return law_frac_s * share_at(march->slowness, position_frac);
}

/* Midpoint rule: its error lies at the corners of the law, and is far below a step. */
static void step(struct march *march, double dt_s) {
    double from = march->position_frac;
    double before = to_zone_frac(march, from);
    double middle = from + march->way * speed_frac_s(march, march->law_frac_s, from) * dt_s / 2;
    double law = law_after(march, middle, dt_s / 2);
    march->position_frac = from + march->way * speed_frac_s(march, law, middle) * dt_s;
    march->law_frac_s = law_after(march, march->position_frac, dt_s);
    double after = to_zone_frac(march, march->position_frac);
    if (isnan(march->zone_from_s) && after <= 0) {
        double part = before > 0 ? before / (before - after) : 0;
        march->zone_from_s = march->time_s + part * dt_s;
    }
    march->time_s += dt_s;
    march->steps++;
}

static bool has_arrived(const struct march *march) {
    return march->way > 0 ? march->position_frac >= 1 : march->position_frac <= 0;
}

/* Twice as far as a march that arrives can come: numbers too far apart to add up never do. */
static bool is_lost(const struct march *march) {
    return march->steps >= 2 * MARCH_MAX;
}

static struct march begin(const struct travel_law *law, const struct slowness *slowness, int way) {
    return (struct march){.law = law,
                          .slowness = slowness,
                          .way = way,
                          .position_frac = way > 0 ? 0 : 1,
                          .zone_from_s = NAN};
}

/* The last step goes beyond the end. */
static double arrived_s(const struct march *march) {
    double beyond = march->way > 0 ? march->position_frac - 1 : -march->position_frac;
    return march->time_s - beyond / speed_frac_s(march, march->law_frac_s, march->position_frac);
}

static void note(const struct march *march, struct travel_moment *moment) {
    moment->time_s = march->time_s;
    moment->position_frac = fmin(fmax(march->position_frac, 0), 1);
    moment->speed_frac_s = speed_frac_s(march, march->law_frac_s, march->position_frac);
}

/* Evenly spaced: between two of them the march takes steps of `dt_s` at most. */
static void note_all(struct march march, double dt_s, struct travel *travel) {
    double apart_s = travel->duration_s / (TRAVEL_MOMENTS - 1);
    double pieces = ceil(apart_s / dt_s);
    for (int i = 0; i < TRAVEL_MOMENTS; i++) {
        note(&march, &travel->moment[i]);
        for (int piece = 0; piece < (int)pieces && i + 1 < TRAVEL_MOMENTS; piece++) {
            step(&march, apart_s / pieces);
        }
    }
}

/* Returns the step that it took; 0 if it never arrives. */
static double find_times(const struct travel_law *law, const struct slowness *slowness, int way,
                         struct travel *travel) {
    double ramp_s = law->full_frac_s / law->acceleration_frac_s2;
    double longest_s = slowness->greatest * (1 / law->creep_frac_s) + ramp_s;
    double shortest_s = fmin(1 / law->full_frac_s, ramp_s);
    double dt_s = fmax(shortest_s / RAMP_STEPS, longest_s / MARCH_MAX);
    *travel = (struct travel){.duration_s = INFINITY};

    struct march march = begin(law, slowness, way);
    while (!has_arrived(&march) && !is_lost(&march)) {
        step(&march, dt_s);
        travel->peak_frac_s =
            fmax(travel->peak_frac_s, speed_frac_s(&march, march.law_frac_s, march.position_frac));
    }
    if (!has_arrived(&march)) {
        return 0;
    }
    travel->duration_s = arrived_s(&march);
    travel->creep_s = fmax(travel->duration_s - march.zone_from_s, 0);
    return dt_s;
}

void travel_time(const struct travel_law *law, const struct lift *lift, int way,
                 struct travel *travel) {
    const struct slowness slowness = slowness_of(lift);
    find_times(law, &slowness, way, travel);
}

void travel_run(const struct travel_law *law, const struct lift *lift, int way,
                struct travel *travel) {
    const struct slowness slowness = slowness_of(lift);
    double dt_s = find_times(law, &slowness, way, travel);
    if (dt_s > 0) {
        note_all(begin(law, &slowness, way), dt_s, travel);
    }
}
