/* fields.h: what keys an object of the configuration has, as tables, and reading by them. The JSON
 * Schema and the manual are made from the same tables (schema.h, manual.h), so that neither can
 * part from the reader. Values are kept as they were written, in SI units: struct written_*. */
#ifndef CONFIG_FIELDS_H
#define CONFIG_FIELDS_H

#include "config/reader/pointer.h"
#include "config/reader/quantity.h"
#include "config/reader/report.h"

#include <cjson/cJSON.h>
#include <limits.h>
#include <stdbool.h>
#include <stddef.h>

#define FIELD_NO_NUMBER UINT_MAX

enum field_kind {
    FIELD_TEXT = 0, /* char[size] */
    FIELD_WORD,     /* int, the index in `words`; -1: not given, and no default */
    FIELD_FLAG,     /* bool */
    FIELD_COUNT,    /* unsigned, a bare number; FIELD_NO_NUMBER: not given, and no default */
    FIELD_QUANTITY, /* double; NAN: not given, and no default */
    FIELD_EITHER,   /* struct written_either: of `quantity` or of `or_quantity` */
    FIELD_PLACE,    /* double[2], two lengths; NAN: not given */
    FIELD_OBJECT,   /* a struct that begins with struct written */
    FIELD_LIST,     /* struct written_list, followed by an array of such structs */
};

/* What every struct that an object is read into begins with. */
struct written {
    bool is_given; /* the object is in the file; otherwise its members are the defaults */
};

struct written_list {
    unsigned count;
};

struct written_either {
    double value; /* NAN: not given */
    enum quantity quantity;
};

struct object;

/* One key. Defaults and limits are written as people write them, and read by the same function. */
struct field {
    const char *key;
    enum field_kind kind;
    size_t offset;
    const char *help; /* a clause without a capital or a full stop */
    bool is_required;
    const char *fallback;          /* default; NULL: none */
    const char *fallback_in_words; /* where it depends on something else */
    const char *least, *most;      /* both allowed; NULL: unlimited. FIELD_LIST: how many */
    enum quantity quantity, or_quantity;
    size_t size;  /* FIELD_TEXT, FIELD_LIST: bytes of one element */
    size_t first; /* FIELD_LIST: offset of the array from the struct written_list */
    size_t elements_least, elements_most; /* FIELD_LIST */
    const char *const *words;             /* FIELD_WORD: NULL after the last */
    const struct object *object;
};

struct object {
    const char *name; /* one lower-case word or two; unique */
    const char *help; /* a sentence without its full stop */
    size_t fields;
    const struct field *field;
};

/* Reads `json` into `base` (zeroed by the caller) by the table, complaining of everything at once:
 * unknown, repeated, missing keys and wrong values. What could not be read is left as its default.
 * `json` may be NULL: then all is default, and nothing is missing. */
void fields_read(const struct object *object, const cJSON *json, void *base,
                 struct pointer *pointer, struct config_report *report);

/* One quantity as it is written. */
struct field_quantity {
    const char *where;
    const char *text;
    enum quantity quantity;
    double value, spread;      /* as the text says; for values, see quantity.h */
    const struct field *field; /* of a place: of the place */
    double *target;            /* where it was read to; NULL: it was not */
};

/* Calls for every text in `json` that is a quantity by the table and can be read, in the table's
 * order. `base` is what `json` was read into; it may be NULL. */
typedef void fields_visit(void *context, const struct field_quantity *quantity);
void fields_each_quantity(const struct object *object, const cJSON *json, void *base,
                          fields_visit *call, void *context);

/* Puts a value of the field, which was written as `text`, where it belongs. Returns false, and
 * leaves it, if the field does not allow it. */
bool fields_set_quantity(const struct field *field, const char *text, double value, double *target,
                         struct error *error);

/* One value as people write it: a text, a word, "true", "3", "20 ms". Lists and objects have none.
 */
bool fields_read_text(const struct field *field, const char *text, void *base, struct error *error);

#endif
