/* Who may include whom (DEVELOPERS.md, "Where things are"), and what may stand at the top level. */
#include "support/check.h"

#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

enum { PREFIXES_MAX = 16 };

/* Quoted includes of a folder's files must begin with one of these. */
struct rule {
    const char *folder;
    const char *may[PREFIXES_MAX];
    bool may_event; /* <event2/...> */
    bool may_json;  /* <cjson/...> */
};

static const struct rule rules[] = {
    {"protocol", {"protocol/"}, false, false},
    {"daemon/base", {"base/"}, false, false},
    {"daemon/core", {"core/", "mechanics/"}, false, false},
    {"daemon/mechanics", {"mechanics/", "core/"}, false, false},
    {"daemon/config",
     {"config/", "base/", "core/", "mechanics/", "io/simulated/simulation_setup.h",
      "io/wired/wired_setup.h", "io/composite_setup.h", "io/link/link_setup.h", "net/setup.h",
      "panel/setup.h", "records/setup.h", "lcc/setup.h", "protocol/lcc/identifier.h",
      "protocol/lcc/event.h"},
     false,
     true},
    {"daemon/io", {"io/", "base/", "core/", "mechanics/", "protocol/"}, true, false},
    {"daemon/sockets", {"sockets/", "base/"}, true, false},
    {"daemon/net", {"net/", "sockets/", "base/", "core/", "mechanics/", "protocol/"}, true, false},
    {"daemon/lcc",
     {"lcc/", "sockets/", "base/", "core/", "mechanics/", "protocol/lcc/"},
     true,
     false},
    {"daemon/records", {"records/", "base/", "core/", "mechanics/"}, false, false},
    {"daemon/plots",
     {"plots/", "base/", "core/", "mechanics/", "config/", "records/"},
     false,
     false},
    {"daemon/panel",
     {"panel/", "base/", "core/", "mechanics/", "config/", "records/", "plots/"},
     true,
     true},
    {"tools/drawtender",
     {"tools/drawtender/", "base/", "core/", "protocol/", "config/", "mechanics/", "records/",
      "plots/"},
     false,
     true},
    {"tools/manual",
     {"tools/manual/", "tools/drawtender/", "daemon/process/options.h", "base/", "config/"},
     false,
     false},
};

static bool has_prefix(const char *text, const char *prefix) {
    return strncmp(text, prefix, strlen(prefix)) == 0;
}

static bool is_source(const char *name) {
    const char *dot = strrchr(name, '.');
    return dot != NULL && (strcmp(dot, ".c") == 0 || strcmp(dot, ".h") == 0);
}

static bool may_include(const struct rule *rule, const char *line) {
    char name[256];
    if (sscanf(line, " # include <%255[^>]", name) == 1) {
        return (rule->may_event || !has_prefix(name, "event2/")) &&
               (rule->may_json || !has_prefix(name, "cjson/"));
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
    unsigned files;
    unsigned broken;
};

static void check_file(const struct rule *rule, const char *path, struct count *count) {
    char line[1024];
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    while (fgets(line, sizeof line, file) != NULL) {
        if (!may_include(rule, line)) {
            print_error("%s: %s", path, line);
            count->broken++;
        }
    }
    fclose(file);
    count->files++;
}

/* Its rooms included: a rule that stopped at the first door would be none. */
static void check_folder(const struct rule *rule, const char *folder, struct count *count) {
    DIR *directory = opendir(folder);
    assert_non_null(directory);
    struct dirent *entry;
    while ((entry = readdir(directory)) != NULL) {
        char path[1024];
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (entry->d_type == DT_DIR && entry->d_name[0] != '.') {
            check_folder(rule, path, count);
        } else if (is_source(entry->d_name)) {
            check_file(rule, path, count);
        }
    }
    closedir(directory);
}

static void folders_include_only_what_they_may(void **state) {
    (void)state;
    struct count count = {0, 0};
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++) {
        char folder[512];
        snprintf(folder, sizeof folder, SOURCE_DIR "/%s", rules[i].folder);
        check_folder(&rules[i], folder, &count);
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
    assert_true(may_include(core, "#include \"core/state.h\"\n"));
    assert_true(may_include(core, "int x; /* nothing */\n"));
}

static void top_level_holds_the_house_and_nothing_else(void **state) {
    (void)state;
    static const char *const house[] = {"README.md",      "DEVELOPERS.md", "LICENSE",
                                        "CMakeLists.txt", "daemon",        "protocol",
                                        "tests",          "config",        "tools"};
    unsigned strangers = 0;
    DIR *directory = opendir(SOURCE_DIR);
    assert_non_null(directory);
    struct dirent *entry;
    while ((entry = readdir(directory)) != NULL) {
        bool is_known = entry->d_name[0] == '.';
        for (size_t i = 0; i < sizeof house / sizeof house[0]; i++) {
            is_known = is_known || strcmp(entry->d_name, house[i]) == 0;
        }
        if (!is_known) {
            print_error("stranger at the top level: %s\n", entry->d_name);
            strangers++;
        }
    }
    closedir(directory);
    assert_int_equal(strangers, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(folders_include_only_what_they_may),
        cmocka_unit_test(rules_refuse_what_they_should),
        cmocka_unit_test(top_level_holds_the_house_and_nothing_else),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
