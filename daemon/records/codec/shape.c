#include "records/codec/shape.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct walk {
    bool wants_paths; /* they take most of the time */
    void *context;
    void (*take)(void *context, const struct shape_leaf *leaf);
};

static void walk_shape(const struct walk *walk, const struct shape *shape, size_t offset,
                       const char *path);

static void walk_element(const struct walk *walk, const struct shape_member *member, size_t offset,
                         const char *path) {
    if (member->kind == SHAPE_STRUCT) {
        walk_shape(walk, member->of, offset, path);
        return;
    }
    struct shape_leaf leaf;
    leaf.kind = member->kind;
    leaf.offset = offset;
    snprintf(leaf.path, walk->wants_paths ? sizeof leaf.path : 1, "%s", path);
    walk->take(walk->context, &leaf);
}

/* "track[1]", or as much of it as is wanted. */
static void name_element(const struct walk *walk, const struct shape_member *member, unsigned n,
                         const char *path, char *deeper, size_t size) {
    if (!walk->wants_paths) {
        return;
    }
    const char *dot = path[0] != '\0' ? "." : "";
    if (member->count == 0) {
        snprintf(deeper, size, "%s%s%s", path, dot, member->name);
    } else {
        snprintf(deeper, size, "%s%s%s[%u]", path, dot, member->name, n);
    }
}

static void walk_shape(const struct walk *walk, const struct shape *shape, size_t offset,
                       const char *path) {
    for (size_t i = 0; i < shape->members; i++) {
        const struct shape_member *member = &shape->member[i];
        unsigned count = member->count > 0 ? member->count : 1;
        for (unsigned n = 0; n < count; n++) {
            char deeper[2 * SHAPE_PATH_SIZE];
            deeper[0] = '\0';
            name_element(walk, member, n, path, deeper, sizeof deeper);
            walk_element(walk, member, offset + member->offset + n * member->size, deeper);
        }
    }
}

void shape_walk(const struct shape *shape, void *context,
                void (*take)(void *context, const struct shape_leaf *leaf)) {
    const struct walk walk = {.wants_paths = true, .context = context, .take = take};
    walk_shape(&walk, shape, 0, "");
}

static void walk_unnamed(const struct shape *shape, void *context,
                         void (*take)(void *context, const struct shape_leaf *leaf)) {
    const struct walk walk = {.context = context, .take = take};
    walk_shape(&walk, shape, 0, "");
}

/* --- fingerprint: FNV-1a, 64 bits (Fowler, Noll, Vo; from memory) */

static void print_leaf(void *context, const struct shape_leaf *leaf) {
    uint64_t *print = context;
    char text[SHAPE_PATH_SIZE + 4];
    int length = snprintf(text, sizeof text, "%d %s\n", (int)leaf->kind, leaf->path);
    for (int i = 0; i < length; i++) {
        *print = (*print ^ (unsigned char)text[i]) * UINT64_C(0x100000001b3);
    }
}

uint64_t shape_print(const struct shape *shape) {
    uint64_t print = UINT64_C(0xcbf29ce484222325);
    shape_walk(shape, &print, print_leaf);
    return print >> 1; /* a positive number for those who have no others */
}

/* --- values */

union value {
    bool flag;
    uint32_t word;
    double number;
};

static size_t value_size(enum shape_kind kind) {
    return kind == SHAPE_NUMBER ? sizeof(double) : kind == SHAPE_WORD ? sizeof(uint32_t) : 1;
}

static union value value_of(const struct shape_leaf *leaf, const void *object) {
    union value value = {.number = 0};
    memcpy(&value, (const char *)object + leaf->offset, value_size(leaf->kind));
    return value;
}

static void set_value(const struct shape_leaf *leaf, void *object, union value value) {
    memcpy((char *)object + leaf->offset, &value, value_size(leaf->kind));
}

static bool is_same(const struct shape_leaf *leaf, const void *one, const void *other) {
    return memcmp((const char *)one + leaf->offset, (const char *)other + leaf->offset,
                  value_size(leaf->kind)) == 0;
}

/* --- bytes: for each changed leaf how many to skip before it, plus one; 0 ends */

struct packing {
    const void *before, *after;
    struct pack *pack;
    unsigned skipped;
};

static void pack_leaf(void *context, const struct shape_leaf *leaf) {
    struct packing *packing = context;
    if (is_same(leaf, packing->before, packing->after)) {
        packing->skipped++;
        return;
    }
    pack_count(packing->pack, packing->skipped + 1);
    packing->skipped = 0;
    union value value = value_of(leaf, packing->after);
    switch (leaf->kind) {
    case SHAPE_FLAG:
        pack_byte(packing->pack, value.flag);
        break;
    case SHAPE_WORD:
        pack_count(packing->pack, value.word);
        break;
    case SHAPE_NUMBER:
        pack_number(packing->pack, value.number);
        break;
    case SHAPE_STRUCT:
        break;
    }
}

void shape_pack(const struct shape *shape, const void *before, const void *after,
                struct pack *pack) {
    struct packing packing = {.before = before, .after = after, .pack = pack};
    walk_unnamed(shape, &packing, pack_leaf);
    pack_count(pack, 0);
}

enum { LEAVES_MAX = 4096 };

struct unpacking {
    void *object;
    struct unpack *unpack;
    uint64_t skip; /* leaves until the next that is there; UINT64_MAX: no more */
};

