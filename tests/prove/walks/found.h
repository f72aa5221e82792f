/* found.h: a growing set of records of one size, each kept once and numbered as it was found. Out
 * of memory ends the program: a search that lost states would prove nothing. */
#ifndef PROVE_FOUND_H
#define PROVE_FOUND_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { FOUND_NOTHING = UINT32_MAX };

struct found {
    size_t words; /* of 8 bytes, in a record */
    uint64_t *record;
    uint32_t count;
    uint32_t room;
    uint32_t *table; /* open addressing; FOUND_NOTHING: free */
};

/* `bytes`: of a record; a multiple of 8. */
void found_start(struct found *found, size_t bytes);
void found_free(struct found *found);

/* The number of the record, which is new if it is the count before. */
uint32_t found_add(struct found *found, const void *record);

/* The number of the record, or FOUND_NOTHING. */
uint32_t found_number(const struct found *found, const void *record);

const void *found_at(const struct found *found, uint32_t number);

size_t found_bytes(const struct found *found);

/* realloc() that ends the program rather than fail. */
void *found_grown(void *memory, size_t bytes);

#endif
