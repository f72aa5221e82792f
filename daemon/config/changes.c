#include "config/changes.h"

#include "config/reader/json_text.h"
#include "config/reader/pointer.h"

#include <stdlib.h>
#include <string.h>

enum { SHOWN_MAX = 60 };

struct walk {
    FILE *out;
    size_t count;
    struct pointer at;
};

static void compare(struct walk *walk, const cJSON *before, const cJSON *after);

/* Prints a value on one line; of a long one, how it begins. */
static void print_value(FILE *out, const cJSON *value) {
    char *text = cJSON_PrintUnformatted(value);
    if (text == NULL) {
        fputs("(no memory)", out);
    } else {
        fprintf(out, "%.*s%s", SHOWN_MAX, text, strlen(text) > SHOWN_MAX ? "..." : "");
    }
    cJSON_free(text);
}

static void print_change(struct walk *walk, const cJSON *before, const cJSON *after) {
    walk->count++;
    fprintf(walk->out, "%s: ", walk->at.text[0] != '\0' ? walk->at.text : "the whole file");
    if (before == NULL) {
        fputs("added: ", walk->out);
        print_value(walk->out, after);
    } else if (after == NULL) {
        fputs("removed: ", walk->out);
        print_value(walk->out, before);
    } else {
        print_value(walk->out, before);
        fputs(" becomes ", walk->out);
        print_value(walk->out, after);
    }
    fputc('\n', walk->out);
}

static void compare_key(struct walk *walk, const cJSON *before, const cJSON *after,
                        const char *key) {
    size_t length = pointer_push(&walk->at, key);
    compare(walk, before, after);
    pointer_cut(&walk->at, length);
}

static void compare_objects(struct walk *walk, const cJSON *before, const cJSON *after) {
    const cJSON *item;
    cJSON_ArrayForEach(item, before) {
        compare_key(walk, item, cJSON_GetObjectItemCaseSensitive(after, item->string),
                    item->string);
    }
    cJSON_ArrayForEach(item, after) {
        if (cJSON_GetObjectItemCaseSensitive(before, item->string) == NULL) {
            compare_key(walk, NULL, item, item->string);
        }
    }
}

static void compare_lists(struct walk *walk, const cJSON *before, const cJSON *after) {
    const cJSON *one = before->child;
    const cJSON *other = after->child;
    for (unsigned i = 0; one != NULL || other != NULL; i++) {
        size_t length = pointer_push_index(&walk->at, i);
        compare(walk, one, other);
        pointer_cut(&walk->at, length);
        one = one != NULL ? one->next : NULL;
        other = other != NULL ? other->next : NULL;
    }
}

static void compare(struct walk *walk, const cJSON *before, const cJSON *after) {
    if (cJSON_IsObject(before) && cJSON_IsObject(after)) {
        compare_objects(walk, before, after);
    } else if (cJSON_IsArray(before) && cJSON_IsArray(after)) {
        compare_lists(walk, before, after);
    } else if (before == NULL || after == NULL || !cJSON_Compare(before, after, true)) {
        print_change(walk, before, after);
    }
}

static cJSON *read_tree(const char *path, struct error *error) {
    size_t length;
    char *text = json_text_read(path, &length, error);
    if (text == NULL) {
        return NULL;
    }
    struct error inner;
    cJSON *tree = json_text_parse(text, length, &inner);
    free(text);
    if (tree == NULL) {
        error_set(error, path, "%s: %s", inner.where, inner.what);
    }
    return tree;
}

bool changes_print(FILE *out, const char *before, const char *after, size_t *count,
                   struct error *error) {
    struct walk walk = {.out = out};
    cJSON *one = read_tree(before, error);
    cJSON *other = one != NULL ? read_tree(after, error) : NULL;
    bool is_read = other != NULL;
    if (is_read) {
        compare(&walk, one, other);
        *count = walk.count;
    }
    cJSON_Delete(one);
    cJSON_Delete(other);
    return is_read;
}
