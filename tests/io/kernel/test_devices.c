/* What is not an input or SPI device is told so; the devices themselves: tools/test-machine. */
#include "io/kernel/evdev.h"
#include "io/kernel/spidev.h"
#include "support/check.h"
#include "support/daemon/tree.h"

#include <stdio.h>
#include <string.h>

static void expect(void *device, const struct error *error, const char *words) {
    assert_null(device);
    if (strstr(error->what, words) == NULL) {
        fail_msg("\"%s\", wanted \"%s\"", error->what, words);
    }
}

static void a_file_that_is_no_device_is_told(void **state) {
    (void)state;
    struct tree tree;
    struct error error;
    char path[128];
    tree_make(&tree);
    tree_put(&tree, "plain", "");
    snprintf(path, sizeof path, "%s/plain", tree.root);
    expect(evdev_kernel.open(path, false, &error), &error, "is not an input device");
    assert_string_equal(error.where, path);
    expect(spidev_kernel.open(path, 1000000, &error), &error, "is not an SPI device");
    assert_string_equal(error.where, path);
    tree_remove(&tree);
}

static void what_is_not_there_is_told(void **state) {
    (void)state;
    struct error error;
    expect(evdev_kernel.open("/nowhere/event0", false, &error), &error, "No such file");
    expect(spidev_kernel.open("/nowhere/spidev0.0", 1, &error), &error, "No such file");
    expect(evdev_kernel.open("bridge tender's own box", true, &error), &error,
           "no input device has this name");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_file_that_is_no_device_is_told),
        cmocka_unit_test(what_is_not_there_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
