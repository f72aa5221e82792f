/* A device file that comes makes a descriptor readable, and nothing else does. */
#include "io/kernel/appear.h"
#include "support/check.h"
#include "support/daemon/tree.h"

#include <poll.h>
#include <stdbool.h>
#include <stdio.h>
#include <unistd.h>

static bool is_readable(int fd) {
    struct pollfd waits = {.fd = fd, .events = POLLIN};
    return poll(&waits, 1, 0) == 1;
}

static void a_file_that_comes_is_told_once(void **state) {
    (void)state;
    struct tree tree;
    char path[128];
    tree_make(&tree);
    snprintf(path, sizeof path, "%s/event0", tree.root);
    int fd = appear_open(path);
    assert_true(fd >= 0 && !is_readable(fd));
    tree_put(&tree, "event0", "");
    assert_true(is_readable(fd));
    appear_take(fd, path);
    assert_false(is_readable(fd));
    tree_put(&tree, "event0", "written to, which is no sign");
    assert_false(is_readable(fd));
    close(fd);
    tree_remove(&tree);
}

/* As /dev/input/by-id, which is not there while nothing is plugged in. */
static void a_folder_that_comes_first_is_watched_from_then_on(void **state) {
    (void)state;
    struct tree tree;
    char path[128];
    tree_make(&tree);
    snprintf(path, sizeof path, "%s/by-id/box", tree.root);
    int fd = appear_open(path);
    assert_true(fd >= 0);
    tree_put(&tree, "by-id/other", "");
    assert_true(is_readable(fd));
    appear_take(fd, path);
    tree_put(&tree, "by-id/box", "");
    assert_true(is_readable(fd));
    close(fd);
    tree_remove(&tree);
}

static void what_has_no_folder_cannot_be_watched(void **state) {
    (void)state;
    assert_int_equal(appear_open("box"), -1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_file_that_comes_is_told_once),
        cmocka_unit_test(a_folder_that_comes_first_is_watched_from_then_on),
        cmocka_unit_test(what_has_no_folder_cannot_be_watched),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
