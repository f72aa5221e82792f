/* Drawings as files, whole or not at all. */
#include "plots/plot_file.h"
#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static bool draw(FILE *out, const void *context, struct error *error) {
    (void)context;
    (void)error;
    return fputs("<svg/>", out) >= 0;
}

static void a_drawing_that_is_not_all_written_is_told_and_removed(void **state) {
    (void)state;
    char folder[] = "/tmp/test_plot_file_XXXXXX";
    char path[64];
    struct error error = {.what = ""};
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/rose-cut-leaf.svg", folder);
    assert_int_equal(symlink("/dev/full", path), 0); /* as a full disk: full(4) */
    bool is_written = plot_file_write(folder, "Rose Cut", "leaf", draw, NULL, &error);
    bool is_there = unlink(path) == 0;
    assert_false(is_written);
    assert_non_null(strstr(error.what, "No space left on device"));
    assert_false(is_there);

    assert_true(plot_file_write(folder, "Rose Cut", "leaf", draw, NULL, &error));
    assert_int_equal(unlink(path), 0);
    assert_int_equal(rmdir(folder), 0);
    assert_false(plot_file_write(folder, "Rose Cut", "leaf", draw, NULL, &error));
    assert_non_null(strstr(error.what, "rose-cut-leaf.svg: No such file"));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_drawing_that_is_not_all_written_is_told_and_removed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
