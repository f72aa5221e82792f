/* pack.h: bytes of a record, put together and taken apart again. Little-endian, counts in groups of
 * seven bits, so that a file moves between machines. */
#ifndef RECORDS_PACK_H
#define RECORDS_PACK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Grows as it is filled; all zero is an empty one. Once memory has run out nothing more is taken.
 */
struct pack {
    unsigned char *data;
    size_t size, room;
    bool has_failed;
};

void pack_byte(struct pack *pack, unsigned char byte);
void pack_count(struct pack *pack, uint64_t count);
void pack_number(struct pack *pack, double number); /* all its bits */
void pack_clear(struct pack *pack);                 /* keeps the memory */
void pack_free(struct pack *pack);

/* What has been read of `left` bytes. Past the end, and after a mistake, everything reads as 0. */
struct unpack {
    const unsigned char *at;
    size_t left;
    bool has_failed;
};

unsigned char unpack_byte(struct unpack *unpack);
uint64_t unpack_count(struct unpack *unpack, uint64_t most); /* a larger one is a mistake */
double unpack_number(struct unpack *unpack);

#endif
