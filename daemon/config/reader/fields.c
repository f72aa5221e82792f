#include "config/reader/fields.h"

#include "base/text/near.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FIELDS_MAX = 64 };

/* One reading of one file. */
struct reader {
    struct pointer *pointer;
    struct config_report *report;
};

static void *at(void *base, size_t offset) {
    return (char *)base + offset;
}

static bool complain(const struct reader *r, const char *what) {
    return config_list_add(&r->report->errors, r->pointer->text, "%s", what);
}

/* What a value is, for a complaint. */
static const char *describe(const cJSON *json, char *text, size_t size) {
    if (cJSON_IsString(json)) {
        snprintf(text, size, "the text \"%.60s\"", json->valuestring);
    } else if (cJSON_IsNumber(json)) {
        snprintf(text, size, "the bare number %g", json->valuedouble);
    } else {
        snprintf(text, size, "%s",
                 cJSON_IsObject(json)  ? "an object"
                 : cJSON_IsArray(json) ? "a list"
                 : cJSON_IsTrue(json)  ? "true"
                 : cJSON_IsFalse(json) ? "false"
                                       : "null");
    }
    return text;
}

static bool complain_of_kind(const struct reader *r, const cJSON *json, const char *wanted) {
    char found[96];
    return config_list_add(&r->report->errors, r->pointer->text, "found %s, wanted %s",
                           describe(json, found, sizeof found), wanted);
}

/* --- one value, from text --- */

static bool set_text(const struct field *field, const char *text, char *target,
                     struct error *error) {
    size_t length = strlen(text);
    for (size_t i = 0; i < length; i++) {
        if ((unsigned char)text[i] < 0x20 || text[i] == 0x7f) {
            return error_set(error, "", "the text holds a control character");
        }
    }
    if (length == 0 || length >= field->size) {
        return error_set(error, "", "found %lu bytes of text, wanted 1 to %lu",
                         (unsigned long)length, (unsigned long)field->size - 1);
    }
    memcpy(target, text, length + 1);
    return true;
}

static bool set_word(const struct field *field, const char *text, int *target,
                     struct error *error) {
    char all[128] = "";
    size_t used = 0;
    struct near near = near_begin(text);
    for (int i = 0; field->words[i] != NULL; i++) {
        if (strcmp(field->words[i], text) == 0) {
            *target = i;
            return true;
        }
        near_offer(&near, field->words[i]);
        used += (size_t)snprintf(all + used, sizeof all - used, "%s\"%s\"", i == 0 ? "" : ", ",
                                 field->words[i]);
        used = used < sizeof all ? used : sizeof all - 1;
    }
    if (near.best != NULL) {
        return error_set(error, "", "found \"%.40s\" (did you mean \"%s\"?), wanted one of %s",
                         text, near.best, all);
    }
    return error_set(error, "", "found \"%.40s\", wanted one of %s", text, all);
}

static double limit(const char *text, enum quantity quantity, double otherwise) {
    double value = otherwise;
    if (text != NULL) {
        quantity_read(text, quantity, &value, NULL);
    }
    return value;
}

static bool complain_of_range(const struct field *field, const char *text, struct error *error) {
    return error_set(error, "", "\"%.40s\" is out of range: wanted %s%s%s%s", text,
                     field->least == NULL ? "" : "at least ",
                     field->least == NULL ? "" : field->least,
                     field->most == NULL    ? ""
                     : field->least == NULL ? "at most "
                                            : " and at most ",
                     field->most == NULL ? "" : field->most);
}

bool fields_set_quantity(const struct field *field, const char *text, double value, double *target,
                         struct error *error) {
    bool is_either = field->kind == FIELD_EITHER;
    double least = is_either ? 0 : limit(field->least, field->quantity, -INFINITY);
    double most = is_either ? INFINITY : limit(field->most, field->quantity, INFINITY);
    if (is_either && value < least) {
        return error_set(error, "", "\"%.40s\" is below zero", text);
    }
    if (value < least || value > most) {
        return complain_of_range(field, text, error);
    }
    *target = value;
    return true;
}

static bool set_quantity(const struct field *field, const char *text, double *target,
                         struct error *error) {
    double value, spread;
    return quantity_read_spread(text, field->quantity, &value, &spread, error) &&
           fields_set_quantity(field, text, value, target, error);
}

static bool set_either(const struct field *field, const char *text, struct written_either *target,
                       struct error *error) {
    struct written_either value = {.value = NAN, .quantity = field->or_quantity};
    double spread;
    if (!quantity_read_spread(text, field->or_quantity, &value.value, &spread, NULL)) {
        value.quantity = field->quantity;
        if (!quantity_read_spread(text, field->quantity, &value.value, &spread, error)) {
            return false;
        }
    }
    if (!fields_set_quantity(field, text, value.value, &value.value, error)) {
        return false;
    }
    *target = value;
    return true;
}

