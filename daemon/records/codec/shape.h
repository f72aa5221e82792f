/* shape.h: how the core's structs are made, member by member, so that they can be kept bit by bit,
 * compared, and written as text, without anybody knowing each of them by hand.
 * A leaf is a member that is a value, with its path: "track[1].end[0].is_powered". */
#ifndef RECORDS_SHAPE_H
#define RECORDS_SHAPE_H

#include "records/codec/pack.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum shape_kind { SHAPE_FLAG = 0, SHAPE_WORD /* 32 bits */, SHAPE_NUMBER, SHAPE_STRUCT };

enum { SHAPE_PATH_SIZE = 80, SHAPE_VALUE_SIZE = 40 };

struct shape;

struct shape_member {
    const char *name;
    enum shape_kind kind;
    size_t offset;
    unsigned count; /* elements; 0: no array */
    size_t size;    /* of one element */
    const struct shape *of;
};

struct shape {
    size_t size;
    size_t members;
    const struct shape_member *member;
};

struct shape_leaf {
    enum shape_kind kind;
    size_t offset;
    char path[SHAPE_PATH_SIZE];
};

/* Calls `take` for every leaf in order. */
void shape_walk(const struct shape *shape, void *context,
                void (*take)(void *context, const struct shape_leaf *leaf));

/* A number that changes when any member comes, goes, moves in order, or is renamed. */
uint64_t shape_print(const struct shape *shape);

/* The leaves in which `after` differs from `before`, and the same put on top of `object`.
 * Returns false, and leaves `object` in parts, if the bytes are not pack's. */
void shape_pack(const struct shape *shape, const void *before, const void *after,
                struct pack *pack);
bool shape_unpack(const struct shape *shape, void *object, struct unpack *unpack);

/* The first leaf in which they differ (numbers by their bits; none is as good as another none) and
 * both values; false: they do not. */
struct shape_difference {
    char path[SHAPE_PATH_SIZE];
    char one[SHAPE_VALUE_SIZE];
    char other[SHAPE_VALUE_SIZE];
};
bool shape_differs(const struct shape *shape, const void *one, const void *other,
                   struct shape_difference *difference);

/* No leaf has another bit. */
bool shape_is_same(const struct shape *shape, const void *one, const void *other);

/* A value as text that shape_read() reads again, exactly: "1", "-3", "0x1.8p-3", "none". */
void shape_write(const struct shape_leaf *leaf, const void *object, char text[SHAPE_VALUE_SIZE]);
/* Returns false if no leaf has this path, or the text is not a value of its kind. */
bool shape_read(const struct shape *shape, void *object, const char *path, const char *text);

#endif
