/* Who may include whom (DEVELOPERS.md, "Where things are"). */
#include "support/check.h"
#include "support/house/sources.h"

#include <stdio.h>
#include <string.h>

enum { PREFIXES_MAX = 20 };

/* Quoted includes of a folder's files must begin with one of these. */
struct rule {
    const char *folder;
    const char *may[PREFIXES_MAX];
    bool may_event; /* <event2/...> */
    bool may_json;  /* <cjson/...> */
    bool is_pure;   /* of the system's headers only those of `pure` */
};

/* What is left of libc for those who touch nothing: no clock, no file, no memory to be had. */
static const char *const pure[] = {"math.h",   "stdbool.h", "stddef.h",
                                   "stdint.h", "stdio.h",   "string.h"};

static const struct rule rules[] = {
    {.folder = "protocol", .may = {"protocol/"}},
    {.folder = "daemon/base", .may = {"base/"}},
    {"daemon/core", {"core/"}, .is_pure = true},
    {"daemon/mechanics", {"mechanics/"}, .is_pure = true},
    {"daemon/config",
     {"config/", "base/", "core/", "mechanics/", "io/simulated/simulation_setup.h",
      "io/wired/wired_setup.h", "io/composite_setup.h", "io/link/link_setup.h",
      "io/nodes/nodes_setup.h", "net/setup.h", "panel/setup.h", "records/setup.h", "lcc/setup.h",
      "stand/setup.h", "protocol/lcc/identifier.h", "protocol/lcc/event.h", "effects/condition.h",
      "effects/scene/setup.h", "effects/sound/setup.h"},
     .may_json = true},
    {"daemon/io", {"io/", "base/", "core/", "mechanics/", "protocol/"}, .may_event = true},
    {"daemon/sockets", {"sockets/", "base/"}, .may_event = true},
    {"daemon/net",
     {"net/", "sockets/", "base/", "core/", "mechanics/", "protocol/"},
     .may_event = true},
    {"daemon/lcc",
     {"lcc/", "sockets/", "base/", "core/", "mechanics/", "protocol/lcc/"},
     .may_event = true},
    {"daemon/stand",
     {"stand/", "base/", "core/", "io/port.h", "io/kernel/", "io/wired/"},
     .may_event = true},
    {"daemon/effects",
     {"effects/", "base/", "core/", "io/kernel/", "io/wired/pin_out.h", "io/wired/wired_setup.h"},
     .may_event = true},
    {.folder = "daemon/records", .may = {"records/", "base/", "core/", "mechanics/"}},
    {.folder = "daemon/plots",
     .may = {"plots/", "base/", "core/", "mechanics/", "config/", "records/"}},
    {"daemon/panel",
     {"panel/", "base/", "core/", "mechanics/", "config/", "records/", "plots/"},
     .may_event = true,
     .may_json = true},
    {"tools/drawtender",
     {"tools/drawtender/", "base/", "core/", "protocol/", "config/", "mechanics/", "records/",
      "plots/"},
     .may_json = true},
    {.folder = "tools/manual",
     .may = {"tools/manual/", "tools/drawtender/", "daemon/process/options.h", "base/", "config/"}},
};

static bool has_prefix(const char *text, const char *prefix) {
    return strncmp(text, prefix, strlen(prefix)) == 0;
}

static bool may_include_system(const struct rule *rule, const char *name) {
    bool may = !rule->is_pure;
    for (size_t i = 0; i < sizeof pure / sizeof pure[0]; i++) {
        may = may || strcmp(name, pure[i]) == 0;
    }
    return may && (rule->may_event || !has_prefix(name, "event2/")) &&
           (rule->may_json || !has_prefix(name, "cjson/"));
}

static bool may_include(const struct rule *rule, const char *line) {
    char name[256];
    if (sscanf(line, " # include <%255[^>]", name) == 1) {
        return may_include_system(rule, name);
    }
    if (sscanf(line, " # include \"%255[^\"]", name) != 1) {
        return true;
    }
    for (unsigned i = 0; i < PREFIXES_MAX && rule->may[i] != NULL; i++) {
        if (has_prefix(name, rule->may[i])) {
            return true;
        }
    }
    /* A tool's own headers may be named from its own folder. */
    return has_prefix(rule->folder, "tools/") && strchr(name, '/') == NULL;
}

struct count {
    const struct rule *rule;
    unsigned files;
    unsigned broken;
};

static void check_line(void *context, const char *path, const char *line) {
    struct count *count = context;
    if (!may_include(count->rule, line)) {
        print_error("%s: %s", path, line);
        count->broken++;
    }
}

static void check_file(void *context, const char *path) {
    struct count *count = context;
    if (sources_is_c(path)) {
        sources_lines(path, check_line, count);
        count->files++;
    }
}

static void folders_include_only_what_they_may(void **state) {
    (void)state;
    struct count count = {NULL, 0, 0};
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++) {
        const struct sources_visitor visitor = {.context = &count, .file = check_file};
        count.rule = &rules[i];
        sources_walk(rules[i].folder, &visitor);
    }
    assert_true(count.files > 400);
    assert_int_equal(count.broken, 0);
}

static void rules_refuse_what_they_should(void **state) {
    (void)state;
    const struct rule *core = &rules[2];
    assert_false(may_include(core, "#include <event2/event.h>\n"));
    assert_false(may_include(core, "#include \"io/port.h\"\n"));
    assert_false(may_include(core, "#  include \"net/setup.h\"\n"));
    assert_false(may_include(core, "#include \"mechanics/number.h\"\n"));
    assert_false(may_include(core, "#include <time.h>\n"));
    assert_false(may_include(core, "#include <stdlib.h>\n"));
    assert_true(may_include(core, "#include <math.h>\n"));
    assert_true(may_include(core, "#include \"core/state.h\"\n"));
    assert_true(may_include(core, "int x; /* nothing */\n"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(folders_include_only_what_they_may),
        cmocka_unit_test(rules_refuse_what_they_should),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
