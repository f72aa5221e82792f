/* Every stretch in tests/records/kept/ gives the same again: mostly faults that somebody had. */
#include "records/codec/kept.h"
#include "support/check.h"

#include <dirent.h>
#include <stdio.h>
#include <string.h>

static const char folder[] = SOURCE_DIR "/tests/records/kept";

static void run_file(const char *name) {
    char path[512];
    struct replay_result result;
    struct error error = {.what = ""};
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *in = fopen(path, "r");
    assert_non_null(in);
    bool is_read = kept_run(in, &result, &error);
    fclose(in);
    if (!is_read || result.difference.serial != 0) {
        fail_msg("%s: %s; step %lu: %s", name, error.what, (unsigned long)result.difference.serial,
                 result.difference.what);
    }
}

static void every_kept_stretch_gives_the_same_again(void **state) {
    (void)state;
    DIR *directory = opendir(folder);
    assert_non_null(directory);
    unsigned files = 0;
    struct dirent *entry;
    while ((entry = readdir(directory)) != NULL) {
        const char *dot = strrchr(entry->d_name, '.');
        if (dot != NULL && strcmp(dot, ".steps") == 0) {
            run_file(entry->d_name);
            files++;
        }
    }
    closedir(directory);
    assert_true(files > 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_kept_stretch_gives_the_same_again)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
