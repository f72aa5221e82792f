/* places.h: who has a place from which address, and who has to leave first where places are short:
 * the one that has been unfinished for longest, of the address that has most of these. So a client
 * whose address has few keeps its place, however many come from elsewhere.
 *
 *   unfinished ──finish──► served ──begin──► unfinished anew, as the newest */
#ifndef BASE_PLACES_H
#define BASE_PLACES_H

#include <stdbool.h>
#include <sys/queue.h>

enum { PLACES_BUCKETS = 64 };

struct place_source; /* one address */

/* Part of a client's struct. All zero has no place. */
struct place {
    TAILQ_ENTRY(place) link; /* while it is unfinished */
    struct place_source *source;
    bool is_unfinished;
};

TAILQ_HEAD(place_list, place);
LIST_HEAD(place_bucket, place_source);

struct places {
    struct place_list unfinished; /* the oldest first */
    struct place_bucket bucket[PLACES_BUCKETS];
};

void places_init(struct places *places);

/* Takes a place, unfinished, for a client from this address (network_address()). Returns false if
 * there is no memory. */
bool place_take(struct places *places, struct place *place, const unsigned char address[16]);

/* Gives it back; does nothing to one that has none. All must be given back in the end. */
void place_leave(struct places *places, struct place *place);

void place_finish(struct places *places, struct place *place);
void place_begin(struct places *places, struct place *place);

/* Returns how many places its address has; 0: it has none itself. */
unsigned place_count(const struct place *place);

/* Returns whether both have a place and come from one address. */
bool place_is_neighbour(const struct place *place, const struct place *other);

/* Returns who is unfinished and has to leave first, `newest` never; NULL: nobody. */
struct place *places_first_to_leave(const struct places *places, const struct place *newest);

/* Returns the same of those that come from the address of `newest`. */
struct place *places_first_neighbour_to_leave(const struct places *places,
                                              const struct place *newest);

#endif
