/* Every function that a header declares has a caller in the programs, or its comment begins with
 * "For tests": what only tests call is not part of the product. */
#include "support/check.h"
#include "support/house/sources.h"

#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FUNCTIONS_MAX = 4096, NAME_SIZE = 80, PATH_SIZE = 160 };

static const char *const folders[] = {"protocol", "daemon", "tools/drawtender", "tools/manual"};

static struct {
    struct function {
        char name[NAME_SIZE], path[PATH_SIZE];
        bool is_for_tests, is_called;
    } function[FUNCTIONS_MAX];
    unsigned count;
    bool is_comment;   /* within one that goes over the end of its line */
    bool is_for_tests; /* the last comment says so, and no blank line has come since */
} house;

static int by_name(const void *left, const void *right) {
    return strcmp(left, ((const struct function *)right)->name);
}

static int by_names(const void *left, const void *right) {
    return by_name(((const struct function *)left)->name, right);
}

/* Blanks out comments and the insides of literals. */
static void strip(char *line) {
    for (char *at = line; *at != '\0'; at++) {
        if (!house.is_comment && (*at == '"' || *at == '\'')) {
            for (char quote = *at++; *at != quote && *at != '\0'; at++) {
                at += *at == '\\' && at[1] != '\0';
            }
            if (*at == '\0') {
                return;
            }
        } else if (!house.is_comment && strncmp(at, "/*", 2) == 0) {
            house.is_comment = true;
            *at++ = ' ';
            *at = ' ';
        } else if (house.is_comment) {
            house.is_comment = strncmp(at, "*/", 2) != 0;
            *at = ' ';
            if (!house.is_comment) {
                *++at = ' ';
            }
        }
    }
}

/* "struct error *name(int x": a declaration or a definition at the left edge; clang-format keeps
 * the name on its first line. Returns where the name is, and its length, or NULL. */
static const char *declared(const char *line, size_t *length) {
    const char *bracket = strchr(line, '(');
    if (!isalpha((unsigned char)line[0]) || bracket == NULL || strchr(line, '=') != NULL ||
        strncmp(line, "typedef", 7) == 0) {
        return NULL;
    }
    const char *name = bracket;
    while (name > line && (isalnum((unsigned char)name[-1]) || name[-1] == '_')) {
        name--;
    }
    *length = (size_t)(bracket - name);
    return name > line && *length > 0 && (name[-1] == ' ' || name[-1] == '*') ? name : NULL;
}

static void declare(void *context, const char *path, const char *text) {
    (void)context;
    char line[512];
    size_t length;
    snprintf(line, sizeof line, "%s", text);
    if (strncmp(line, "/*", 2) == 0) {
        house.is_for_tests = strncmp(line, "/* For tests", 12) == 0;
    }
    house.is_for_tests = house.is_for_tests && line[0] != '\n';
    strip(line);
    const char *name = declared(line, &length);
    if (name == NULL || strncmp(line, "static", 6) == 0) {
        return;
    }
    assert_true(house.count < FUNCTIONS_MAX && length < NAME_SIZE);
    struct function *function = &house.function[house.count++];
    *function = (struct function){.is_for_tests = house.is_for_tests};
    snprintf(function->name, NAME_SIZE, "%.*s", (int)length, name);
    snprintf(function->path, PATH_SIZE, "%s", path);
}

/* Every name in the line but the one that it declares, and the tags of structs, is a use. */
static void use(void *context, const char *path, const char *text) {
    (void)context;
    (void)path;
    char line[512];
    size_t length = 0;
    bool is_tag = false;
    snprintf(line, sizeof line, "%s", text);
    strip(line);
    const char *own = declared(line, &length);
    for (char *at = line; *at != '\0';) {
        if (!isalpha((unsigned char)*at)) {
            at++;
            continue;
        }
        char *end = at;
        while (isalnum((unsigned char)*end) || *end == '_') {
            end++;
        }
        char after = *end;
        *end = '\0';
        struct function *function = at == own || is_tag ? NULL
                                                        : bsearch(at, house.function, house.count,
                                                                  sizeof(struct function), by_name);
        if (function != NULL) {
            function->is_called = true;
        }
        is_tag = strcmp(at, "struct") == 0 || strcmp(at, "enum") == 0;
        *end = after;
        at = end;
    }
}

static void declare_file(void *context, const char *path) {
    if (sources_is_c(path) && strcmp(strrchr(path, '.'), ".h") == 0) {
        sources_lines(path, declare, context);
    }
}

static void use_file(void *context, const char *path) {
    if (sources_is_c(path)) {
        sources_lines(path, use, context);
    }
}

static void every_function_has_a_caller(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++) {
        sources_walk(folders[i], &(struct sources_visitor){.file = declare_file});
    }
    qsort(house.function, house.count, sizeof house.function[0], by_names);
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++) {
        sources_walk(folders[i], &(struct sources_visitor){.file = use_file});
    }
    assert_true(house.count > 1000);
    unsigned wrong = 0;
    for (unsigned i = 0; i < house.count; i++) {
        const struct function *function = &house.function[i];
        if (function->is_called == function->is_for_tests) {
            print_error(function->is_called
                            ? "%s: %s() is not only for tests, as its comment says\n"
                            : "%s: nobody calls %s(): delete it with its test, or begin its "
                              "comment with \"For tests\"\n",
                        function->path, function->name);
            wrong++;
        }
    }
    assert_int_equal(wrong, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_function_has_a_caller),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
