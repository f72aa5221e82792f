#include "prove/walks/found.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Table places for each record: never more than a quarter full. */
enum { FIRST_ROOM = 1024, SPREAD = 4 };

void *found_grown(void *memory, size_t bytes) {
    void *more = realloc(memory, bytes);
    if (more == NULL) {
        fputs("out of memory\n", stderr);
        exit(EXIT_FAILURE);
    }
    return more;
}

void found_start(struct found *found, size_t bytes) {
    assert(bytes % sizeof *found->record == 0);
    *found = (struct found){.words = bytes / sizeof *found->record};
}

void found_free(struct found *found) {
    free(found->record);
    free(found->table);
}

static size_t table_size(const struct found *found) {
    return (size_t)found->room * SPREAD;
}

/* Multiplies and folds (D. Knuth, The Art of Computer Programming, 6.4; from memory). */
static size_t hash(const struct found *found, const uint64_t *record) {
    uint64_t hash = 0;
    for (size_t i = 0; i < found->words; i++) {
        hash = (hash ^ record[i]) * 0x9e3779b97f4a7c15u;
        hash ^= hash >> 32;
    }
    return hash & (table_size(found) - 1);
}

static uint32_t *slot_of(const struct found *found, const uint64_t *record) {
    size_t at = hash(found, record);
    while (found->table[at] != FOUND_NOTHING &&
           memcmp(found_at(found, found->table[at]), record, found->words * sizeof *record) != 0) {
        at = (at + 1) & (table_size(found) - 1);
    }
    return &found->table[at];
}

static void grow(struct found *found) {
    found->room = found->room == 0 ? FIRST_ROOM : found->room * 2;
    found->record = found_grown(found->record, found->room * found->words * sizeof *found->record);
    found->table = found_grown(found->table, table_size(found) * sizeof *found->table);
    memset(found->table, 0xff, table_size(found) * sizeof *found->table);
    for (uint32_t i = 0; i < found->count; i++) {
        *slot_of(found, found_at(found, i)) = i;
    }
}

uint32_t found_add(struct found *found, const void *record) {
    if (found->count == found->room) {
        grow(found);
    }
    uint32_t *slot = slot_of(found, record);
    if (*slot == FOUND_NOTHING) {
        *slot = found->count;
        memcpy(found->record + found->count * found->words, record,
               found->words * sizeof *found->record);
        found->count++;
    }
    return *slot;
}

uint32_t found_number(const struct found *found, const void *record) {
    return found->count == 0 ? FOUND_NOTHING : *slot_of(found, record);
}

const void *found_at(const struct found *found, uint32_t number) {
    return found->record + number * found->words;
}

size_t found_bytes(const struct found *found) {
    return found->room * found->words * sizeof *found->record +
           table_size(found) * sizeof *found->table;
}
