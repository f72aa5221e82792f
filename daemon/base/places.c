#include "base/places.h"

#include "base/invariant.h"

#include <stdlib.h>
#include <string.h>

struct place_source {
    LIST_ENTRY(place_source) link;
    unsigned char address[16];
    unsigned places, unfinished;
};

/* Addresses of one network differ at their end. */
static struct place_bucket *bucket_of(struct places *places, const unsigned char address[16]) {
    return &places->bucket[(address[15] ^ address[14] ^ address[13]) % PLACES_BUCKETS];
}

static struct place_source *find_or_add(struct places *places, const unsigned char address[16]) {
    struct place_bucket *bucket = bucket_of(places, address);
    struct place_source *source;
    LIST_FOREACH(source, bucket, link) {
        if (memcmp(source->address, address, sizeof source->address) == 0) {
            return source;
        }
    }
    source = calloc(1, sizeof *source);
    if (source != NULL) {
        memcpy(source->address, address, sizeof source->address);
        LIST_INSERT_HEAD(bucket, source, link);
    }
    return source;
}

void places_init(struct places *places) {
    TAILQ_INIT(&places->unfinished);
    for (unsigned i = 0; i < PLACES_BUCKETS; i++) {
        LIST_INIT(&places->bucket[i]);
    }
}

bool place_take(struct places *places, struct place *place, const unsigned char address[16]) {
    *place = (struct place){.source = find_or_add(places, address)};
    if (place->source == NULL) {
        return false;
    }
    place->source->places++;
    place_begin(places, place);
    return true;
}

void place_leave(struct places *places, struct place *place) {
    struct place_source *source = place->source;
    if (source == NULL) {
        return;
    }
    place_finish(places, place);
    place->source = NULL;
    INVARIANT(source->places > 0);
    if (--source->places == 0) {
        LIST_REMOVE(source, link);
        free(source);
    }
}

void place_finish(struct places *places, struct place *place) {
    if (place->is_unfinished) {
        place->is_unfinished = false;
        INVARIANT(place->source->unfinished > 0);
        place->source->unfinished--;
        TAILQ_REMOVE(&places->unfinished, place, link);
    }
}

void place_begin(struct places *places, struct place *place) {
    if (place->source != NULL && !place->is_unfinished) {
        place->is_unfinished = true;
        place->source->unfinished++;
        TAILQ_INSERT_TAIL(&places->unfinished, place, link);
    }
}

unsigned place_count(const struct place *place) {
    return place->source != NULL ? place->source->places : 0;
}

bool place_is_neighbour(const struct place *place, const struct place *other) {
    return place->source != NULL && place->source == other->source;
}

struct place *places_first_to_leave(const struct places *places, const struct place *newest) {
    struct place *first = NULL;
    struct place *place;
    TAILQ_FOREACH(place, &places->unfinished, link) {
        bool has_more = first == NULL || place->source->unfinished > first->source->unfinished;
        if (place != newest && has_more) {
            first = place;
        }
    }
    return first;
}

struct place *places_first_neighbour_to_leave(const struct places *places,
                                              const struct place *newest) {
    struct place *place;
    TAILQ_FOREACH(place, &places->unfinished, link) {
        if (place != newest && place_is_neighbour(place, newest)) {
            return place;
        }
    }
    return NULL;
}
