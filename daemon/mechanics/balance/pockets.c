#include "mechanics/balance/pockets.h"

#include "mechanics/number.h"

#include <math.h>
#include <stddef.h>

enum { STEPS_MAX = 4000000 };

static const char *pocket_check(const struct pocket *pocket) {
    if (!point_is_finite(pocket->at) || !number_is_positive(point_radius_m(pocket->at))) {
        return "a pocket must lie away from the axis";
    }
    if (!number_is_positive(pocket->block_kg)) {
        return "a block's mass must be above zero";
    }
    if (pocket->blocks_max > POCKETS_BLOCKS_MAX) {
        return "a pocket holds at most 1000 blocks";
    }
    return NULL;
}

const char *pockets_check(const struct pocket *pockets, unsigned count,
                          const struct pockets_aim *aim) {
    if (count < 1 || count > POCKETS_MAX) {
        return "there must be 1 to 8 pockets";
    }
    for (unsigned i = 0; i < count; i++) {
        const char *wrong = pocket_check(&pockets[i]);
        if (wrong) {
            return wrong;
        }
    }
    if (!isfinite(aim->base_sx_kg_m) || !isfinite(aim->base_sy_kg_m)) {
        return "the leaf's first moments must be finite";
    }
    if (!number_is_positive(aim->toe_x_m)) {
        return "the toe must lie ahead of the axis";
    }
    if (!isfinite(aim->toe_reaction_n)) {
        return "the wanted toe reaction must be finite";
    }
    if (!number_is_acute_rad(fabs(aim->angle_rad)) && aim->angle_rad != 0.0) {
        return "the wanted angle must be between -90 and 90 degrees";
    }
    if (!number_is_not_negative(aim->reaction_within_n) ||
        !number_is_not_negative(aim->angle_within_rad)) {
        return "the bounds of what is near enough must be finite and not negative";
    }
    return NULL;
}

struct pockets_moments pockets_wanted(const struct pockets_aim *aim) {
    double sx = aim->toe_reaction_n * aim->toe_x_m / NUMBER_GRAVITY_M_S2;
    return (struct pockets_moments){sx, sx * tan(aim->angle_rad)};
}

/* What the blocks have to add. */
static struct point needed(const struct pockets_aim *aim) {
    struct pockets_moments wanted = pockets_wanted(aim);
    return (struct point){wanted.sx_kg_m - aim->base_sx_kg_m, wanted.sy_kg_m - aim->base_sy_kg_m};
}

/* Points here are first moments, kg.m. */
struct search {
    unsigned count;
    struct point block[POCKETS_MAX]; /* what one block adds */
    unsigned blocks_max[POCKETS_MAX];
    unsigned blocks[POCKETS_MAX];
    unsigned best[POCKETS_MAX];
    double best_error; /* squared */
    unsigned best_total;
    double alike; /* errors that differ by less are equal */
    long steps;
};

static double squared(struct point p) {
    return p.x_m * p.x_m + p.y_m * p.y_m;
}

static struct point less(struct point need, struct point block, unsigned blocks) {
    return (struct point){need.x_m - block.x_m * blocks, need.y_m - block.y_m * blocks};
}

static void offer(struct search *search, struct point need, unsigned total) {
    double error = squared(need);
    bool is_better = error < search->best_error - search->alike;
    bool is_equal = !is_better && error <= search->best_error + search->alike;
    if (!is_better && !(is_equal && total < search->best_total)) {
        return;
    }
    search->best_error = error;
    search->best_total = total;
    for (unsigned i = 0; i < search->count; i++) {
        search->best[i] = search->blocks[i];
    }
}

/* The least distance the pockets from `pocket` on must leave: along the direction of what is
 * needed, they can go no farther than each one's whole forward reach. */
static bool is_out_of_reach(const struct search *search, unsigned pocket, struct point need) {
    double distance = sqrt(squared(need));
    double left = distance * distance;
    for (unsigned i = pocket; i < search->count; i++) {
        double forward = need.x_m * search->block[i].x_m + need.y_m * search->block[i].y_m;
        left -= fmax(0.0, forward) * search->blocks_max[i];
    }
    /* `left` is the least distance times `distance`. */
    return left > 0.0 && left * left > (search->best_error + search->alike) * distance * distance;
}

static void try_last(struct search *search, unsigned pocket, struct point need, unsigned total) {
    struct point block = search->block[pocket];
    double exact = (need.x_m * block.x_m + need.y_m * block.y_m) / squared(block);
    double most = search->blocks_max[pocket];
    unsigned low = (unsigned)fmin(fmax(floor(exact), 0.0), most);
    unsigned high = low < search->blocks_max[pocket] ? low + 1 : low;
    for (unsigned blocks = low; blocks <= high; blocks++) {
        search->blocks[pocket] = blocks;
        offer(search, less(need, block, blocks), total + blocks);
    }
}

/* Recurses once a pocket: at most POCKETS_MAX deep. */
static void try_pocket(struct search *search, unsigned pocket, struct point need, unsigned total) {
    if (search->steps >= STEPS_MAX) {
        return;
    }
    search->steps++;
    if (is_out_of_reach(search, pocket, need)) {
        return;
    }
    if (pocket + 1 == search->count) {
        try_last(search, pocket, need, total);
        return;
    }
    for (unsigned blocks = 0; blocks <= search->blocks_max[pocket]; blocks++) {
        search->blocks[pocket] = blocks;
        try_pocket(search, pocket + 1, less(need, search->block[pocket], blocks), total + blocks);
    }
}

static void begin(struct search *search, const struct pocket *pockets, unsigned count,
                  struct point need) {
    *search = (struct search){.count = count, .best_error = squared(need)};
    double scale = squared(need);
    for (unsigned i = 0; i < count; i++) {
        search->block[i] = (struct point){pockets[i].at.x_m * pockets[i].block_kg,
                                          pockets[i].at.y_m * pockets[i].block_kg};
        search->blocks_max[i] = pockets[i].blocks_max;
        scale += squared(search->block[i]);
    }
    search->alike = 1e-13 * scale;
}

struct pockets_answer pockets_search(const struct pocket *pockets, unsigned count,
                                     const struct pockets_aim *aim) {
    struct point left = needed(aim);
    struct search search;
    begin(&search, pockets, count, left);
    try_pocket(&search, 0, left, 0);
    struct pockets_answer answer = {.is_proved = search.steps < STEPS_MAX};
    for (unsigned i = 0; i < count; i++) {
        answer.blocks[i] = search.best[i];
        left = less(left, search.block[i], search.best[i]);
    }
    struct pockets_moments wanted = pockets_wanted(aim);
    double sx = wanted.sx_kg_m - left.x_m, sy = wanted.sy_kg_m - left.y_m;
    answer.error_sx_kg_m = -left.x_m;
    answer.error_sy_kg_m = -left.y_m;
    answer.toe_reaction_n = NUMBER_GRAVITY_M_S2 * sx / aim->toe_x_m;
    answer.angle_rad = atan2(sy, sx);
    answer.is_reached =
        fabs(answer.toe_reaction_n - aim->toe_reaction_n) <= aim->reaction_within_n &&
        fabs(answer.angle_rad - aim->angle_rad) <= aim->angle_within_rad;
    return answer;
}
