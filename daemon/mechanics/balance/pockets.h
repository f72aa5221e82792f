/* pockets.h: which trim weights in which pockets bring the span to the wanted balance.
 * Pure: no I/O, no allocation. SI units; points as in point.h.
 *
 * Wanted first moments: Sx = R x_toe/g, Sy = Sx tan(alpha) (balance.h). How heavy? A span slightly
 * heavier than its counterweights is the desired condition (case study of the Houghton lift bridge,
 * binsfeld.com); on a model clearly above the friction at the toe (5 to 10 N for 40 to 50 kg is a
 * judgement, no source). */
#ifndef MECHANICS_POCKETS_H
#define MECHANICS_POCKETS_H

#include "mechanics/room/point.h"

#include <stdbool.h>

enum { POCKETS_MAX = 8, POCKETS_BLOCKS_MAX = 1000 };

struct pocket {
    struct point at;
    double block_kg;
    unsigned blocks_max;
};

struct pockets_aim {
    double base_sx_kg_m; /* of the leaf without blocks */
    double base_sy_kg_m;
    double toe_x_m;
    double toe_reaction_n;
    double angle_rad; /* alpha, between -90 and 90 degrees */
    /* How near is near enough. */
    double reaction_within_n;
    double angle_within_rad;
};

/* NULL, or what is wrong in words (static storage). The others expect what passed. */
const char *pockets_check(const struct pocket *pockets, unsigned count,
                          const struct pockets_aim *aim);

/* The first moments the aim asks for, blocks and leaf together. */
struct pockets_moments {
    double sx_kg_m;
    double sy_kg_m;
};
struct pockets_moments pockets_wanted(const struct pockets_aim *aim);

struct pockets_answer {
    unsigned blocks[POCKETS_MAX];
    double error_sx_kg_m; /* reached less wanted */
    double error_sy_kg_m;
    double toe_reaction_n;
    double angle_rad;
    bool is_reached; /* within the aim's bounds; otherwise this is the nearest there is */
    bool is_proved;  /* no other count of blocks can be nearer; false: the search was cut off */
};

/* The nearest whole blocks: least squared error of the two moments, of equals the fewest blocks.
 * Branch and bound, cut off after some millions of steps: enough for 3 pockets of 1000 blocks, 4 of
 * 150, 8 of 7. */
struct pockets_answer pockets_search(const struct pocket *pockets, unsigned count,
                                     const struct pockets_aim *aim);

#endif
