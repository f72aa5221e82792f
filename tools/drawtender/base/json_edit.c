#include "tools/drawtender/base/json_edit.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char blanks[] = " \t\r\n";

static const char *skip_blanks(const char *at) {
    return at + strspn(at, blanks);
}

/* Past a string that begins here. */
static const char *skip_string(const char *at) {
    for (at++; *at != '\0' && *at != '"'; at++) {
        at += *at == '\\' && at[1] != '\0';
    }
    return *at == '"' ? at + 1 : at;
}

/* Past a value of any kind. */
static const char *skip_value(const char *at) {
    unsigned depth = 0;
    do {
        at = skip_blanks(at);
        if (*at == '"') {
            at = skip_string(at);
        } else if (*at == '{' || *at == '[') {
            depth++;
            at++;
        } else if (*at == '}' || *at == ']') {
            depth--;
            at++;
        } else if (*at == ',' || *at == ':') {
            at++;
        } else {
            at += strcspn(at, ",:]} \t\r\n");
        }
    } while (depth > 0 && *at != '\0');
    return at;
}

struct key {
    const char *at;
    size_t length;
};

/* The next part of a pointer; false at its end. */
static bool next_key(const char **pointer, struct key *key) {
    if (**pointer != '/') {
        return false;
    }
    key->at = *pointer + 1;
    key->length = strcspn(key->at, "/");
    *pointer = key->at + key->length;
    return true;
}

static const char *find_member(const char *object, struct key key) {
    const char *at = skip_blanks(object + 1);
    while (*at == '"') {
        const char *end = skip_string(at);
        bool is_it =
            (size_t)(end - at) == key.length + 2 && memcmp(at + 1, key.at, key.length) == 0;
        at = skip_blanks(end);
        at = skip_blanks(at + (*at == ':'));
        if (is_it) {
            return at;
        }
        at = skip_blanks(skip_value(at));
        at = skip_blanks(at + (*at == ','));
    }
    return NULL;
}

static const char *find_element(const char *list, struct key key) {
    unsigned long index = 0;
    for (size_t i = 0; i < key.length; i++) {
        if (!isdigit((unsigned char)key.at[i]) || index > 1000) {
            return NULL;
        }
        index = index * 10 + (unsigned long)(key.at[i] - '0');
    }
    const char *at = skip_blanks(list + 1);
    for (; index > 0 && *at != ']' && *at != '\0'; index--) {
        at = skip_blanks(skip_value(at));
        at = skip_blanks(at + (*at == ','));
    }
    return index > 0 || *at == ']' || *at == '\0' ? NULL : at;
}

/* `text` with `length` bytes at `at` replaced by the formatted pieces. */
static char *splice(const char *text, const char *at, size_t length, const char *const piece[],
                    size_t pieces, struct error *error) {
    size_t size = strlen(text) + 1;
    for (size_t i = 0; i < pieces; i++) {
        size += strlen(piece[i]);
    }
    char *made = malloc(size);
    if (made == NULL) {
        error_set(error, "", "out of memory");
        return NULL;
    }
    size_t filled = (size_t)(at - text);
    memcpy(made, text, filled);
    for (size_t i = 0; i < pieces; i++) {
        size_t more = strlen(piece[i]);
        memcpy(made + filled, piece[i], more);
        filled += more;
    }
    snprintf(made + filled, size - filled, "%s", at + length);
    return made;
}

enum { INSERT_SIZE = 512 };

/* The keys that are missing, one within another, and the value. */
static bool nest(char out[INSERT_SIZE], struct key key, const char *pointer, const char *value) {
    size_t filled = 0;
    unsigned depth = 0;
    bool is_more = true;
    do {
        filled += (size_t)snprintf(out + filled, INSERT_SIZE - filled,
                                   "%s\"%.*s\": ", depth > 0 ? "{ " : "", (int)key.length, key.at);
        if (filled >= INSERT_SIZE) {
            return false;
        }
        is_more = next_key(&pointer, &key);
        depth++;
    } while (is_more);
    filled += (size_t)snprintf(out + filled, INSERT_SIZE - filled, "%s", value);
    for (; depth > 1 && filled < INSERT_SIZE; depth--) {
        filled += (size_t)snprintf(out + filled, INSERT_SIZE - filled, " }");
    }
    return filled < INSERT_SIZE;
}

/* As the first member of an object, with the blanks that the present first one has before it. */
static char *insert(const char *text, const char *object, struct key key, const char *pointer,
                    const char *value, struct error *error) {
    char member[INSERT_SIZE];
    char before[INSERT_SIZE];
    size_t blank = strspn(object + 1, blanks);
    if (!nest(member, key, pointer, value) || blank >= sizeof before) {
        error_set(error, "", "no room to insert %.*s", (int)key.length, key.at);
        return NULL;
    }
    bool is_empty = object[1 + blank] == '}';
    snprintf(before, sizeof before, "%.*s", (int)blank, object + 1);
    const char *const pieces[] = {is_empty ? " " : before, member, is_empty ? " " : ","};
    return splice(text, object + 1, is_empty ? blank : 0, pieces, 3, error);
}

char *json_edit_set(const char *text, const char *pointer, const char *value, struct error *error) {
    const char *at = skip_blanks(text);
    const char *rest = pointer;
    struct key key;
    while (next_key(&rest, &key)) {
        const char *found = NULL;
        if (*at == '{') {
            found = find_member(at, key);
            if (found == NULL) {
                return insert(text, at, key, rest, value, error);
            }
        } else if (*at == '[') {
            found = find_element(at, key);
        }
        if (found == NULL) {
            error_set(error, pointer, "not there");
            return NULL;
        }
        at = found;
    }
    return splice(text, at, (size_t)(skip_value(at) - at), &value, 1, error);
}
