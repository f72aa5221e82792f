/* What may stand at the top level, and how much in one room. */
#include "support/check.h"
#include "support/house/sources.h"

#include <dirent.h>
#include <stdbool.h>
#include <string.h>

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
        cmocka_unit_test(top_level_holds_the_house_and_nothing_else),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
