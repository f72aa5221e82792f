/* No module includes another that includes it, however far round: each can be read, tested and
 * changed with only what lies below it. A module is name.c and name.h together. */
#include "support/check.h"
#include "support/house/sources.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

enum { MODULES_MAX = 1024, NAME_SIZE = 128 };

enum visit { NOT_YET = 0, ON_THE_WAY, DONE };

struct graph {
    unsigned modules;
    char name[MODULES_MAX][NAME_SIZE];
    bool includes[MODULES_MAX][MODULES_MAX];
    enum visit visit[MODULES_MAX];
};

static struct graph graph;

/* Returns the number of the module that this file is half of, or MODULES_MAX. */
static unsigned find(const char *path) {
    size_t length = strcspn(path, ".");
    for (unsigned i = 0; i < graph.modules; i++) {
        if (strlen(graph.name[i]) == length && strncmp(graph.name[i], path, length) == 0) {
            return i;
        }
    }
    return MODULES_MAX;
}

static void add_module(void *context, const char *path) {
    (void)context;
    if (sources_is_c(path) && find(path) == MODULES_MAX) {
        assert_true(graph.modules < MODULES_MAX && strlen(path) < NAME_SIZE);
        snprintf(graph.name[graph.modules++], NAME_SIZE, "%.*s", (int)strcspn(path, "."), path);
    }
}

/* As the build looks: from the daemon's folder, from the top, and from the file's own. */
static unsigned included(const char *by, const char *name) {
    const char *end = strrchr(by, '/');
    char path[3][512];
    snprintf(path[0], sizeof path[0], "daemon/%s", name);
    snprintf(path[1], sizeof path[1], "%s", name);
    snprintf(path[2], sizeof path[2], "%.*s%s", end != NULL ? (int)(end - by + 1) : 0, by, name);
    unsigned module = MODULES_MAX;
    for (unsigned i = 0; i < 3 && module == MODULES_MAX; i++) {
        module = find(path[i]);
    }
    return module;
}

static void add_line(void *context, const char *path, const char *line) {
    (void)context;
    char name[256];
    if (sscanf(line, " # include \"%255[^\"]", name) == 1) {
        unsigned from = find(path);
        unsigned to = included(path, name);
        if (to != MODULES_MAX && to != from) {
            graph.includes[from][to] = true;
        }
    }
}

static void add_includes(void *context, const char *path) {
    if (sources_is_c(path)) {
        sources_lines(path, add_line, context);
    }
}

/* Depth first: what is met again while it is on the way closes a circle. Returns how many do. */
static unsigned circles_from(unsigned module) {
    unsigned circles = 0;
    graph.visit[module] = ON_THE_WAY;
    for (unsigned to = 0; to < graph.modules; to++) {
        if (!graph.includes[module][to] || graph.visit[to] == DONE) {
            continue;
        }
        if (graph.visit[to] == ON_THE_WAY) {
            print_error("%s includes %s, which leads back to it\n", graph.name[module],
                        graph.name[to]);
            circles++;
        } else {
            circles += circles_from(to);
        }
    }
    graph.visit[module] = DONE;
    return circles;
}

static unsigned circles(void) {
    unsigned circles = 0;
    for (unsigned i = 0; i < graph.modules; i++) {
        circles += graph.visit[i] == NOT_YET ? circles_from(i) : 0;
    }
    return circles;
}

static void no_modules_include_one_another(void **state) {
    (void)state;
    static const char *const folders[] = {"protocol", "daemon", "tools/drawtender"};
    memset(&graph, 0, sizeof graph);
    for (size_t i = 0; i < 3; i++) {
        sources_walk(folders[i], &(struct sources_visitor){.file = add_module});
    }
    for (size_t i = 0; i < 3; i++) {
        sources_walk(folders[i], &(struct sources_visitor){.file = add_includes});
    }
    assert_true(graph.modules > 300);
    assert_true(graph.includes[find("daemon/main.c")][find("daemon/io/drivers.h")]);
    assert_int_equal(circles(), 0);
}

static void circle_of_three_is_found(void **state) {
    (void)state;
    memset(&graph, 0, sizeof graph);
    add_module(NULL, "daemon/a/high.c");
    add_module(NULL, "daemon/a/middle.c");
    add_module(NULL, "daemon/b/low.h");
    assert_int_equal(graph.modules, 3);
    add_line(NULL, "daemon/a/high.c", "#include \"a/middle.h\"\n");
    add_line(NULL, "daemon/a/high.c", "#include \"high.h\"\n"); /* its own */
    add_line(NULL, "daemon/a/high.c", "#include \"b/low.h\"\n");
    add_line(NULL, "daemon/a/middle.c", "#include \"b/low.h\"\n");
    assert_int_equal(circles(), 0);
    add_line(NULL, "daemon/b/low.h", "#include \"a/high.h\"\n");
    memset(graph.visit, 0, sizeof graph.visit);
    assert_true(circles() > 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_modules_include_one_another),
        cmocka_unit_test(circle_of_three_is_found),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
