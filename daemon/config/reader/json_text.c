#include "config/reader/json_text.h"

#include "base/text/utf8.h"

#include <ctype.h>
#include <errno.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void complain_at(struct error *error, const char *text, size_t at, const char *what) {
    unsigned long line = 1;
    unsigned long column = 1;
    char where[64];
    for (size_t i = 0; i < at; i++) {
        if (text[i] == '\n') {
            line++;
            column = 1;
        } else if (((unsigned char)text[i] & 0xc0) != 0x80) {
            column++; /* the first byte of a character */
        }
    }
    snprintf(where, sizeof where, "line %lu, column %lu", line, column);
    error_set(error, where, "%s", what);
}

/* A look over the whole text before it is parsed. */
struct scan {
    const char *text;
    size_t length;
    size_t at;
    unsigned depth;
    bool is_in_string;
};

static bool starts(const struct scan *s, const char *words) {
    size_t size = strlen(words);
    return s->length - s->at >= size && memcmp(s->text + s->at, words, size) == 0;
}

static const char *fault_in_string(struct scan *s) {
    char c = s->text[s->at];
    if (starts(s, "\\u0000")) {
        return "a text cannot contain a NUL character";
    }
    if (c == '\\' && s->at + 1 < s->length) {
        s->at++;
    } else if (c == '"') {
        s->is_in_string = false;
    }
    return (unsigned char)c < 0x20
               ? "a control character in a text (is the closing quote missing before it?)"
               : NULL;
}

static const char *fault_between(struct scan *s) {
    char c = s->text[s->at];
    char before = s->at > 0 ? s->text[s->at - 1] : ' ';
    char after = s->at + 1 < s->length ? s->text[s->at + 1] : ' ';
    bool starts_number = !isalnum((unsigned char)before) && before != '.' && before != '+';
    if (c == '"') {
        s->is_in_string = true;
    } else if (c == '{' || c == '[') {
        return ++s->depth > JSON_DEPTH_MAX ? "nested too deeply for a configuration" : NULL;
    } else if (c == '}' || c == ']') {
        s->depth -= s->depth > 0 ? 1 : 0;
    } else if (c == '0' && starts_number && isdigit((unsigned char)after)) {
        return "a number with a leading zero";
    } else if (c == '.' && !isdigit((unsigned char)after)) {
        return "a point without decimals after it";
    } else if ((c == '/' && (after == '/' || after == '*')) || c == '#') {
        return "a comment (JSON has none)";
    } else if ((unsigned char)c < 0x20 && c != '\t' && c != '\n' && c != '\r') {
        return "a control character";
    } else if (c == '\'') {
        return "a single quote (texts have double quotes)";
    }
    return NULL;
}

static bool scan_text(const char *text, size_t length, struct error *error) {
    struct scan s = {.text = text, .length = length};
    while (s.at < length) {
        size_t start = s.at;
        size_t size = utf8_length(text + start, length - start);
        const char *fault = size == 0        ? "not UTF-8 text"
                            : s.is_in_string ? fault_in_string(&s)
                                             : fault_between(&s);
        if (fault != NULL) {
            complain_at(error, text, start, fault);
            return false;
        }
        s.at += s.at == start ? size : 1;
    }
    return true;
}

static size_t skip_blank(const char *text, size_t length, size_t at) {
    while (at < length && strchr(" \t\r\n", text[at]) != NULL) {
        at++;
    }
    return at;
}

/* Where a key should begin, cJSON stops one behind the character that is wrong. */
static size_t step_back(const char *text, size_t at) {
    if (at < 2 || !isalpha((unsigned char)text[at - 1])) {
        return 0;
    }
    size_t before = at - 1;
    while (before > 0 && strchr(" \t\r\n", text[before - 1]) != NULL) {
        before--;
    }
    return before > 0 && strchr("{,", text[before - 1]) != NULL ? 1 : 0;
}

static void complain_of_syntax(const char *text, size_t length, size_t at, struct error *error) {
    char what[128];
    at = skip_blank(text, length, at - step_back(text, at));
    if (at >= length) {
        complain_at(error, text, length,
                    length == 0 ? "the text is empty: a JSON object is wanted"
                                : "the text ends too early: something is not closed");
        return;
    }
    size_t last = at;
    while (last > 0 && strchr(" \t\r\n", text[last - 1]) != NULL) {
        last--;
    }
    bool is_after_comma = last > 0 && text[last - 1] == ',';
    snprintf(what, sizeof what, "not JSON from here: '%.*s'%s",
             (int)utf8_length(text + at, length - at), text + at,
             is_after_comma                 ? " (is there an extra comma before it?)"
             : text[at] == '"' && last < at ? " (is a comma missing before it?)"
                                            : "");
    complain_at(error, text, at, what);
}

cJSON *json_text_parse(const char *text, size_t length, struct error *error) {
    if (length > JSON_TEXT_MAX) {
        error_set(error, "", "more than 1 MiB: too long for a configuration");
        return NULL;
    }
    if (!scan_text(text, length, error)) {
        return NULL;
    }
    const char *end = text;
    cJSON *tree = cJSON_ParseWithLengthOpts(text, length, &end, false);
    size_t at = (size_t)(end - text);
    if (tree == NULL) {
        complain_of_syntax(text, length, at, error);
        return NULL;
    }
    if (skip_blank(text, length, at) < length) {
        complain_at(error, text, skip_blank(text, length, at),
                    "there is more text after the end of the configuration");
        cJSON_Delete(tree);
        return NULL;
    }
    return tree;
}

char *json_text_read(const char *path, size_t *length, struct error *error) {
    const size_t size = JSON_TEXT_MAX + 1;
    char *text = malloc(size);
    FILE *file = fopen(path, "rb");
    *length = text != NULL && file != NULL ? fread(text, 1, size, file) : 0;
    if (text == NULL || file == NULL || ferror(file)) {
        error_set(error, path, "cannot be read: %s", strerror(errno));
        free(text);
        text = NULL;
    }
    if (file != NULL) {
        fclose(file);
    }
    return text;
}