static void find_next(struct unpacking *unpacking) {
    uint64_t next = unpack_count(unpacking->unpack, LEAVES_MAX);
    unpacking->skip = next > 0 ? next - 1 : UINT64_MAX;
}

static void unpack_leaf(void *context, const struct shape_leaf *leaf) {
    struct unpacking *unpacking = context;
    if (unpacking->skip > 0) {
        unpacking->skip -= unpacking->skip != UINT64_MAX;
        return;
    }
    union value value = {.number = 0};
    switch (leaf->kind) {
    case SHAPE_FLAG: {
        unsigned char byte = unpack_byte(unpacking->unpack);
        unpacking->unpack->has_failed = unpacking->unpack->has_failed || byte > 1;
        value.flag = byte == 1;
        break;
    }
    case SHAPE_WORD:
        value.word = (uint32_t)unpack_count(unpacking->unpack, UINT32_MAX);
        break;
    case SHAPE_NUMBER:
        value.number = unpack_number(unpacking->unpack);
        break;
    case SHAPE_STRUCT:
        break;
    }
    set_value(leaf, unpacking->object, value);
    find_next(unpacking);
}

bool shape_unpack(const struct shape *shape, void *object, struct unpack *unpack) {
    struct unpacking unpacking = {.object = object, .unpack = unpack};
    find_next(&unpacking);
    walk_unnamed(shape, &unpacking, unpack_leaf);
    if (unpacking.skip != UINT64_MAX) {
        unpack->has_failed = true; /* more leaves than there are */
    }
    return !unpack->has_failed;
}

/* --- text */

void shape_write(const struct shape_leaf *leaf, const void *object, char text[SHAPE_VALUE_SIZE]) {
    union value value = value_of(leaf, object);
    switch (leaf->kind) {
    case SHAPE_FLAG:
        snprintf(text, SHAPE_VALUE_SIZE, "%d", value.flag);
        break;
    case SHAPE_WORD:
        snprintf(text, SHAPE_VALUE_SIZE, "%ld", (long)(int32_t)value.word);
        break;
    case SHAPE_NUMBER:
        if (isnan(value.number)) {
            snprintf(text, SHAPE_VALUE_SIZE, "none");
        } else {
            snprintf(text, SHAPE_VALUE_SIZE, "%a", value.number);
        }
        break;
    case SHAPE_STRUCT:
        break;
    }
}

struct reading {
    void *object;
    const char *path, *text;
    bool is_read;
};

static bool parse(enum shape_kind kind, const char *text, union value *value) {
    char *end = NULL;
    errno = 0;
    if (kind == SHAPE_NUMBER) {
        bool is_none = strcmp(text, "none") == 0;
        value->number = is_none ? NAN : strtod(text, &end);
        return is_none || (end != text && *end == '\0');
    }
    long long whole = strtoll(text, &end, 10);
    if (end == text || *end != '\0' || errno != 0) {
        return false;
    }
    if (kind == SHAPE_FLAG) {
        value->flag = whole == 1;
        return whole == 0 || whole == 1;
    }
    value->word = (uint32_t)whole;
    return whole >= INT32_MIN && whole <= UINT32_MAX;
}

static void read_leaf(void *context, const struct shape_leaf *leaf) {
    struct reading *reading = context;
    union value value = {.number = 0};
    if (strcmp(leaf->path, reading->path) == 0 && parse(leaf->kind, reading->text, &value)) {
        set_value(leaf, reading->object, value);
        reading->is_read = true;
    }
}

bool shape_read(const struct shape *shape, void *object, const char *path, const char *text) {
    struct reading reading = {.object = object, .path = path, .text = text};
    shape_walk(shape, &reading, read_leaf);
    return reading.is_read;
}

/* --- comparison */

struct comparison {
    const void *one, *other;
    struct shape_difference *difference;
    bool differs;
};

static void compare_leaf(void *context, const struct shape_leaf *leaf) {
    struct comparison *comparison = context;
    if (comparison->differs || is_same(leaf, comparison->one, comparison->other)) {
        return;
    }
    if (leaf->kind == SHAPE_NUMBER && isnan(value_of(leaf, comparison->one).number) &&
        isnan(value_of(leaf, comparison->other).number)) {
        return;
    }
    comparison->differs = true;
    if (comparison->difference != NULL) {
        snprintf(comparison->difference->path, SHAPE_PATH_SIZE, "%s", leaf->path);
        shape_write(leaf, comparison->one, comparison->difference->one);
        shape_write(leaf, comparison->other, comparison->difference->other);
    }
}

bool shape_differs(const struct shape *shape, const void *one, const void *other,
                   struct shape_difference *difference) {
    struct comparison comparison = {.one = one, .other = other};
    walk_unnamed(shape, &comparison, compare_leaf);
    if (comparison.differs && difference != NULL) {
        comparison.differs = false;
        comparison.difference = difference;
        shape_walk(shape, &comparison, compare_leaf);
    }
    return comparison.differs;
}

struct sameness {
    const void *one, *other;
    bool differs;
};

static void compare_bits(void *context, const struct shape_leaf *leaf) {
    struct sameness *sameness = context;
    sameness->differs = sameness->differs || !is_same(leaf, sameness->one, sameness->other);
}

bool shape_is_same(const struct shape *shape, const void *one, const void *other) {
    struct sameness sameness = {.one = one, .other = other};
    walk_unnamed(shape, &sameness, compare_bits);
    return !sameness.differs;
}
