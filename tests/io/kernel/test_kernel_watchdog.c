#include "io/kernel/kernel_watchdog.h"
#include "support/check.h"
#include "support/daemon/tree.h"

#include <stdio.h>

/* A plain file takes the writes; it says nothing of a timeout. */
static void open_file(struct tree *tree, struct kernel_watchdog *watchdog) {
    char device[128];
    struct error error;
    tree_make(tree);
    tree_put(tree, "watchdog", "");
    snprintf(device, sizeof device, "%s/watchdog", tree->root);
    assert_true(kernel_watchdog_open(watchdog, device, 10, &error));
    assert_int_equal(watchdog->timeout_s, 0);
}

static void orderly_end_stops_it(void **state) {
    (void)state;
    struct tree tree;
    struct kernel_watchdog watchdog;
    open_file(&tree, &watchdog);
    assert_true(kernel_watchdog_ping(&watchdog));
    kernel_watchdog_close(&watchdog, true);
    tree_expect(&tree, "watchdog", "pV");
    tree_remove(&tree);
}

/* Without the 'V' the machine is reset (Linux, watchdog/watchdog-api.rst, "magic close"). */
static void s7_end_with_unsafe_outputs_leaves_it_running(void **state) {
    (void)state;
    struct tree tree;
    struct kernel_watchdog watchdog;
    open_file(&tree, &watchdog);
    assert_true(kernel_watchdog_ping(&watchdog));
    kernel_watchdog_close(&watchdog, false);
    tree_expect(&tree, "watchdog", "p");
    tree_remove(&tree);
}

static void missing_device_is_refused(void **state) {
    (void)state;
    struct kernel_watchdog watchdog;
    struct error error;
    assert_false(kernel_watchdog_open(&watchdog, "/nowhere", 10, &error));
    kernel_watchdog_close(&watchdog, true); /* harmless */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(orderly_end_stops_it),
        cmocka_unit_test(s7_end_with_unsafe_outputs_leaves_it_running),
        cmocka_unit_test(missing_device_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
