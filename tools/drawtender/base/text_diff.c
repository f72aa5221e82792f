#include "tools/drawtender/base/text_diff.h"

#include <stdbool.h>
#include <string.h>

struct line {
    const char *at;
    size_t length;
    size_t number;
};

static struct line first(const char *text) {
    return (struct line){text, strcspn(text, "\n"), 1};
}

static bool is_end(const struct line *line) {
    return *line->at == '\0';
}

static void advance(struct line *line) {
    line->at += line->length;
    line->at += *line->at == '\n';
    line->length = strcspn(line->at, "\n");
    line->number++;
}

static bool is_same(const struct line *a, const struct line *b) {
    return a->length == b->length && memcmp(a->at, b->at, a->length) == 0;
}

/* How many lines ahead of `from` one like `wanted` is; TEXT_DIFF_AHEAD: none near. */
static unsigned distance(struct line from, const struct line *wanted) {
    unsigned ahead = 0;
    for (; ahead < TEXT_DIFF_AHEAD && !is_end(&from); ahead++) {
        if (is_same(&from, wanted)) {
            return ahead;
        }
        advance(&from);
    }
    return TEXT_DIFF_AHEAD;
}

static void print(FILE *out, char sign, const struct line *line) {
    fprintf(out, "%c %zu: %.*s\n", sign, line->number, (int)line->length, line->at);
}

size_t text_diff_print(FILE *out, const char *before, const char *after) {
    struct line old = first(before);
    struct line new = first(after);
    size_t differing = 0;
    while (!is_end(&old) || !is_end(&new)) {
        if (!is_end(&old) && !is_end(&new) && is_same(&old, &new)) {
            advance(&old);
            advance(&new);
            continue;
        }
        unsigned to_old = is_end(&old) ? TEXT_DIFF_AHEAD : distance(new, &old);
        unsigned to_new = is_end(&new) ? TEXT_DIFF_AHEAD : distance(old, &new);
        bool is_new = is_end(&old) || to_old < to_new;
        bool is_gone = is_end(&new) || !is_new;
        differing++;
        print(out, is_gone ? '-' : '+', is_gone ? &old : &new);
        advance(is_gone ? &old : &new);
    }
    return differing;
}
