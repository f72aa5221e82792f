#include "mechanics/balance/slides.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

double slides_length_m(const struct slide *slide) {
    return point_radius_m(point_difference(slide->to, slide->from));
}

struct point slides_point(const struct slide *slide, double place_m) {
    struct point along = point_difference(slide->to, slide->from);
    double part = place_m / point_radius_m(along);
    return (struct point){slide->from.x_m + part * along.x_m, slide->from.y_m + part * along.y_m};
}

/* The last place of a row; rounding does not cost one. */
static unsigned last_place(const struct slide *slide) {
    return (unsigned)floor(slides_length_m(slide) / slide->step_m + 1e-9);
}

double slides_nearest_m(const struct slide *slide, double place_m) {
    double within_m = fmin(fmax(place_m, 0), slides_length_m(slide));
    return slide->step_m > 0
               ? slide->step_m * fmin(round(within_m / slide->step_m), last_place(slide))
               : within_m;
}

const char *slides_check(const struct slide *slides, unsigned count) {
    if (count > SLIDES_MAX) {
        return "there are at most 3 sliding weights";
    }
    for (unsigned i = 0; i < count; i++) {
        if (!number_is_positive(slides[i].mass_kg)) {
            return "a sliding weight's mass must be above zero";
        }
        if (!point_is_finite(slides[i].from) || !point_is_finite(slides[i].to) ||
            !number_is_positive(slides_length_m(&slides[i]))) {
            return "a rail must lead from one place to another";
        }
        if (!number_is_not_negative(slides[i].step_m)) {
            return "the spacing of places must be finite and not negative";
        }
        if (slides[i].step_m > 0 &&
            slides_length_m(&slides[i]) / slides[i].step_m >= SLIDES_PLACES_MAX) {
            return "a row has at most 40 places";
        }
    }
    return NULL;
}

struct search {
    const struct slide *slides;
    unsigned count;
    const double *now_m;
    const struct slides_aim *aim;
    double place_m[SLIDES_MAX]; /* being tried */
    bool is_free[SLIDES_MAX];
    double best_error;
    unsigned best_moved;
    struct slides_answer best;
};

/* First moments for each metre of the rail, Sx with its share. */
static struct point slope(const struct search *search, unsigned i) {
    const struct slide *slide = &search->slides[i];
    struct point along = point_difference(slide->to, slide->from);
    double per_m = slide->mass_kg / slides_length_m(slide);
    return (struct point){search->aim->sx_share * per_m * along.x_m, per_m * along.y_m};
}

static struct slides_answer reached(const struct search *search) {
    struct slides_answer answer = {.sx_kg_m = search->aim->base_sx_kg_m,
                                   .sy_kg_m = search->aim->base_sy_kg_m};
    for (unsigned i = 0; i < search->count; i++) {
        struct point at = slides_point(&search->slides[i], search->place_m[i]);
        answer.place_m[i] = search->place_m[i];
        answer.sx_kg_m += search->slides[i].mass_kg * at.x_m;
        answer.sy_kg_m += search->slides[i].mass_kg * at.y_m;
    }
    return answer;
}

/* What is left to reach, Sx with its share. */
static struct point missing(const struct search *search) {
    struct slides_answer answer = reached(search);
    return (struct point){search->aim->sx_share * (search->aim->sx_kg_m - answer.sx_kg_m),
                          search->aim->sy_kg_m - answer.sy_kg_m};
}

static void offer(struct search *search) {
    struct point left = missing(search);
    double error = left.x_m * left.x_m + left.y_m * left.y_m;
    unsigned moved = 0;
    for (unsigned i = 0; i < search->count; i++) {
        double length_m = slides_length_m(&search->slides[i]);
        if (!(search->place_m[i] >= 0 && search->place_m[i] <= length_m)) {
            return;
        }
        moved += fabs(search->place_m[i] - search->now_m[i]) > 1e-9 * length_m;
    }
    double alike = 1e-12 * (1 + search->best_error);
    bool is_better = error < search->best_error - alike ||
                     (error <= search->best_error + alike && moved < search->best_moved);
    if (isinf(search->best_error) || is_better) {
        search->best_error = error;
        search->best_moved = moved;
        search->best = reached(search);
    }
}

static void solve_one(struct search *search, unsigned i) {
    struct point a = slope(search, i), left = missing(search);
    double square = a.x_m * a.x_m + a.y_m * a.y_m;
    search->place_m[i] += (a.x_m * left.x_m + a.y_m * left.y_m) / square;
    offer(search);
}

/* Rails that lie along one another tell nothing of one another: not a finite place. */
static void solve_two(struct search *search, unsigned i, unsigned k) {
    struct point a = slope(search, i), b = slope(search, k), left = missing(search);
    double determinant = point_cross(a, b);
    search->place_m[i] += point_cross(left, b) / determinant;
    search->place_m[k] += point_cross(a, left) / determinant;
    offer(search);
}

static void solve_free(struct search *search) {
    unsigned free[SLIDES_MAX], count = 0;
    for (unsigned i = 0; i < search->count; i++) {
        if (search->is_free[i]) {
            free[count++] = i;
            search->place_m[i] = 0;
        }
    }
    if (count == 0) {
        offer(search);
    } else if (count == 1) {
        solve_one(search, free[0]);
    } else if (count == 2) {
        solve_two(search, free[0], free[1]);
    }
}

/* Recurses once a weight: at most SLIDES_MAX deep. */
static void try_slide(struct search *search, unsigned i) {
    if (i == search->count) {
        solve_free(search);
        return;
    }
    const struct slide *slide = &search->slides[i];
    if (slide->step_m > 0) {
        unsigned last = last_place(slide);
        for (unsigned place = 0; place <= last; place++) {
            search->place_m[i] = fmin(place * slide->step_m, slides_length_m(slide));
            try_slide(search, i + 1);
        }
        return;
    }
    const double fixed_m[] = {search->now_m[i], 0, slides_length_m(slide)};
    for (size_t k = 0; k < sizeof fixed_m / sizeof fixed_m[0]; k++) {
        search->place_m[i] = fixed_m[k];
        try_slide(search, i + 1);
    }
    search->is_free[i] = true;
    try_slide(search, i + 1);
    search->is_free[i] = false;
}

struct slides_answer slides_search(const struct slide *slides, unsigned count, const double *now_m,
                                   const struct slides_aim *aim) {
    struct search search = {
        .slides = slides, .count = count, .now_m = now_m, .aim = aim, .best_error = INFINITY};
    try_slide(&search, 0);
    return search.best;
}
