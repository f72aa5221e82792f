/* No worked example may be lost: every file in the folder has a test program that runs it whole,
 * and the number of blocks is the one that was once written. */
#include "support/check.h"
#include "support/mechanics/examples.h"

#include <glob.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

enum { BLOCKS = 78, FILES = 26 };

/* test_<name>.c, in whichever room, hands its blocks to examples_run("<name>", ...). */
static bool runs_the_blocks(const char *path, const char *name) {
    char call[384], line[512];
    snprintf(call, sizeof call, "    examples_run(\"%s\", tests,", name);
    FILE *stream = fopen(path, "r");
    bool is_found = false;
    assert_non_null(stream);
    while (fgets(line, sizeof line, stream)) {
        is_found = is_found || strncmp(line, call, strlen(call)) == 0;
    }
    fclose(stream);
    return is_found;
}

static bool has_test_program(const char *name) {
    char pattern[768];
    glob_t found;
    snprintf(pattern, sizeof pattern, SOURCE_DIR "/tests/mechanics/{,*/}test_%s.c", name);
    if (glob(pattern, GLOB_BRACE, NULL, &found) != 0) {
        return false;
    }
    bool is_run = runs_the_blocks(found.gl_pathv[0], name);
    globfree(&found);
    return is_run;
}

static void every_block_is_run(void **state) {
    (void)state;
    glob_t found;
    size_t blocks = 0;
    assert_int_equal(
        glob(SOURCE_DIR "/tests/mechanics/examples/{,*/}*.ex", GLOB_BRACE, NULL, &found), 0);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        char name[256];
        const char *file = strrchr(found.gl_pathv[i], '/') + 1;
        snprintf(name, sizeof name, "%.*s", (int)(strlen(file) - strlen(".ex")), file);
        if (!has_test_program(name)) {
            fail_msg("no test runs the blocks of %s", file);
        }
        blocks += examples_count(name);
    }
    assert_int_equal(found.gl_pathc, FILES);
    globfree(&found);
    assert_int_equal(blocks, BLOCKS);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_block_is_run)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