static bool set_flag(const char *text, bool *target, struct error *error) {
    if (strcmp(text, "true") != 0 && strcmp(text, "false") != 0) {
        return error_set(error, "", "found \"%.40s\", wanted true or false", text);
    }
    *target = text[0] == 't';
    return true;
}

static bool set_count(const struct field *field, const char *text, unsigned *target,
                      struct error *error) {
    double value;
    if (!quantity_read(text, QUANTITY_RATIO, &value, error)) {
        return false;
    }
    if (value != floor(value) || value < limit(field->least, QUANTITY_RATIO, 0) ||
        value > limit(field->most, QUANTITY_RATIO, UINT16_MAX)) {
        return error_set(error, "", "found %s, wanted a whole number from %s to %s", text,
                         field->least == NULL ? "0" : field->least,
                         field->most == NULL ? "65535" : field->most);
    }
    *target = (unsigned)value;
    return true;
}

bool fields_read_text(const struct field *field, const char *text, void *base,
                      struct error *error) {
    void *target = at(base, field->offset);
    switch (field->kind) {
    case FIELD_TEXT:
        return set_text(field, text, target, error);
    case FIELD_WORD:
        return set_word(field, text, target, error);
    case FIELD_FLAG:
        return set_flag(text, target, error);
    case FIELD_COUNT:
        return set_count(field, text, target, error);
    case FIELD_QUANTITY:
        return set_quantity(field, text, target, error);
    case FIELD_EITHER:
        return set_either(field, text, target, error);
    case FIELD_PLACE:
    case FIELD_OBJECT:
    case FIELD_LIST:
        break;
    }
    return error_set(error, "", "not written as a text");
}

/* --- values of JSON --- */

static void wanted_of(const struct field *field, char *text, size_t size) {
    switch (field->kind) {
    case FIELD_TEXT:
        snprintf(text, size, "a text");
        return;
    case FIELD_WORD:
        snprintf(text, size, "a word such as \"%s\"", field->words[0]);
        return;
    case FIELD_FLAG:
        snprintf(text, size, "true or false");
        return;
    case FIELD_COUNT:
        snprintf(text, size, "a whole number");
        return;
    case FIELD_EITHER:
        snprintf(text, size, "%s such as \"%s\", or %s such as \"%s\"",
                 quantity_name(field->quantity), quantity_example(field->quantity),
                 quantity_name(field->or_quantity), quantity_example(field->or_quantity));
        return;
    case FIELD_QUANTITY:
        if (field->least != NULL && field->most != NULL) { /* units as of such a thing */
            snprintf(text, size, "%s with its unit, from \"%s\" to \"%s\"",
                     quantity_name(field->quantity), field->least, field->most);
        } else {
            snprintf(text, size, "%s with its unit, such as \"%s\"", quantity_name(field->quantity),
                     quantity_example(field->quantity));
        }
        return;
    case FIELD_PLACE:
        snprintf(text, size, "two lengths, such as [\"1.2 m\", \"20 mm\"]");
        return;
    case FIELD_OBJECT:
        snprintf(text, size, "an object {...}");
        return;
    case FIELD_LIST:
        snprintf(text, size, "a list [...]");
        return;
    }
}

/* A flag, a count or a ratio comes as JSON's own true, false and numbers. */
static const char *text_of(const struct field *field, const cJSON *json, char *space, size_t size) {
    bool is_number = field->kind == FIELD_COUNT ||
                     (field->kind == FIELD_QUANTITY && field->quantity == QUANTITY_RATIO);
    if (field->kind == FIELD_FLAG) {
        return cJSON_IsTrue(json) ? "true" : cJSON_IsFalse(json) ? "false" : NULL;
    }
    if (is_number && cJSON_IsNumber(json)) {
        snprintf(space, size, "%.17g", json->valuedouble);
        return space;
    }
    return cJSON_IsString(json) && field->kind != FIELD_COUNT ? json->valuestring : NULL;
}

static void read_plain(const struct reader *r, const struct field *field, const cJSON *json,
                       void *base) {
    char space[40];
    char wanted[160];
    struct error error;
    const char *text = text_of(field, json, space, sizeof space);
    if (text == NULL) {
        wanted_of(field, wanted, sizeof wanted);
        complain_of_kind(r, json, wanted);
    } else if (!fields_read_text(field, text, base, &error)) {
        complain(r, error.what);
    }
}

