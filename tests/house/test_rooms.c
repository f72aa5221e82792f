/* What may stand at the top level, how much in one room, and that each module says what it is. */
#include "support/check.h"
#include "support/house/sources.h"

#include <dirent.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* More doors than that in one corridor, and a newcomer is lost: cut a room. */
enum { FILES_MAX = 25 };

struct rooms {
    unsigned seen;
    unsigned crowded;
};

/* Seeds of fuzzers are named by nobody and read by nobody. */
static bool is_exempt(const char *folder) {
    static const char seeds[] = "tests/fuzz/corpus";
    return strncmp(folder, seeds, strlen(seeds)) == 0;
}

static void count_files(void *context, const char *folder, unsigned files) {
    struct rooms *rooms = context;
    rooms->seen++;
    if (files > FILES_MAX && !is_exempt(folder)) {
        print_error("%s holds %u files; %d is the most: cut a room\n", folder, files, FILES_MAX);
        rooms->crowded++;
    }
}

static void no_room_is_crowded(void **state) {
    (void)state;
    struct rooms rooms = {0, 0};
    const struct sources_visitor visitor = {.context = &rooms, .folder = count_files};
    sources_walk("", &visitor);
    assert_true(rooms.seen > 80);
    assert_int_equal(rooms.crowded, 0);
}

/* ---- what a file is, at its top */

struct opening {
    unsigned line;
    bool is_comment;
};

static void look_at_first(void *context, const char *path, const char *line) {
    struct opening *opening = context;
    (void)path;
    if (opening->line++ == 0) {
        opening->is_comment = strncmp(line, "/* ", 3) == 0;
    }
}

static bool opens_with_words(const char *path) {
    struct opening opening = {0, false};
    sources_lines(path, look_at_first, &opening);
    return opening.is_comment;
}

/* A module's header says it for both; name.c is silent only where name.h speaks. */
static void check_opening(void *context, const char *path) {
    unsigned *silent = context;
    char header[512];
    char whole[1024];
    if (!sources_is_c(path)) {
        return;
    }
    snprintf(header, sizeof header, "%.*s.h", (int)(strlen(path) - 2), path);
    snprintf(whole, sizeof whole, SOURCE_DIR "/%s", header);
    bool has_header = access(whole, R_OK) == 0;
    if (!opens_with_words(path) && !(has_header && opens_with_words(header))) {
        print_error("%s: its first line does not say what it is\n", path);
        ++*silent;
    }
}

static void every_module_says_at_its_top_what_it_is(void **state) {
    (void)state;
    static const char *const folders[] = {"protocol", "daemon", "tools/drawtender"};
    unsigned silent = 0;
    for (size_t i = 0; i < 3; i++) {
        sources_walk(folders[i],
                     &(struct sources_visitor){.context = &silent, .file = check_opening});
    }
    assert_int_equal(silent, 0);
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
        cmocka_unit_test(no_room_is_crowded),
        cmocka_unit_test(every_module_says_at_its_top_what_it_is),
        cmocka_unit_test(top_level_holds_the_house_and_nothing_else),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
