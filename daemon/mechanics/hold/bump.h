/* bump.h: the open leaf struck by a hand or leaned on: the push at the toe, square to the leaf,
 * that something gives way to. Pure: no I/O, no allocation. SI units, axes as in room/point.h.
 *
 * Statics, the worst place of the travel, the seat left out of account: the push adds to gravity's
 * moment; through the lever arm it loads the rack and the gears behind it; with the drive held,
 * leaf and tower are one body that tips about an edge of its base. */
#ifndef MECHANICS_BUMP_H
#define MECHANICS_BUMP_H

#include "mechanics/lift/backdrive.h"

/* A push, and the position where so little is enough. */
struct bump {
    double push_n; /* INFINITY: no push does */
    double at;
};

/* Returns the push that loads the rack with `rack_n`. Not of a vertical lift. */
struct bump bump_by_rack(const struct chain *chain, double toe_m, double rack_n);

/* Returns the push that turns the drive back, judged by all of its parts as in backdrive.h. Not of
 * a vertical lift. */
struct bump bump_turns(const struct chain *chain, double toe_m, const struct backdrive_stop *stop);

/* What stands under the axis: distances from the axis toward the toe, the base's edges at `front_m`
 * and `back_m` (less than 0). */
struct bump_tower {
    double mass_kg;
    double centre_m;
    double height_m; /* of the axis above the base */
    double front_m, back_m;
    double width_m;  /* of the base, across the track */
    double screws_n; /* pull of all screws together; 0: it only stands */
    double screws_m; /* where they are */
};

/* Returns NULL, or what is wrong in words (static storage). */
const char *bump_tower_check(const struct bump_tower *tower);

/* Returns the push along the track that tips it about either edge; and the one across the track, at
 * the toe's height, half of the screws on either side. Of a lift that turns on a tower. */
struct bump bump_tips(const struct chain *chain, double toe_m, const struct bump_tower *tower);
struct bump bump_tips_sideways(const struct chain *chain, double toe_m,
                               const struct bump_tower *tower);

#endif