static void read_place(const struct reader *r, const struct field *field, const cJSON *json,
                       void *base) {
    double *place = at(base, field->offset);
    char wanted[160];
    if (!cJSON_IsArray(json) || cJSON_GetArraySize(json) != 2) {
        wanted_of(field, wanted, sizeof wanted);
        complain_of_kind(r, json, wanted);
        return;
    }
    for (unsigned i = 0; i < 2; i++) {
        struct field axis = *field;
        axis.kind = FIELD_QUANTITY;
        axis.quantity = QUANTITY_LENGTH;
        axis.offset = i * sizeof place[0];
        size_t length = pointer_push_index(r->pointer, i);
        read_plain(r, &axis, cJSON_GetArrayItem(json, (int)i), place);
        pointer_cut(r->pointer, length);
    }
}

static void read_object(const struct reader *r, const struct object *object, const cJSON *json,
                        void *base);

static void read_list(const struct reader *r, const struct field *field, const cJSON *json,
                      void *base) {
    struct written_list *list = at(base, field->offset);
    if (!cJSON_IsArray(json)) {
        complain_of_kind(r, json, "a list [...]");
        return;
    }
    size_t count = (size_t)cJSON_GetArraySize(json);
    if (count < field->elements_least || count > field->elements_most) {
        config_list_add(&r->report->errors, r->pointer->text,
                        "found %lu in the list, wanted %lu to %lu", (unsigned long)count,
                        (unsigned long)field->elements_least, (unsigned long)field->elements_most);
    }
    const cJSON *element;
    cJSON_ArrayForEach(element, json) {
        if (list->count >= field->elements_most) {
            break;
        }
        size_t length = pointer_push_index(r->pointer, list->count);
        read_object(r, field->object, element, at(list, field->first + list->count * field->size));
        pointer_cut(r->pointer, length);
        list->count++;
    }
}

static void read_field(const struct reader *r, const struct field *field, const cJSON *json,
                       void *base) {
    switch (field->kind) {
    case FIELD_OBJECT:
        read_object(r, field->object, json, at(base, field->offset));
        return;
    case FIELD_LIST:
        read_list(r, field, json, base);
        return;
    case FIELD_PLACE:
        read_place(r, field, json, base);
        return;
    case FIELD_TEXT:
    case FIELD_WORD:
    case FIELD_FLAG:
    case FIELD_COUNT:
    case FIELD_QUANTITY:
    case FIELD_EITHER:
        read_plain(r, field, json, base);
        return;
    }
}

/* --- objects --- */

static void set_default(const struct field *field, void *base) {
    double *values = at(base, field->offset);
    struct written_either *either = at(base, field->offset);
    if (field->fallback != NULL) {
        fields_read_text(field, field->fallback, base, NULL);
    } else if (field->kind == FIELD_WORD) {
        *(int *)at(base, field->offset) = -1;
    } else if (field->kind == FIELD_COUNT) {
        *(unsigned *)at(base, field->offset) = FIELD_NO_NUMBER;
    } else if (field->kind == FIELD_QUANTITY) {
        values[0] = NAN;
    } else if (field->kind == FIELD_PLACE) {
        values[0] = values[1] = NAN;
    } else if (field->kind == FIELD_EITHER) {
        *either = (struct written_either){.value = NAN, .quantity = field->quantity};
    }
}

static void set_defaults(const struct object *object, void *base) {
    for (size_t i = 0; i < object->fields; i++) {
        const struct field *field = &object->field[i];
        if (field->kind == FIELD_OBJECT) {
            set_defaults(field->object, at(base, field->offset));
        } else {
            set_default(field, base);
        }
    }
}

static const struct field *find_field(const struct object *object, const char *key) {
    for (size_t i = 0; i < object->fields; i++) {
        if (strcmp(object->field[i].key, key) == 0) {
            return &object->field[i];
        }
    }
    return NULL;
}

static void complain_of_key(const struct reader *r, const struct object *object, const char *key) {
    struct near near = near_begin(key);
    for (size_t i = 0; i < object->fields; i++) {
        near_offer(&near, object->field[i].key);
    }
    if (near.best != NULL) {
        config_list_add(&r->report->errors, r->pointer->text,
                        "%s has no key \"%.60s\" (did you mean \"%s\"?)", object->name, key,
                        near.best);
    } else {
        config_list_add(&r->report->errors, r->pointer->text, "%s has no key \"%.60s\"",
                        object->name, key);
    }
}

static void complain_of_missing(const struct reader *r, const struct object *object,
                                const bool *is_seen) {
    char wanted[160];
    for (size_t i = 0; i < object->fields; i++) {
        const struct field *field = &object->field[i];
        if (field->is_required && !is_seen[i]) {
            size_t length = pointer_push(r->pointer, field->key);
            wanted_of(field, wanted, sizeof wanted);
            config_list_add(&r->report->errors, r->pointer->text, "missing: wanted %s (%s)", wanted,
                            field->help);
            r->report->missing++;
            pointer_cut(r->pointer, length);
        }
    }
}

static void read_object(const struct reader *r, const struct object *object, const cJSON *json,
                        void *base) {
    bool is_seen[FIELDS_MAX] = {false};
    set_defaults(object, base);
    if (!cJSON_IsObject(json)) {
        complain_of_kind(r, json, "an object {...}");
        return;
    }
    ((struct written *)base)->is_given = true;
    const cJSON *value;
    cJSON_ArrayForEach(value, json) {
        size_t length = pointer_push(r->pointer, value->string);
        const struct field *field = find_field(object, value->string);
        if (field == NULL) {
            complain_of_key(r, object, value->string);
        } else if (is_seen[field - object->field]) {
            complain(r, "this key is given twice");
        } else {
            is_seen[field - object->field] = true;
            read_field(r, field, value, base);
        }
        pointer_cut(r->pointer, length);
    }
    complain_of_missing(r, object, is_seen);
}

void fields_read(const struct object *object, const cJSON *json, void *base,
                 struct pointer *pointer, struct config_report *report) {
    struct reader r = {.pointer = pointer, .report = report};
    if (json == NULL) {
        set_defaults(object, base);
    } else {
        read_object(&r, object, json, base);
    }
}

/* --- every quantity --- */

struct visit {
    struct pointer *pointer;
    fields_visit *call;
    void *context;
};

/* `target` is where it was read to, or NULL. */
static void visit_text(const struct visit *visit, const struct field *field, const cJSON *json,
                       enum quantity quantity, double *target) {
    double value, spread;
    if (cJSON_IsString(json) &&
        quantity_read_spread(json->valuestring, quantity, &value, &spread, NULL)) {
        const struct field_quantity found = {.where = visit->pointer->text,
                                             .text = json->valuestring,
                                             .quantity = quantity,
                                             .value = value,
                                             .spread = spread,
                                             .field = field,
                                             .target = target};
        visit->call(visit->context, &found);
    }
}

static void visit_object(const struct visit *visit, const struct object *object, const cJSON *json,
                         void *base);

static void *at_if(void *base, size_t offset) {
    return base != NULL ? at(base, offset) : NULL;
}

/* What is beyond the end of a list has not been read. */
static void *element_at(const struct field *field, void *base, unsigned index) {
    const struct written_list *list = base != NULL ? at(base, field->offset) : NULL;
    return list != NULL && index < list->count
               ? at(base, field->offset + field->first + index * field->size)
               : NULL;
}

static void visit_elements(const struct visit *visit, const struct field *field, const cJSON *json,
                           void *base) {
    unsigned index = 0;
    const cJSON *element;
    cJSON_ArrayForEach(element, json) {
        size_t length = pointer_push_index(visit->pointer, index);
        if (field->kind == FIELD_LIST) {
            visit_object(visit, field->object, element, element_at(field, base, index));
        } else if (index < 2) {
            visit_text(visit, field, element, QUANTITY_LENGTH,
                       at_if(base, field->offset + index * sizeof(double)));
        }
        pointer_cut(visit->pointer, length);
        index++;
    }
}

static void visit_field(const struct visit *visit, const struct field *field, const cJSON *json,
                        void *base) {
    void *target = at_if(base, field->offset);
    switch (field->kind) {
    case FIELD_QUANTITY:
        visit_text(visit, field, json, field->quantity, target);
        break;
    case FIELD_EITHER:
        target = at_if(target, offsetof(struct written_either, value));
        visit_text(visit, field, json, field->quantity, target);
        visit_text(visit, field, json, field->or_quantity, target);
        break;
    case FIELD_PLACE:
    case FIELD_LIST:
        visit_elements(visit, field, json, base);
        break;
    case FIELD_OBJECT:
        visit_object(visit, field->object, json, target);
        break;
    case FIELD_TEXT:
    case FIELD_WORD:
    case FIELD_FLAG:
    case FIELD_COUNT:
        break;
    }
}

static void visit_object(const struct visit *visit, const struct object *object, const cJSON *json,
                         void *base) {
    for (size_t i = 0; i < object->fields; i++) {
        const cJSON *value = cJSON_GetObjectItemCaseSensitive(json, object->field[i].key);
        if (value != NULL) {
            size_t length = pointer_push(visit->pointer, object->field[i].key);
            visit_field(visit, &object->field[i], value, base);
            pointer_cut(visit->pointer, length);
        }
    }
}

void fields_each_quantity(const struct object *object, const cJSON *json, void *base,
                          fields_visit *call, void *context) {
    struct pointer pointer = {.length = 0};
    const struct visit visit = {&pointer, call, context};
    visit_object(&visit, object, json, base);
}
